"""Lameness scores as typed: a grade, perhaps with its scale, perhaps a range, in figures or in words."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tracker.cells.figures import exact, in_figures, parted
from tracker.cells.numbers import read_quantity
from tracker.cells.text import fold


@dataclass(frozen=True, slots=True)
class Score:
    """A grade as typed; `scale` is "" when the cell does not name it. `high` is None unless a range was typed."""

    low: float
    high: float | None
    scale: str
    plus: bool

    @property
    def grade(self) -> float:
        """The grade that is used: the middle of a range."""
        return self.low if self.high is None else (self.low + self.high) / 2


_WORDS = re.compile(r"^(?:aaep|lameness|grade|gr\.?|score|lame)\s*[:.]?\s*")
_RANGE = re.compile(r"^(.+?)\s*(?:-|–|—|\bto\b|\bor\b)\s*(.+)$")
_NEAR = 40  # so many signs from an end of the text a grade beside words is looked for
_STOPS = " ,;:.-–—(!"
_GAP = re.compile(r"[\s,;:.–—(-]+(?=\w)")
_FULL_STOP = re.compile(r"(?<=[^\W_]|\))\.$")
_BEHIND = re.compile(r"(?<=\w)[\s,:;(–-]+(\d+(?:[.,]\d+)?(?:\s*(?:/|(?:out )?of)\s*(?:5|10))?)\)?\.?$")
_LEGS = re.compile(r"leg", re.IGNORECASE)
_BARE_FRACTION = re.compile(r"\d+\s*/\s*\d+")
_SCALE = re.compile(r"(?:0\s*(?:-|–|to)\s*|/\s*|(?:out )?of\s*)?(5|10)")
_TOPS = {"5": "0-5", "10": "0-10"}


def read_score(value: object) -> Score | None:
    """The score in the cell, or None. Examples: 2, "2/5", "2-3", "2½", "AAEP 2", "grade two", "2+", "7 of 10"."""
    if isinstance(value, float):
        return Score(value, None, "", plus=False)
    line, scale = _FULL_STOP.sub("", in_figures(fold_grade(str(value)))), ""
    while found := _WORDS.match(line):
        scale = "0-5" if found[0].startswith("aaep") else scale
        line = line[found.end() :]
    if line.removesuffix(")").endswith("aaep"):
        line, scale = line.removesuffix(")").removesuffix("aaep").strip(" ("), "0-5"
    line, scale = _of(line, scale)
    line = line.replace(" plus", "+")
    plus = line.endswith(("+", "-"))
    line = line.rstrip("+-").strip()
    if (grade := _grade(line)) is not None:
        return Score(grade, None, scale, plus)
    if found := _RANGE.match(line):
        first, first_scale = _of(found[1], scale)
        low, high = _grade(first), _grade(found[2])
        if low is not None and high is not None and low < high and scale in ("", first_scale):
            return Score(low, high, first_scale, plus)
    return None


def leading_score(text: str) -> tuple[Score | None, str]:
    """The score that the text begins with, and what stands behind it: "5/5 nwb" gives 5 of 5 and "nwb".

    (None, the text) where it begins with none. The 3 of "3 legged" is none.
    """
    for gap in reversed(list(_GAP.finditer(text, 0, _NEAR))):
        score = (
            None if _LEGS.match(text, gap.end()) else read_score(exact(text[: gap.start()].rstrip(_STOPS)))
        )
        if score is not None:
            return score, text[gap.end() :]
    return None, text


def trailing_score(text: str) -> tuple[Score | None, str]:
    """The score that the text ends with, and what stands before it; (None, the text) where it ends with none."""
    found = _BEHIND.search(text, max(0, len(text) - _NEAR))
    score = read_score(found[1]) if found else None
    return (score, text[: found.start()]) if found and score else (None, text)


def _of(line: str, scale: str) -> tuple[str, str]:
    """The grade without the scale behind it, and that scale."""
    grade, top = parted(line)
    return (grade, _TOPS[top]) if top in _TOPS else (line, scale)


def scale_named(text: str) -> str:
    """The scale that a heading names in or without brackets, such as "0-10", "/5" or "out of 10"; "" if none."""
    line = fold(text).replace("aaep", "").strip()
    found = _SCALE.fullmatch(line)
    return _TOPS[found[1]] if found else "0-5" if not line and text else ""


def fold_grade(text: str) -> str:
    """Folded text in which a vulgar fraction stands as a decimal: 2½ is 2.5."""
    for sign, decimal in (("¼", ".25"), ("½", ".5"), ("¾", ".75")):
        text = text.replace(f" {sign}", sign).replace(sign, decimal)
    return fold(text)


def _grade(text: str) -> float | None:
    """One grade. A fraction alone is none: 3/4 may as well be meant as 3 to 4."""
    quantity = None if _BARE_FRACTION.fullmatch(text) else read_quantity(text)
    if quantity is None or quantity.unit or quantity.ends or quantity.number < 0:
        return None
    return quantity.number
