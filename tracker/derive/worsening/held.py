"""Pain relief hides: what was known before it is held while it may work.

A good grade under relief may be the relief's. The filter knows of it, but cannot be sure; so such a grade never
takes back what was known without any grade under relief.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from tracker.derive.worsening.days import Diaries, Reals, by_look
from tracker.derive.worsening.forward import Flags

LONGEST = 28
"""Days since the last grade without relief: then nobody knows. Our own choice."""


def unrelieved(diaries: Diaries) -> Diaries:
    """The diaries without what was scored under relief."""
    scores = by_look(diaries.scores)
    if diaries.masked is None:
        return diaries
    return replace(diaries, scores=np.where(by_look(diaries.masked) > 0, np.nan, scores), masked=None)


def holds(diaries: Diaries) -> tuple[Flags, Flags]:
    """The days on which what was known is held, and those with a grade that is not under relief: (n, days)."""
    seen = ~np.isnan(by_look(diaries.scores))
    masked = np.zeros_like(seen) if diaries.masked is None else seen & (by_look(diaries.masked) > 0)
    free = (seen & ~masked).any(axis=2) & ~masked.any(axis=2)
    last_free, last_masked = _last(free), _last(masked.any(axis=2))
    today = np.arange(free.shape[1])
    return (last_masked > last_free) & (last_free >= 0) & (today - last_free <= LONGEST), free


def least_since(values: Reals, free: Flags) -> Reals:
    """The least of each row's values (…, n, days) since its last day that is `free` (n, days)."""
    out = np.array(values)
    for day in range(1, values.shape[-1]):
        least = np.minimum(out[..., day - 1], values[..., day])
        out[..., day] = np.where(free[:, day], values[..., day], least)
    return out


def _last(flags: Flags) -> npt.NDArray[np.int64]:
    """The last such day up to each day; -1 where there is none."""
    days = np.where(flags, np.arange(flags.shape[1]), -1)
    return np.asarray(np.maximum.accumulate(days, axis=1))
