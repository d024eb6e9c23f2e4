"""One value of a checked table: as it stands in the CSV file, and as the cell that it most likely came from."""

from __future__ import annotations

import datetime as dt

from tracker import sheets
from tracker.sheets import Column
from tracker.workbook.exported.kept_cell import fit
from tracker.workbook.exported.safe_text import guarded, unguarded

NUMBERS = (*sheets.QUANTITIES, sheets.SCORE, sheets.PULSE, sheets.BORN)
DAYS = (sheets.DATE, sheets.MOMENT)


def written(value: object) -> str:
    """A value as a CSV file holds it: ISO 8601 dates, plain numbers of up to 12 figures, safe text; "" for None."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return guarded(fit(",".join(map(str, value))))
    return guarded(fit(value)) if isinstance(value, str) else str(value)


def cell_of(column: Column, text: str) -> object:
    """The cell that a text of that column stands for. Raises ValueError where it stands for none."""
    if not text:
        return ""
    if column.holds in DAYS:
        return dt.datetime.fromisoformat(text) if "T" in text else dt.date.fromisoformat(text)
    return float(text) if column.holds in NUMBERS else unguarded(text)
