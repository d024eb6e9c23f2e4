"""Where everything lies in the folder, and what the description beside it says of the workbook itself."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.sheets import QUANTITIES, Column, Sheet

DESCRIPTION = "datapackage.json"
ENDING = ".csv"
OURS = "soundness"
"""The property of the description that holds what only this program reads."""

VERSION = 1
ROW, WHY = "Row", "Why"
CELLS = "as-typed/cells"
CELL_COLUMNS = ("Sheet number", "Sheet", "Row", "Column", "Heading", "In the tables", "Kind", "Typed")


def heading_of(column: Column) -> str:
    """A column's heading in a checked table, with the unit that its numbers have."""
    has_unit = column.unit and column.holds in QUANTITIES and not column.unit.startswith("of ")
    return f"{column.heading} ({column.unit})" if has_unit else column.heading


def checked_stem(sheet: Sheet) -> str:
    """Where the records of a sheet lie; the same name as the sheet's, so that they can be read as a folder of CSV files."""
    return sheet.name


def aside_stem(sheet: Sheet) -> str:
    """Where the rows of a sheet lie that were set aside."""
    return f"set-aside/{sheet.name}"


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """One sheet of the workbook.

    Its name, its merged cells, the declared sheet that was read from it ("" if none), and the letters of the
    columns that were read.
    """

    name: str
    table: str
    letters: dict[str, str]
    merged: tuple[tuple[int, int, int, int], ...]
