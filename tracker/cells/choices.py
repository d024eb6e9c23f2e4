"""Words from a list: one choice, several signs, a pulse, a yes or a no."""

from __future__ import annotations

import difflib
import re

from tracker.cells.figures import in_figures
from tracker.cells.limbs import read_limbs
from tracker.cells.reading import NOTHING, Reading
from tracker.cells.text import fold, listed, says_nothing, suggestion, typed
from tracker.terms import NO, PULSES, SIGNS, SYNONYMS, YES

NEAR = 0.8  # how alike a slip and a sign must be
_BETWEEN_SIGNS = re.compile(r"\s*(?:,|;|/|\n|\+|\.(?=\s)|\s[-–]\s|\band\b)\s*")
_DENIED = re.compile(r"\b(?:no|without|never|not an?|nothing)\b")
_PULSE = re.compile(r"^([0-3])(?![.,]?\d)\D*$")  # more figures, such as 1-2, are no one pulse
_SPAN = re.compile(r"(?<=\d)\s*[-–—]\s*(?=\d)")
_FOLDED_SYNONYMS = {fold(key): word for key, word in SYNONYMS.items()}
_WORDINGS = {fold(sign): sign for sign in SIGNS} | {
    key: word for key, word in _FOLDED_SYNONYMS.items() if word in SIGNS
}
_LONGEST_FIRST = sorted(_WORDINGS, key=len, reverse=True)
_LONGEST = len(_LONGEST_FIRST[0]) * 3 // 2  # a longer text is near none of them


def _match(text: str, allowed: tuple[str, ...]) -> str | None:
    wanted = _SPAN.sub("-", fold(text)).removesuffix(" than last time").removesuffix(".")
    by_fold = {fold(word): word for word in allowed}
    if wanted in by_fold:
        return by_fold[wanted]
    if (word := _FOLDED_SYNONYMS.get(wanted)) in allowed:
        return word
    begun = [word for key, word in by_fold.items() if len(wanted) >= 3 and key.startswith(wanted)]
    return begun[0] if len(begun) == 1 else None


def read_choice(value: object, allowed: tuple[str, ...]) -> Reading:
    """One word of the list, in its own spelling, a known other word for it, or a clear beginning of it."""
    text = typed(value)
    if (word := _match(text, allowed)) is not None:
        return Reading(word)
    return Reading(None, "choice-unknown", listed(allowed), {"suggestion": suggestion(text, allowed)})


def read_signs(value: object) -> Reading:
    """The warning signs named, as a tuple in the list's order.

    A slip of the pen is read as the sign it is nearest to, with a doubt: a sign must not be lost to a letter.
    What is like no sign is told, the rest is kept.
    """
    parts = [part for part in _BETWEEN_SIGNS.split(typed(value)) if fold(part)]
    if _match(typed(value), SIGNS):  # one sign that has an "and" in it
        parts = [typed(value)]
    read = {part: _match(part, SIGNS) for part in parts}
    near = {part: _nearest_sign(part) for part, sign in read.items() if sign is None}
    named = tuple(sign for sign in SIGNS if sign in {*read.values(), *near.values()})
    if not near:
        return Reading(named)
    if all(near.values()):
        words = {"read": ", ".join(sign for sign in near.values() if sign)}
        return Reading(named, "sign-near", ", ".join(SIGNS), words)
    return Reading(named, "sign-unknown", ", ".join(SIGNS))


def sign_beside(value: object) -> tuple[str, str]:
    """The sign that a cell names at its end, and what stands before it: "5/5 nwb" gives ("won't bear weight", "5/5").

    ("", the text) where it names none.
    """
    text = fold(typed(value)).rstrip(").!")
    for wording in (wording for wording in _LONGEST_FIRST if text.endswith(wording)):
        rest = text.removesuffix(wording)
        if not rest or not (rest[-1].isalnum() or rest[-1] == "'"):
            rest = rest.rstrip(" ,;:-–—(")
            denied = _DENIED.search(rest) or rest.endswith("not")
            return ("", text) if denied else (_WORDINGS[wording], rest)
    near = _nearest_sign(text) if len(text) <= _LONGEST else None
    return (near, "") if near else ("", text)


def _nearest_sign(text: str) -> str | None:
    if _DENIED.match(fold(text)):
        return None
    near = difflib.get_close_matches(fold(text), _WORDINGS, n=1, cutoff=NEAR)
    return _WORDINGS[near[0]] if near else None


def read_pulse(value: object) -> Reading:
    """0 none, 1 just felt, 2 raised, 3 bounding (common practice, no published scale)."""
    text = in_figures(fold(typed(value)))
    if text in PULSES:
        return Reading(float(PULSES.index(text)))
    if says_nothing(value):
        return NOTHING
    if found := _PULSE.match(text):
        return Reading(float(found[1]))
    allowed = listed(f"{number} {word}" for number, word in enumerate(PULSES))
    return Reading(None, "choice-unknown", allowed, {"suggestion": suggestion(text, PULSES)})


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
