"""How well this owner reads a hoof, learned from what was read more than once."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from tracker.reference.measuring import kind_of, reading_sd

ENOUGH = 10
"""Repeats from which on their own error is believed rather than the default: it is then known to about a quarter
(1/√(2·10)). Our own choice."""

LEAST_PART = 1 / 3
"""No repeat is believed to be surer than this part of the default: a remembered reading is no second one. A third of
the gauge's default is what trained people reach (Peel et al. 2006)."""

Readings = Mapping[tuple[str, str], Sequence[float]]
"""The readings of one foot, day and stage, by measure and way."""


def own_sds(occasions: Iterable[Readings]) -> dict[tuple[str, str], float]:
    """Standard deviation of one reading by kind of measure and way, where enough was read more than once.

    Pooled within-subject standard deviation, in the measure's own unit.

    References: Bland and Altman 1996, BMJ 313:744.
    """
    squares: dict[tuple[str, str], float] = defaultdict(float)
    freedom: dict[tuple[str, str], int] = defaultdict(int)
    least: dict[tuple[str, str], float] = {}
    for occasion in occasions:
        for (key, way), values in occasion.items():
            if len(values) < 2:
                continue
            of = (kind_of(key), way)
            mean = sum(values) / len(values)
            squares[of] += sum((value - mean) ** 2 for value in values)
            freedom[of] += len(values) - 1
            least[of] = LEAST_PART * reading_sd(key, way)
    return {
        of: max(math.sqrt(squares[of] / freedom[of]), least[of]) for of in squares if freedom[of] >= ENOUGH
    }
