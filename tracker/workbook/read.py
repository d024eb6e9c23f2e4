"""Reading a workbook: every sheet's cells from A1 on, nothing dropped, nothing guessed."""

from __future__ import annotations

import gc
import os
import re
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import cast

import python_calamine

from tracker.problem import Unreadable
from tracker.workbook.gate import Refused, opened
from tracker.workbook.letters import column_letter
from tracker.workbook.package import Package, read_package
from tracker.workbook.plain import MOST_CELLS, PlainSheet, plain_sheet

__all__ = ["RawSheet", "RawWorkbook", "column_letter", "read_workbook"]

MOST_TEXT = 500_000_000
"""Bytes of the texts of all cells together, a shared text counted wherever it stands."""

_END_OF_TEXT = re.compile(rb"</si\s*>")
_SHARED = re.compile(rb't="s"[^<>]*+>(?:<f[^<>]*+>(?:[^<]*+</f>)?+)?+<v>(\d+)')
_SHORTEST_CELL = len('<c r="A1" t="s"><v>0</v></c>')

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_TO_PARTS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"


@dataclass(frozen=True, slots=True)
class RawSheet:
    """One sheet as the owner left it: `rows[0]` is row 1 and `rows[r][0]` stands in column A.

    A cell is "" (blank), str, float, bool, a datetime, date, time or timedelta, a CellError, or an
    UnsavedFormula. Every row reaches to the last column that is filled anywhere in the sheet.
    """

    name: str
    rows: list[list[object]]


@dataclass(frozen=True, slots=True)
class RawWorkbook:
    """All sheets in the owner's order, hidden ones too. `date1904`: its days count from 1904."""

    path: Path
    sheets: tuple[RawSheet, ...]
    date1904: bool


def read_workbook(path: str | os.PathLike[str]) -> RawWorkbook:
    """Read every cell of an .xlsx workbook. Raises Unreadable, and nothing else, for a file it cannot read."""
    path = Path(path)
    try:
        with opened(path) as archive:
            package = read_package(archive)
        names = [name for name, _ in package.sheets]
        plain = [plain_sheet(name, xml) for name, xml in package.sheets]
        with _no_collection():
            rows = _read_cells(package, plain)
        sheets = tuple(RawSheet(name, cells) for name, cells in zip(names, rows, strict=True))
    except Refused as refusal:
        shown = str(path) if refusal.slug in ("file-missing", "file-is-folder") else path.name
        raise Unreadable(refusal.slug, path=shown, **refusal.words) from refusal
    return RawWorkbook(path, sheets, package.date1904)


@contextmanager
def _no_collection() -> Iterator[None]:
    """Spare the garbage collector from going through hundreds of thousands of rows again and again."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


def _read_cells(package: Package, sheets: list[PlainSheet]) -> list[list[list[object]]]:
    _check_text(package, sheets)
    left, tables = MOST_CELLS, []  # for all sheets together
    for sheet, rows in zip(sheets, _calamine(package, sheets), strict=True):
        left -= len(rows) * len(rows[0]) if rows else 0
        if left < 0:
            raise Refused("file-too-large")
        for (row, column), remark in sheet.remarks.items():
            rows[row][column] = remark
        tables.append(rows)
    return tables


def _calamine(package: Package, sheets: list[PlainSheet]) -> Iterator[list[list[object]]]:
    try:
        workbook = python_calamine.load_workbook(_repacked(package, sheets))
        for index in range(len(sheets)):
            rows = workbook.get_sheet_by_index(index).to_python(skip_empty_area=False)
            yield cast("list[list[object]]", rows)
    except (GeneratorExit, KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except BaseException as error:  # the library's panics are no Exceptions
        raise Refused("file-damaged") from error


def _repacked(package: Package, sheets: list[PlainSheet]) -> BytesIO:
    """Pack anew, unpressed, what was looked at and nothing else."""
    content = BytesIO()
    numbers = range(1, len(sheets) + 1)
    parts = [f"worksheets/sheet{number}.xml" for number in numbers]
    with zipfile.ZipFile(content, "w") as archive:
        archive.writestr("_rels/.rels", _signposts("officeDocument", ["xl/workbook.xml"]))
        archive.writestr("xl/workbook.xml", _workbook(numbers, package.date1904))
        archive.writestr("xl/_rels/workbook.xml.rels", _signposts("worksheet", parts))
        if package.strings is not None:
            archive.writestr("xl/sharedStrings.xml", bytes(package.strings))
        if package.styles is not None:
            archive.writestr("xl/styles.xml", bytes(package.styles))
        for place, sheet in zip(parts, sheets, strict=True):
            with archive.open(f"xl/{place}", "w") as part:
                part.write(f'<worksheet xmlns="{_MAIN}"><sheetData>'.encode())
                part.writelines(sheet.rows)
                part.write(b"</sheetData></worksheet>")
    content.seek(0)
    return content


def _workbook(numbers: range, date1904: bool) -> str:
    sheets = "".join(f'<sheet name="{number}" sheetId="{number}" r:id="rId{number}"/>' for number in numbers)
    return (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_TO_PARTS}">'
        f'<workbookPr date1904="{int(date1904)}"/><sheets>{sheets}</sheets></workbook>'
    )


def _signposts(kind: str, targets: Sequence[str]) -> str:
    entries = "".join(
        f'<Relationship Id="rId{number}" Type="{_TO_PARTS}/{kind}" Target="{target}"/>'
        for number, target in enumerate(targets, 1)
    )
    return f'<Relationships xmlns="{_RELATIONSHIPS}">{entries}</Relationships>'


def _check_text(package: Package, sheets: list[PlainSheet]) -> None:
    """Refuse a long text that so many cells share that each having its own would fill the memory."""
    lengths = [len(text) for text in _END_OF_TEXT.split(package.strings or b"")]
    bytes_of_cells = sum(len(piece) for sheet in sheets for piece in sheet.rows)
    if max(lengths) * bytes_of_cells // _SHORTEST_CELL <= MOST_TEXT:
        return
    indexes = (int(found[1]) for sheet in sheets for piece in sheet.rows for found in _SHARED.finditer(piece))
    if sum(lengths[index] for index in indexes if index < len(lengths)) > MOST_TEXT:
        raise Refused("file-too-large")
