"""Simple, well-known ways to tell that grades get worse, to measure a filter against.

Each gives an evidence for every day from that day and the days before it; nan where it has none. Grades
under pain relief are left out, as everywhere in the ledger; of four limbs the worst evidence counts. Lag,
memory and weight of the charts are the ones that found most in trials with other seeds.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from bench.diary import Diaries, Floats, Whole

Detector = Callable[[Diaries], Floats]

FEWEST = 5
"""So many scores at least before anything is said."""
LIKELY_SD = 0.9
"""Of a horse's scores about their level, before there are scores to tell it by; and counted as FEWEST."""


def by_limb(of_scores: Callable[[Floats], Floats]) -> Detector:
    """A detector from a way with one series of scores a row."""

    def detector(diaries: Diaries) -> Floats:
        scores = diaries.scores
        if scores.ndim == 2:
            return of_scores(np.where(diaries.masked, np.nan, scores))
        n, days, limbs = scores.shape
        apart = np.where(diaries.masked[..., None], np.nan, scores).transpose(2, 0, 1)
        each = of_scores(apart.reshape(limbs * n, days)).reshape(limbs, n, days)
        worst: Floats = np.fmax.reduce(each, axis=0)
        return worst

    return detector


# ------------------------------------------------------------------ by days


def windows(scores: Floats, days: int) -> Floats:
    """For each day that day and the ones before it, so many in all: (n, days, window)."""
    before = np.full((len(scores), days - 1), np.nan)
    return np.lib.stride_tricks.sliding_window_view(np.hstack([before, scores]), days, axis=1)


