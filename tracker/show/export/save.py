"""The whole export: read once, laid out, put together again and compared, and only then given out."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tracker.book import Book, book_of, require_records
from tracker.problem import NotWritten
from tracker.show.export.package import as_bytes, describe, for_reading_back
from tracker.show.export.part import Part
from tracker.show.export.sheets import sheet_parts
from tracker.show.export.worked_out import worked_out
from tracker.workbook.exported.layout import DESCRIPTION, ENDING
from tracker.workbook.exported.read import workbook_from
from tracker.workbook.exported.save import require_room, write_folder, zipped
from tracker.workbook.gate import Refused
from tracker.workbook.raw_workbook import RawWorkbook, filled
from tracker.workbook.read import read_workbook

CSV, PARQUET = "csv", "parquet"
FORMATS = (CSV, PARQUET)


def export_book(
    path: str | os.PathLike[str],
    folder: str | os.PathLike[str],
    *,
    on: dt.date | None = None,
    day_first: bool | None = None,
    format: str = CSV,  # noqa: A002
) -> Mapping[str, int]:
    """Write everything that a workbook holds, and all that is worked out of it as of the day `on`, into a new folder.

    What comes back: how many rows each table has, by its name. As "csv" the folder can be opened as the workbook
    itself can, and gives the same book; "parquet" is for other programs alone. Raises Unreadable for the workbook and
    NotWritten for the folder; then nothing is left behind.
    """
    target = Path(os.path.abspath(folder))
    require_room(target)
    if format == PARQUET:
        from tracker.show.export.parquet import require_parquet

        require_parquet()
    raw = read_workbook(path)
    book = book_of(raw, on=on, day_first=day_first)
    require_records(book, raw.path)
    parts, files = export_files(book, raw, format)
    write_folder(target, files)
    return {part.stem: len(part.rows) for part in parts}


def export_zip(book: Book) -> bytes:
    """What `export_book` writes as CSV, as one zip, as of the book's day; the workbook is read once more for it.

    Raises Unreadable or NotWritten.
    """
    raw = read_workbook(book.path)
    fresh = book_of(raw, on=book.as_of, day_first=book.day_first)
    return zipped(export_files(fresh, raw, CSV)[1])


def export_files(book: Book, raw: RawWorkbook, form: str = CSV) -> tuple[list[Part], dict[str, bytes]]:
    """Every table, and every file by its name."""
    sheets = sheet_parts(book, raw)
    assert sheets.cells is not None
    parts = [*sheets.checked, *sheets.aside, sheets.cells, *worked_out(book)]
    day = book.as_of.isoformat()
    if form == PARQUET:
        from tracker.show.export.parquet import ENDING as PARQUET_ENDING
        from tracker.show.export.parquet import parquet

        contents = {f"{part.stem}{PARQUET_ENDING}": parquet(part) for part in parts}
        return parts, {DESCRIPTION: as_bytes(describe(day, parts, contents, PARQUET_ENDING)), **contents}
    contents = {part.path: part.csv() for part in parts}
    back = for_reading_back(sheets.places, date1904=raw.date1904)
    description = {**describe(day, parts, contents, ENDING), **back}
    _require_the_same(raw, description, contents)
    return parts, {DESCRIPTION: as_bytes(description), **contents}


def _require_the_same(
    raw: RawWorkbook, description: Mapping[str, Any], contents: Mapping[str, bytes]
) -> None:
    """Raise NotWritten unless the tables give the workbook again, cell for cell."""
    try:
        same = same_cells(raw, workbook_from(raw.path, description, contents.__getitem__))
    except Refused:  # such as a text that is longer than a CSV file can hold
        same = False
    if not same:
        raise NotWritten("write-not-the-same", path=raw.path.name)


def same_cells(one: RawWorkbook, other: RawWorkbook) -> bool:
    """Whether two workbooks hold the same: sheets, cells and their kinds, merged cells, the first day of their calendar."""
    return one.date1904 == other.date1904 and [_said(one, n) for n in range(len(one.sheets))] == [
        _said(other, n) for n in range(len(other.sheets))
    ]


def _said(book: RawWorkbook, number: int) -> tuple[object, ...]:
    sheet = book.sheets[number]
    rows = filled(sheet.rows)
    return sheet.name, sheet.merged, rows, [[*map(type, row)] for row in rows]
