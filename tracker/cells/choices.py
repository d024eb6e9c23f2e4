"""Words from a list: one choice, a yes or a no."""

from __future__ import annotations

import re

from tracker.cells.limbs import read_limbs
from tracker.cells.reading import Reading
from tracker.cells.text import fold, listed, suggestion, typed
from tracker.terms import NO, SYNONYMS, YES

_SPAN = re.compile(r"(?<=\d)\s*[-–—]\s*(?=\d)")
_FOLDED_SYNONYMS = {fold(key): word for key, word in SYNONYMS.items()}


def match(text: str, allowed: tuple[str, ...]) -> str | None:
    """The word of the list that the text plainly is, in full or by its beginning."""
    if (word := match_whole(text, allowed)) is not None:
        return word
    wanted, by_fold = _wanted(text), {fold(word): word for word in allowed}
    begun = [word for key, word in by_fold.items() if len(wanted) >= 3 and key.startswith(wanted)]
    return begun[0] if len(begun) == 1 else None


def match_whole(text: str, allowed: tuple[str, ...]) -> str | None:
    """The word of the list that the text is in full, or that it is a known other word for."""
    wanted = _wanted(text)
    by_fold = {fold(word): word for word in allowed}
    if wanted in by_fold:
        return by_fold[wanted]
    return word if (word := _FOLDED_SYNONYMS.get(wanted)) in allowed else None


def _wanted(text: str) -> str:
    return _SPAN.sub("-", fold(text)).removesuffix(" than last time").removesuffix(".")


def read_choice(value: object, allowed: tuple[str, ...]) -> Reading:
    """One word of the list, in its own spelling, a known other word for it, or a clear beginning of it."""
    text = typed(value)
    if (word := match(text, allowed)) is not None:
        return Reading(word)
    return Reading(None, "choice-unknown", listed(allowed), {"suggestion": suggestion(text, allowed)})


def read_checked(value: object) -> Reading:
    """Whether somebody checked: "yes", "no", or the name of who did."""
    text = fold(typed(value))
    return Reading("yes" if text in YES else "no" if text in NO else typed(value).strip())


def read_limbs_or_yes(value: object, allowed: tuple[str, ...]) -> Reading:
    """The limbs named, ("yes",) where only a yes is said, () for a no."""
    text = fold(typed(value))
    if text in YES:
        return Reading(("yes",))
    if text in NO:
        return Reading(())
    limbs = read_limbs(text)
    return Reading(None, "limb-unknown", listed(allowed)) if limbs is None else Reading(limbs)
