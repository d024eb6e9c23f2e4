"""Small workbooks written in a test as readable tables, and what the check makes of them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from tracker.book import check_all
from tracker.check.book import Checked
from tracker.workbook.read import RawSheet, RawWorkbook

TODAY = dt.date(2026, 6, 30)


def raw(*, date1904: bool = False, **sheets: str) -> RawWorkbook:
    """A workbook as the reader would give it.

    Each sheet is a table with | between its cells; `Pain_relief` names the sheet Pain relief. A cell of
    figures is a number, `@2026-03-04` a true date, `'2` is text.
    """
    return RawWorkbook(
        Path("barn.xlsx"),
        tuple(RawSheet(name.replace("_", " "), rows(text)) for name, text in sheets.items()),
        date1904,
    )


def rows(text: str) -> list[list[object]]:
    """The table's cells, row by row, every row as long as the longest."""
    lines = [[_cell(part.strip()) for part in line.split("|")] for line in text.strip().splitlines()]
    width = max((len(line) for line in lines), default=0)
    return [line + [""] * (width - len(line)) for line in lines]


def _cell(text: str) -> object:
    if text.startswith("@"):
        return dt.datetime.fromisoformat(text[1:])
    if text.startswith("'"):
        return text[1:]
    try:
        return float(text)
    except ValueError:
        return text


def checked(
    *, today: dt.date = TODAY, day_first: bool | None = None, date1904: bool = False, **sheets: str
) -> Checked:
    """The check of such a workbook."""
    return check_all(raw(date1904=date1904, **sheets), today, day_first)


def told(result: Checked) -> list[tuple[str, str]]:
    """Each problem as (cell, kind)."""
    return [(problem.cell or problem.sheet or "", problem.kind) for problem in result.problems]
