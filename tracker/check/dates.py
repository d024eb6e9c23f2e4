"""Settle the dates of a column together: which figure is the day, and which year was left out."""

from __future__ import annotations

import bisect
import datetime as dt
import locale
import time
from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from tracker.cells.dates import EARLIEST, LATEST, WrittenDate, heading_order, read_date
from tracker.cells.reading import Reading
from tracker.check.columns import Note, TypedColumn, allowed_in, read_one
from tracker.check.figures import settle_figures
from tracker.check.turned import note_turned

Moment = dt.datetime | WrittenDate

CLOSE_DAYS = 60  # a date without a year is clear where the rows around it lie no further away than this


def machine_day_first() -> bool:
    """Whether this computer writes the day before the month; day first where it has no habit of its own."""
    before = locale.setlocale(locale.LC_TIME)
    try:
        name = locale.setlocale(locale.LC_TIME, "")
        shown = time.strftime("%x", (2033, 1, 25, 0, 0, 0, 1, 25, 0))
    except locale.Error:
        return True
    finally:
        locale.setlocale(locale.LC_TIME, before)
    if name.split(".")[0] in ("C", "POSIX") or "25" not in shown:
        return True
    return shown.index("25") < shown.replace("25", "xx").index("1")


def read_written(column: TypedColumn, date1904: bool, latest: dt.date) -> dict[int, Moment]:
    """Each distinct date as written, by its code; cells that are no date, or may be another one, are noted."""
    written: dict[int, Moment] = {}
    for code in np.unique(column.codes).tolist():
        reading = read_one(
            column.uniques[code],
            column.column,
            lambda value, declared: (
                Reading(found)
                if (found := read_date(value, date1904)) is not None
                else Reading(None, "date-unreadable", allowed_in(declared))
            ),
        )
        if isinstance(reading.value, dt.datetime | WrittenDate):
            written[code] = reading.value
        elif reading.slug:
            column.notes += [Note(at, reading.slug, reading.allowed) for at in column.where(code)]
    return settle_figures(column, written, latest)


def shown_order(written: Iterable[Moment]) -> str:
    """Either "day" or "month": the order that dates such as 25/3 show, if all that show one agree; else ""."""
    orders = {date.order for date in written if isinstance(date, WrittenDate) and date.tells}
    return orders.pop() if len(orders) == 1 else ""


def settle(
    column: TypedColumn, written: dict[int, Moment], elsewhere: str, day_first: bool | None, latest: dt.date
) -> npt.NDArray[np.datetime64]:
    """The column's dates. `elsewhere` is the order that the workbook's other columns show.

    `latest` is the last day that is not still to come. One doubt tells that an order had to be assumed.
    """
    order, reason = _order(written.values(), heading_order(column.place.unit), elsewhere, day_first)
    dates: dict[int, dt.datetime] = {}
    open_codes: list[int] = []
    unclear: list[int] = []
    for code, date in written.items():
        if isinstance(date, dt.datetime):
            dates[code] = date
        elif date.year is None:
            open_codes.append(code)
        elif (settled := date.on(date.year, order)) is not None:
            dates[code] = settled
        else:
            _note(column, code, "date-no-such-day")
        if reason and isinstance(date, WrittenDate) and not date.order and date.first != date.second:
            unclear.append(code)
    values = _over_rows(column, dates)
    _drop_beyond(column, values)
    if open_codes:
        _fill_years(column, values, {code: written[code] for code in open_codes}, order, latest)
    if unclear:
        _say_order(column, values, unclear, reason)
    note_turned(column, written, values)
    _note_weekdays(column, written, values)
    _note_future(column, values, latest)
    if column.column.holds == "date":
        values = values.astype("datetime64[D]").astype("datetime64[us]")
    return values


def _order(
    written: Iterable[Moment], in_heading: str, elsewhere: str, day_first: bool | None
) -> tuple[bool, str]:
    """(whether the day stands first, why it had to be assumed; "" where the column shows it)."""
    if shown := shown_order(written) or in_heading:
        return shown == "day", ""
    if day_first is not None:
        return day_first, f"{_words(day_first)} first, as was asked"
    if elsewhere:
        return elsewhere == "day", f"{elsewhere} first, as in the workbook's other columns"
    habit = machine_day_first()
    return habit, f"{_words(habit)} first, as this computer writes dates"


