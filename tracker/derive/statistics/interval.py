"""Intervals that hold the true value 19 times in 20, and the mean with its own."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

CONFIDENCE = 0.95
Z = NormalDist().inv_cdf(0.5 + CONFIDENCE / 2)


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value, the interval that holds the true one 19 times in 20, and how many values it rests on."""

    value: float
    low: float
    high: float
    count: int


def t_quantile(freedom: float) -> float:
    """How many standard errors an interval of 95 % reaches to each side, by Student's t.

    `freedom` in degrees of freedom, 1 and more, not only whole. One and two are exact, from three on it is
    right to 0.001.

    References: Hill 1970, Commun ACM 13:619, Algorithm 396.
    """
    tail = 1 - CONFIDENCE  # in both tails together
    if freedom <= 1:
        return 1 / math.tan(tail * math.pi / 2)
    if freedom == 2:
        return math.sqrt(2 / (tail * (2 - tail)) - 2)
    a = 1 / (freedom - 0.5)
    b = 48 / a**2
    c = ((20700 * a / b - 98) * a - 16) * a + 96.36
    d = ((94.5 / (b + c) - 3) / b + 1) * math.sqrt(a * math.pi / 2) * freedom
    y = (d * tail) ** (2 / freedom)
    if y > 0.05 + a:
        x = NormalDist().inv_cdf(tail / 2)
        y = x * x
        if freedom < 5:
            c += 0.3 * (freedom - 4.5) * (x + 0.6)
        c = (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b + c
        y = (((((0.4 * y + 6.3) * y + 36) * y + 94.5) / c - y - 3) / b + 1) * x
        y = math.expm1(a * y * y)
    else:
        y = (
            (
                1 / (((freedom + 6) / (freedom * y) - 0.089 * d - 0.822) * (freedom + 2) * 3)
                + 0.5 / (freedom + 4)
            )
            * y
            - 1
        ) * (freedom + 1) / (freedom + 2) + 1 / y
    return math.sqrt(freedom * y)


def mean(values: ArrayLike, least_sd: float = 0.0) -> Estimate | None:
    """The mean of (n,) values with its interval, in their own unit; None for fewer than two.

    `least_sd`: the standard deviation of one value is not taken for less than this, since values that are
    read in steps may agree by their steps alone.
    """
    found = np.asarray(values, dtype=float)
    if found.size < 2:
        return None
    error = max(float(found.std(ddof=1)), least_sd) / math.sqrt(found.size)
    reach, middle = t_quantile(found.size - 1) * error, float(found.mean())
    return Estimate(middle, middle - reach, middle + reach, found.size)
