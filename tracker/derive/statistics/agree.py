"""Whether several values with known errors can be one, and that one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

LEVEL = 0.05


@dataclass(frozen=True, slots=True)
class Pooled:
    """The mean of several values, each counted by 1/sd², its standard deviation, and whether they agree.

    `q` is Cochran's sum of squares, `chance` how likely values that are truly one give as large a one.
    """

    value: float
    sd: float
    q: float
    chance: float
    count: int

    @property
    def agree(self) -> bool:
        """Whether they differ by no more than their errors give 19 times in 20; a single value does."""
        return self.chance >= LEVEL


def pooled(values: Sequence[float], sds: Sequence[float]) -> Pooled | None:
    """Pool the values and test whether they agree; None where there are none.

    References: Cochran 1954, Biometrics 10:101.
    """
    if not values:
        return None
    weights = [1 / sd**2 for sd in sds]
    mean = math.fsum(w * y for w, y in zip(weights, values, strict=True)) / math.fsum(weights)
    q = math.fsum(w * (y - mean) ** 2 for w, y in zip(weights, values, strict=True))
    freedom = len(values) - 1
    chance = chi_square_tail(q, freedom) if freedom else 1.0
    return Pooled(mean, 1 / math.sqrt(math.fsum(weights)), q, chance, len(values))


def chi_square_tail(value: float, freedom: int) -> float:
    """How likely a sum of `freedom` squared standard normal values is at least `value`.

    References: Abramowitz and Stegun 1964, 26.4.4 and 26.4.5.
    """
    half = value / 2
    if half <= 0:
        return 1.0
    if freedom % 2:
        total, term = math.erfc(math.sqrt(half)), math.sqrt(half / math.pi) * 2 * math.exp(-half)
        powers = (number + 0.5 for number in range(1, (freedom + 1) // 2))
    else:
        total, term = 0.0, math.exp(-half)
        powers = (float(number) for number in range(1, freedom // 2 + 1))
    for power in powers:
        total += term
        term *= half / power
    return min(1.0, total)
