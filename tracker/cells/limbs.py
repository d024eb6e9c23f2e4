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
_GLUED = (
    (re.compile(r"\b(fore|front|hind|rear)(?:limb|leg|foot|feet|hoof|hooves)s?\b"), r"\1"),
    (re.compile(r"\b(left|right|near|off)(front|fore|hind|rear|back)\b"), r"\1 \2"),
    (re.compile(r"\b([lrno])/([fhb])\b"), r"\1\2"),
    (re.compile(r"(?<=[a-z])\."), ""),  # N.F.
)
_FILLERS = re.compile(r"\b(foot|feet|hoof|hooves|limb|limbs|leg|legs|the|side|pair)\b")
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
    for glued, parted in _GLUED:
        line = glued.sub(parted, line)
    line = " ".join(_FILLERS.sub(" ", line).split())
    if (whole := _one(line)) is not None:
        return whole
    if found := _SHARED_END.match(line):  # left and right front
        line = f"{found[1]} {found[3]}, {found[2]} {found[3]}"
    limbs = _several(_BETWEEN.split(line))
    return _several(re.split(r"[\s-]+", line)) if limbs is None else limbs


def _several(parts: list[str]) -> tuple[str, ...] | None:
    each = [_one(part) for part in parts]
    named = {limb for limbs in each if limbs for limb in limbs}
    if None in each:
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
