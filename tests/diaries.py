"""Simulated diaries: a horse whose true grade is known, seen by an eye that errs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

import numpy as np

from tracker.derive.soundness import Point, Series

DAY_0 = dt.date(2026, 1, 5)


def series(grades: Iterable[tuple[int, float]], *, masked: Sequence[int] = (), **more: str) -> Series:
    """One series from (day since day 0, grade); `masked` names the days under pain relief."""
    points = tuple(
        Point(DAY_0 + dt.timedelta(days=day), float(grade), day in masked, more.get("seen_by", "owner"), row)
        for row, (day, grade) in enumerate(grades, start=2)
    )
    return Series(
        "Juno", more.get("scale", "0-5"), "trot", "hard", more.get("limb", "LF"), points, "straight"
    )


def day(number: int) -> dt.date:
    return DAY_0 + dt.timedelta(days=number)


def diary(
    seed: int, days: int, start: float, end: float, *, over: int = 150, noted: float = 0.9, sd: float = 0.5,
    alike: float = 0.0, step: float = 1.0,
) -> Series:  # fmt: skip
    """A diary whose true grade goes from `start` to `end` in `over` days and then stays.

    `noted`: the part of days with a note; `sd`: how far the eye, and the day, are off; `alike`: how much of
    that a day shares with the one before; `step`: grades are written in steps of it.
    """
    random = np.random.default_rng(seed)
    error, grades = random.normal() * sd, []
    for number in range(days):
        true = start + (end - start) * min(number / over, 1)
        if random.random() < noted:
            grades.append((number, float(np.clip(round((true + error) / step) * step, 0, 5))))
        error = alike * error + random.normal() * sd * (1 - alike**2) ** 0.5
    return series(grades)
