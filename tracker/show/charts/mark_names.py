"""Where the names of growth marks stand, so that none covers another: each above its first reading, or above a name there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tracker.derive.growth.marks import Mark
from tracker.reference.measuring import COVERAGE
from tracker.show.charts.style import shorten
from tracker.show.charts.time_axis import Span

_LINE, _SIGN = 16, 7  # pixels: a line of text, and one letter of it
_WIDTH, _NARROW_WIDTH = 600, 260  # of the drawing, on the smallest screen of either kind


class Name(NamedTuple):
    """A mark's name: its words, whether it begins at its first reading or ends there, and its lift in pixels."""

    mark: Mark
    text: str
    early: bool
    lift: int

    @property
    def height(self) -> float:
        """What it stands above, in mm below the hairline."""
        first = self.mark.readings[0].below
        return first.value - COVERAGE * first.sd


def mark_names(marks: Sequence[Mark], days: Span, a_pixel: float, narrow: bool) -> list[Name]:
    """The names of marks within those days, on a drawing where a pixel is so many mm."""
    width = _NARROW_WIDTH if narrow else _WIDTH
    placed: list[tuple[float, float, float]] = []  # from, to and foot of each, in pixels; down is more
    found = []
    named = (_name(mark, days, narrow) for mark in marks)
    for name in sorted(named, key=lambda one: -one.height):
        left, right = _reach(name, days, width)
        own = foot = name.height / a_pixel
        for begin, end, other in sorted(placed, key=lambda one: -one[2]):
            if left < end and begin < right and abs(other - foot) < _LINE:
                foot = other - _LINE
        placed.append((left, right, foot))
        found.append(name._replace(lift=round(own - foot)))
    return found


def room_above(names: Sequence[Name], a_pixel: float) -> float:
    """How far above the hairline the highest of them reaches, in mm."""
    return max(((name.lift + _LINE) * a_pixel - name.height for name in names), default=0.0)


def _name(mark: Mark, days: Span, narrow: bool) -> Name:
    early = mark.readings[0].date - days.start <= 0.5 * (days.end - days.start)
    text = shorten(mark.name or "mark without a name", 18 if narrow else 30)
    return Name(mark, f"{mark.foot}, {text}", early, 0)


def _reach(name: Name, days: Span, width: float) -> tuple[float, float]:
    part = (name.mark.readings[0].date - days.start).days / max(1, (days.end - days.start).days)
    at, long = part * width, _SIGN * len(name.text)
    return (at, at + long) if name.early else (at - long, at)
