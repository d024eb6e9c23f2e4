"""A series of grades by its days and its weeks: the plain ground that everything about progress stands on.

A grade under pain relief may look better than the horse is. It is never evidence of recovery, so it is left
out here and only counted.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from operator import attrgetter
from statistics import fmean, median
from typing import NamedTuple

from tracker.derive.soundness import Series
from tracker.terms import FEET, LIMB_GROUPS, PAIRS

MONTH = 30  # days; a month of progress is counted from the day the shoes came off, not by the calendar
WEEK = 7
STEP = 0.5  # grades are read to a half at best
READING_SD = STEP / 12**0.5  # of a value rounded to that step


class Day(NamedTuple):
    """The grade of one day: the middle one of its notes outside pain relief, and how many they are."""

    date: date
    grade: float
    notes: int


def days_of(series: Series, first: date | None = None, last: date | None = None) -> list[Day]:
    """The days of a series that hold a grade outside pain relief, by date; both ends are included."""
    grades: dict[date, list[float]] = {}
    for point in series.points:
        if (
            not point.masked
            and (first is None or point.date >= first)
            and (last is None or point.date <= last)
        ):
            grades.setdefault(point.date, []).append(point.score)
    return [Day(day, _middle(found), len(found)) for day, found in sorted(grades.items())]


def between(days: Sequence[Day], first: date | None, last: date | None) -> Sequence[Day]:
    """Those of the days, which are by date, from the first to the last of these, both included."""
    begin = 0 if first is None else bisect_left(days, (first,))
    end = len(days) if last is None else bisect_right(days, (last, math.inf))
    return days[begin:end]


def _middle(grades: list[float]) -> float:
    return grades[0] if len(grades) == 1 else float(median(grades))


def weeks_of(days: Sequence[Day]) -> tuple[list[float], list[float]]:
    """The mean grade of each week, counted back from the last day, and the weeks' times in days, 0 the last.

    A week without a grade is not there. Averaging takes the ties out of grades in whole steps, which would
    pull a slope to 0, and leaves weeks that resemble each other far less than days do.
    """
    weeks: dict[int, list[float]] = {}
    for day in days:
        weeks.setdefault((days[-1].date - day.date).days // WEEK, []).append(day.grade)
    ordered = sorted(weeks.items(), reverse=True)
    return [float(-WEEK * ago) for ago, _ in ordered], [fmean(grades) for _, grades in ordered]


def only_zeros(series: Series, among: Iterable[Series]) -> bool:
    """Whether a series names no limb, holds nothing but zeros, and others seen the same way have taken them up."""
    taken = any(other.limb and _seen_alike(series, other) for other in among)
    return taken and not series.limb and all(point.score == 0 for point in series.points)


def with_zeros(series: Series, among: Iterable[Series]) -> Series:
    """The series with the zeros that were seen the same way and name no limb: those are of every limb.

    Many owners name a limb only while the horse is lame on it. Without its zeros such a limb would never
    seem to get better. A series that names no limb stays as it is.
    """
    if not series.limb:
        return series
    zeros = [
        point
        for other in among
        if not other.limb and _seen_alike(series, other)
        for point in other.points
        if point.score == 0
    ]
    points = sorted((*series.points, *zeros), key=lambda point: (point.date, point.row))
    return replace(series, points=tuple(points))


def _seen_alike(one: Series, other: Series) -> bool:
    return _seen(one) == _seen(other)


_seen = attrgetter("horse", "scale", "gait", "ground", "line")


def feet_of(limb: str) -> tuple[str, ...]:
    """The feet that a series' limb names; none where it is not given or not sure."""
    if limb in LIMB_GROUPS:
        return tuple(foot for foot in LIMB_GROUPS[limb] if foot in FEET)
    return tuple(foot for foot in FEET if foot in limb)


def counted_from(series: Series, shoes_off: Mapping[str, date | None]) -> date | None:
    """The day its months are counted from: that on which its own pair lost the shoes, else the first known.

    A hind limb of a horse whose hinds were never shod is counted from the day the fronts came off. Where a
    limb is of both pairs, or not sure, the first of the days holds.
    """
    feet = feet_of(series.limb)
    own = [shoes_off.get(pair) for pair, members in PAIRS.items() if set(feet) & set(members)]
    return _first(own) or _first(shoes_off.values())


def _first(days: Iterable[date | None]) -> date | None:
    return min((day for day in days if day), default=None)
