"""Limbs in all their names: near is left, off is right."""

from __future__ import annotations

import re

from tracker.cells.text import fold
from tracker.terms import FEET, LIMB_GROUPS, NOT_SURE

_SIDES = {
    "left": "L",
    "l": "L",
    "near": "L",
    "n": "L",
    "nearside": "L",
    "right": "R",
    "r": "R",
    "off": "R",
    "o": "R",
    "offside": "R",
}
_ENDS = {"front": "F", "fore": "F", "f": "F", "hind": "H", "h": "H", "rear": "H", "back": "H", "b": "H"}  # fmt: skip
_CODE = re.compile(r"^([lrno])[/\s]?([fhb])$|^([fhb])[/\s]?([lr])$")
_SIDE, _END = "|".join(sorted(_SIDES, key=len, reverse=True)), "|".join(sorted(_ENDS, key=len, reverse=True))
NAMED_FOOT = re.compile(
    r"\b(?:[lr][fh]|[fh][lr]|n[fh]|oh|(?:left|right|near|off)[ -](?:front|fore|hind))\b(?: (?:foot|leg|limb|hoof)\b)?"
)
_GLUED = (
    (re.compile(r"\b(fore|front|hind|rear)(?:limb|leg|foot|feet|hoof|hooves)s?\b"), r"\1"),
    (re.compile(r"\b(left|right|near|off)(front|fore|hind|rear|back)\b"), r"\1 \2"),
    (re.compile(r"\b([lrno])/([fhb])\b"), r"\1\2"),
    (re.compile(r"(?<=[a-z])\."), ""),  # N.F.
)
_FILLERS = re.compile(r"\b(foot|feet|hoof|hooves|limb|limbs|leg|legs|the|side|pair)\b")
_PAIR_FIRST = re.compile(r"^(fore|front|hind|rear|back) ?(?:feet|hooves|limbs|legs|pair)\b")
_PLURAL = re.compile(r"(?:feet|hooves|limbs|legs|pair)\b")
_BETWEEN = re.compile(r"\s*(?:,|\+|&|;|/|\||\band\b|\n)\s*")
_SHARED_END = re.compile(rf"^({_SIDE})\s*(?:,|\+|&|/|and)\s*({_SIDE})\s+({_END})s?$")
_GROUPS = {
    "both fronts": "both fronts", "both front": "both fronts", "fronts": "both fronts", "front": "both fronts",
    "2 fronts": "both fronts", "2 front": "both fronts", "fore": "both fronts", "both fores": "both fronts", "both fore": "both fronts", "fores": "both fronts", "bf": "both fronts",
    "2 hinds": "both hinds", "2 hind": "both hinds", "both hinds": "both hinds", "both hind": "both hinds", "hinds": "both hinds", "hind": "both hinds",
    "both rears": "both hinds", "both backs": "both hinds", "backs": "both hinds", "bh": "both hinds",
    "all": "all", "all four": "all", "all 4": "all", "four": "all", "4": "all", "every": "all",
    "not sure": NOT_SURE, "unsure": NOT_SURE, "don't know": NOT_SURE, "unknown": NOT_SURE,
}  # fmt: skip


def read_limbs(value: object) -> tuple[str, ...] | None:
    """The limbs named, in the order LF RF LH RH, or ("not sure",); None when a part cannot be read."""
    line = fold(str(value))
    line = _PAIR_FIRST.sub(r"both \1s", line)
    plural = _PLURAL.search(line) is not None
    for glued, parted in _GLUED:
        line = glued.sub(parted, line)
    line = " ".join(_FILLERS.sub(" ", line).split())
    if (whole := _one(line)) is not None:
        return whole
    if found := _SHARED_END.match(line):  # left and right front
        line = f"{found[1]} {found[3]}, {found[2]} {found[3]}"
    parts = _BETWEEN.split(line)
    limbs = None if plural and _lone_ends(parts) else _several(_with_its_side(parts))
    return _several(_without_sharing(re.split(r"[\s-]+", line))) if limbs is None else limbs


def _lone_ends(parts: list[str]) -> bool:
    """Whether an end without a side stands beside a foot that has one: the feet of "left hind and fore feet"."""
    return any(part in _ENDS for part in parts) and bool(_single(parts))


def _single(parts: list[str]) -> list[str]:
    """The parts that name one foot, in order; each as LF, RF, LH or RH."""
    each = [_one(part) or () for part in parts]
    return [limbs[0] for limbs in each if len(limbs) == 1 and limbs[0] in FEET]


def _with_its_side(parts: list[str]) -> list[str] | None:
    """The parts, in which each end without a side has the side named beside it; None where that is not plain.

    The side stands with the first foot, "left fore and hind", or behind them all, "fore and hind left".
    """
    if not _lone_ends(parts):
        return parts
    single = _single(parts)
    sides = {foot[0].lower() for foot in single}
    behind = parts[-1].rpartition(" ")[2] in _SIDES and all(part in _ENDS for part in parts[:-1])
    if len(sides) != 1 or (parts[0] in _ENDS and not behind):
        return None
    whole = [f"{min(sides)} {part}" if part in _ENDS else part for part in parts]
    return whole if len(set(_single(whole))) == len(_single(whole)) else None


def _without_sharing(parts: list[str]) -> list[str] | None:
    return None if _lone_ends(parts) else parts


def _several(parts: list[str] | None) -> tuple[str, ...] | None:
    each = [_one(part) for part in parts or [""]]
    named = {limb for limbs in each if limbs for limb in limbs}
    if None in each or (NOT_SURE in named and len(named) > 1):
        return None
    return tuple(limb for limb in FEET if limb in named) or (NOT_SURE,)


def _one(text: str) -> tuple[str, ...] | None:
    if text in _GROUPS:
        return LIMB_GROUPS[_GROUPS[text]]
    if found := _CODE.match(text):
        side, end = (found[1], found[2]) if found[1] else (found[4], found[3])
        return (_SIDES[side] + _ENDS[end],)
    if text in ("rr", "lr"):  # right rear, left rear
        return (text[0].upper() + "H",)
    words = text.replace("-", " ").split()
    if len(words) == 2:
        for side, end in (words, reversed(words)):
            if side in _SIDES and end in _ENDS:
                return (_SIDES[side] + _ENDS[end],)
    return None


def label(limbs: tuple[str, ...]) -> str:
    """The limbs in words for one label: LF, both fronts, all, not sure, or LF + RH; "" for none."""
    for name, group in LIMB_GROUPS.items():
        if limbs == group:
            return name
    return " + ".join(limbs)
