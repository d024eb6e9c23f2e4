"""The time from one trim of a foot to its next, and where in it a foot was measured."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from tracker.derive.hooves import STAGES, HoofRecord
from tracker.derive.trims import Trim
from tracker.derive.uncertainty import Measure
from tracker.terms import FEET

BEFORE, AFTER = STAGES[0], STAGES[-1]
_SEVERAL = re.compile(r"^mean of \d+ by ")


@dataclass(frozen=True, slots=True)
class Cycle:
    """From a foot's trim to its next; `last` is None while the next is still to come, `days` then count to today."""

    foot: str
    first: date
    last: date | None
    days: int


class Placed(NamedTuple):
    """One measure of a foot, and how many days after the trim that began its cycle it was taken."""

    foot: str
    first: date
    days: int
    stage: str
    measure: Measure


def way_of(measure: Measure) -> str:
    """The way a measure was read, such as "gauge", whether once or several times."""
    return _SEVERAL.sub("", measure.how)


def trim_days(foot: str, trims: Iterable[Trim]) -> list[date]:
    """The days on which a foot was trimmed, each once; a trim of no named feet is of all."""
    return sorted({trim.date for trim in trims if not trim.feet or foot in trim.feet})


def cycles(trims: Iterable[Trim], on: date) -> tuple[Cycle, ...]:
    """Every cycle of every foot up to the day `on`, by foot and day."""
    done = [trim for trim in trims if trim.date <= on]
    found = []
    for foot in FEET:
        days = trim_days(foot, done)
        for first, last in zip(days, [*days[1:], None], strict=False):
            found.append(Cycle(foot, first, last, ((last or on) - first).days))
    return tuple(found)


def placed(name: str, records: Iterable[HoofRecord], trims: Iterable[Trim]) -> tuple[Placed, ...]:
    """Every reading of one measure that has a trim before it, by foot, cycle and day.

    On the day of a trim what was measured before it ends the cycle that went before; what does not say its stage
    counts as after it.
    """
    done = list(trims)
    days: dict[str, list[date]] = {}
    found = []
    for record in records:
        if name in record.measures:
            if record.foot not in days:
                days[record.foot] = trim_days(record.foot, done)
            if first := _began(record, days[record.foot]):
                since = (record.date - first).days
                found.append(Placed(record.foot, first, since, record.stage, record.measures[name]))
    return tuple(sorted(found, key=_place))


def _place(one: Placed) -> tuple[int, date, int, int]:
    return FEET.index(one.foot), one.first, one.days, STAGES.index(one.stage)


def _began(record: HoofRecord, days: list[date]) -> date | None:
    """The latest of the trims, which are by date, that the record comes after."""
    place = (bisect_left if record.stage == BEFORE else bisect_right)(days, record.date)
    return days[place - 1] if place else None
