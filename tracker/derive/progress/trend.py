"""Which way the grades go, and whether that is more than chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from statistics import pstdev

from tracker.derive.progress.days import MONTH, STEP, Day, between, days_of, weeks_of
from tracker.derive.soundness import Series
from tracker.derive.statistics.interval import CONFIDENCE, Estimate
from tracker.derive.statistics.kendall import mann_kendall, serial_factor
from tracker.derive.statistics.slope import slopes_of

# Our own choices. Eight weeks keep an interval bounded where serial correlation doubles the variance; sixteen
# days are two a week. After three months without a note a new run of notes begins.
LEAST_WEEKS = 8
LEAST_DAYS = 16
LONGEST_GAP = 90
LAGS = 3  # weeks; Rao, Hamed and Chen 2003, Nonstationarities in Hydrologic and Environmental Time Series


@dataclass(frozen=True, slots=True)
class Slope:
    """Grades a month of 30 days over the weeks from `first` to `last`; below 0 the grades fall: less lame.

    `rate` is the middle slope of the weekly means with its interval of 95 %, `rate.count` the weeks;
    `chance` how likely chance alone gives a trend as clear. The interval is open (infinite) where the weeks
    resemble each other so much that they cannot hold it.
    """

    first: date
    last: date
    rate: Estimate
    chance: float
    days: int

    @property
    def beyond_chance(self) -> bool:
        """Whether the grades rise or fall by more than chance gives one time in 20.

        By the test, and the interval must not reach beyond 0; many weeks of one grade, such as 0, let it end there.
        """
        one_way = not self.rate.low < 0 < self.rate.high
        return self.chance < 1 - CONFIDENCE and self.rate.value != 0 and one_way


def trend(series: Series, since: date | None, on: date, known: Sequence[Day] | None = None) -> Slope | None:
    """The slope since that day, or since the first note, or since the last three months without one.

    None for fewer than 16 days or 8 weeks with a grade outside pain relief. `known` as for `around_trims`.
    """
    days = between(days_of(series) if known is None else known, since, on)
    begins = [
        0,
        *(at + 1 for at, (one, other) in enumerate(pairwise(days)) if _apart(one, other) > LONGEST_GAP),
    ]
    return slope_of(days[begins[-1] :])


def slope_of(days: Sequence[Day]) -> Slope | None:
    """The slope of those days, which are by date; None where they are too few.

    Serial correlation of the weeks widens the interval and raises the chance (Hamed and Rao 1998), and is
    never taken to narrow them. It was chosen over freeing the series of its correlation beforehand
    (pre-whitening), which takes a part of a true trend away with it (Yue et al. 2002, Water Resour Res
    38:1118). The interval is widened too by what the steps of the grades may hide.
    """
    if len(days) < LEAST_DAYS:
        return None
    times, means = weeks_of(days)
    slopes = slopes_of(times, means)
    if slopes is None or slopes.count < LEAST_WEEKS:
        return None
    rough = slopes.estimate()
    shared = max(1.0, serial_factor(times, means, rough.value, LAGS))
    rate = rough if shared == 1 else slopes.estimate(shared)
    found = mann_kendall(times, means, shared)
    if found is None:
        return None
    hidden = _hidden(days, rate.value)
    monthly = replace(
        rate,
        value=rate.value * MONTH,
        low=(rate.low - hidden) * MONTH,
        high=(rate.high + hidden) * MONTH,
    )
    return Slope(days[0].date, days[-1].date, monthly, found.chance, len(days))


def _hidden(days: Sequence[Day], slope: float) -> float:
    """The slope, in grades a day, that the steps of the grades may hide: a whole step over the whole time.

    An eye that wrote 2 throughout may have seen 2.4 go down to 1.6. Grades that vary by half a step or more
    (1 SD) average out between the steps and hide nothing (Widrow and Kollár 2008, Quantization Noise, on
    dither); in between, it falls evenly, which is our own choice.
    """
    step = 1.0 if all(day.grade.is_integer() for day in days) else STEP
    left = [day.grade - slope * day.date.toordinal() for day in days]
    return step / _apart(days[0], days[-1]) * max(0.0, 1 - 2 * pstdev(left) / step)


def _apart(one: Day, other: Day) -> int:
    return (other.date - one.date).days
