"""Dates in figures that may be one day or another: 26-06-01 and 40326. The column's other dates settle which."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np

from tracker.cells.dates import EARLIEST, WrittenDate, run_together
from tracker.check.columns import Note, TypedColumn, allowed_in

Moment = dt.datetime | WrittenDate
YEAR = dt.timedelta(days=366)
KEPT = (
    10 * YEAR
)  # how far back a record is likely to go where no other date of the column shows it (our own choice)
NEARER = 0.5  # the rows must lie at least this much closer together in one reading than in the other (our own choice)


def settle_figures(column: TypedColumn, written: dict[int, Moment], latest: dt.date) -> dict[int, Moment]:
    """The dates, each of them in one reading; what is left out is noted, and so is what stays unsure.

    `latest` is the last day that is not still to come; a record is likely to lie within ten years before it.
    """
    return _settle_year_first(column, _settle_numbers(column, written, latest), latest)


def _settle_numbers(column: TypedColumn, written: dict[int, Moment], latest: dt.date) -> dict[int, Moment]:
    """Leave out the day numbers that may be a day, a month and a year run together, unless other dates are near."""
    together = {
        code: days for code in written if (days := _run_together(column, written[code], code, latest))
    }
    if not together:
        return written
    plain = [day for code, date in written.items() if code not in together for day in _days(date)[:1]]
    span = (min(plain) - YEAR, max(plain) + YEAR) if plain else (latest - KEPT, latest + YEAR)
    settled = dict(written)
    for code, days in together.items():
        number = _days(written[code])[0]
        if (likely := [day for day in days if _within(day, span)]) or (plain and not _within(number, span)):
            words = {"read": _shown(number), "other": _shown((likely or days)[0])}
            column.notes += [
                Note(at, "date-run-together", allowed_in(column.column), words) for at in column.where(code)
            ]
            del settled[code]
    return settled


def _run_together(column: TypedColumn, date: Moment, code: int, latest: dt.date) -> list[dt.date]:
    """The days gone by that a day number may stand for besides; true dates and written ones have none."""
    typed = column.uniques[code]
    if isinstance(date, WrittenDate) or not isinstance(typed, str | float):
        return []
    return sorted(day for day in run_together(typed) if EARLIEST <= day <= latest + YEAR)


def _settle_year_first(column: TypedColumn, written: dict[int, Moment], latest: dt.date) -> dict[int, Moment]:
    """Read dates such as 26-06-01 with the year last or first: as the rows lie much closer together.

    Where that does not show it, the year stands last unless that is unlikely, and one doubt says so.
    """
    leading = {code: other for code, date in written.items() if (other := _year_first(date))}
    if not leading:
        return written
    turned: dict[int, Moment] = {**written, **leading}
    usual_spread, other_spread = _spread(column, written), _spread(column, turned)
    if usual_spread < NEARER * other_spread:
        return written
    if other_spread < NEARER * usual_spread:
        return turned
    settled, unsure = dict(written), []
    for code, other in leading.items():
        settled[code], sure = _alone(written[code], other, (latest - KEPT, latest + YEAR))
        if not sure:
            unsure.append(code)
    if unsure:
        code = min(unsure, key=lambda code: column.where(code)[0])
        left = written[code] if settled[code] is leading[code] else leading[code]
        words = {"read": _shown(_days(settled[code])[0]), "other": _shown(_days(left)[0])}
        at = column.where(code)[0]
        column.notes.append(Note(at, "date-year-first", allowed_in(column.column), words))
    return settled


def _alone(usual: Moment, other: WrittenDate, span: tuple[dt.date, dt.date]) -> tuple[Moment, bool]:
    """The likelier reading by itself, and whether it is in no doubt. A year first is hyphened, as in 2026-03-04."""
    usual_fits = any(_within(day, span) for day in _days(usual))
    other_fits = _within(_days(other)[0], span)
    if not other_fits or not _days(usual):
        return usual, True
    hyphened = isinstance(usual, WrittenDate) and usual.between == "-"
    return (usual, not hyphened) if usual_fits else (other, False)


def _year_first(date: Moment) -> WrittenDate | None:
    return date.year_first() if isinstance(date, WrittenDate) else None


def _spread(column: TypedColumn, dates: Mapping[int, Moment]) -> float:
    """Days from row to row, added up."""
    of_code = np.full(len(column.uniques), np.nan)
    for code, date in dates.items():
        if days := _days(date):
            of_code[code] = days[0].toordinal()
    known = of_code[column.codes]
    return float(np.abs(np.diff(known[~np.isnan(known)])).sum())


def _days(date: Moment) -> list[dt.date]:
    """The day that a date is, or the days that it may be while the order of day and month is open."""
    if isinstance(date, dt.datetime):
        return [date.date()]
    found = [date.on(date.year, order) for order in (True, False)] if date.year else []
    return [day.date() for day in found if day is not None]


def _within(day: dt.date, span: tuple[dt.date, dt.date]) -> bool:
    return span[0] <= day <= span[1]


def _shown(day: dt.date) -> str:
    return f"{day.day} {day:%b %Y}"
