"""Lameness scores as typed: a grade, perhaps with its scale, perhaps a range."""

from __future__ import annotations

import re
from dataclasses import dataclass

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
_SCALE = re.compile(r"^(.*?)\s*(?:/|\bof\b|\bout of\b)\s*(5|10)\s*(?:aaep)?$")
_RANGE = re.compile(r"^(.+?)\s*(?:-|–|—|\bto\b)\s*(.+)$")


def read_score(value: object) -> Score | None:
    """The score in the cell, or None. Examples: 2, "2/5", "2-3", "2½", "AAEP 2", "grade 2", "2+", "7 of 10"."""
    if isinstance(value, float):
        return Score(value, None, "", plus=False)
    line, scale = fold_grade(str(value)), ""
    while found := _WORDS.match(line):
        scale = "0-5" if found[0].startswith("aaep") else scale
        line = line[found.end() :]
    if line.endswith("aaep"):
        line, scale = line.removesuffix("aaep").strip(), "0-5"
    if found := _SCALE.match(line):
        line, scale = found[1].strip(), f"0-{found[2]}"
    plus = line.endswith(("+", "-"))
    line = line.rstrip("+-").strip()
    if (grade := _grade(line)) is not None:
        return Score(grade, None, scale, plus)
    if found := _RANGE.match(line):
        low, high = _grade(found[1]), _grade(found[2])
        if low is not None and high is not None and low < high:
            return Score(low, high, scale, plus)
    return None


def fold_grade(text: str) -> str:
    """Folded text in which a vulgar fraction stands as a decimal: 2½ is 2.5."""
    for sign, decimal in (("¼", ".25"), ("½", ".5"), ("¾", ".75")):
        text = text.replace(f" {sign}", sign).replace(sign, decimal)
    return fold(text)


def _grade(text: str) -> float | None:
    quantity = read_quantity(text)
    return None if quantity is None or quantity.unit or quantity.number < 0 else quantity.number
