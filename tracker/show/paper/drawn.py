"""A drawing for paper, at its true size in mm: lines, the sizes between two points, angles, and their names.

Points are complex numbers, x to the right and y up, as in the shapes of a foot. The words are set in the
typeface of the page, so that they are as large as its text.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from html import escape
from math import radians

TEXT = 3.0  # 8.5 pt, mm
INK, GREY, PALE = "#000000", "#595959", "#e4e4e4"
_TYPEFACE = "Libertinus Serif"
_TICK = 1.3  # half of the stroke at the end of a size
_STEPS = 16


@dataclass
class Drawing:
    """What was drawn so far; `origin` is where the point 0 lies, from the upper left corner."""

    width: float
    height: float
    origin: complex
    parts: list[str] = field(default_factory=list)

    def svg(self) -> str:
        """All of it as one picture."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:g} {self.height:g}" '
            f'width="{self.width:g}mm" height="{self.height:g}mm" font-family="{_TYPEFACE}" font-size="{TEXT}" '
            f'stroke-linecap="round" stroke-linejoin="round">{"".join(self.parts)}</svg>'
        )

    def line(self, *points: complex, width: float = 0.5, colour: str = INK, dashed: bool = False) -> None:
        """A line through these points."""
        dashes = ' stroke-dasharray="1.4 1.1"' if dashed else ""
        self.parts.append(
            f'<path d="{self._path(points)}" fill="none" stroke="{colour}" stroke-width="{width}"{dashes}/>'
        )

    def field(self, *points: complex, colour: str = PALE, edge: float = 0.0) -> None:
        """A filled field, with an edge of that width."""
        stroke = f' stroke="{INK}" stroke-width="{edge}"' if edge else ""
        self.parts.append(f'<path d="{self._path(points)} Z" fill="{colour}"{stroke}/>')

    def dot(self, at: complex) -> None:
        """A place to put a probe."""
        x, y = self._at(at)
        self.parts.append(f'<circle cx="{x:.2f}" cy="{y:.2f}" r="0.9" fill="{INK}"/>')

    def size(self, start: complex, end: complex, aside: complex) -> complex:
        """The distance of two points, drawn so far aside of them; returns its middle."""
        one, two = start + aside, end + aside
        if aside:
            reach = 1 + 1 / abs(aside)
            self.line(start, start + aside * reach, width=0.15, colour=GREY)
            self.line(end, end + aside * reach, width=0.15, colour=GREY)
        self.line(one, two, width=0.3)
        slant = (two - one) / abs(two - one) * cmath.rect(_TICK, radians(60))
        for point in (one, two):
            self.line(point - slant, point + slant, width=0.5)
        return (one + two) / 2

    def angle(self, corner: complex, radius: float, start: float, end: float) -> None:
        """The angle between two directions, in degrees."""
        turns = (radians(start + (end - start) * step / _STEPS) for step in range(_STEPS + 1))
        self.line(*(corner + cmath.rect(radius, turn) for turn in turns), width=0.45)

    def name(self, at: complex, words: str, anchor: str = "middle", to: complex | None = None) -> None:
        """A name, its lines below one another, with a thin line to what it names where that is not beside it."""
        if to is not None:
            self.line(at if anchor != "middle" else at + TEXT * 0.4j, to, width=0.15, colour=GREY)
        gap = {"start": 0.8, "end": -0.8}.get(anchor, 0.0)
        x, y = self._at(at)
        for number, line in enumerate(words.split("\n")):
            self.parts.append(
                f'<text x="{x + gap:.2f}" y="{y + TEXT * (0.32 + 1.05 * number):.2f}" text-anchor="{anchor}" fill="{INK}" '
                f'stroke="#ffffff" stroke-width="0.9" paint-order="stroke">{escape(line)}</text>'
            )

    def _path(self, points: Sequence[complex]) -> str:
        return "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in map(self._at, points))

    def _at(self, point: complex) -> tuple[float, float]:
        return self.origin.real + point.real, self.origin.imag - point.imag


def curve(start: complex, *pieces: tuple[complex, complex, complex]) -> tuple[complex, ...]:
    """A line of cubic curves, one after the other, as points."""
    return (start, *_curve(start, pieces))


def _curve(start: complex, pieces: Sequence[tuple[complex, complex, complex]]) -> Iterator[complex]:
    for one, two, end in pieces:
        for step in range(1, _STEPS + 1):
            t = step / _STEPS
            yield ((1 - t) ** 3 * start + 3 * t * (1 - t) ** 2 * one + 3 * t**2 * (1 - t) * two + t**3 * end)
        start = end


def mirrored(points: Sequence[complex]) -> tuple[complex, ...]:
    """The same on the other side of the upright through 0, the way back, so that the two make one outline."""
    return tuple(-point.conjugate() for point in reversed(points))
