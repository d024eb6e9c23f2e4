"""Diaries as typed → what was looked at on each day, in the filter's own terms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening import looks
from tracker.derive.worsening.forward import NOT_SAID, Days, Flags
from tracker.derive.worsening.looks import Whole

MOST_OTHERS = 2
"""Further people with a bias of their own; any more share that of the last."""
_SORE_DAYS = 3
"""Days after a trim on which a horse may be footsore, and the day itself."""

Reals = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Diaries:
    """Scores of the 0-5 scale and what goes with them; None where there is none of it.

    Each is (n, days), or (n, days, looks) where a day has more than one look; trims are always (n, days).

    scores      grades, nan on days without one
    masked      scored under pain relief
    rater       0 for the usual person, 1, 2 … for others
    trims       a trim on that day
    than_last   -1 better, 0 same, 1 worse than last time, nan not said
    late        written down later than the day after the next
    """

    scores: Reals
    masked: Flags | None = None
    rater: Whole | None = None
    trims: Flags | None = None
    than_last: Reals | None = None
    late: Flags | None = None

    def some(self, rows: Whole) -> Diaries:
        """The diaries of these rows."""

        def of(values: npt.NDArray[Any] | None) -> Any:
            return None if values is None else values[rows]

        return Diaries(
            self.scores[rows],
            of(self.masked),
            of(self.rater),
            of(self.trims),
            of(self.than_last),
            of(self.late),
        )


def days_of(diaries: Diaries) -> Days:
    """Number the looks of each day."""
    scores = by_look(diaries.scores)
    seen = ~np.isnan(scores)
    grade = np.floor(np.nan_to_num(scores) * 2 + 0.5).astype(np.int64)
    rater = np.where(seen, np.minimum(_or_none(diaries.rater, scores), MOST_OTHERS), 0)
    masked = seen & (_or_none(diaries.masked, scores) > 0)
    trims = np.zeros(scores.shape[:2], dtype=np.int64) if diaries.trims is None else diaries.trims
    kinds = looks.kind(
        grade,
        _whole_so_far(grade, seen, rater),
        rater=rater,
        masked=masked.astype(np.int64),
        sore=_sore(trims.astype(np.int64))[..., None],
        late=_or_none(diaries.late, scores),
    )
    return Days(
        looks=np.where(seen, kinds, looks.NO_LOOK),
        masked=masked.any(axis=2),
        said=_said(diaries.than_last, seen),
        others=int(rater.max(initial=0)),
    )


def by_look(values: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """(n, days, looks), also where a day has one look only."""
    return values if values.ndim == 3 else values[..., None]


def _said(than_last: Reals | None, seen: Flags) -> npt.NDArray[np.int8]:
    """The first word of each day."""
    said = np.full(seen.shape[:2], NOT_SAID, dtype=np.int8)
    if than_last is not None:
        words = np.where(seen, by_look(than_last), np.nan)
        for look in reversed(range(words.shape[2])):
            told = ~np.isnan(words[..., look])
            said[told] = np.sign(words[..., look][told]).astype(np.int8)
    return said


def _or_none(values: npt.NDArray[Any] | None, scores: Reals) -> Whole:
    return np.zeros(scores.shape, dtype=np.int64) if values is None else by_look(values).astype(np.int64)


def _whole_so_far(grade: Whole, seen: Flags, rater: Whole) -> Whole:
    """How many whole grades a person has written by this look; `HALVES_FOR_SURE` once there was a half."""
    out = np.zeros_like(grade)
    flat = (len(grade), -1)
    for person in range(int(rater.max(initial=0)) + 1):
        own = seen & (rater == person)
        halves = np.cumsum((own & (grade % 2 == 1)).reshape(flat), axis=1).reshape(own.shape) > 0
        so_far = np.minimum(np.cumsum(own.reshape(flat), axis=1).reshape(own.shape), looks.MOST_WHOLE)
        out = np.where(own, np.where(halves, looks.HALVES_FOR_SURE, so_far), out)
    return out


def _sore(trims: Whole) -> Whole:
    days = trims.copy()
    for after in range(1, _SORE_DAYS + 1):
        days[:, after:] |= trims[:, :-after]
    return days
