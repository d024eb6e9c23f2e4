"""All that is known of one horse's trims."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from tracker.derive.hooves import HoofRecord
from tracker.derive.trimming.at_trim import AtTrim, at_trims
from tracker.derive.trimming.between import Weekly, between_trims
from tracker.derive.trimming.cycles import Cycle, cycles
from tracker.derive.trimming.due import Due, next_due
from tracker.derive.trims import Trim
from tracker.table import Table


@dataclass(frozen=True, slots=True)
class Trimming:
    """One horse: the cycles of each foot, what each trim changed, what changes between them, what is due."""

    trims: tuple[Trim, ...]
    cycles: tuple[Cycle, ...]
    at_trims: tuple[AtTrim, ...]
    between: tuple[Weekly, ...]
    due: Due | None

    def closed(self, foot: str) -> tuple[int, ...]:
        """The days of each of a foot's cycles that a next trim has ended."""
        return tuple(cycle.days for cycle in self.cycles if cycle.foot == foot and cycle.last)

    def middle(self, foot: str) -> float | None:
        """The middle one of them."""
        days = self.closed(foot)
        return median(days) if days else None


def trimming(
    trims: Sequence[Trim],
    records: Sequence[HoofRecord],
    visits: Table,
    every_days: int | None,
    shoes_off: Mapping[str, date | None],
    on: date,
    limit_days: int | None = None,
) -> Trimming:
    """The trims of one horse as of the day `on`; trims, records, interval, days and limit are that horse's own."""
    done = tuple(trim for trim in trims if trim.date <= on)
    known = [record for record in records if record.date <= on]
    return Trimming(
        trims=done,
        cycles=cycles(done, on),
        at_trims=at_trims(known),
        between=between_trims(known, done),
        due=next_due(visits, done, every_days, shoes_off, on, limit_days),
    )