def above_median(scores: Floats) -> Floats:
    """The day's score above the median of the 28 days before."""
    earlier = np.sort(windows(scores, 29)[:, :, :-1], axis=2)
    count = (~np.isnan(earlier)).sum(axis=2)

    def ranked(rank: Whole) -> Floats:
        return np.take_along_axis(earlier, np.maximum(rank, 0)[:, :, None], axis=2)[:, :, 0]

    median = (ranked((count - 1) // 2) + ranked(count // 2)) / 2
    return np.where(count >= FEWEST, scores - median, np.nan)


def week_against_month(scores: Floats) -> Floats:
    """The mean of the last 7 days above the mean of the 28 days before them."""

    def sums(values: Floats) -> Floats:
        return np.hstack([np.zeros((len(values), 36)), np.cumsum(values, axis=1)])

    def mean(first: int, last: int) -> tuple[Floats, Floats]:
        """Over the days from `first` to `last` days ago, and how many scores that were."""
        days = np.arange(scores.shape[1]) + 36
        total, number = (s[:, days - last] - s[:, days - first - 1] for s in (added, counted))
        return np.divide(total, number, out=np.full(total.shape, np.nan), where=number > 0), number

    added, counted = sums(np.nan_to_num(scores)), sums((~np.isnan(scores)).astype(np.float64))
    (week, few), (month, many) = mean(6, 0), mean(34, 7)
    return np.where((few >= 2) & (many >= FEWEST), week - month, np.nan)


def mann_kendall(scores: Floats, days: int = 14, fewest: int = 4) -> Floats:
    """The Mann-Kendall statistic of the last 14 days, with the correction for ties and for continuity."""
    window = windows(scores, days)
    rises = np.zeros(scores.shape)
    for apart in range(1, days):
        rises += np.nansum(np.sign(window[:, :, apart:] - window[:, :, :-apart]), axis=2)
    variance = _kendall_variance((~np.isnan(window)).sum(axis=2).astype(np.float64))
    for grade in np.unique(scores[~np.isnan(scores)]):
        variance -= _kendall_variance((window == grade).sum(axis=2).astype(np.float64))
    enough = ((~np.isnan(window)).sum(axis=2) >= fewest) & (variance > 1e-9)
    sure = np.sqrt(np.where(enough, variance, 1.0))
    return np.where(enough, np.sign(rises) * np.maximum(np.abs(rises) - 1, 0) / sure, np.nan)


def _kendall_variance(count: Floats) -> Floats:
    return count * (count - 1) * (2 * count + 5) / 18


# ------------------------------------------------------------------ by scores: control charts


def packed(scores: Floats) -> tuple[Floats, Whole]:
    """The scores of each row moved together to its left, and for each day how many there were by then."""
    there = ~np.isnan(scores)
    order = np.argsort(~there, axis=1, kind="stable")
    return np.take_along_axis(scores, order, axis=1), np.cumsum(there, axis=1)


def by_day(values: Floats, count: Whole) -> Floats:
    """Values of packed scores, laid back over the days; a day without a score keeps the last one."""
    last = np.take_along_axis(values, np.maximum(count - 1, 0), axis=1)
    return np.where(count > FEWEST, last, np.nan)


def standardised(scores: Floats, lag: int, memory: int) -> Floats:
    """Each packed score against a running mean and sd, which learn of a score only `lag` scores later.

    The first scores are learned at once; `memory` is how many scores the mean and sd look back on.
    """
    n, length = scores.shape
    mean, spread, known = np.zeros(n), np.zeros(n), np.zeros(n)
    out = np.full((n, length), np.nan)
    learned = 0
    for now in range(length):
        for then in range(learned, now if now <= FEWEST else max(FEWEST, now - lag)):
            value = scores[:, then]
            there = ~np.isnan(value)
            known += there
            share = 1 / np.clip(known, 1, memory)
            off = np.where(there, value - mean, 0.0)
            mean += share * off
            spread += np.where(there, share * (off**2 * (1 - share) - spread), 0.0)
            learned = then + 1
        weight = np.minimum(known, memory)
        sd = np.sqrt((FEWEST * LIKELY_SD**2 + weight * spread) / (FEWEST + weight))
        out[:, now] = (scores[:, now] - mean) / sd
    return out


def cusum(deviations: Floats, slack: float) -> Floats:
    """The upper one-sided cumulative sum, never below 0."""
    out = np.zeros(deviations.shape)
    total = np.zeros(len(deviations))
    for now in range(deviations.shape[1]):
        total = np.maximum(0.0, total + deviations[:, now] - slack)
        out[:, now] = total
    return out


def ewma(deviations: Floats, weight: float) -> Floats:
    """The exponentially weighted moving average, begun at 0."""
    out = np.zeros(deviations.shape)
    mean = np.zeros(len(deviations))
    for now in range(deviations.shape[1]):
        mean = weight * deviations[:, now] + (1 - weight) * mean
        out[:, now] = mean
    return out


def adaptive_cusum(scores: Floats, lag: int = 10, memory: int = 15, slack: float = 0.5) -> Floats:
    """A CUSUM of scores against their own running mean and sd."""
    values, count = packed(scores)
    deviations = standardised(values, lag, memory)
    deviations[:, :FEWEST] = 0.0
    return by_day(cusum(deviations, slack), count)


def adaptive_ewma(scores: Floats, lag: int = 7, memory: int = 10, weight: float = 0.1) -> Floats:
    """An EWMA of scores against their own running mean and sd, in its own standard deviations."""
    values, count = packed(scores)
    deviations = standardised(values, lag, memory)
    deviations[:, :FEWEST] = 0.0
    return by_day(ewma(deviations, weight) / np.sqrt(weight / (2 - weight)), count)


PEERS: dict[str, Detector] = {
    "threshold": by_limb(above_median),
    "7 v 28 days": by_limb(week_against_month),
    "EWMA": by_limb(adaptive_ewma),
    "CUSUM": by_limb(adaptive_cusum),
    "CUSUM, tuned": by_limb(partial(adaptive_cusum, lag=7, memory=10, slack=0.25)),
    "Mann-Kendall": by_limb(mann_kendall),
}
