"""A lameness that changes legs: reported once, as a pattern of its own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from tracker.derive.soundness import Series
from tracker.terms import FEET

# Our own choices: no published definition.
SPAN = dt.timedelta(days=60)
LEAST_APART = 1.0  # steps of 0-5 between the leg and the next; two of 0-10


@dataclass(frozen=True, slots=True)
class Alternating:
    """The legs that were the lame one, each with its days, over the last 60 days, and the rows of those notes."""

    since: dt.date
    days: dict[str, int]
    rows: tuple[int, ...]


def alternating(series: Sequence[Series], on: dt.date) -> Alternating | None:
    """Whether one leg and then another was the lame one, there and back, in notes seen the same way.

    The lame leg of a day is the one that is worse than all others by a grade (two of 10), or is graded as much
    where no other was.
    """
    for group in _alike(series):
        lame = _lame(group, on)
        turns = [leg for leg, _ in groupby(leg for _, leg, _ in lame)]
        if len(turns) > len(set(turns)):  # one had its turn, then another, then the one again
            days: dict[str, int] = {}
            for _, leg, _ in lame:
                days[leg] = days.get(leg, 0) + 1
            return Alternating(lame[0][0], days, tuple(row for _, _, row in lame))
    return None


def _alike(series: Sequence[Series]) -> list[list[Series]]:
    groups: dict[tuple[str, ...], list[Series]] = {}
    for one in series:
        if one.limb in FEET:
            groups.setdefault((one.scale, one.gait, one.ground, one.line), []).append(one)
    return [group for group in groups.values() if len(group) > 1]


def _lame(group: Sequence[Series], on: dt.date) -> list[tuple[dt.date, str, int]]:
    """The lame leg of each day that shows one, oldest first, with the row of its note."""
    least = LEAST_APART * (2 if group[0].scale == "0-10" else 1)
    days: dict[dt.date, list[tuple[float, str, int]]] = {}
    for one in group:
        for point in one.points:
            if on - SPAN < point.date <= on:
                days.setdefault(point.date, []).append((point.score, one.limb, point.row))
    found = []
    for day, grades in sorted(days.items()):
        worst, limb, row = max(grades)
        others = max((score for score, other, _ in grades if other != limb), default=0.0)
        if worst - others >= least:
            found.append((day, limb, row))
    return found
