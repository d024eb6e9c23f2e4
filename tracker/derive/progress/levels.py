"""The grade of each month since the shoes came off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

from tracker.derive.progress.days import MONTH, Day, between, days_of
from tracker.derive.soundness import Series

LEAST_DAYS = 4  # our own choice: one day a week


@dataclass(frozen=True, slots=True)
class Level:
    """One month of 30 days: `number` 1 begins on the day the shoes came off, and `last` is its last day.

    `middle` is the middle grade of its days outside pain relief, and at least half of those days lie from `low`
    to `high`; None where fewer than four days have a grade. `days` and `notes` are those outside pain relief,
    `masked` the notes under it.
    """

    number: int
    first: date
    last: date
    middle: float | None
    low: float | None
    high: float | None
    days: int
    notes: int
    masked: int

    @property
    def is_clear(self) -> bool:
        """Whether there are enough grades, and none of them under pain relief."""
        return self.middle is not None and not self.masked


def levels(
    series: Series, since: date | None, on: date, known: Sequence[Day] | None = None
) -> tuple[Level, ...]:
    """Every month since that day, up to the day `on`, that has a note at all; none where no day is known.

    `known` as for `around_trims`.
    """
    if since is None:
        return ()
    days = days_of(series) if known is None else known
    masked: dict[int, int] = {}
    for point in series.points:
        if since <= point.date <= on:
            number = (point.date - since).days // MONTH
            masked[number] = masked.get(number, 0) + point.masked
    return tuple(_level(days, since, on, number, masked[number]) for number in sorted(masked))


def _level(all_days: Sequence[Day], since: date, on: date, number: int, masked: int) -> Level:
    first = since + timedelta(days=number * MONTH)
    last = first + timedelta(days=MONTH - 1)
    days = between(all_days, first, min(last, on))
    middle = low = high = None
    if len(days) >= LEAST_DAYS:
        grades = sorted(day.grade for day in days)
        middle = median(grades)
        low, high = grades[(len(grades) - 1) // 4], grades[-1 - (len(grades) - 1) // 4]
    return Level(
        number + 1, first, last, middle, low, high, len(days), sum(day.notes for day in days), masked
    )


def first_clear(found: tuple[Level, ...], on: date) -> Level | None:
    """The first whole month with enough grades and none of them under pain relief; None where there is none yet."""
    return next((level for level in found if level.is_clear and level.last < on), None)
