"""The workbook's own sheets: the records as they were read, the rows that were set aside, what was typed otherwise.

A record's cell has the value that was read of it, in the unit of its heading; one that was left out is empty. A row
that was set aside stands in a table of its own, as it was typed, with the reason. Whatever these tables do not
show as it was typed (headings, remarks beside the records, sheets of the owner's own, 3 1/2 in, 4 Mar) is in one
table of cells, so that the whole workbook can be put together again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import pandas as pd

from tracker import sheets
from tracker.book import Book
from tracker.cells.text import squeeze, typed
from tracker.problem import ERROR, Problem
from tracker.sheets import SHEETS, Column, Sheet
from tracker.show.export.columns import field_of, typed_field
from tracker.show.export.part import TEXT, WHOLE, Field, Part
from tracker.table import Table
from tracker.workbook.exported.kept_cell import KINDS, fit, kept
from tracker.workbook.exported.layout import (
    CELL_COLUMNS,
    CELLS,
    ROW,
    WHY,
    SheetPlace,
    aside_stem,
    checked_stem,
)
from tracker.workbook.exported.table_cell import cell_of, written
from tracker.workbook.letters import column_index, column_letter
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook

READ, LEFT_OUT, ASIDE, FILLED_IN, ELSEWHERE = "read", "left out", "set aside", "filled in", "elsewhere"
_HORSES = "worked-out/horses", "Horse"
_WHOLE = (sheets.BORN, sheets.PULSE)

_ROW = Field(ROW, WHOLE, "The row's number in the workbook.", required=True)
_WHY = Field(WHY, TEXT, "Why the row is not used.")
_PLACES = {
    READ: "the tables show what was read of it",
    LEFT_OUT: "it could not be read, so the tables show nothing",
    ASIDE: "its whole row is set aside",
    FILLED_IN: "it is blank, and the tables show what follows from the rest of the workbook",
    ELSEWHERE: "it is no part of a record: a heading, a column or a sheet of the owner's own",
}
_CELL_FIELDS = tuple(
    Field(name, kind, about, required=required, more={"constraints": {"enum": [*words]}} if words else {})
    for name, (kind, about, required, words) in zip(
        CELL_COLUMNS,
        (
            (WHOLE, "The sheet's number in the workbook, from 1.", True, ()),
            (TEXT, "Its name.", False, ()),
            (WHOLE, "The row's number in the workbook.", True, ()),
            (TEXT, "The column's letters.", True, ()),
            (TEXT, "What was read from that column, if anything.", False, ()),
            (TEXT, "; ".join(f"{word}: {about}" for word, about in _PLACES.items()) + ".", True, _PLACES),
            (TEXT, "What the cell holds.", True, KINDS),
            (TEXT, "What was typed; a number, a date or a time as ISO 8601 and Python write it.", False, ()),
        ),
        strict=True,
    )
)


@dataclass(slots=True)
class SheetParts:
    """The tables of all sheets, and where each sheet of the workbook is found in them."""

    checked: list[Part] = field(default_factory=list)
    aside: list[Part] = field(default_factory=list)
    cells: Part | None = None
    places: list[SheetPlace] = field(default_factory=list)


def sheet_parts(book: Book, raw: RawWorkbook) -> SheetParts:
    """Every sheet of the workbook."""
    parts = SheetParts()
    cells: list[tuple[object, ...]] = []
    read = _read_from(book.tables, raw)
    reasons = _reasons(book.problems)
    for number, page in enumerate(raw.sheets, 1):
        table = read.get(number)
        letters = dict(table.letters) if table else {}
        parts.places.append(SheetPlace(page.name, table.sheet.name if table else "", letters, page.merged))
        shown = _Shown(page)
        if table:
            parts.checked.append(_checked(table, shown))
            if table.set_aside:
                parts.aside.append(_set_aside(table, shown, reasons))
        headings = {column_index(letter): key for key, letter in letters.items()}
        for row, column, place, value in shown.otherwise():
            heading = table.sheet.by_key[headings[column]].heading if table and column in headings else ""
            cells.append((number, page.name, row, column_letter(column), heading, place, *kept(value)))
    about = "Every cell of the workbook of which the tables do not show just what was typed."
    parts.cells = Part(
        CELLS, "As typed", about, _CELL_FIELDS, cells, key=CELL_COLUMNS[0:1] + CELL_COLUMNS[2:4]
    )
    return parts


def _read_from(tables: Mapping[str, Table], raw: RawWorkbook) -> dict[int, Table]:
    """The table that was read from each sheet, by the sheet's number: of several of one name, from the first."""
    found: dict[int, Table] = {}
    names = [squeeze(page.name) for page in raw.sheets]
    for sheet in SHEETS:
        if tables[sheet.name].letters and squeeze(sheet.name) in names:
            found[names.index(squeeze(sheet.name)) + 1] = tables[sheet.name]
    return found


