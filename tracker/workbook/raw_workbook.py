"""What reading gives, whatever the file's format: every sheet's cells from A1 on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

Rows = list[list[object]]

MOST_CELLS = 8_000_000
"""Cells that all sheets together may take, from A1 to the last filled cell of each: all are in memory."""


ERRORS = frozenset(
    [
        "#N/A",
        "#REF!",
        "#DIV/0!",
        "#VALUE!",
        "#NAME?",
        "#NUM!",
        "#NULL!",
        "#GETTING_DATA",
        "#SPILL!",
        "#CALC!",
        "#FIELD!",
        "#BLOCKED!",
        "#CONNECT!",
        "#UNKNOWN!",
        "#BUSY!",
    ]
)
"""The errors that a cell can show: ISO/IEC 29500-1 §18.17.3, and those that came later."""


@dataclass(frozen=True, slots=True)
class RawSheet:
    """One sheet as the owner left it: `rows[0]` is row 1 and `rows[r][0]` stands in column A.

    A cell is "" (blank), str, float, bool, a datetime, date, time or timedelta, a CellError, or an
    UnsavedFormula. Every row reaches to the last column that is filled anywhere in the sheet. `merged` are
    the cells merged into one, where the format tells: left and right columns from 0, rows from 1.
    """

    name: str
    rows: Rows
    merged: tuple[tuple[int, int, int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class RawWorkbook:
    """All sheets in the owner's order, hidden ones too. `date1904`: its days count from 1904.

    `kept_as` is how the file is kept: "xlsx", "xlsm" (with macros), "strict" (Strict Open XML), "xls", "xlsb",
    "ods", or "csv" (a folder of them).
    """

    path: Path
    sheets: tuple[RawSheet, ...]
    date1904: bool
    kept_as: str = "xlsx"


def filled(rows: Rows) -> Rows:
    """Cut rows of any length to the rectangle from A1 to the last filled cell, and fill its gaps with ""."""
    height = max((number for number, row in enumerate(rows, 1) if any(cell != "" for cell in row)), default=0)
    width = max((_width(row) for row in rows[:height]), default=0)
    return [row[:width] + [""] * (width - len(row)) for row in rows[:height]]


def _width(row: list[object]) -> int:
    return next((number for number in range(len(row), 0, -1) if row[number - 1] != ""), 0)
