"""Rules on the interval between trims."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found, day
from tracker.sheets import HORSES, VISITS

EIGHT_WEEKS = dt.timedelta(weeks=8)


def _last(facts: Facts) -> tuple[dt.date, str, tuple[str, ...]] | None:
    """The day the interval counts from, what happened on it, and its cells; None where neither is recorded."""
    trim = facts.trims[-1] if facts.trims else None
    if trim and (facts.shoes_off is None or trim.date >= facts.shoes_off):
        return trim.date, "last trim", (facts.cell(VISITS.name, "date", trim.row),)
    if facts.shoes_off:
        return facts.shoes_off, "shoes off", ()
    return None


def past_8_weeks(facts: Facts) -> Iterator[Found]:
    """More than eight weeks since the last trim."""
    if (last := _last(facts)) and facts.on - last[0] > EIGHT_WEEKS:
        weeks = (facts.on - last[0]).days // 7
        yield Found(
            last[0] + EIGHT_WEEKS, f"{last[1].capitalize()} {day(last[0])}, {weeks} weeks ago.", last[2]
        )


def overdue(facts: Facts) -> Iterator[Found]:
    """Past the horse's own due date; silent where the eight weeks speak already."""
    last = _last(facts)
    if last is None or facts.on - last[0] > EIGHT_WEEKS:
        return
    if facts.next_due and last[1] == "last trim":
        due, why = facts.next_due, "as named at the last trim"
        cells: tuple[str, ...] = (facts.cell(VISITS.name, "next_due", facts.trims[-1].row),)
    elif facts.trim_every_days:
        weeks = facts.trim_every_days / 7
        due, why = last[0] + dt.timedelta(days=facts.trim_every_days), f"every {weeks:g} weeks"
        cells = _own_interval_cell(facts)
    else:
        return
    if facts.on > due:
        because = f"Due {day(due)} ({why}); {last[1]} {day(last[0])}."
        yield Found(due, because, (*last[2], *cells))


def _own_interval_cell(facts: Facts) -> tuple[str, ...]:
    frame = facts.tables[HORSES.name].kept
    rows = frame.index[frame["horse"] == facts.horse]
    return (facts.cell(HORSES.name, "trim_every", int(rows[0])),) if len(rows) else ()