def _words(day_first: bool) -> str:
    return "day" if day_first else "month"


def _over_rows(column: TypedColumn, dates: dict[int, dt.datetime]) -> npt.NDArray[np.datetime64]:
    unique = np.full(len(column.uniques), np.datetime64("NaT", "us"))
    for code, date in dates.items():
        unique[code] = np.datetime64(date, "us")
    return unique[column.codes]


def _note(column: TypedColumn, code: int, slug: str) -> None:
    column.notes += [Note(at, slug, allowed_in(column.column)) for at in column.where(code)]


def _fill_years(
    column: TypedColumn,
    values: npt.NDArray[np.datetime64],
    open_dates: dict[int, Moment],
    order: bool,
    latest: dt.date,
) -> None:
    """Give each date without a year the year that fits the nearest dates above and below it."""
    known = np.flatnonzero(~np.isnat(values)).tolist()
    for code, date in open_dates.items():
        assert isinstance(date, WrittenDate)
        for at in column.where(code):
            place = bisect.bisect(known, at)
            around = [_day(values[known[i]]) for i in (place - 1, place) if 0 <= i < len(known)]
            found, sure = _nearest_year(date, around, order, latest)
            if found is None:
                column.notes.append(Note(at, "date-no-such-day", allowed_in(column.column)))
                continue
            values[at] = np.datetime64(found, "us")
            if not sure:
                column.notes.append(
                    Note(at, "date-year-missing", allowed_in(column.column), {"read": f"{found:%Y}"})
                )


def _day(value: np.datetime64) -> dt.date:
    day: dt.date = value.astype("datetime64[D]").item()
    return day


def _nearest_year(
    date: WrittenDate, around: list[dt.date], order: bool, latest: dt.date
) -> tuple[dt.datetime | None, bool]:
    """The date in the year that lies between its neighbours, or nearest to them; and whether it lies between."""
    near = around or [latest]
    years = range(min(near).year - 1, max(near).year + 2)
    dated = [found for year in years if (found := date.on(year, order)) is not None]
    if not dated:
        return None, False
    between = [found for found in dated if min(near) <= found.date() <= max(near)]
    if len(around) == 2 and len(between) == 1:
        return between[0], True
    best = min(dated, key=lambda found: sum(abs((found.date() - day).days) for day in near))
    agree = bool(around) and all(abs((best.date() - day).days) <= CLOSE_DAYS for day in around)
    return best, agree


def _say_order(
    column: TypedColumn, values: npt.NDArray[np.datetime64], unclear: list[int], reason: str
) -> None:
    at = min(column.where(code)[0] for code in unclear)
    if np.isnat(values[at]):
        return
    read = f"{_day(values[at]):%-d %b %Y}" if hasattr(time, "tzset") else f"{_day(values[at]):%d %b %Y}"
    words = {"order": reason, "read": read}
    column.notes.append(Note(at, "date-order-unclear", allowed_in(column.column), words))


def _drop_beyond(column: TypedColumn, values: npt.NDArray[np.datetime64]) -> None:
    allowed = allowed_in(column.column)
    beyond = (values < np.datetime64(EARLIEST)) | (values >= np.datetime64(LATEST))
    for at in np.flatnonzero(beyond).tolist():
        column.notes.append(Note(at, "date-out-of-range", allowed))
        values[at] = np.datetime64("NaT")


def _note_weekdays(
    column: TypedColumn, written: dict[int, Moment], values: npt.NDArray[np.datetime64]
) -> None:
    """Doubt the dates that fall on another weekday than the one that was written beside them."""
    for code, date in written.items():
        if not isinstance(date, WrittenDate) or date.weekday is None:
            continue
        for at in column.where(code):
            if not np.isnat(values[at]) and (day := _day(values[at])).weekday() != date.weekday:
                words = {"read": f"{day.day} {day:%b %Y}", "weekday": f"{day:%A}"}
                column.notes.append(Note(at, "date-weekday", allowed_in(column.column), words))


def _note_future(column: TypedColumn, values: npt.NDArray[np.datetime64], latest: dt.date) -> None:
    allowed = allowed_in(column.column)
    if not column.column.ahead:
        ahead = values >= np.datetime64(latest + dt.timedelta(days=1))
        column.notes += [Note(at, "date-in-future", allowed) for at in np.flatnonzero(ahead).tolist()]
