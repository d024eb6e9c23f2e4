"""Marks on the wall, followed down as it grows."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from tracker.cells.text import fold
from tracker.derive.hooves import HoofRecord
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE


@dataclass(frozen=True, slots=True)
class Reading:
    """How far below the hairline a mark was on a day, mm."""

    date: date
    below: Measure


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark of one foot, its readings by date; `name` as first typed, "" where it has none.

    `went_up`: it was read higher than on an earlier day, by more than the measuring error. A mark only grows
    down, so one of the two is wrong or is another mark; which is not known, and no growth is taken from it.
    """

    foot: str
    name: str
    readings: tuple[Reading, ...]

    @property
    def went_up(self) -> bool:
        """Whether it ever stood higher than on an earlier day, beyond the error of both."""
        lowest: Reading | None = None
        for reading in self.readings:
            if lowest and reading.date > lowest.date and _above(reading.below, lowest.below):
                return True
            if lowest is None or reading.below.value > lowest.below.value:
                lowest = reading
        return False

    @property
    def days(self) -> int:
        """Days from its first to its last reading."""
        return (self.readings[-1].date - self.readings[0].date).days


def marks_of(records: Iterable[HoofRecord]) -> tuple[Mark, ...]:
    """Every mark of one horse, by foot and then by the day it was first read."""
    found: dict[tuple[str, str], list[Reading]] = defaultdict(list)
    names: dict[tuple[str, str], str] = {}
    for record in sorted(records, key=lambda record: record.date):
        for name, below in record.marks.items():
            key = record.foot, fold(name)
            names.setdefault(key, name)
            found[key].append(Reading(record.date, below))
    return tuple(Mark(foot, names[foot, name], tuple(own)) for (foot, name), own in found.items())


def _above(now: Measure, then: Measure) -> bool:
    reach = COVERAGE * math.hypot(now.sd, then.sd)
    return then.value - now.value > reach and not math.isclose(then.value - now.value, reach)
