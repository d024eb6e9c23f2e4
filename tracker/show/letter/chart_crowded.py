"""A limb with more grades than a picture has room for: one mark for each month and each way of looking.

Ways of looking are never joined, and what a vet or a trimmer graded is drawn by itself.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import median

from tracker.derive.soundness import Point
from tracker.show import words
from tracker.show.letter.strokes import LEFT, RIGHT, SOFT, WIDTH, Axis, line, mark

MOST = 250  # grades of a limb that are drawn one by one
ALONE = ("vet", "trimmer")
_STEPS = (1, 3, 6, 12)  # months that one mark stands for
_ROOM = 9.0  # so wide at least
_BESIDE = 2.6  # from the mark of one way of looking to that of the next


@dataclass(frozen=True, slots=True)
class Middle:
    """Some months of one way of looking: when they are, their middle grade, the lowest and the highest."""

    day: dt.date
    middle: float
    low: float
    high: float
    masked: bool


def months_of(axis: Axis) -> int:
    """For how many months one mark stands on that axis."""
    wide = axis.x(axis.days.start + dt.timedelta(days=30)) - axis.x(axis.days.start)
    return next((step for step in _STEPS if step * wide >= _ROOM), _STEPS[-1])


def middles(points: Sequence[Point], months: int) -> Iterator[Middle]:
    """One way of looking, so many months at a time; apart what was graded under pain relief."""
    own = sorted(points, key=lambda point: (_number(point.date, months), point.masked))
    for (number, masked), group in groupby(
        own, lambda point: (_number(point.date, months), bool(point.masked))
    ):
        scores = [point.score for point in group]
        yield Middle(_middle_day(number, months), median(scores), min(scores), max(scores), masked)


def _number(day: dt.date, months: int) -> int:
    return (day.year * 12 + day.month - 1) // months


def _middle_day(number: int, months: int) -> dt.date:
    half = number * months * 2 + months  # in half months
    return dt.date(half // 24, half % 24 // 2 + 1, 16 if half % 2 else 1)


def marks(
    lane: Sequence[tuple[str, Sequence[Point]]], axis: Axis, at: Callable[[float], float]
) -> Iterator[str]:
    """The marks of a limb: the points of each way of looking with its gait, beside one another; `at` is a grade's height."""
    months = months_of(axis)
    for place, (gait, points) in enumerate(lane):
        aside = (place - (len(lane) - 1) / 2) * _BESIDE
        for one in middles(points, months):
            x = min(max(axis.x(one.day), LEFT), WIDTH - RIGHT) + aside
            yield line(x, at(one.low), x, at(one.high), SOFT, 0.8)
            yield mark(gait, x, at(one.middle), hollow=one.masked)


def told(axis: Axis) -> str:
    """What such a mark stands for."""
    months = months_of(axis)
    each = "month" if months == 1 else words.counted(months, "month")
    return (
        f"A limb with more than {MOST} grades has one mark for each {each} and each way of looking: "
        "the middle one of its grades, on a line from the lowest to the highest."
    )
