"""A workbook made in a test, given out and read back."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Mapping
from io import StringIO
from pathlib import Path
from typing import Any

from tracker.book import book_of
from tracker.show.export.save import export_files
from tracker.workbook.exported.save import write_folder
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook
from tracker.workbook.read import read_workbook

ON = dt.date(2026, 6, 30)
HORSES: list[list[object]] = [["Horse", "Usual scale"], ["Bramble", "0-5"]]


def workbook(path: Path, sheets: Mapping[str, list[list[object]]], *, date1904: bool = False) -> RawWorkbook:
    """A workbook as the reader would give it; its rows may have any length."""
    return RawWorkbook(path, tuple(RawSheet(name, _even(rows)) for name, rows in sheets.items()), date1904)


def _even(rows: list[list[object]]) -> list[list[object]]:
    width = max(map(len, rows), default=0)
    return [row + [""] * (width - len(row)) for row in rows]


def files_of(raw: RawWorkbook, on: dt.date = ON) -> dict[str, bytes]:
    """What is given out of it."""
    return export_files(book_of(raw, on=on), raw)[1]


def given_out(raw: RawWorkbook, folder: Path, on: dt.date = ON) -> RawWorkbook:
    """The same after it went out into a folder and came back."""
    write_folder(folder, files_of(raw, on))
    return read_workbook(folder)


def table(content: bytes) -> list[dict[str, Any]]:
    """A CSV file's rows."""
    return [*csv.DictReader(StringIO(content.decode("utf-8"), newline=""))]
