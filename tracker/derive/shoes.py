"""Days since the shoes came off, counted for each pair of feet: fronts often come out alone."""

from __future__ import annotations

from datetime import date

from tracker.derive.rows import day_of
from tracker.table import Table
from tracker.terms import PAIRS


def shoes_off(horses: Table) -> dict[str, dict[str, date | None]]:
    """For each horse, the day its "front" and its "hind" shoes came off; None where it is not given.

    Of a horse that is listed twice, the first day given holds.
    """
    found: dict[str, dict[str, date | None]] = {}
    for row in horses.rows:
        pairs = found.setdefault(row.horse, dict.fromkeys(PAIRS))
        for pair in PAIRS:
            pairs[pair] = pairs[pair] or day_of(getattr(row, f"{pair}_shoes_off"))
    return found


def days_since(day: date | None, on: date) -> int | None:
    """Whole days from `day` to `on`; None where there is no such day, or it is still to come."""
    return None if day is None or day > on else (on - day).days


def pair_of(foot: str) -> str:
    """The pair that a foot belongs to: "front" or "hind"."""
    return next(pair for pair, feet in PAIRS.items() if foot in feet)
