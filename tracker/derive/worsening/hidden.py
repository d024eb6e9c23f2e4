"""What the scores do not show: how lame the horse usually is, how much worse it is now, and its day.

A hidden state is a usual level, a lasting change above it, and the day's swing around both. The usual level
may sink while a horse mends and takes in slowly what has lasted. All numbers are shares a day or grades of
the 0-5 scale. None of them is published: they are our own, found on simulated diaries (`tests/bench`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening.normal import below

Floats = npt.NDArray[np.float32]

STEP = 0.25
"""Of level and change, in grades."""


@dataclass(frozen=True)
class Habits:
    """How horses change, and how people look: every number that the filter assumes."""

    levels: int = 19
    changes: int = 11
    swing: tuple[float, ...] = (-0.35, 0.0, 0.35)
    swing_sd: float = 0.25
    swing_kept: float = 0.6
    # The usual level, a day: a quarter, a half, a grade better; a quarter worse.
    mends: tuple[float, float, float] = (0.01, 0.004, 0.001)
    slips: float = 1 / 600
    # From no change, a day: a quarter, a half, one or two grades worse.
    begins: tuple[float, float, float, float] = (0.0084, 0.002, 0.002, 0.003)
    # From some change, a day: a quarter worse, a quarter better, all gone, a whole grade worse.
    rises: float = 0.12
    eases: float = 0.004
    ends: float = 0.004
    leaps: float = 0.004
    # Of what has lasted, the share that becomes usual, a week, in quarters.
    settles: float = 0.0875
    # People.
    noise: tuple[float, ...] = (0.35, 0.55, 0.9)
    noise_share: tuple[float, ...] = (0.4, 0.4, 0.2)
    slip_of_pen: float = 0.01
    bias: tuple[float, ...] = (-0.7, 0.0, 0.7)
    bias_share: tuple[float, ...] = (0.28, 0.44, 0.28)
    relieved: tuple[float, ...] = (0.0, 1.0, 1.75)
    # Most courses are held to take nothing away: only so do usual grades under a drug without effect not add up.
    relieved_share: tuple[float, ...] = (0.75, 0.15, 0.1)
    sore: tuple[float, ...] = (0.0, 0.5, 1.0, 1.5)
    sore_share: tuple[float, ...] = (0.35, 0.2, 0.25, 0.2)
    # How a change from one look to the next is felt: told from this size on, with this noise.
    felt: float = 0.5
    felt_sd: float = 1.2


USUAL = Habits()


@dataclass(frozen=True)
class Kernels:
    """What one day does to the states: `level` (to, from), `change` (from, to) over change × swing."""

    level: Floats
    change: Floats
    felt: dict[int, Floats] = field(default_factory=dict)
    """How likely -1 better, 0 same, 1 worse would be said of each pass from one state to another."""


@cache
def kernels(habits: Habits) -> Kernels:
    """The day's kernels; each row of states keeps its whole share."""
    swing = _swings(habits)
    return Kernels(
        level=_levels(habits).astype(np.float32),
        change=np.kron(_changes(habits), swing).astype(np.float32),
        felt=_felt(habits),
    )


def start(habits: Habits, people: Floats) -> Floats:
    """The shares of the states before the first score: (levels, 1, people, change × swing)."""
    level = np.exp(-np.arange(habits.levels) * STEP / 2.0)
    still = np.zeros(habits.changes)
    still[0] = 1.0
    swing = _settled(_swings(habits))
    states = np.multiply.outer(level / level.sum(), np.multiply.outer(people, np.kron(still, swing)))
    return np.ascontiguousarray(states[:, None], dtype=np.float32)


def _levels(habits: Habits) -> npt.NDArray[np.float64]:
    n = habits.levels
    kernel = np.zeros((n, n))
    for here in range(n):
        for steps, share in zip((1, 2, 4), habits.mends, strict=True):
            if here >= steps:
                kernel[here - steps, here] += share
        if here < n - 1:
            kernel[here + 1, here] += habits.slips
        kernel[here, here] += 1 - kernel[:, here].sum()
    return kernel


def _changes(habits: Habits) -> npt.NDArray[np.float64]:
    n = habits.changes
    kernel = np.zeros((n, n))
    for steps, share in zip((1, 2, 4, 8), habits.begins, strict=True):
        kernel[0, min(steps, n - 1)] += share
    for here in range(1, n):
        for there, share in (
            (here + 1, habits.rises),
            (here - 1, habits.eases),
            (0, habits.ends),
            (here + 4, habits.leaps),
        ):
            kernel[here, min(there, n - 1)] += share
    kernel[np.diag_indices(n)] += 1 - kernel.sum(axis=1)
    return kernel


def _swings(habits: Habits) -> npt.NDArray[np.float64]:
    swing = np.array(habits.swing)
    sd = habits.swing_sd * (1 - habits.swing_kept**2) ** 0.5
    kernel = np.exp(-0.5 * ((swing - habits.swing_kept * swing[:, None]) / sd) ** 2)
    return np.asarray(kernel / kernel.sum(axis=1, keepdims=True))


def _settled(kernel: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """The shares that a kernel (from, to) leaves as they are."""
    return np.asarray(np.linalg.matrix_power(kernel, 256)[0])


def _felt(habits: Habits) -> dict[int, Floats]:
    place = np.add.outer(np.arange(habits.changes) * STEP, habits.swing).ravel()
    change = place - place[:, None]
    better = below((-habits.felt - change) / habits.felt_sd)
    worse = 1 - below((habits.felt - change) / habits.felt_sd)
    said = {-1: better, 0: 1 - better - worse, 1: worse}
    return {word: share.astype(np.float32) for word, share in said.items()}
