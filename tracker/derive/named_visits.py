"""The days that a visit named for the next one, as far as they still stand; those of trims are told with the trims."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from tracker.derive.rows import day_of, day_until, each
from tracker.derive.trims import is_trim
from tracker.table import Table


@dataclass(frozen=True, slots=True)
class NamedVisit:
    """The day that a visit named for the next one. `number` tells alike visits of one day apart, from 1."""

    horse: str
    date: dt.date
    role: str
    purpose: str
    due: dt.date
    name: str
    advice: str
    row: int
    number: int


def named_visits(visits: Table, horse: str, on: dt.date) -> tuple[NamedVisit, ...]:
    """One horse's named days as of the day `on`, by the visit's day.

    A day no longer stands once a later visit of the same role and purpose came before it and named a day of its own.
    Any other visit leaves it standing: a reminder too many is better than one too few.
    """
    kept = visits.kept
    own = [row for row in each(kept[kept["horse"] == horse]) if day_until(row.date, on) and not is_trim(row)]
    own.sort(key=lambda row: (row.date, row.Index))
    alike: dict[tuple[object, ...], int] = {}
    found = []
    for row in own:
        key = row.date.date(), row.role, row.purpose
        alike[key] = number = alike.get(key, 0) + 1
        due = day_of(row.next_due)
        if due and due >= row.date.date() and not any(_came_before(later, row, due) for later in own):
            found.append(
                NamedVisit(
                    horse, key[0], row.role, row.purpose, due, row.name, row.advice, int(row.Index), number
                )
            )
    return tuple(found)


def _came_before(later: Any, row: Any, due: dt.date) -> bool:
    same = (later.role, later.purpose) == (row.role, row.purpose)
    named = day_of(later.next_due)
    return (
        same
        and row.date.date() < later.date.date() < due
        and named is not None
        and named >= later.date.date()
    )
