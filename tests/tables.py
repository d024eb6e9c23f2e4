"""Checked tables from a few readable lines, as the checks would hand them on."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from tracker import sheets
from tracker.sheets import Column, Sheet
from tracker.table import Table
from tracker.terms import LIMB_GROUPS

_MOMENTS = (sheets.DATE, sheets.MOMENT)
_NUMBERS = (*sheets.QUANTITIES, sheets.SCORE, sheets.PULSE, sheets.BORN)
_TUPLES = (sheets.LIMBS, sheets.LIMBS_OR_YES, sheets.SIGNS)


def table(sheet: Sheet, text: str = "", set_aside: Iterable[int] = ()) -> Table:
    """Make a table of `sheet` from lines of cells with | between them.

    The first line holds the columns' keys, in any order; columns not named are empty. A row's number is
    its line's, as in a spreadsheet: the first record stands in row 2. Horse is Juno where it is not named.
    """
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines() if line.strip()]
    keys, *records = lines or [[]]
    assert set(keys) <= set(sheet.by_key), set(keys) - set(sheet.by_key)
    given = [dict(zip(keys, cells, strict=True)) for cells in records]
    index = pd.RangeIndex(2, 2 + len(given), name="row")
    columns = {
        column.key: _column(column, [cells.get(column.key) for cells in given], index)
        for column in sheet.columns
    }
    letters = {key: chr(ord("A") + at) for at, key in enumerate(keys)}
    return Table(sheet, pd.DataFrame(columns, index=index), frozenset(set_aside), letters)


def _column(column: Column, cells: list[str | None], index: pd.Index) -> pd.Series:
    if column.holds in _MOMENTS:
        return pd.Series([pd.Timestamp(cell) if cell else pd.NaT for cell in cells], index, "datetime64[us]")
    if column.holds in _NUMBERS:
        return pd.Series([float(cell) if cell else float("nan") for cell in cells], index, "float64")
    if column.holds in _TUPLES:
        return pd.Series([_words(cell or "") for cell in cells], index, "object")
    missing = "Juno" if column.holds == sheets.HORSE else ""
    return pd.Series([missing if cell is None else cell for cell in cells], index, "str")


def _words(cell: str) -> tuple[str, ...]:
    return LIMB_GROUPS.get(cell) or tuple(word.strip() for word in cell.split(",") if word.strip())
