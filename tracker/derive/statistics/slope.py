"""A slope that single odd values cannot tilt: the middle one of all slopes between two values."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median

import numpy as np
from numpy.typing import ArrayLike

from tracker.derive.statistics.interval import Estimate, Z
from tracker.derive.statistics.kendall import by_time, pairs, ties, variance_of_s


def theil_sen(times: ArrayLike, values: ArrayLike, shared: float = 1.0) -> Estimate | None:
    """The median slope of (n,) values over their (n,) times, in any order, with its interval of 95 %.

    In the values' unit for each unit of time. None for fewer than three values, or all of one time. Pairs
    of one time have no slope. The interval lies between the slopes of rank (N ∓ z·√(variance of S))/2, the
    upper one more, whole ranks or not; it is unbounded where there are too few slopes to hold it.
    `shared` widens it as it does the variance of S (`kendall.serial_factor`). Values in coarse steps give
    many equal pairs, which pull slope and interval towards 0: average them first.

    References: Sen 1968, J Am Stat Assoc 63:1379; Gilbert 1987, 16.5.
    """
    found = slopes_of(times, values)
    return found.estimate(shared) if found else None


@dataclass(frozen=True, slots=True)
class Slopes:
    """All slopes between two of `count` values, the lowest first, and the variance of S that goes with them."""

    ordered: tuple[float, ...]
    variance: float
    count: int

    def estimate(self, shared: float = 1.0) -> Estimate:
        """The middle slope with its interval, as `theil_sen` gives it."""
        reach, several = Z * math.sqrt(self.variance * shared), len(self.ordered)
        return Estimate(
            median(self.ordered),
            self._at_rank((several - reach) / 2),
            self._at_rank((several + reach) / 2 + 1),
            self.count,
        )

    def _at_rank(self, rank: float) -> float:
        """The value of that rank, counted from 1, and between two of them where it is not whole."""
        if rank < 1:
            return -math.inf
        if rank > len(self.ordered):
            return math.inf
        whole = int(rank)
        below = self.ordered[whole - 1]
        return below if rank == whole else (self.ordered[whole] - below) * (rank - whole) + below


def slopes_of(times: ArrayLike, values: ArrayLike) -> Slopes | None:
    """The slopes that `theil_sen` takes the middle one of; None for fewer than three values, or all of one time."""
    t, y = by_time(times, values)
    late, early = pairs(t.size)
    apart = t[late] > t[early]
    if t.size < 3 or not apart.any():
        return None
    slopes = np.sort((y[late] - y[early])[apart] / (t[late] - t[early])[apart])
    return Slopes(tuple(slopes.tolist()), variance_of_s(t.size, ties(t), ties(y)), int(t.size))
