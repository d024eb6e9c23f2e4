"""What changed in a horse's life: feed, turnout, ground, weather, boots and the like."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tracker.table import Table

OTHER = "other"


@dataclass(frozen=True, slots=True)
class LifeChange:
    """One change: its day, its kind ("other" where none is written), what changed, and its row."""

    date: date
    kind: str
    what: str
    row: int


def life_changes(name: str, changes: Table, on: date) -> tuple[LifeChange, ...]:
    """One horse's changes up to the day `on`, by date."""
    rows = (row for row in changes.rows_of(name) if row.date.date() <= on)
    found = [LifeChange(row.date.date(), row.kind or OTHER, row.what, row.Index) for row in rows]
    return tuple(sorted(found, key=lambda one: (one.date, one.row)))
