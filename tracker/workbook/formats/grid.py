"""Rows that were found here and there in a sheet, put in their places."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tracker.workbook.gate import Refused
from tracker.workbook.letters import LAST_COLUMN, LAST_ROW, column_letter
from tracker.workbook.raw_workbook import Rows

_FAR = 0.01
"""A cell is called far away where this part of the grid lies empty before it: 164 columns or 10,486 rows."""


@dataclass(frozen=True, slots=True)
class Line:
    """A row's cells from column A to its last filled one, standing `times` times from row `index` (from 0) on."""

    index: int
    times: int
    cells: list[object]


def grid(name: str, lines: list[Line], most: int) -> Rows:
    """Lay filled lines, in their order, into one rectangle from A1 on.

    Raises Refused where that takes more than `most` cells; a far cell of the sheet `name` is then named.
    """
    height = max((line.index + line.times for line in lines), default=0)
    width = max((len(line.cells) for line in lines), default=0)
    if height > LAST_ROW or width > LAST_COLUMN:
        raise Refused("file-damaged")
    if height * width > most:
        raise _too_large(name, lines, width)
    rows: Rows = [[] for _ in range(height)]
    for line in lines:
        for number in range(line.index, line.index + line.times):
            rows[number] = list(line.cells)
    for row in rows:
        row.extend([""] * (width - len(row)))
    return rows


def _too_large(name: str, lines: list[Line], width: int) -> Refused:
    last = max(lines, key=lambda line: line.index)
    widest = next(line for line in lines if len(line.cells) == width)
    used = {column for line in lines for column, cell in enumerate(line.cells) if cell != ""}
    column_gap = _widest_gap((column, column + 1) for column in used) / LAST_COLUMN
    row_gap = _widest_gap((line.index, line.index + line.times) for line in lines) / LAST_ROW
    if max(column_gap, row_gap) < _FAR:
        return Refused("file-too-large")
    if column_gap >= row_gap:
        return Refused("file-far-cell", sheet=name, ref=f"{column_letter(width - 1)}{widest.index + 1}")
    first = next(column for column, cell in enumerate(last.cells) if cell != "")
    return Refused("file-far-cell", sheet=name, ref=f"{column_letter(first)}{last.index + 1}")


def _widest_gap(spans: Iterable[tuple[int, int]]) -> int:
    """How many rows or columns in a row lie empty; each span is the first and the one after the last."""
    widest = done = 0
    for start, stop in sorted(spans):
        widest, done = max(widest, start - done), max(done, stop)
    return widest
