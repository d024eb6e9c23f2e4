"""New workbooks: the blank one, and the same layout filled with rows.

Everything in them is made from the declared sheets. An existing file is never touched.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from io import BytesIO
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from tracker import sheets
from tracker.cells.text import fold
from tracker.sheets import Column
from tracker.workbook.new import first_sheet as first
from tracker.workbook.new.lay_out import (
    DAY,
    DAY_AND_MONTH,
    DAY_AND_TIME,
    POINTS,
    Head,
    Look,
    heading_text,
    heads_of,
    height,
    lay_out,
    number_format,
)
from tracker.workbook.new.read_back import differences

Rows = Sequence[Mapping[str, object]]
_BY_FOLD = {fold(sheet.name): sheet for sheet in sheets.SHEETS}
_ERRORS = ("#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!")


def write_blank(path: Path) -> None:
    """Write a blank workbook of every sheet. Raises FileExistsError where there is a file already."""
    write_workbook(path, {sheet.name: () for sheet in sheets.SHEETS})


def write_workbook(
    path: Path,
    records: Mapping[str, Rows],
    *,
    headings: Mapping[str, Sequence[str]] | None = None,
    first_sheet: bool = True,
    made: dt.datetime | None = None,
) -> None:
    """Write a new workbook of the sheets in `records`, in that order, each cell as if it were typed.

    A row maps headings to values: "=1+1" is a formula whose result was never saved, "#N/A" an error cell.
    `headings` gives a sheet another heading row than the declared one; a row still finds its column by
    the declared heading. A heading that no column has is the owner's own and comes after the others; a
    sheet that is not declared is the owner's own too. `made` is the moment that the file says it was made;
    with it, the same rows give the same bytes. Raises FileExistsError where there is a file already.
    """
    content = BytesIO()
    written: dict[str, dict[tuple[int, int], object]] = {}
    with Workbook(content, {"in_memory": True}) as book:
        book.set_properties({"title": "Soundness ledger", "created": made or dt.datetime.now()})
        look = Look(book)
        if first_sheet:
            known = [_BY_FOLD[fold(name)] for name in records if fold(name) in _BY_FOLD]
            first.lay_out_first(book.add_worksheet(first.NAME), look, known)
        for name, rows in records.items():
            sheet = _BY_FOLD.get(fold(name))
            heads = heads_of(sheet, _heading_row(sheet, rows, (headings or {}).get(name)))
            page = book.add_worksheet(name)
            lay_out(page, look, heads, everyday=sheet is not None and sheet.everyday)
            written[name] = _fill(page, look, heads, rows)
    if wrong := differences(content.getvalue(), written):
        raise RuntimeError(f"written and read back differently: {', '.join(wrong[:5])}")
    with path.open("xb") as file:
        file.write(content.getvalue())


def _heading_row(sheet: sheets.Sheet | None, rows: Rows, given: Sequence[str] | None) -> list[str]:
    declared = [heading_text(column) for column in sheet.columns] if sheet else []
    texts = list(given) if given is not None else declared
    known = {*texts, *(column.heading for _, column in heads_of(sheet, texts) if column)}
    return texts + [key for key in dict.fromkeys(key for row in rows for key in row) if key not in known]


def _fill(page: Worksheet, look: Look, heads: Sequence[Head], rows: Rows) -> dict[tuple[int, int], object]:
    """Write the rows below the headings; returns every cell of the sheet by its place, counted from 0."""
    written: dict[tuple[int, int], object] = {(0, number): text for number, (text, _) in enumerate(heads)}
    place: dict[str, int] = {}
    for number, (text, column) in enumerate(heads):
        place.setdefault(text, number)
        if column:
            place.setdefault(column.heading, number)
    for line, row in enumerate(rows, 1):
        tall = height(heads, {place[key]: value for key, value in row.items()})
        if tall > POINTS:  # a spreadsheet program need not fit the rows when it opens the file
            page.set_row(line, tall)
        for key, value in row.items():
            column = heads[place[key]][1]
            how = look.cell(column, _format_for(value, column))
            _write(page, line, place[key], value, how)
            written[line, place[key]] = value
    return written


def _format_for(value: object, column: Column | None) -> str:
    """Take the column's format; a date that slipped in elsewhere has the one a spreadsheet gives it."""
    usual = number_format(column)
    if not isinstance(value, dt.date) or usual in (DAY, DAY_AND_TIME):
        return usual
    if isinstance(value, dt.datetime):
        return DAY_AND_TIME
    return DAY if column is None or column.holds == sheets.BORN else DAY_AND_MONTH


def _write(page: Worksheet, row: int, column: int, value: object, how: Format) -> None:
    if (isinstance(value, str) and value.startswith("=")) or value in _ERRORS:
        shown = value if value in _ERRORS else ""
        page.write_formula(row, column, f"={str(value).removeprefix('=')}", how, shown)
    elif isinstance(value, str):
        page.write_string(row, column, value, how)
    elif isinstance(value, bool):
        page.write_boolean(row, column, value, how)
    elif isinstance(value, dt.date):
        page.write_datetime(row, column, value, how)
    elif value is not None:
        page.write_number(row, column, value, how)
