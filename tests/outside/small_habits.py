"""A filter so small that every path through its states can be written out, and that writing out."""

from __future__ import annotations

import itertools

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening.forward import NOT_SAID, Days, Walk
from tracker.derive.worsening.hidden import Habits, kernels, start
from tracker.derive.worsening.looks import HALVES_FOR_SURE, NO_LOOK, kind, likelihood, people

Reals = npt.NDArray[np.float64]

SMALL = Habits(
    levels=3, changes=3, swing=(0.0,), mends=(0.03, 0.02, 0.01), slips=0.02, begins=(0.1, 0.06, 0.02, 0.02),
    rises=0.2, eases=0.1, ends=0.05, leaps=0.01, settles=0.2, noise=(0.5,),
    noise_share=(1.0,), bias=(0.0,), bias_share=(1.0,), relieved=(0.0, 1.0), relieved_share=(0.5, 0.5),
)  # fmt: skip
"""Three levels, three changes, no swing, one kind of people: nine states, and twice as many under relief."""


def days(
    grades: list[float | None], *, masked: tuple[int, ...] = (), said: dict[int, int] | None = None
) -> Days:
    """One diary by someone who is known to use halves; `masked` and `said` by day, from 0."""
    half = np.array([[0 if grade is None else round(2 * grade) for grade in grades]])
    relief = np.array([[day in masked for day in range(len(grades))]])
    none = np.zeros_like(half)
    kinds = kind(
        half, none + HALVES_FOR_SURE, rater=none, masked=relief.astype(np.int64), sore=none, late=none
    )
    seen = np.array([[grade is not None for grade in grades]])
    told = np.full(half.shape, NOT_SAID, dtype=np.int8)
    for day, word in (said or {}).items():
        told[0, day] = word
    return Days(np.where(seen, kinds, NO_LOOK)[..., None], relief & seen, told, 0)


def walk_of(habits: Habits, relief: bool) -> Walk:
    columns = people(habits, 0, relief)
    shape = (habits.levels, 1, len(columns.share), habits.changes * len(habits.swing))
    return Walk(habits, columns, np.ones(shape, dtype=np.float32), 1, hears=False)


def first_states(habits: Habits, relief: bool) -> Reals:
    return start(habits, people(habits, 0, relief).share).ravel().astype(float)


def night(habits: Habits, relief: bool, *, day: int = 1, begins: bool = False) -> Reals:
    """The whole matrix (from, to) of the night before a day: what becomes of each state when it is certain."""
    shape = walk_of(habits, relief).states.shape
    rows = []
    for state in range(int(np.prod(shape))):
        walk = walk_of(habits, relief)
        walk.day = day - 1
        walk.states = np.zeros(shape, dtype=np.float32)
        walk.states.reshape(-1)[state] = 1
        walk.step(np.array([begins]), np.array([True]), np.array([NOT_SAID], dtype=np.int8))
        rows.append(walk.states.ravel().astype(float))
    return np.array(rows)


def seen(habits: Habits, relief: bool, look: int) -> Reals:
    """How likely each state makes this kind of look."""
    return likelihood(habits, people(habits, 0, relief), look).ravel().astype(float)


def all_paths(found: Days, habits: Habits) -> dict[tuple[int, ...], float]:
    """Every path through the states, one for each day, with its share given all the looks of the one diary.

    What is said of a day weighs the pair of its state and that of the look before.
    """
    relief = bool(found.masked.any())
    looks, masked, said = found.looks[0, :, 0], found.masked[0], found.said[0]
    n = len(first_states(habits, relief))
    felt = kernels(habits).felt
    weights = {(): 1.0}
    before, under_relief = None, False
    for day in range(len(looks)):
        looked = looks[day] != NO_LOOK
        begins = bool(looked and masked[day] and not under_relief)
        nights, likely = (
            night(habits, relief, day=day + 1, begins=begins),
            seen(habits, relief, int(looks[day])),
        )
        grown = {}
        for (path, weight), to in itertools.product(weights.items(), range(n)):
            came = nights[path[-1], to] if path else (first_states(habits, relief) @ nights)[to]
            heard = 1.0
            if said[day] != NOT_SAID and before is not None and not begins:
                heard = felt[int(said[day])][path[before] % habits.changes, to % habits.changes]
            if came and likely[to] and heard:
                grown[(*path, to)] = weight * came * likely[to] * heard
        weights = grown
        if looked:
            before, under_relief = day, bool(masked[day])
    total = sum(weights.values())
    return {path: weight / total for path, weight in weights.items()}
