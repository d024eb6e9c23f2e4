"""Warning signs as typed. A slip of the pen is read; a denial, or the opposite of a sign, never is."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Iterator

from tracker.cells.choices import match_whole
from tracker.cells.figures import in_figures
from tracker.cells.limbs import NAMED_FOOT
from tracker.cells.reading import Reading
from tracker.cells.text import fold, typed
from tracker.terms import SIGNS, SYNONYMS

Sense = tuple[int, tuple[str, ...]]  # how many denials, and the words that carry the meaning

NEAR = 0.75  # how alike a slip and a word must be
_BETWEEN = re.compile(r"\s*(?:,|;|/|\n|\+|\.(?=\s)|\s[-–]\s)\s*")
_HEADING = re.compile(
    r"\bsigns:\s*", re.IGNORECASE
)  # what has no column of its own is kept as "Signs: sweating"
_AND = re.compile(r"\s*(?:\band\b|&)\s*", re.IGNORECASE)
_DENIAL = re.compile(
    r"no|not|non|none|never|nothing|without|unable|unwilling|refus(?:e|es|ed|ing)|cannot|"
    r"(?:wo|ca|do|does|did|is|are|was|were|has|have|would|could)nt"
)
_SILENT = frozenset(
    {"a", "an", "any", "the", "it", "its", "his", "her", "he", "she", "horse", "lame", "at", "on", "in", "of", "or", "to"}
    | {"is", "be", "will", "would", "can", "could", "do", "does", "did", "want", "wants", "put", "puts", "putting"}
    | {"still", "now", "today", "again", "longer", "but", "with"}
)  # fmt: skip
# How much, in front of everything. Behind a denial such a word leaves part of it: "not really", "not fully".
_HOW_MUCH = re.compile(
    r"^(?:(?:very|really|quite|completely|totally|absolutely|suddenly|clearly|extremely|bad|badly|severe|severely) )+"
)
# Words for something else that happen to begin a sign: a hard surface, a short step, the off side.
_OTHERWISE = frozenset({"hard", "short", "off"})
# Behind a sign these take it back. "Removed" and "gone" do not: a nail that was pulled out left its hole.
_TAKEN_BACK = re.compile(
    r"(?:no|none|not (?:now|today|any ?more)|no longer|yesterday|last (?:week|month|year)|stopped|resolved|(?:now |has |is )?healed(?: now)?)\.?"
)
_OR = re.compile(r"\s*\bor\b\s*")
_ON = frozenset({"longer", "to", "want", "wants", "be"})  # between a denial and the verb that it denies
_PLACE = re.compile(r"\b(?:hoof|sole|frog)\b")
_ANY_LEG = re.compile(r"\b(?:foot|leg|limb)\b")
_GLUED = re.compile(r"non(?=weight)|weight(?=bear)")
_ENDING = re.compile(r"(?<=\w{3})(?:ing|es|e|s)$")
_WORDINGS = {fold(sign): sign for sign in SIGNS} | {
    fold(key): word for key, word in SYNONYMS.items() if word in SIGNS
}
_LONGEST = max(map(len, _WORDINGS)) * 2  # a longer text is near none of them


def read_signs(value: object) -> Reading:
    """The warning signs named, as a tuple in the list's order.

    A slip of the pen is read as the sign it is nearest to, with a doubt: a sign must not be lost to a letter.
    What is like no sign is told, the rest is kept.
    """
    text = typed(value)
    plain = match_whole(text, SIGNS)  # one sign may have an "and" in it
    found = [(text, plain)] if plain else list(_in_clauses(text))
    named = tuple(sign for sign in SIGNS if sign in {sign for _, sign in found})
    near = [sign for part, sign in found if match_whole(part, SIGNS) is None]
    if not near:
        return Reading(named)
    if all(near):
        words = {"read": ", ".join(dict.fromkeys(filter(None, near)))}
        return Reading(named, "sign-near", ", ".join(SIGNS), words)
    return Reading(named, "sign-unknown", ", ".join(SIGNS))


def signs_among(text: str) -> tuple[str, ...]:
    """The signs that whole clauses of free text are, in the list's order; a word that only begins one is none."""
    found = {
        sign
        for part, sign in _in_clauses(_HEADING.sub("", text))
        if sign and (match_whole(part, SIGNS) or _nearest_sign(part) or _begun(part) != sign)
    }
    return tuple(sign for sign in SIGNS if sign in found)


def _in_clauses(text: str) -> Iterator[tuple[str, str | None]]:
    """Each part of the text and its sign. A clause that takes back the one before it is nothing of its own."""
    clauses = _BETWEEN.split(text)
    for clause, after in zip(clauses, [*clauses[1:], ""], strict=True):
        if _TAKEN_BACK.fullmatch(fold(after)) and fold(clause):
            yield f"{clause}, {after}", None
        else:
            yield from _found(clause)


def _found(clause: str) -> Iterator[tuple[str, str | None]]:
    """Each part between the ands, and its sign. "No sweating and trembling" denies both, "not eating and sweating" neither."""
    denied = False
    for part in filter(fold, _AND.split(clause)):
        signs = list(_signs_of(part))
        if denied and not _DENYING.issuperset(signs):
            yield clause, None
            continue
        denied = not signs and _sense(part)[0] > 0
        yield from ((part, sign) for sign in signs)
        if not signs:
            yield part, None


def _signs_of(part: str) -> Iterator[str]:
    """The sign that the part is; several where there is an or: "won't move or bear weight", "nail or puncture"."""
    if sign := match_whole(part, SIGNS) or _nearest_sign(part) or _begun(part):
        yield sign
        return
    denied, alternatives = _alternatives(fold(part))
    signs = [match_whole(each, SIGNS) or _nearest_sign(each) for each in alternatives]
    if denied or all(signs):
        yield from filter(None, signs)


def _begun(part: str) -> str | None:
    """The only sign that begins with these whole words."""
    wanted = fold(part).removesuffix(".")
    begun = [sign for sign in SIGNS if fold(sign).startswith(f"{wanted} ")]
    return begun[0] if len(begun) == 1 and wanted not in _OTHERWISE else None


def _alternatives(line: str) -> tuple[bool, list[str]]:
    """What stands between the ors, each with the denial that reaches it: "won't walk or trot" gives "won't trot" too."""
    words = line.split()
    if "or" not in words or len(line) > _LONGEST:
        return False, []
    at = next((at for at, word in enumerate(words) if _denies(word)), None)
    if at is None:
        return False, _OR.split(line)
    end = at + 1
    while end < len(words) and words[end] in _ON:
        end += 1
    alternatives = filter(None, _OR.split(" ".join(words[end:])))
    return True, [
        each if _denies(each.split()[0]) else " ".join((*words[:end], each)) for each in alternatives
    ]


def _denies(word: str) -> bool:
    return _DENIAL.fullmatch(word.replace("'", "")) is not None


def ends_with_sign(text: str) -> bool:
    """Whether the text ends with the words of a sign, whatever stands before them: "lost a nail", "was nwb"."""
    line = fold(text).rstrip(").!")
    return any(re.search(rf"(?<![\w']){re.escape(wording)}$", line) for wording in _WORDINGS)


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
