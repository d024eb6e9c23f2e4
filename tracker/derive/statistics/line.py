"""A straight line through readings whose errors are known, or several lines of one slope."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Run = tuple[Sequence[float], Sequence[float], Sequence[float]]
"""Times, values and the values' standard deviations of one line."""


@dataclass(frozen=True, slots=True)
class Line:
    """A slope, in the values' unit for each unit of time, from `count` readings on `lines` lines.

    `known_sd` is the error that the readings' own errors give it. `scatter` is how many times further from
    the line the readings lie than those errors have it, in the mean; NaN where two readings are all.
    """

    slope: float
    known_sd: float
    scatter: float
    count: int
    lines: int

    @property
    def sd(self) -> float:
        """The slope's standard deviation, wider where the readings scatter more than their errors have it.

        References: Birge 1932, Phys Rev 40:207; never narrower than the known errors give it.
        """
        return self.known_sd * max(1.0, self.scatter if self.scatter == self.scatter else 1.0)


def common_slope(runs: Iterable[Run]) -> Line | None:
    """The one slope of least squares through all runs, each with its own height; None where no run has two times.

    Each reading counts by 1/sd². With one run this is the ordinary weighted line.

    References: NIST/SEMATECH e-Handbook of Statistical Methods, 4.4.3.1 and 4.4.3.2.
    """
    products = squares = 0.0
    centred = []
    for times, values, sds in runs:
        if len(set(times)) < 2:
            continue
        weights = [1 / sd**2 for sd in sds]
        middle, height = _mean(times, weights), _mean(values, weights)
        run = [(w, t - middle, y - height) for w, t, y in zip(weights, times, values, strict=True)]
        squares += math.fsum(w * t * t for w, t, _ in run)
        products += math.fsum(w * t * y for w, t, y in run)
        centred.append(run)
    if not centred:
        return None
    slope = products / squares
    count = sum(map(len, centred))
    freedom = count - len(centred) - 1
    left = math.fsum(w * (y - slope * t) ** 2 for run in centred for w, t, y in run)
    scatter = math.sqrt(left / freedom) if freedom else math.nan
    return Line(slope, 1 / math.sqrt(squares), scatter, count, len(centred))


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    return math.fsum(w * y for w, y in zip(weights, values, strict=True)) / math.fsum(weights)
