"""What the letter's picture is drawn with: one axis of days, lines, words and marks, as plain SVG."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tracker.show.charts.style import BLUE
from tracker.show.charts.time_axis import Span
from tracker.show.foot_canvas import cut, harmless

WIDTH, LEFT, RIGHT = 760, 172, 14
ROW, TEXT = 17, 12.5
INK, SOFT, FAINT = "#1a1a1a", "#5c5c5c", "#c8c8c8"


@dataclass(frozen=True, slots=True)
class Axis:
    """Which days stand where."""

    days: Span

    def x(self, day: dt.date) -> float:
        """Where a day stands, from the left."""
        whole = max(1, (self.days.end - self.days.start).days)
        return LEFT + (day - self.days.start).days / whole * (WIDTH - LEFT - RIGHT)

    def has(self, day: dt.date) -> bool:
        """Whether the day stands on it."""
        return self.days.start <= day <= self.days.end


@dataclass(frozen=True, slots=True)
class Lane:
    """One strip of the picture: its title, words below the title, its height, and how it is drawn from its upper edge."""

    title: str
    height: float
    drawn: Callable[[float], Iterator[str]]
    below: str = ""


def label(lane: Lane, y: float) -> Iterator[str]:
    """The lane's title, at its left."""
    yield text(0, y + 9, cut(lane.title, LEFT), "start", INK, weight=' font-weight="bold"')
    if lane.below:
        yield text(0, y + 23, cut(lane.below, LEFT), "start", SOFT)


def row(y: float, place: int, name: str) -> tuple[float, list[str]]:
    """The middle of a lane's row, with its name and its line."""
    middle = y + ROW * (place + 0.5)
    said = text(LEFT - 7, middle + 4, cut(name, LEFT - 20), "end", SOFT)
    return middle, [said, line(LEFT, middle, WIDTH - RIGHT, middle, FAINT, 0.6)]


def line(x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dashes: str = "") -> str:
    """A straight line."""
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" stroke-width="{width}"{dashed}/>'


def text(
    x: float, y: float, said: str, anchor: str, colour: str, size: float = TEXT, weight: str = ""
) -> str:
    """Words; what was typed is shown, never obeyed."""
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}" font-size="{size}"{weight}>{harmless(said)}</text>'


def mark(kind: str, x: float, y: float, *, hollow: bool, colour: str = BLUE) -> str:
    """A grade's mark, by gait, so that it is told without colour; a diamond where the horse stood."""
    look = f'fill="{"#fff" if hollow else colour}" stroke="{colour}" stroke-width="1.2"'
    if kind == "trot":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.9" {look}/>'
    if kind == "walk":
        return f'<rect x="{x - 2.8:.1f}" y="{y - 2.8:.1f}" width="5.6" height="5.6" {look}/>'
    sides = ((0, -4), (4, 0), (0, 4), (-4, 0)) if kind == "stand" else ((0, -4), (3.6, 3), (-3.6, 3))
    points = " ".join(f"{x + right:.1f},{y + down:.1f}" for right, down in sides)
    return f'<polygon points="{points}" {look}/>'
