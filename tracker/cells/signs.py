"""Warning signs as typed. A slip of the pen is read; a denial, or the opposite of a sign, never is."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Iterator

from tracker.cells.choices import match
from tracker.cells.figures import in_figures
from tracker.cells.limbs import NAMED_FOOT
from tracker.cells.reading import Reading
from tracker.cells.text import fold, typed
from tracker.terms import SIGNS, SYNONYMS

Sense = tuple[int, tuple[str, ...]]  # how many denials, and the words that carry the meaning

NEAR = 0.75  # how alike a slip and a word must be
_BETWEEN = re.compile(r"\s*(?:,|;|/|\n|\+|\.(?=\s)|\s[-–]\s)\s*")
_AND = re.compile(r"\s*(?:\band\b|&)\s*", re.IGNORECASE)
_DENIAL = re.compile(
    r"no|not|non|none|never|nothing|without|unable|unwilling|refus(?:e|es|ed|ing)|cannot|"
    r"(?:wo|ca|do|does|did|is|are|was|were|has|have|would|could)nt"
)
_SILENT = frozenset(
    {"a", "an", "any", "the", "it", "its", "his", "her", "he", "she", "horse", "lame", "at", "on", "in", "of", "or", "to"}
    | {"is", "be", "will", "would", "can", "could", "do", "does", "did", "want", "wants", "put", "puts", "putting"}
    | {"still", "now", "today", "again", "longer"}
)  # fmt: skip
# How much, in front of everything. Behind a denial such a word leaves part of it: "not really", "not fully".
_HOW_MUCH = re.compile(
    r"^(?:(?:very|really|quite|completely|totally|absolutely|suddenly|bad|badly|severely) )+"
)
_PLACE = re.compile(r"\b(?:hoof|sole|frog)\b")
_ANY_LEG = re.compile(r"\b(?:foot|leg|limb)\b")
_GLUED = re.compile(r"non(?=weight)|weight(?=bear)")
_ENDING = re.compile(r"(?<=\w{3})(?:ing|es|e|s)$")
_WORDINGS = {fold(sign): sign for sign in SIGNS} | {
    fold(key): word for key, word in SYNONYMS.items() if word in SIGNS
}
_LONGEST_FIRST = sorted(_WORDINGS, key=len, reverse=True)
_LONGEST = len(_LONGEST_FIRST[0]) * 2  # a longer text is near none of them


def read_signs(value: object) -> Reading:
    """The warning signs named, as a tuple in the list's order.

    A slip of the pen is read as the sign it is nearest to, with a doubt: a sign must not be lost to a letter.
    What is like no sign is told, the rest is kept.
    """
    text = typed(value)
    plain = match(text, SIGNS)  # one sign may have an "and" in it
    found = [(text, plain)] if plain else [each for clause in _BETWEEN.split(text) for each in _found(clause)]
    named = tuple(sign for sign in SIGNS if sign in {sign for _, sign in found})
    near = [sign for part, sign in found if match(part, SIGNS) is None]
    if not near:
        return Reading(named)
    if all(near):
        words = {"read": ", ".join(dict.fromkeys(filter(None, near)))}
        return Reading(named, "sign-near", ", ".join(SIGNS), words)
    return Reading(named, "sign-unknown", ", ".join(SIGNS))


def _found(clause: str) -> Iterator[tuple[str, str | None]]:
    """Each part between the ands, and its sign. "No sweating and trembling" denies both, "not eating and sweating" neither."""
    denied = False
    for part in filter(fold, _AND.split(clause)):
        sign = match(part, SIGNS) or _nearest_sign(part)
        if denied and sign not in _DENYING:
            yield clause, None
            continue
        denied = sign is None and _sense(part)[0] > 0
        yield part, sign


def sign_beside(value: object) -> tuple[str, str]:
    """The sign that a cell names at its end, and what stands before it: "5/5 nwb" gives ("won't bear weight", "5/5").

    ("", the text) where it names none.
    """
    text = fold(typed(value)).rstrip(").!")
    for wording in (wording for wording in _LONGEST_FIRST if text.endswith(wording)):
        rest = text.removesuffix(wording)
        if not rest or not (rest[-1].isalnum() or rest[-1] == "'"):
            beside = _BETWEEN.split(rest)[-1]
            denials, _ = _sense(_AND.split(beside)[-1] if _WORDINGS[wording] in _DENYING else beside)
            return ("", text) if denials else (_WORDINGS[wording], rest.rstrip(" ,;:-–—("))
    near = _nearest_sign(text)
    return (near, "") if near else ("", text)


@functools.lru_cache(maxsize=1024)
def _nearest_sign(text: str) -> str | None:
    """The sign that the text means though it is not quite worded so: the same denials, and words alike in order."""
    if len(text) > _LONGEST:
        return None
    for meant in map(_sense, _readings(fold(text))):
        for sense, sign in _SENSES.items():
            if _alike(meant, sense):
                return sign
    return None


def _readings(text: str) -> Iterator[str]:
    """The text with a named limb as a foot, as a leg, and without it: nail in LF, swollen LH, no weight on the left fore."""
    named = _PLACE.sub("foot", NAMED_FOOT.sub("foot", text))
    yield named
    yield NAMED_FOOT.sub("leg", text)
    yield _ANY_LEG.sub(" ", named)


def _sense(text: str) -> Sense:
    """Denials counted, and words without what says little."""
    line = in_figures(_GLUED.sub(r"\g<0> ", fold(text).replace("'", "")))
    words = re.findall(r"\w+", _HOW_MUCH.sub("", " ".join(re.findall(r"\w+", line))))
    denials = sum(_DENIAL.fullmatch(word) is not None for word in words)
    telling = (word for word in words if word not in _SILENT and not _DENIAL.fullmatch(word))
    return denials, tuple(telling)


def _alike(sense: Sense, other: Sense) -> bool:
    (denials, words), (wanted, others) = sense, other
    return (
        denials == wanted
        and len(words) == len(others)
        and bool(words)
        and all(_same_word(*pair) for pair in zip(words, others, strict=True))
    )


def _same_word(word: str, other: str) -> bool:
    """Whether one is a form or a slip of the other. A slip seldom touches the first letter; another word often does.

    What is itself a word of the signs is no slip: "more" is not "move". Nor is what was done or not done a state:
    "not walked" is not "won't walk".
    """
    if word.endswith("ed") != other.endswith("ed"):
        return False
    if word == other or _ENDING.sub("", word) == _ENDING.sub("", other):
        return True
    return (
        word[0] == other[0]
        and word not in _VOCABULARY
        and difflib.SequenceMatcher(None, word, other).ratio() >= NEAR
    )


_SENSES: dict[Sense, str] = {_sense(_PLACE.sub("foot", wording)): sign for wording, sign in _WORDINGS.items()}
_VOCABULARY = frozenset(word for _, words in _SENSES for word in words)
# These deny by their own words, so that no denial before them reaches them.
_DENYING = frozenset(sign for (denials, _), sign in _SENSES.items() if denials)