def _reasons(problems: Iterable[Problem]) -> dict[tuple[str, int], list[str]]:
    found: dict[tuple[str, int], list[str]] = defaultdict(list)
    for problem in problems:
        if problem.severity == ERROR and problem.sheet and problem.cell:
            row = problem.cell.rpartition("!")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
            of = f"{problem.column}: " if problem.column else ""
            found[problem.sheet, int(row)].append(f"{of}{problem.message}")
    return found


class _Shown:
    """The cells of one sheet, and what the tables show of them."""

    def __init__(self, page: RawSheet) -> None:
        self._rows = page.rows
        self._width = len(page.rows[0]) if page.rows else 0
        self._told: dict[tuple[int, int], str] = {}  # how a cell differs from what is shown of it
        self._same: set[tuple[int, int]] = set()

    def typed_at(self, row: int, column: int) -> object:
        """The cell; rows count from 1, columns from 0."""
        inside = row <= len(self._rows) and column < self._width
        return self._rows[row - 1][column] if inside else ""

    def show(self, row: int, column: int, cell: object, place: str) -> None:
        """Note that the tables show this cell; `cell` is the one that is read back from them."""
        now = self.typed_at(row, column)
        if type(now) is type(cell) and now == cell:
            self._same.add((row, column))
        elif now == "" and type(now) is str:
            self._told[row, column] = FILLED_IN
        else:
            self._told[row, column] = LEFT_OUT if cell == "" and place == READ else place

    def otherwise(self) -> Iterator[tuple[int, int, str, object]]:
        """Every cell that is not shown as it was typed: its row, its column, its place in the tables, itself."""
        for row, cells in enumerate(self._rows, 1):
            for column, value in enumerate(cells):
                if value != "" and (row, column) not in self._same:
                    yield row, column, self._told.get((row, column), ELSEWHERE), value
                elif (row, column) in self._told:
                    yield row, column, self._told[row, column], ""


def _checked(table: Table, shown: _Shown) -> Part:
    sheet = table.sheet
    frame = table.kept
    rows = [int(row) for row in frame.index]
    columns: list[list[object]] = [[*rows]]
    for column in sheet.columns:
        letter = table.letters.get(column.key)
        values, cells = _values(column, frame[column.key])
        columns.append(values)
        if letter:
            at = column_index(letter)
            for row, cell in zip(rows, cells, strict=True):
                shown.show(row, at, cell, READ)
    return Part(
        checked_stem(sheet),
        sheet.name,
        f"{sheet.about} The records as they were read; what could not be read is empty.",
        (_ROW, *map(field_of, sheet.columns)),
        [*zip(*columns, strict=True)],
        key=(ROW,),
        links={"Horse": _HORSES} if "horse" in sheet.by_key else {},
    )


def _values(column: Column, series: pd.Series[Any]) -> tuple[list[object], list[object]]:
    """A column's values as they are given out, and the cells that would be read back from them."""
    known: dict[object, tuple[object, object]] = {}
    found = []
    for value in series.tolist():
        if value not in known:
            plain = _plain(column, value)
            known[value] = plain, cell_of(column, written(plain))
        found.append(known[value])
    return [plain for plain, _ in found], [cell for _, cell in found]


def _plain(column: Column, value: Any) -> object:
    """A value of a checked table as a plain one; None where there is none."""
    if isinstance(value, tuple):
        return [*value] or None
    if isinstance(value, str):
        return value or None
    if pd.isna(value):
        return None
    if isinstance(value, pd.Timestamp):
        day_only = column.holds == sheets.DATE or value == value.normalize()
        return value.date() if day_only else value.to_pydatetime()
    return int(value) if column.holds in _WHOLE and float(value).is_integer() else float(value)


def _set_aside(table: Table, shown: _Shown, reasons: Mapping[tuple[str, int], list[str]]) -> Part:
    sheet: Sheet = table.sheet
    rows = []
    for row in sorted(table.set_aside):
        line: list[object] = [row, " ".join(dict.fromkeys(reasons.get((sheet.name, row), ())))]
        for column in sheet.columns:
            letter = table.letters.get(column.key)
            text = ""
            if letter:
                at = column_index(letter)
                text = fit(typed(shown.typed_at(row, at)))
                shown.show(row, at, text, ASIDE)
            line.append(text or None)
        rows.append(line)
    return Part(
        aside_stem(sheet),
        f"{sheet.name}, set aside",
        f"Rows of the sheet {sheet.name} that are not used until they are mended, as they were typed.",
        (_ROW, _WHY, *map(typed_field, sheet.columns)),
        rows,
        key=(ROW,),
    )
