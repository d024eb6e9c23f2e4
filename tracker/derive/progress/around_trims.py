"""The same weeks before and after each trim, set side by side."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import fmean

import numpy as np

from tracker.derive.progress.days import READING_SD, Day, between, days_of, feet_of
from tracker.derive.soundness import Series
from tracker.derive.statistics.interval import Estimate, mean, t_quantile
from tracker.derive.trims import Trim

# Our own choices, in days from the trim. The first three days after it are left out: tender or not, they
# tell of the day of the trim, not of the foot that it left.
BEFORE = (-14, -1)
AFTER = (4, 17)
LEAST_DAYS = 4
_DAY = timedelta(days=1)
LEAST_TRIMS = 3


@dataclass(frozen=True, slots=True)
class AroundTrim:
    """One trim: the mean grade of the days before and after it, and the later less the earlier.

    Below 0 the horse was less lame after it. `difference.count` is the days of both sides together.
    """

    date: date
    row: int
    before: float
    days_before: int
    after: float
    days_after: int
    difference: Estimate


def around_trims(
    series: Series, trims: Iterable[Trim], on: date, known: Sequence[Day] | None = None
) -> tuple[AroundTrim, ...]:
    """Every trim of the series' feet that has four days with a grade outside pain relief on each side.

    `known` are the series' days, where they were worked out before.

    The sides are the 14 days before it and days 4 to 17 after it, cut short where another trim falls into
    them. Welch's interval of 95 %, widened by how much neighbouring days resemble each other; a grade is
    taken as read to a half at best.
    """
    days = between(days_of(series) if known is None else known, None, on)
    feet = set(feet_of(series.limb))
    dates = {trim.date: trim.row for trim in trims if not trim.feet or not feet or feet & set(trim.feet)}
    ordered = [date.min, *sorted(dates), date.max]
    sides = {
        trim: _sides(days, earlier, trim, later)
        for earlier, trim, later in zip(ordered, ordered[1:], ordered[2:], strict=False)
    }
    told = {day: pair for day, pair in sides.items() if min(map(len, pair)) >= LEAST_DAYS}
    shared = _shared([side for pair in told.values() for side in pair])
    return tuple(_compare(day, dates[day], *pair, shared) for day, pair in told.items())


def together(found: Sequence[AroundTrim]) -> Estimate | None:
    """The mean difference of three or more trims with its interval; None for fewer. Its count is the trims."""
    if len(found) < LEAST_TRIMS:
        return None
    return mean([trim.difference.value for trim in found], least_sd=READING_SD)


def _sides(days: Sequence[Day], earlier: date, trim: date, later: date) -> tuple[list[Day], list[Day]]:
    """The days before and after a trim, as far as the trims before and after it allow."""
    before, after = (
        [
            *between(
                days,
                max(trim + timedelta(days=low), earlier + _DAY),
                min(trim + timedelta(days=high), later - _DAY),
            )
        ]
        for low, high in (BEFORE, AFTER)
    )
    return before, after


def _shared(sides: Iterable[Sequence[Day]]) -> float:
    """How much the variance of a mean grows since a day resembles the one before: (1 + r)/(1 - r), 1 or more."""
    squares, products = [], []
    for side in sides:
        middle = fmean(day.grade for day in side)
        squares += [(day.grade - middle) ** 2 for day in side]
        products += [
            (one.grade - middle) * (other.grade - middle)
            for one, other in pairwise(side)
            if (other.date - one.date).days == 1
        ]
    if not products or not any(squares):
        return 1.0
    alike = min(0.8, max(0.0, fmean(products) / fmean(squares)))
    return (1 + alike) / (1 - alike)


def _compare(trim: date, row: int, before: list[Day], after: list[Day], shared: float) -> AroundTrim:
    grades = [np.array([day.grade for day in side]) for side in (before, after)]
    parts = [shared * max(side.var(ddof=1), READING_SD**2) / side.size for side in grades]
    freedom = sum(parts) ** 2 / sum(
        part**2 / (side.size - 1) for part, side in zip(parts, grades, strict=True)
    )
    reach = t_quantile(freedom) * math.sqrt(sum(parts))
    earlier, later = (float(side.mean()) for side in grades)
    moved = later - earlier
    return AroundTrim(
        date=trim,
        row=row,
        before=earlier,
        days_before=len(before),
        after=later,
        days_after=len(after),
        difference=Estimate(moved, moved - reach, moved + reach, len(before) + len(after)),
    )
