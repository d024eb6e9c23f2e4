"""Many diaries at once: how likely each horse is to be lastingly worse, day by day."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening import levels
from tracker.derive.worsening.days import Diaries, Reals, days_of
from tracker.derive.worsening.forward import NOT_SAID, forward
from tracker.derive.worsening.held import holds, least_since, unrelieved
from tracker.derive.worsening.hidden import STEP, USUAL, Floats, Habits

_TOGETHER = 100
_BAND = (0.05, 0.95)
TOP = 5.0


@dataclass(frozen=True)
class Watched:
    """What is known after each day, each (n, days).

    Grades under pain relief take none of it back: see `held.py`.

    severity    how lame the horse lastingly is, in grades: the mean, and the band that holds it in 9 of 10
    p_worse     how likely it is lastingly worse by a grade or more; calibrated (`levels.py`)
    p_any       by half a grade or more
    evidence    the log-odds of any lasting worsening: what the signals are thresholds of
    """

    severity: Reals
    low: Reals
    high: Reals
    p_worse: Reals
    p_any: Reals
    evidence: Reals


def watch_many(diaries: Diaries, habits: Habits = USUAL) -> Watched:
    """Filter many diaries of daily scores on the 0-5 scale. Only days up to a day have a part in it."""
    shape = diaries.scores.shape[:2]
    out = Watched(*(np.empty(shape) for _ in Watched.__dataclass_fields__))
    days = days_of(diaries)
    alike = np.stack(
        [days.masked.any(axis=1), (days.said != NOT_SAID).any(axis=1), _most(diaries.rater, shape[0])], axis=1
    )
    for kind in np.unique(alike, axis=0):
        rows = np.flatnonzero((alike == kind).all(axis=1))
        for first in range(0, len(rows), _TOGETHER):
            some = rows[first : first + _TOGETHER]
            told = _of(diaries.some(some), habits)
            for name in Watched.__dataclass_fields__:
                getattr(out, name)[some] = getattr(told, name)
    return out


def _of(diaries: Diaries, habits: Habits) -> Watched:
    told = _told(forward(days_of(diaries), habits))
    held, free = holds(diaries)
    if not held.any():
        return told
    before = _told(forward(days_of(unrelieved(diaries)), habits))
    now, known = _stacked(told), least_since(_stacked(before), free)
    return Watched(*np.where(held, np.maximum(now, known), now))


def _stacked(watched: Watched) -> Reals:
    """All that is known in one array: (fields, n, days)."""
    return np.stack([getattr(watched, one.name) for one in fields(Watched)])


def _most(rater: npt.NDArray[np.int64] | None, n: int) -> npt.NDArray[np.int64]:
    return np.zeros(n, dtype=np.int64) if rater is None else rater.reshape(n, -1).max(axis=1)


def _told(shares: Floats) -> Watched:
    """From the shares of level and change (n, days, levels, changes)."""
    change = shares.sum(axis=2, dtype=np.float64)
    severity = _severity(shares)
    grades = np.arange(severity.shape[-1]) * STEP
    low, high = _band(severity)
    any_change = change[..., 1:].sum(axis=-1)
    p_any = levels.p_any(levels.log_odds(change[..., round(0.5 / STEP) :].sum(axis=-1)))
    p_worse = levels.p_worse(levels.log_odds(change[..., round(1 / STEP) :].sum(axis=-1)))
    return Watched(
        severity=np.clip(severity @ grades, low, high),
        low=low,
        high=high,
        p_worse=np.minimum(p_worse, p_any),  # each has a calibration of its own
        p_any=p_any,
        evidence=levels.log_odds(any_change),
    )


def _severity(shares: Floats) -> Reals:
    """The shares of level + change, in steps: (n, days, levels + changes - 1)."""
    n_levels, n_changes = shares.shape[2:]
    out = np.zeros((*shares.shape[:2], n_levels + n_changes - 1))
    for change in range(n_changes):
        out[..., change : change + n_levels] += shares[..., change]
    return out


def _band(severity: Reals) -> tuple[Reals, Reals]:
    """The grades below which a twentieth and all but a twentieth lie, each share spread over its step."""
    upto = np.cumsum(severity, axis=-1)
    ends = []
    for share in _BAND:
        at = np.minimum((upto < share).sum(axis=-1), severity.shape[-1] - 1)[..., None]
        here = np.take_along_axis(severity, at, axis=-1)
        before = np.take_along_axis(upto, at, axis=-1) - here
        within = (share - before) / np.maximum(here, 1e-12)
        ends.append(np.clip((at + within - 0.5) * STEP, 0, TOP)[..., 0])
    return ends[0], ends[1]
