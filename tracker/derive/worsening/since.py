"""Since when a horse that is likely worse has been so: looking back with all that is known now.

The backward pass of the same model (Rabiner 1989, Proc IEEE 77:257-286, equations 25-27, as smoothed shares).
What was only written down later, and what was said beside a score, has no part in it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tracker.derive.worsening.forward import NOT_SAID, Days, Walk
from tracker.derive.worsening.hidden import Floats, Habits
from tracker.derive.worsening.looks import NO_LOOK, likelihood, people

LONGEST = 120
"""Days to look back."""
_LEAST = 2
"""Steps of change that count: half a grade."""
_EARLY, _MIDDLE, _SURE = 0.1, 0.5, 0.9


@dataclass(frozen=True, slots=True)
class Since:
    """Days before the last one on which the change likely began: 8 of 10 times between `earliest` and `latest`."""

    likely: int
    earliest: int
    latest: int


def likely_since(days: Days, habits: Habits) -> Since:
    """Days ago that the change of the one diary in `days` began, if it has changed at all."""
    shares = changed(days, habits)[::-1]
    first = [int(np.argmax(np.append(shares < share, True))) - 1 for share in (_MIDDLE, _EARLY, _SURE)]
    likely, earliest, latest = (max(day, 0) for day in first)
    return Since(likely, earliest, latest)


def changed(days: Days, habits: Habits) -> Floats:
    """For each of the last days, how likely it was changed already, given that it is so on the last: (days,)."""
    days = replace(days, said=np.full_like(days.said, NOT_SAID))
    columns = people(habits, days.others, bool(days.masked.any()))
    kinds, turn = np.unique(days.looks[0], return_inverse=True)
    table = np.stack([likelihood(habits, columns, int(kind)) for kind in kinds], axis=1)
    at = turn.reshape(days.looks.shape[1:])
    walk = Walk(habits, columns, table, 1, hears=False)
    nights = []
    for day, looks in enumerate(at):
        looked = (days.looks[:, day] != NO_LOOK).any(axis=1)
        walk.step(days.masked[:, day], looked, days.said[:, day])
        expected = walk.states.copy()
        for look in looks[days.looks[0, day] != NO_LOOK]:
            walk.see(np.array([look]))
        walk.told()
        if day >= len(at) - LONGEST - 1:
            nights.append((expected, walk.states.copy(), walk.begun))
    return _looked_back(walk, nights, _LEAST * len(habits.swing))


def _looked_back(walk: Walk, nights: list[tuple[Floats, Floats, bool]], least: int) -> Floats:
    shares = np.zeros(len(nights), dtype=np.float32)
    known = nights[-1][1].copy()
    known[..., :least] = 0
    known /= known.sum()
    shares[-1] = 1.0
    for back in range(len(nights) - 2, -1, -1):
        expected, _, begun = nights[back + 1]
        ratio = np.divide(known, expected, out=np.zeros_like(known), where=expected > 0)
        known = nights[back][1] * walk.back(ratio, walk.day - (len(nights) - 2 - back), begun)
        known /= known.sum()
        shares[back] = known[..., least:].sum()
    return shares
