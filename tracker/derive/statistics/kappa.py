"""How far two people agree on a scale of ordered grades, beyond what chance would give them."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from tracker.derive.statistics.interval import Estimate, Z


def weighted_kappa(table: ArrayLike, disagreement: ArrayLike) -> Estimate | None:
    """Cohen's weighted kappa of a (k, k) table of counts, with its interval of 95 %, at most from -1 to 1.

    The rows are one person's grades, the columns the other's. `disagreement` (k, k) says how much each
    pair of grades differs: 0 on the diagonal, in any unit. None where the table is empty, or where chance
    alone would give no disagreement, such as where both gave one and the same grade throughout.
    The interval is that of large samples, too narrow for a handful of pairs; where all pairs agree it has
    no width and says nothing.

    References: Cohen 1968, Psychol Bull 70:213; standard error of Fleiss, Cohen and Everitt 1969,
    Psychol Bull 72:323, equation (9).
    """
    counts, apart = np.asarray(table, dtype=float), np.asarray(disagreement, dtype=float)
    n = counts.sum()
    if n == 0 or apart.max() == 0:
        return None
    seen, weights = counts / n, 1 - apart / apart.max()
    rows, columns = seen.sum(axis=1), seen.sum(axis=0)
    agreed, by_chance = float((weights * seen).sum()), float(rows @ weights @ columns)
    if math.isclose(by_chance, 1):
        return None
    kappa = (agreed - by_chance) / (1 - by_chance)
    by_row, by_column = weights @ columns, rows @ weights
    beside = by_row[:, np.newaxis] + by_column[np.newaxis, :]
    spread = (
        float((seen * (weights - beside * (1 - kappa)) ** 2).sum()) - (kappa - by_chance * (1 - kappa)) ** 2
    )
    reach = Z * math.sqrt(max(0.0, spread) / n) / (1 - by_chance)
    return Estimate(kappa, max(-1.0, kappa - reach), min(1.0, kappa + reach), int(n))


def grades_apart(steps: int) -> np.ndarray:
    """The (steps, steps) disagreements of an ordered scale: how many steps lie between two grades."""
    grades = np.arange(steps, dtype=float)
    found: np.ndarray = np.abs(grades[:, np.newaxis] - grades[np.newaxis, :])
    return found
