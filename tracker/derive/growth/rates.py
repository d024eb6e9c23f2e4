"""How fast a foot's wall grows, from its marks; how fast the horse's does, where its feet agree."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from tracker.derive.growth.marks import Mark
from tracker.derive.statistics.agree import Pooled, pooled
from tracker.derive.statistics.line import common_slope
from tracker.reference.growing import FASTEST, MONTH, SLOWEST
from tracker.reference.measuring import COVERAGE
from tracker.terms import FEET

LEAST_DAYS = 42
"""From a mark's first reading to its last: over less, a millimetre at each end says more than the growth.

Our own choice; the six weeks between trims in which Kolstrung et al. 2012 measured 13 mm.
"""


@dataclass(frozen=True, slots=True)
class Rate:
    """Growth in mm a month of 30.4 days, its standard deviation, and what it rests on."""

    value: float
    sd: float
    first: date
    last: date
    readings: int
    marks: int

    @property
    def low(self) -> float:
        """The lower end of the range that holds the true rate 19 times in 20."""
        return self.value - COVERAGE * self.sd

    @property
    def high(self) -> float:
        """Its upper end."""
        return self.value + COVERAGE * self.sd


@dataclass(frozen=True, slots=True)
class RateRange:
    """From `low` to `high` mm a month; `whose` is "horse" or "foot" (its own), "feet" (its feet differ) or "published"."""

    low: float
    high: float
    whose: str


PUBLISHED_RANGE = RateRange(SLOWEST.value, FASTEST.value, "published")


def foot_rates(marks: Iterable[Mark]) -> dict[str, Rate]:
    """The rate of each foot that has a mark read over six weeks or more.

    Several marks of one foot share one slope, each from its own height. Readings that scatter more than their
    errors have it widen the error.
    """
    own: dict[str, list[Mark]] = defaultdict(list)
    for mark in marks:
        if mark.days >= LEAST_DAYS and not mark.went_up:
            own[mark.foot].append(mark)
    return {foot: _rate(own[foot]) for foot in FEET if foot in own}


def _rate(marks: list[Mark]) -> Rate:
    runs = [
        (
            [float(reading.date.toordinal()) for reading in mark.readings],
            [reading.below.value for reading in mark.readings],
            [reading.below.sd for reading in mark.readings],
        )
        for mark in marks
    ]
    line = common_slope(runs)
    assert line is not None  # every mark spans weeks
    return Rate(
        value=line.slope * MONTH,
        sd=line.sd * MONTH,
        first=min(mark.readings[0].date for mark in marks),
        last=max(mark.readings[-1].date for mark in marks),
        readings=line.count,
        marks=line.lines,
    )


def agreement(rates: Mapping[str, Rate]) -> Pooled | None:
    """All feet's rates in one, and whether they agree (Cochran's test); None where no foot has a rate."""
    return pooled([rate.value for rate in rates.values()], [rate.sd for rate in rates.values()])


def horse_rate(rates: Mapping[str, Rate]) -> Rate | None:
    """The horse's rate from all feet that have one; None where there is none, or where they do not agree."""
    found = agreement(rates)
    if found is None or not found.agree:
        return None
    return Rate(
        value=found.value,
        sd=found.sd,
        first=min(rate.first for rate in rates.values()),
        last=max(rate.last for rate in rates.values()),
        readings=sum(rate.readings for rate in rates.values()),
        marks=sum(rate.marks for rate in rates.values()),
    )


def is_known(rate: Rate | None) -> bool:
    """Whether a rate says more than the published range: it is no wider, and the wall grows."""
    return rate is not None and rate.low > 0 and rate.high - rate.low <= FASTEST.value - SLOWEST.value


def range_of(rates: Mapping[str, Rate], foot: str = "") -> RateRange:
    """What to reckon with for the horse, or for one foot of it.

    The horse's own rate where its feet agree; where they do not, the foot's own, and for the horse or a foot
    without one, from the lowest end of any foot's range to the highest. Published until one is known.
    """
    horse = horse_rate(rates)
    if horse and is_known(horse):
        return RateRange(horse.low, horse.high, "horse")
    known = {name: rate for name, rate in rates.items() if is_known(rate)}
    if foot in known and not horse:
        return RateRange(known[foot].low, known[foot].high, "foot")
    if known and not horse:
        return RateRange(
            min(rate.low for rate in known.values()), max(rate.high for rate in known.values()), "feet"
        )
    return PUBLISHED_RANGE
