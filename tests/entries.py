"""A small workbook on the disk, entries into it, and what openpyxl, which wrote none of it, finds there."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl

from tracker.entry.journal import journal_of
from tracker.workbook.new.blank import write_workbook

NOW = dt.datetime(2026, 6, 30, 19, 5, 42)
TODAY = NOW.date()
HORSE: dict[str, object] = {"Horse": "Bramble", "Usual scale": "0-5"}
NOTE: dict[str, object] = {"Date": "28 Jun 2026", "Limb": "LF", "Score": "2/5"}


def barn(folder: Path, **sheets: list[dict[str, object]]) -> Path:
    """A workbook of one horse and one note, or of the sheets given; `Pain_relief` names Pain relief."""
    file = folder / "barn.xlsx"
    rows = {name.replace("_", " "): rows for name, rows in sheets.items()}
    write_workbook(file, rows or {"Horses": [HORSE], "Soundness": [NOTE]}, first_sheet=False)
    return file


def found(file: Path, sheet: str = "Soundness") -> list[dict[str, object]]:
    """The records below the headings, by heading, without empty cells and rows."""
    head, *rows = openpyxl.load_workbook(file)[sheet].iter_rows(values_only=True)
    records = [
        {str(heading): value for heading, value in zip(head, row, strict=True) if value is not None}
        for row in rows
    ]
    return [record for record in records if record]


def cell(file: Path, place: str) -> object:
    """One cell, such as "Soundness!A3"."""
    sheet, _, ref = place.rpartition("!")
    return openpyxl.load_workbook(file)[sheet][ref].value


def owner_saves(file: Path, place: str = "Horses!Z9", value: object = "mine") -> None:
    """The owner changes a cell and saves with another program, so that no byte need be as it was."""
    book = openpyxl.load_workbook(file)
    sheet, _, ref = place.rpartition("!")
    book[sheet][ref] = value
    book.save(file)


def owner_inserts_row(file: Path, sheet: str, row: int, **cells: object) -> None:
    """The owner inserts a row above that row, fills cells of it by their letters, and saves."""
    book = openpyxl.load_workbook(file)
    book[sheet].insert_rows(row)
    for letter, value in cells.items():
        book[sheet][f"{letter}{row}"] = value
    book.save(file)


def owner_deletes_row(file: Path, sheet: str, row: int) -> None:
    """The owner deletes a row and saves."""
    book = openpyxl.load_workbook(file)
    book[sheet].delete_rows(row)
    book.save(file)


def open_elsewhere(file: Path) -> Path:
    """The lock that LibreOffice lays beside a workbook that it has open."""
    lock = file.with_name(f".~lock.{file.name}#")
    lock.touch()
    return lock


def journal_lines(file: Path) -> int:
    """How many events the workbook's journal holds; 0 where there is none."""
    journal = journal_of(file)
    return len(journal.read_bytes().splitlines()) if journal.exists() else 0
