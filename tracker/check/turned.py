"""True dates that a spreadsheet may have turned round as they were typed.

One that expects the month first makes a true date of 4/3/26, namely 3 April, and leaves 25/3/26 as text.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from tracker.cells.dates import WrittenDate
from tracker.check.columns import Note, TypedColumn, allowed_in

NEARER = 0.5  # the rows must lie at least this much closer together with the dates turned (our own choice)
Moment = dt.datetime | WrittenDate


def note_turned(
    column: TypedColumn, written: Mapping[int, Moment], values: npt.NDArray[np.datetime64]
) -> None:
    """Doubt, once a column, true dates that fit the rows around them far better the other way round.

    Only where every text date shows, as 25/3/26 does, why it stayed text, and no true date has a day above 12.
    """
    true = {code: date for code, date in written.items() if isinstance(date, dt.datetime)}
    texts = [date for date in written.values() if isinstance(date, WrittenDate) and date.numeric]
    if not true or not texts or any(date.day > 12 for date in true.values()):
        return
    if not all(date.tells for date in texts) or len({date.order for date in texts}) > 1:
        return
    other = values.copy()
    for code, date in true.items():
        turned = date.replace(day=date.month, month=date.day)
        other[column.codes == code] = np.datetime64(turned, "us")
    moved = np.flatnonzero(other != values)  # NaT differs from itself
    moved = moved[~np.isnat(values[moved])]
    if len(moved) and _spread(other) < NEARER * _spread(values):
        at = int(moved[0])
        words = {"read": f"{_day(values[at])}", "other": f"{_day(other[at])}"}
        column.notes.append(Note(at, "dates-turned", allowed_in(column.column), words))


def _spread(values: npt.NDArray[np.datetime64]) -> float:
    """Days from row to row, added up."""
    days = values[~np.isnat(values)].astype("datetime64[D]").astype(np.int64)
    return float(np.abs(np.diff(days)).sum())


def _day(value: np.datetime64) -> str:
    date: dt.date = value.astype("datetime64[D]").item()
    return f"{date.day} {date:%b %Y}"
