"""Trims that were done, and when the next one falls due by the horse's own interval."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from tracker.derive.rows import day_until
from tracker.table import Table


@dataclass(frozen=True, slots=True)
class Trim:
    """One visit for a trim; `feet` is empty where the workbook does not say which."""

    horse: str
    date: date
    feet: tuple[str, ...]
    row: int


def trims(visits: Table, on: date) -> list[Trim]:
    """List the trims done by the day `on`, by date. A trimmer who came for no purpose that is written down, trimmed."""
    found = [
        Trim(row.horse, row.date.date(), row.feet, row.Index)
        for row in visits.rows
        if is_trim(row) and day_until(row.date, on)
    ]
    return sorted(found, key=lambda trim: (trim.date, trim.row))


def is_trim(visit: Any) -> bool:
    """Whether a row of the Visits sheet is a trim."""
    return visit.purpose == "trim" or (visit.role == "trimmer" and not visit.purpose)


def intervals(horses: Table) -> dict[str, int | None]:
    """For each horse, its own interval between trims in whole days; None where it is not given.

    Of a horse that is listed twice, the first interval given holds.
    """
    found: dict[str, int | None] = {}
    for row in horses.rows:
        days = None if math.isnan(row.trim_every) else round(row.trim_every * 7)
        found[row.horse] = found.get(row.horse) or days
    return found


def days_since_trim(foot: str, day: date, done: Iterable[Trim]) -> int | None:
    """Whole days from the foot's last trim to that day; None where none is known. A trim of no named feet is of all."""
    own = [
        (day - trim.date).days for trim in done if trim.date <= day and (not trim.feet or foot in trim.feet)
    ]
    return min(own, default=None)
