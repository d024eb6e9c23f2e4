"""A slope that single odd values cannot tilt: the middle one of all slopes between two values."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from tracker.derive.statistics.interval import Estimate, Z
from tracker.derive.statistics.kendall import by_time, ties, variance_of_s


def theil_sen(times: ArrayLike, values: ArrayLike, shared: float = 1.0) -> Estimate | None:
    """The median slope of (n,) values over their (n,) times, in any order, with its interval of 95 %.

    In the values' unit for each unit of time. None for fewer than three values, or all of one time. Pairs
    of one time have no slope. The interval lies between the slopes of rank (N ∓ z·√(variance of S))/2, the
    upper one more, whole ranks or not; it is unbounded where there are too few slopes to hold it.
    `shared` widens it as it does the variance of S (`kendall.serial_factor`). Values in coarse steps give
    many equal pairs, which pull slope and interval towards 0: average them first.

    References: Sen 1968, J Am Stat Assoc 63:1379; Gilbert 1987, 16.5.
    """
    t, y = by_time(times, values)
    late, early = np.tril_indices(t.size, -1)
    apart = t[late] > t[early]
    if t.size < 3 or not apart.any():
        return None
    slopes = np.sort((y[late] - y[early])[apart] / (t[late] - t[early])[apart])
    reach = Z * math.sqrt(variance_of_s(t.size, ties(t), ties(y)) * shared)
    return Estimate(
        float(np.median(slopes)),
        _at_rank(slopes, (slopes.size - reach) / 2),
        _at_rank(slopes, (slopes.size + reach) / 2 + 1),
        int(t.size),
    )


def _at_rank(ordered: np.ndarray, rank: float) -> float:
    """The value of that rank, counted from 1, and between two of them where it is not whole."""
    if rank < 1:
        return -math.inf
    if rank > ordered.size:
        return math.inf
    return float(np.interp(rank, np.arange(1, ordered.size + 1), ordered))
