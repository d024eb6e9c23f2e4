"""How weight, condition and crest went: the changes, each with its error, and the slope of many readings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import fmean

from tracker.derive.statistics.interval import Estimate
from tracker.derive.statistics.line import common_slope
from tracker.derive.statistics.slope import theil_sen
from tracker.reference.measuring import COVERAGE

MONTH = 30  # days
# Our own choices: for fewer readings, or over less time, no slope is told.
LEAST_READINGS, LEAST_SPAN = 6, 56


@dataclass(frozen=True, slots=True)
class Reading:
    """One value of one day with its standard deviation, in the trend's unit, and the rows it was read from."""

    date: date
    value: float
    sd: float
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """How far a value has moved since a day; `detectable` is the smallest change that is more than error."""

    since: date
    value: float
    detectable: float

    @property
    def beyond_error(self) -> bool:
        """Whether it moved by at least the measuring error."""
        return abs(self.value) >= self.detectable - 1e-9


@dataclass(frozen=True, slots=True)
class Trend:
    """The readings of one thing by date, the change since the last and since the first, and the slope a month.

    The first is the first since the shoes came off, where that day is known and there is one, else of all. The
    slope's interval is never narrower than the readings' own errors make it.
    """

    name: str
    unit: str
    readings: tuple[Reading, ...]
    since_last: Moved | None
    since_first: Moved | None
    slope: Estimate | None

    @property
    def last(self) -> Reading:
        """The newest reading."""
        return self.readings[-1]


def trend_of(
    name: str, unit: str, readings: Iterable[Reading], since: date | None, *, in_steps: bool = False
) -> Trend | None:
    """The trend of readings, several of one day taken as their mean; None where there is none.

    One that is read `in_steps`, as a score is, has no slope: equal readings would pull it to 0.
    """
    by_day: dict[date, list[Reading]] = {}
    for reading in readings:
        by_day.setdefault(reading.date, []).append(reading)
    days = [_mean(found) for _, found in sorted(by_day.items())]
    if not days:
        return None
    counted = [reading for reading in days if since is None or reading.date >= since] or days
    return Trend(
        name,
        unit,
        tuple(days),
        _moved(days[-2], days[-1]) if len(days) > 1 else None,
        _moved(counted[0], days[-1]) if counted[0] is not days[-1] else None,
        None if in_steps else _slope(counted),
    )


def _mean(found: Sequence[Reading]) -> Reading:
    values, sds = [one.value for one in found], [one.sd for one in found]
    rows = tuple(row for one in found for row in one.rows)
    return Reading(found[0].date, fmean(values), math.hypot(*sds) / len(sds), rows)


def _moved(first: Reading, last: Reading) -> Moved:
    return Moved(first.date, last.value - first.value, COVERAGE * math.hypot(first.sd, last.sd))


def _slope(readings: Sequence[Reading]) -> Estimate | None:
    days = [(reading.date - readings[0].date).days for reading in readings]
    if len(readings) < LEAST_READINGS or days[-1] < LEAST_SPAN:
        return None
    found = theil_sen(days, [reading.value for reading in readings])
    if found is None or not (math.isfinite(found.low) and math.isfinite(found.high)):
        return None
    line = common_slope([(days, [reading.value for reading in readings], [one.sd for one in readings])])
    # Readings that agree by luck, or because they were copied, hide their error.
    reach = COVERAGE * line.known_sd if line else 0.0
    return Estimate(
        found.value * MONTH,
        min(found.low, found.value - reach) * MONTH,
        max(found.high, found.value + reach) * MONTH,
        found.count,
    )
