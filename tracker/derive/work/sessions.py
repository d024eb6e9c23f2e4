"""What a horse did: its sessions of work and turnout, by day and by week."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from tracker.table import Table

TURNOUT, OTHER = "turnout", "other"
MOST = 24 * 60
"""Minutes that a day has: a day that adds up to more was written wrongly, and nothing is worked out from it."""


class Session(NamedTuple):
    """One row of the Work sheet; `minutes` is None, and `ground` "", where none is written."""

    date: date
    kind: str
    minutes: float | None
    ground: str
    row: int

    @property
    def is_work(self) -> bool:
        """Turnout is no work."""
        return self.kind != TURNOUT


@dataclass(frozen=True, slots=True)
class Week:
    """Work from a Monday to the Sunday after: minutes by kind and by ground, turnout beside it.

    `days` are those with work, `unsaid` the sessions of work whose minutes are not known. A ground that was not
    written is "".
    """

    first: date
    days: int
    minutes: float
    kinds: Mapping[str, float]
    grounds: Mapping[str, float]
    turnout: float
    unsaid: int


def sessions_of(name: str, work: Table, on: date, first: date = date.min) -> tuple[Session, ...]:
    """One horse's sessions from the first day up to the day `on`, by date."""
    rows = (row for row in work.rows_of(name) if first <= row.date.date() <= on)
    found = [
        Session(
            row.date.date(),
            row.what or OTHER,
            None if math.isnan(row.minutes) else float(row.minutes),
            row.ground,
            row.Index,
        )
        for row in rows
    ]
    return tuple(sorted(found, key=lambda one: (one.date, one.row)))


def by_day(sessions: Iterable[Session]) -> dict[date, tuple[Session, ...]]:
    """The sessions of each day that has one, by date."""
    days: dict[date, list[Session]] = {}
    for one in sessions:
        days.setdefault(one.date, []).append(one)
    return {day: tuple(found) for day, found in sorted(days.items())}


def total(sessions: Iterable[Session]) -> float | None:
    """The minutes of one day together; None where some are not known, or a day cannot hold them."""
    minutes = [one.minutes for one in sessions]
    known = [found for found in minutes if found is not None]
    return sum(known) if len(known) == len(minutes) and sum(known) <= MOST else None


def weeks(sessions: Sequence[Session]) -> tuple[Week, ...]:
    """The weeks in which something was noted, the latest first."""
    found: dict[date, list[Session]] = {}
    for one in sessions:
        found.setdefault(one.date - timedelta(days=one.date.weekday()), []).append(one)
    return tuple(_week(monday, own) for monday, own in sorted(found.items(), reverse=True))


def _week(monday: date, sessions: Sequence[Session]) -> Week:
    work = [one for one in sessions if one.is_work]
    usable, unsaid = [], 0
    for own in by_day(work).values():
        known = [one for one in own if one.minutes is not None]
        if sum(one.minutes or 0 for one in known) > MOST:
            known = []
        usable += known
        unsaid += len(own) - len(known)
    turned_out = by_day(one for one in sessions if not one.is_work).values()
    return Week(
        first=monday,
        days=len({one.date for one in work if one.minutes != 0}),
        minutes=sum(one.minutes or 0 for one in usable),
        kinds=_sums((one.kind, one.minutes or 0) for one in usable),
        grounds=_sums((one.ground, one.minutes or 0) for one in usable),
        turnout=sum(total(own) or 0 for own in turned_out),
        unsaid=unsaid,
    )


def _sums(parts: Iterable[tuple[str, float]]) -> dict[str, float]:
    """Each name's minutes, the most first."""
    sums: dict[str, float] = {}
    for name, minutes in parts:
        sums[name] = sums.get(name, 0) + minutes
    return dict(sorted(sums.items(), key=lambda one: -one[1]))
