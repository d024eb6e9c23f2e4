"""When the next trim is due, and who says so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta

from tracker.derive.rows import day_of
from tracker.derive.trims import Trim
from tracker.table import Table

TRIMMER, OWN, LIMIT, EIGHT_WEEKS = "trimmer", "own interval", "own limit", "8 weeks"
WEEKS = 8


@dataclass(frozen=True, slots=True)
class Due:
    """The day the next trim is due, and why.

    `counted_from` is the last trim, or the day shoes came off after it (`from_shoes`). `days` holds what each
    of the three says, by its name: the day the trimmer named, the horse's own interval, eight weeks. The
    first of them that there is, is the day. A horse's own, more careful limit stands instead of the eight weeks,
    and is the day wherever it is the sooner.
    """

    counted_from: date
    from_shoes: bool
    days: Mapping[str, date]
    on: date

    @property
    def why(self) -> str:
        """Whose day it is."""
        first = next(iter(self.days))
        return LIMIT if self.days.get(LIMIT, self.days[first]) < self.days[first] else first

    @property
    def day(self) -> date:
        """The day it is due."""
        return self.days[self.why]

    @property
    def overdue(self) -> int:
        """Whole days past it; 0 on the day itself and before."""
        return max(0, (self.on - self.day).days)


def next_due(
    visits: Table,
    trims: Sequence[Trim],
    every_days: int | None,
    shoes_off: Mapping[str, date | None],
    on: date,
    limit_days: int | None = None,
) -> Due | None:
    """When the next trim of one horse is due; None where neither a trim nor a day without shoes is known.

    `trims` are that horse's own, by date. Counted from the last of them, or from the last day that shoes came
    off, whichever is later; the day that the trimmer named holds only where it was named at that last trim. `limit_days` is the horse's own limit.
    """
    last = trims[-1] if trims else None
    off = max((day for day in shoes_off.values() if day and day <= on), default=None)
    from_shoes = bool(off and (last is None or last.date < off))
    begun = off if from_shoes else last.date if last else None
    if begun is None:
        return None
    days = {}
    if last and not from_shoes and (named := _named(visits, last)):
        days[TRIMMER] = named
    if every_days:
        days[OWN] = begun + relativedelta(days=every_days)
    if limit_days:
        days[LIMIT] = begun + relativedelta(days=limit_days)
    else:
        days[EIGHT_WEEKS] = begun + relativedelta(weeks=WEEKS)
    return Due(begun, from_shoes, days, on)


def _named(visits: Table, last: Trim) -> date | None:
    """The day named at that trim; one that does not lie after it is no day for the next."""
    named = day_of(next(visit.next_due for visit in visits.rows_of(last.horse) if visit.Index == last.row))
    return named if named and named > last.date else None
