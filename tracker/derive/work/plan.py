"""The steps of a return to work as the vet set them, and what was done on each of their days."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache
from typing import Any, NamedTuple

from tracker.derive.rows import day_of
from tracker.derive.work.sessions import TURNOUT, Session, total
from tracker.table import Table

AS_SET, EXCEEDED, SHORTER, MISSED, UNKNOWN = "as set", "exceeded", "shorter", "missed", "minutes not known"
NOTED = "noted"  # where the step sets no minutes to compare with
_DAY = timedelta(days=1)
# From the slowest to the fastest, and the words by which a step's own words name each. A step that names a gait
# in any way, as in "no trot yet", is taken to allow it: nothing is told on a guess.
_LADDER = ("hand-walk", "ridden walk", "trot", "canter")
_NAMED = (r"hand|\bled\b|\blead", r"\brid|\brode|saddle|mounted|hack", r"trot|jog", r"canter|lope|gallop")
_WALK = re.compile(r"walk", re.IGNORECASE)
_OUT = re.compile(r"turn(ed)? ?-?out|paddock|field|grazing", re.IGNORECASE)


class StepDay(NamedTuple):
    """One day of a step: the minutes noted (None: not known), how they compare, and kinds faster than the step's."""

    date: date
    minutes: float | None
    outcome: str
    faster: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a plan. `last` is None while the step goes on until something else is written.

    `first` is None where no day is given: then it has no `days`. `days` end with the day of the record; a day
    that is not over is in it only once it has what was set.
    """

    name: str
    first: date | None
    last: date | None
    what: str
    minutes: float | None
    move_on: str
    set_by: str
    row: int
    days: tuple[StepDay, ...] = ()

    def runs_on(self, day: date) -> bool:
        """Whether the day is one of the step's."""
        return self.first is not None and self.first <= day and (self.last is None or day <= self.last)

    def count(self, outcome: str) -> int:
        """How many of its days came out that way."""
        return sum(day.outcome == outcome for day in self.days)


def steps_of(name: str, plan: Table, noted: Mapping[date, Sequence[Session]], on: date) -> tuple[Step, ...]:
    """One horse's steps by their first day, each day up to `on` beside the sessions `noted` on it.

    A step without an Until ends the day before the next begins. Where Until comes before From, no day is compared.
    """
    found = [_step(row) for row in plan.rows_of(name)]
    found.sort(key=lambda step: (step.first or date.max, step.row))
    starts = sorted({step.first for step in found if step.first})
    ended = [replace(step, last=step.last or _before_next(step, starts)) for step in found]
    return tuple(replace(step, days=_days(step, noted, on)) for step in ended)


def _step(row: Any) -> Step:
    return Step(
        name=row.step,
        first=day_of(row.from_),
        last=day_of(row.until),
        what=row.what,
        minutes=None if math.isnan(row.minutes_a_day) else float(row.minutes_a_day),
        move_on=row.move_on_when,
        set_by=row.set_by,
        row=row.Index,
    )


def _before_next(step: Step, starts: Sequence[date]) -> date | None:
    later = next((day for day in starts if step.first and day > step.first), None)
    return later - _DAY if later else None


def _days(step: Step, noted: Mapping[date, Sequence[Session]], on: date) -> tuple[StepDay, ...]:
    if step.first is None:
        return ()
    last = min(step.last or on, on)
    count = (last - step.first).days + 1
    days = [
        _day(step, day, noted.get(day, ())) for day in (step.first + number * _DAY for number in range(count))
    ]
    if days and days[-1].date == on and days[-1].outcome in (MISSED, SHORTER):
        days.pop()  # the day is not over
    return tuple(days)


def _day(step: Step, day: date, sessions: Sequence[Session]) -> StepDay:
    turnout = _is_turnout(step.what)
    counted = [one for one in sessions if (one.kind == TURNOUT) == turnout and one.minutes != 0]
    minutes = total(counted)
    faster = () if turnout else _faster(step.what, counted)
    return StepDay(day, minutes, _outcome(step.minutes, minutes, bool(counted)), faster)


def _outcome(planned: float | None, minutes: float | None, any_noted: bool) -> str:
    if planned == 0:
        return EXCEEDED if any_noted else AS_SET
    if not any_noted:
        return MISSED
    if planned is None:
        return NOTED
    if minutes is None:
        return UNKNOWN
    return EXCEEDED if minutes > planned else SHORTER if minutes < planned else AS_SET


@lru_cache(maxsize=256)  # asked for each day of a step
def _is_turnout(what: str) -> bool:
    return bool(_OUT.search(what)) and _fastest(what) is None


@lru_cache(maxsize=256)
def _fastest(what: str) -> int | None:
    """The fastest kind of work that a step's words name, as its place on the ladder; None where they name none."""
    named = [place for place, words in enumerate(_NAMED) if re.search(words, what, re.IGNORECASE)]
    if named:
        return max(named)
    return 1 if _WALK.search(what) else None  # a walk may be ridden


def _faster(what: str, sessions: Sequence[Session]) -> tuple[str, ...]:
    top = _fastest(what)
    if top is None:
        return ()
    return tuple(kind for kind in _LADDER[top + 1 :] if any(one.kind == kind for one in sessions))
