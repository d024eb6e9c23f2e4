"""Which notes were written when the horse was seen, and which from memory.

A note that is made days later is weaker evidence, and a week that is written in one evening is one memory,
not seven: see `tracker.reference.judging`.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from tracker.derive.rows import moment_of
from tracker.table import Table

ON_ITS_DAY, LATE, NOT_KNOWN = "on its day", "late", "not known"

# Our own choices.
LATEST = 2  # days after its own that a note still counts as written on its day
SITTING = timedelta(hours=1)
SEVERAL = 3  # days whose notes are written in one sitting
LEAST_NOTES = 10


@dataclass(frozen=True, slots=True)
class OnItsDay:
    """How many notes were written on their day (or within two days of it), late, and how many do not say."""

    on_its_day: int
    late: int
    not_known: int

    @property
    def share(self) -> float:
        """The part written on its day, of the notes that say when they were written, 0 to 1."""
        return self.on_its_day / (self.on_its_day + self.late)


def when_written(soundness: Table) -> dict[int, str]:
    """For each row that is not set aside, by its number: "on its day", "late" or "not known".

    Late is a note made more than two days after its day, or one of three or more days that were written
    within an hour, save that of the very day. Not known is one whose Written is empty, or lies before its
    day. A Written without a time of day belongs to no sitting.
    """
    rows = [(int(row.Index), row.date.date(), moment_of(row.written)) for row in soundness.rows]
    sat = _in_one_sitting([(day, written) for _, day, written in rows if written])
    return {row: _mark(day, written, sat) for row, day, written in rows}


def written_shares(
    soundness: Table, on: date, written: Mapping[int, str] | None = None
) -> dict[str, OnItsDay]:
    """The share of each horse's notes up to the day `on`, by horse; none below ten that say when they were written.

    `written` is what `when_written` gives, where it is known already.
    """
    marks = when_written(soundness) if written is None else written
    own: dict[str, Counter[str]] = defaultdict(Counter)
    for row in soundness.rows:
        if row.date.date() <= on:
            own[row.horse][marks[row.Index]] += 1
    return {
        horse: OnItsDay(count[ON_ITS_DAY], count[LATE], count[NOT_KNOWN])
        for horse, count in own.items()
        if count[ON_ITS_DAY] + count[LATE] >= LEAST_NOTES
    }


def _mark(day: date, written: datetime | None, sat: set[tuple[date, datetime]]) -> str:
    if written is None or written.date() < day:
        return NOT_KNOWN
    after = (written.date() - day).days
    return LATE if after > LATEST or (after and (day, written) in sat) else ON_ITS_DAY


def _in_one_sitting(notes: list[tuple[date, datetime]]) -> set[tuple[date, datetime]]:
    """Those notes that lie within an hour of others, three days or more together."""
    timed = sorted((written, day) for day, written in notes if written.time() != time())
    sat: set[tuple[date, datetime]] = set()
    end = 0
    for start, (begun, _) in enumerate(timed):
        while end < len(timed) and timed[end][0] - begun <= SITTING:
            end += 1
        if len({day for _, day in timed[start:end]}) >= SEVERAL:
            sat.update((day, written) for written, day in timed[start:end])
    return sat
