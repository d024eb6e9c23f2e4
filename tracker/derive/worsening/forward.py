"""The forward pass: what the scores up to each day say about the hidden state, for many diaries at once.

It is exact for the states and kernels of `hidden.py` (Rabiner 1989, Proc IEEE 77:257-286, equations 18-20,
scaled day by day). Nothing later than a day has any part in what is said of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening.hidden import Floats, Habits, Kernels, kernels, start
from tracker.derive.worsening.looks import NO_LOOK, People, Whole, likelihood, people

Flags = npt.NDArray[np.bool_]

_TOGETHER = 60_000
"""So many states go through a day at once; more would not stay in a processor's own memory."""
_LONGEST_SAID = 30
"""Days between two looks over which "worse than last time" still says something."""
NOT_SAID = 9
_SETTLES = 7
"""Every so many days."""


@dataclass(frozen=True)
class Days:
    """Diaries as days: each array (n, days), `looks` (n, days, looks a day)."""

    looks: Whole
    """Kinds of looks, `NO_LOOK` where there is none."""
    masked: Flags
    said: npt.NDArray[np.int8]
    """-1 better, 0 same, 1 worse than last time; `NOT_SAID`."""
    others: int
    """Further raters that have a bias of their own."""


def forward(days: Days, habits: Habits) -> Floats:
    """The shares of level and change after each day: (n, days, levels, changes)."""
    columns = people(habits, days.others, bool(days.masked.any()))
    kinds, turn = np.unique(days.looks, return_inverse=True)
    table = np.stack([likelihood(habits, columns, int(kind)) for kind in kinds], axis=1)
    at: Whole = np.asarray(turn, dtype=np.int64).reshape(days.looks.shape)
    n, length = days.masked.shape
    found = np.empty((n, length, habits.levels, habits.changes), dtype=np.float32)
    size = int(table[:, 0].size)
    part = max(1, _TOGETHER // size)
    for first in range(0, n, part):
        some = slice(first, first + part)
        said, looks = days.said[some], days.looks[some] != NO_LOOK
        looked, by_any = looks.any(axis=2), looks.any(axis=0)
        walk = Walk(habits, columns, table, len(said), bool((said != NOT_SAID).any()))
        for day in range(length):
            walk.step(days.masked[some, day], looked[:, day], said[:, day])
            for look in np.flatnonzero(by_any[day]):
                walk.see(at[some, day, look])
            found[some, day] = walk.told()
            walk.keep(looked[:, day])
    return found


class Walk:
    """The states of some diaries, a day at a time: (levels, diaries, people, change × swing)."""

    def __init__(self, habits: Habits, columns: People, table: Floats, n: int, hears: bool) -> None:
        self.habits, self.columns, self.table = habits, columns, table
        self.kernels: Kernels = kernels(habits)
        begin = start(habits, columns.share)
        self.states = np.repeat(begin, n, axis=1)
        self.next, self.seen = np.empty_like(self.states), np.empty_like(self.states)
        by_change = np.repeat(np.eye(habits.changes, dtype=np.float32), len(habits.swing), axis=0)
        self.by_change = np.tile(by_change, (len(columns.share), 1))
        self.day = 0
        self.was_masked = np.zeros(n, dtype=np.bool_)
        self.begun = False
        self.last_look = np.full(n, -1)
        self.at_look = self.states.copy() if hears else self.states
        self.hears = hears

    def step(self, masked: Flags, looked: Flags, said: npt.NDArray[np.int8]) -> None:
        """One night."""
        self.day += 1
        levels, between = self.habits.levels, self.states.shape[-1]
        np.matmul(self.kernels.level, self.states.reshape(levels, -1), out=self.next.reshape(levels, -1))
        begun = masked & looked & ~self.was_masked
        # A level at a time: matrices so small that BLAS starts no threads, which cost more than they bring.
        each = (levels, -1, between)
        np.matmul(self.next.reshape(each), self.kernels.change, out=self.states.reshape(each))
        self.begun = bool(begun.any())
        if self.begun:
            self._begin_relief(begun)
        if self.hears:
            self._hear(np.where(begun, NOT_SAID, said))
        self.was_masked = np.where(looked, masked, self.was_masked)
        if self.day % _SETTLES == 0:
            self._settle(self.states)
            if self.hears:  # what the next "than last time" starts from settles as well
                self._settle(self.at_look)

    def _begin_relief(self, begun: Flags) -> None:
        """What this course takes away is not known yet."""
        share = self.columns.relief_share
        there = self.states[:, begun]
        parts = there.reshape(*there.shape[:2], -1, len(share), there.shape[-1])
        self.states[:, begun] = (parts.sum(axis=3, keepdims=True) * share[:, None]).reshape(there.shape)

    def _settle(self, states: Floats) -> None:
        """What has lasted becomes usual, a quarter of a grade at a time."""
        swings = len(self.habits.swing)
        moved = states[:-1, ..., swings:] * np.float32(self.habits.settles)
        states[:-1, ..., swings:] -= moved
        states[1:, ..., :-swings] += moved

    def back(self, ratio: Floats, day: int, begun: bool) -> Floats:
        """The night before this day the other way: what comes after, carried back (its transpose), for one diary."""
        levels, between = self.habits.levels, ratio.shape[-1]
        if day % _SETTLES == 0:
            swings, settles = len(self.habits.swing), np.float32(self.habits.settles)
            ratio = ratio.copy()
            ratio[:-1, ..., swings:] += settles * (ratio[1:, ..., :-swings] - ratio[:-1, ..., swings:])
        if begun:
            share = self.columns.relief_share
            parts = ratio.reshape(*ratio.shape[:2], -1, len(share), between)
            parts = np.broadcast_to((parts * share[:, None]).sum(axis=3, keepdims=True), parts.shape)
            ratio = parts.reshape(ratio.shape)
        ratio = ratio @ self.kernels.change.T
        return np.asarray((self.kernels.level.T @ ratio.reshape(levels, -1)).reshape(ratio.shape))

    def _hear(self, said: npt.NDArray[np.int8]) -> None:
        """Weigh each way from the last look to today by how likely it makes what is said of it."""
        since = self.day - self.last_look
        told = (said != NOT_SAID) & (self.last_look >= 0) & (since <= _LONGEST_SAID)
        for word, nights in {(int(said[row]), int(since[row])) for row in np.flatnonzero(told)}:
            rows = told & (said == word) & (since == nights)
            level, change = _nights(self.habits, nights)
            before = self.at_look[:, rows]
            moved = (level @ before.reshape(len(level), -1)).reshape(before.shape)
            self.states[:, rows] = moved @ (change * self.kernels.felt[word])

    def keep(self, looked: Flags) -> None:
        """Remember the states at this look, for the next "than last time"."""
        if self.hears:
            self.at_look[:, looked] = self.states[:, looked]
            self.last_look[looked] = self.day

    def see(self, looks: Whole) -> None:
        """Weigh the states by how likely each makes what was seen."""
        np.take(self.table, looks, axis=1, out=self.seen, mode="clip")
        self.states *= self.seen

    def told(self) -> Floats:
        """The shares of level and change: (diaries, levels, changes); the states add up to one again."""
        told = self.states.reshape(*self.states.shape[:2], -1) @ self.by_change
        total = told.sum(axis=(0, 2))
        self.states *= (1 / total)[:, None, None]
        return np.asarray((told / total[:, None]).transpose(1, 0, 2), dtype=np.float32)


@cache
def _nights(habits: Habits, nights: int) -> tuple[Floats, Floats]:
    day = kernels(habits)
    return np.linalg.matrix_power(day.level, nights), np.linalg.matrix_power(day.change, nights)
