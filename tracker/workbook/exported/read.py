"""Reading an exported folder: the very workbook that was exported, cell for cell.

The checked tables give the cells whose typed form they show; what was typed otherwise is laid over them. That
is true only while nobody has changed a file, so each is compared with its sum in the description first.
"""

from __future__ import annotations

import csv
import hashlib
import json
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from io import StringIO
from pathlib import Path
from typing import Any

from tracker.sheets import BY_NAME, Sheet
from tracker.workbook.exported.kept_cell import value_of
from tracker.workbook.exported.layout import (
    CELL_COLUMNS,
    CELLS,
    DESCRIPTION,
    ENDING,
    OURS,
    ROW,
    VERSION,
    aside_stem,
    checked_stem,
    heading_of,
)
from tracker.workbook.exported.safe_text import unguarded
from tracker.workbook.exported.table_cell import cell_of
from tracker.workbook.formats.grid import Line, grid
from tracker.workbook.gate import Refused, opened_file, refusing
from tracker.workbook.letters import column_index
from tracker.workbook.raw_workbook import MOST_CELLS, RawSheet, RawWorkbook

MOST_BYTES = 256_000_000
"""Bytes of all files together; 100,000 rows of 20 cells, each of them typed otherwise, are about 150,000,000."""

_MOST_DESCRIBED = 4_000_000
_CHANGED = "file-export-changed"
_SPOILT = (
    ValueError,
    KeyError,
    TypeError,
    AttributeError,
    IndexError,
    OverflowError,
    RecursionError,
    csv.Error,
)

Cells = dict[tuple[int, int], object]
Reader = Callable[[str], bytes]


def description_of(folder: Path) -> dict[str, Any] | None:
    """What the folder's description says, where it is one of ours; None where it is not, or where there is none."""
    path = folder / DESCRIPTION
    if not path.is_file():
        return None
    with opened_file(path, (".json",)) as file:
        content = file.read(_MOST_DESCRIBED)
    try:
        found = json.loads(content)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) and OURS in found else None


def read_exported(folder: Path, described: Mapping[str, Any]) -> RawWorkbook:
    """The workbook that was exported into the folder. Raises Refused where a file is not as it was."""
    left = MOST_BYTES

    def content(name: str) -> bytes:
        nonlocal left
        with opened_file(folder / name, (ENDING,)) as file:
            found = file.read(left + 1)
        left -= len(found)
        if left < 0:
            raise Refused("file-too-large", path=name)
        return found

    with refusing():
        there = {path.name for path in folder.iterdir() if path.suffix.lower() == ENDING}
    return workbook_from(folder, described, content, there)


def workbook_from(
    path: Path, described: Mapping[str, Any], content: Reader, there: frozenset[str] | set[str] = frozenset()
) -> RawWorkbook:
    """The workbook of a description and the files beside it; `there` are the tables that lie in the folder itself.

    Raises Refused.
    """
    try:
        return _workbook(path, described, content, there)
    except _SPOILT as error:
        raise Refused(_CHANGED, path=DESCRIPTION) from error


def _workbook(
    path: Path, described: Mapping[str, Any], content: Reader, there: frozenset[str] | set[str]
) -> RawWorkbook:
    own = described[OURS]
    if own["version"] != VERSION:
        raise Refused("file-export-newer", path=DESCRIPTION)
    sums = {one["path"]: one["hash"] for one in described["resources"]}
    if strange := sorted(there - set(sums)):
        raise Refused(_CHANGED, path=strange[0])

    def rows(stem: str) -> Iterator[list[str]]:
        name = f"{stem}{ENDING}"
        if name not in sums:
            return iter(())
        found = content(name)
        if sums[name] != sum_of(found):
            raise Refused(_CHANGED, path=name)
        return csv.reader(StringIO(found.decode("utf-8"), newline=""))

    over = _typed_over(rows(CELLS))
    sheets, left = [], MOST_CELLS
    for number, one in enumerate(own["sheets"], 1):
        cells = _records(one, rows) if one["table"] else {}
        cells |= over[number]
        laid = _laid(one["name"], cells, left)
        left -= len(laid) * len(laid[0]) if laid else 0
        merged = tuple((a, b, c, d) for a, b, c, d in one["merged"])
        sheets.append(RawSheet(one["name"], laid, merged))
    return RawWorkbook(path, tuple(sheets), bool(own["date1904"]), kept_as="csv")


def sum_of(content: bytes) -> str:
    """A file's sum, as the description has it."""
    return f"sha256:{hashlib.sha256(content).hexdigest()}"


def _records(one: Mapping[str, Any], rows: Callable[[str], Iterator[list[str]]]) -> Cells:
    """The cells that the tables of one sheet show."""
    sheet: Sheet = BY_NAME[one["table"]]
    places = {key: column_index(letter) for key, letter in one["letters"].items()}
    cells: Cells = {}
    for stem, as_typed in ((checked_stem(sheet), False), (aside_stem(sheet), True)):
        lines = rows(stem)
        headings = next(lines, [])
        at = headings.index(ROW) if headings else 0
        columns = [
            (headings.index(heading_of(column)), column, places[column.key])
            for column in sheet.columns
            if column.key in places and headings
        ]
        for line in lines:
            row = int(line[at]) - 1
            for number, column, place in columns:
                text = line[number]
                value = unguarded(text) if as_typed else cell_of(column, text)
                if value != "":
                    cells[row, place] = value
    return cells


def _typed_over(lines: Iterator[list[str]]) -> defaultdict[int, Cells]:
    """What was typed otherwise than the tables show, by the sheet's number."""
    found: defaultdict[int, Cells] = defaultdict(dict)
    headings = next(lines, [])
    if headings and tuple(headings) != CELL_COLUMNS:
        raise ValueError(headings)
    for number, _, row, letters, _, _, kind, text in lines:
        found[int(number)][int(row) - 1, column_index(letters)] = value_of(kind, unguarded(text))
    return found


def _laid(name: str, cells: Cells, most: int) -> list[list[object]]:
    by_row: defaultdict[int, dict[int, object]] = defaultdict(dict)
    for (row, place), value in cells.items():
        if value != "":
            by_row[row][place] = value
    lines = []
    for row in sorted(by_row):
        filled = by_row[row]
        if row < 0 or min(filled) < 0:
            raise ValueError(name)
        if max(filled) >= most:
            raise Refused("file-too-large")
        lines.append(Line(row, 1, [filled.get(place, "") for place in range(max(filled) + 1)]))
    return grid(name, lines, most)
