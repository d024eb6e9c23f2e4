"""How likely each grade is to be written down, for each hidden state: by whom, when, and how."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening.hidden import STEP, Floats, Habits
from tracker.derive.worsening.normal import below

Whole = npt.NDArray[np.int64]

GRADES = 11
"""0, 0.5, 1 … 5."""
_FINE = 0.05
_LOWEST, _HIGHEST = -4.0, 9.0
# Whether its writer uses half grades: certain once there is one; else less likely with each whole grade.
HALVES_FOR_SURE, MOST_WHOLE = 0, 9
_LEVELS = MOST_WHOLE + 1
_KINDS = 2 * 2 * _LEVELS * GRADES
NO_LOOK = 0


@dataclass(frozen=True)
class People:
    """The unknown that stays: each column a noise, the bias of each further rater, what pain relief takes away."""

    share: Floats
    noise: Whole
    bias: tuple[npt.NDArray[np.float64], ...]
    relieved: npt.NDArray[np.float64]
    relief_share: Floats
    """Of `relieved`, the last and fastest of what the columns are made of."""


@cache
def people(habits: Habits, others: int, relief: bool) -> People:
    """The columns for so many further raters, with or without pain relief."""
    lows = np.array(habits.relieved if relief else (0.0,))
    low_share = np.array(habits.relieved_share if relief else (1.0,))
    biases, bias_share = np.array(habits.bias), np.array(habits.bias_share)
    at = np.indices((len(habits.noise), *(len(biases),) * others, len(lows))).reshape(2 + others, -1)
    share = np.array(habits.noise_share)[at[0]] * low_share[at[-1]]
    for one in at[1:-1]:
        share = share * bias_share[one]
    return People(
        share=share.astype(np.float32),
        noise=at[0],
        bias=(np.zeros(at.shape[1]), *(biases[one] for one in at[1:-1])),
        relieved=lows[at[-1]],
        relief_share=low_share.astype(np.float32),
    )


def kind(grade: Whole, whole: Whole, *, rater: Whole, masked: Whole, sore: Whole, late: Whole) -> Whole:
    """The number of a look: its grade in half grades, the grade habit of its writer, and how it was taken."""
    how = sore + 2 * (late + 2 * (masked + 2 * rater))
    return np.asarray(1 + grade + GRADES * (whole + _LEVELS * how), dtype=np.int64)


def likelihood(habits: Habits, columns: People, number: int) -> Floats:
    """How likely this look is: (levels, people, change × swing)."""
    shape = (habits.levels, len(columns.share), habits.changes * len(habits.swing))
    if number == NO_LOOK:
        return np.ones(shape, dtype=np.float32)
    rest, low = divmod(number - 1, _KINDS)
    late, low = divmod(low, _KINDS // 2)
    rater, masked = divmod(rest, 2)
    off = columns.bias[rater] - (columns.relieved if masked else 0.0)
    level = np.arange(habits.levels) * STEP
    change = np.add.outer(np.arange(habits.changes) * STEP, habits.swing).ravel()
    at = level[:, None, None] + off[:, None] + change
    where = np.rint((np.clip(at, _LOWEST, _HIGHEST) - _LOWEST) / _FINE).astype(int)
    found = _grades(habits)[low, columns.noise[None, :, None], where]
    # A note written late repeats one memory: it weighs half.
    return np.asarray(found**0.5 if late else found, dtype=np.float32)


@cache
def _grades(habits: Habits) -> Floats:
    """How likely a grade is: (sore, whole grades before, grade) in one, noise, place on a fine line."""
    place = np.linspace(_LOWEST, _HIGHEST, round((_HIGHEST - _LOWEST) / _FINE) + 1)
    tables = []
    for sore in (False, True):
        dips = zip(habits.sore, habits.sore_share, strict=True) if sore else ((0.0, 1.0),)
        whole, half = np.zeros((2, GRADES, len(habits.noise), len(place)))
        for dip, share in dips:
            whole += share * _written(habits, place + dip, 1.0)
            half += share * _written(habits, place + dip, 0.5)
        for before in range(_LEVELS):
            halves = 1.0 if before == HALVES_FOR_SURE else 0.5**before / (0.5**before + 1)
            tables.append(halves * half + (1 - halves) * whole)
    return np.concatenate(tables).astype(np.float32)


def _written(habits: Habits, place: npt.NDArray[np.float64], step: float) -> npt.NDArray[np.float64]:
    """How likely each grade is for one who writes in such steps."""
    sd = np.array(habits.noise)[:, None]
    grades = np.arange(0, 5 + step / 2, step)
    edges = np.concatenate([[-np.inf], grades[1:] - step / 2, [np.inf]])
    under = below((edges[:, None, None] - place) / sd)
    share = np.diff(under, axis=0) * (1 - habits.slip_of_pen) + habits.slip_of_pen / len(grades)
    out = np.zeros((GRADES, *share.shape[1:]))
    out[(grades * 2).astype(int)] = share
    return out
