"""Whether values rise or fall with time more than chance would let them: the Mann-Kendall test."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]

# Up to so many values the chance is counted out, beyond it the normal curve is near enough.
EXACT = 30


@dataclass(frozen=True, slots=True)
class Trend:
    """Kendall's S, its variance, and how likely chance alone gives an S at least as far from 0."""

    s: int
    variance: float
    chance: float
    count: int


def mann_kendall(times: ArrayLike, values: ArrayLike, shared: float = 1.0) -> Trend | None:
    """Test (n,) values for a rise or fall over their (n,) times, in any order; None for fewer than three.

    Pairs of one time say nothing and pairs of one value are ties. `shared`, 1 or more, is by how much the
    variance grows since neighbours resemble each other (`serial_factor`). Up to `EXACT` values at times of
    their own, and independent of each other, `chance` is exact, ties included; else it is the normal
    approximation with a correction for continuity, its variance corrected for ties in both.

    References: Mann 1945, Econometrica 13:245; Kendall 1975, Rank Correlation Methods; Gilbert 1987,
    Statistical Methods for Environmental Pollution Monitoring, 16.4.
    """
    t, y = by_time(times, values)
    if t.size < 3:
        return None
    late, early = pairs(t.size)
    s = int((np.sign(t[late] - t[early]) * np.sign(y[late] - y[early])).sum())
    time_ties, value_ties = ties(t), ties(y)
    variance = variance_of_s(t.size, time_ties, value_ties) * shared
    exact = not time_ties and shared == 1 and t.size <= EXACT
    chance = _exact(s, t.size, value_ties) if exact else _near(s, variance)
    return Trend(s, variance, chance, t.size)


@lru_cache(maxsize=256)
def pairs(count: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """The places of every two of so many values, the later one and the earlier one."""
    late, early = np.tril_indices(count, -1)
    late.flags.writeable = early.flags.writeable = False
    return late, early


def by_time(times: ArrayLike, values: ArrayLike) -> tuple[Numbers, Numbers]:
    """Times and values as arrays of one length, by time; those where either is missing are left out."""
    t, y = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    there = np.isfinite(t) & np.isfinite(y)
    order = np.argsort(t[there], kind="stable")
    return t[there][order], y[there][order]


def ties(values: Numbers) -> list[int]:
    """How many values stand together, for each value that stands more than once."""
    return [count for count in Counter(values.tolist()).values() if count > 1]


def variance_of_s(count: int, time_ties: Iterable[int] = (), value_ties: Iterable[int] = ()) -> float:
    """The variance of S where there is no trend, corrected for ties (Kendall 1975, 4.3)."""
    first, second, third = _tied(time_ties), _tied(value_ties), _tied([count])
    variance = (third[0] - first[0] - second[0]) / 18
    if count > 2:
        variance += first[1] * second[1] / (9 * third[1])
    return variance + first[2] * second[2] / (2 * third[2])


def _tied(groups: Iterable[int]) -> tuple[float, float, float]:
    sizes = list(groups)
    return (
        float(sum(t * (t - 1) * (2 * t + 5) for t in sizes)),
        float(sum(t * (t - 1) * (t - 2) for t in sizes)),
        float(sum(t * (t - 1) for t in sizes)),
    )


def _near(s: int, variance: float) -> float:
    if variance <= 0:
        return 1.0
    return math.erfc(max(0, abs(s) - 1) / math.sqrt(2 * variance))


def _exact(s: int, count: int, value_ties: Iterable[int]) -> float:
    """Count every order of the values: S is the untied pairs less twice the inversions.

    The orders with so many inversions are the coefficients of Π(1-qⁱ) over Π(1-qʲ) for the tied groups
    (MacMahon 1915, Combinatory Analysis, on permutations of a multiset).
    """
    groups = list(value_ties)
    pairs = (count * (count - 1) - sum(t * (t - 1) for t in groups)) // 2
    ways = [1] + [0] * pairs
    for size in range(1, count + 1):
        ways = [way - (ways[at - size] if at >= size else 0) for at, way in enumerate(ways)]
    for size in (size for group in [*groups, *[1] * (count - sum(groups))] for size in range(1, group + 1)):
        for at in range(size, pairs + 1):
            ways[at] += ways[at - size]
    far = sum(way for inversions, way in enumerate(ways) if abs(pairs - 2 * inversions) >= abs(s))
    return far / sum(ways)


def serial_factor(times: ArrayLike, values: ArrayLike, slope: float, lags: int | None = None) -> float:
    """By how much S varies more since neighbouring values resemble each other: n/n* of Hamed and Rao.

    The values are freed of their slope and ranked; only serial correlations beyond chance count, up to
    `lags` steps apart (None: all). It takes the (n,) values as evenly spaced: give it weeks, not notes.
    Below 1 where neighbours differ more than others do; 1 for fewer than four values.

    References: Hamed and Rao 1998, J Hydrol 204:182, equation (20).
    """
    t, y = by_time(times, values)
    n = t.size
    if n < 4:
        return 1.0
    ranks = _ranks(np.round(y - slope * t, 9))
    ranks -= ranks.mean()
    spread = float(ranks @ ranks)
    if spread == 0:
        return 1.0
    steps = range(1, n if lags is None else min(lags + 1, n))
    beyond = 1.959964 / math.sqrt(n)
    correlations = {step: float(ranks[step:] @ ranks[:-step]) / spread for step in steps}
    found = sum(
        (n - step) * (n - step - 1) * (n - step - 2) * correlation
        for step, correlation in correlations.items()
        if abs(correlation) > beyond
    )
    return 1 + 2 * found / (n * (n - 1) * (n - 2))


def _ranks(values: Numbers) -> Numbers:
    """Ranks from 1, tied values at the middle of theirs."""
    _, at, counts = np.unique(values, return_inverse=True, return_counts=True)
    ends = np.cumsum(counts)
    middles: Numbers = (ends - (counts - 1) / 2)[at]
    return middles
