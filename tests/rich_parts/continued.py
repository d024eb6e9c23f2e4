"""The record of each rich workbook gone on with: new notes below the old ones, and what a reader should give of them."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest
from rich_workbooks import WORKBOOKS, content

from rich_parts.by_xlsxwriter import HEADING_ROW
from rich_parts.packing import Package
from rich_parts.readers import Cells
from rich_parts.record import KNOWN, NOTES, note
from tracker.workbook.change.plan import Plan, plan_append

AMONG_RICHES = ("rich", "macros", "libreoffice-rich")
NEEDS_A_DATE_FORMAT = ("no-date-style", "prefixes-everywhere")
CANNOT_SHOW_A_DATE = ("no-styles",)
# What the libraries cannot read, before and after: openpyxl and LibreOffice want the usual names of parts,
# calamine gives no cell of a part in UTF-16.
NOT_WITH_OPENPYXL = ("odd-names",)
NOT_WITH_LIBREOFFICE = ("odd-names",)
NOT_WITH_CALAMINE = ("utf-16",)


def every_workbook_but(*without: str) -> pytest.MarkDecorator:
    """A test of every workbook with a few exceptions."""
    return pytest.mark.parametrize("name", [name for name in WORKBOOKS if name not in without])


def heading_row(name: str) -> int:
    """The row of the headings of the daily notes, from 1."""
    return HEADING_ROW if name in AMONG_RICHES else 1


def last_row(name: str) -> int:
    """The row of the last daily note, from 1."""
    return heading_row(name) + NOTES


def new_notes(name: str, count: int) -> list[dict[int, object]]:
    """Notes that go on where the record ends."""
    rows = [note(number) for number in range(NOTES, NOTES + count)]
    if name in CANNOT_SHOW_A_DATE:
        rows = [
            {column: str(value) if isinstance(value, dt.date) else value for column, value in row.items()}
            for row in rows
        ]
    return rows


@cache
def appended(name: str, count: int) -> Plan:
    """So many notes added at once, planned but not saved."""
    return plan_append(
        content(name), "Soundness", new_notes(name, count), heading_row=heading_row(name), known=KNOWN
    )


def expected(name: str, count: int) -> Cells:
    """The new cells by row and column, as a reader gives them."""
    return {
        (row, column): value
        for row, values in enumerate(new_notes(name, count), last_row(name) + 1)
        for column, value in values.items()
    }


def soundness(name: str) -> str:
    """The part of the daily notes, as the zip spells it."""
    if name == "odd-names":
        return r"xl\WorkSheets\sheet1.xml"
    return Package.unpacked(content(name)).sheet("Soundness")
