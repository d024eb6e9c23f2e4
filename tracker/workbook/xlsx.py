"""Reading an .xlsx or .xlsm workbook, ordinary or Strict: nothing dropped, nothing guessed."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Sequence
from io import BytesIO
from pathlib import Path
from typing import cast

import python_calamine

from tracker.workbook.gate import Archive, Refused
from tracker.workbook.letters import column_index
from tracker.workbook.package import Package, read_package
from tracker.workbook.plain import PlainSheet, plain_sheet
from tracker.workbook.raw_workbook import MOST_CELLS, RawSheet, RawWorkbook, Rows

MOST_TEXT = 500_000_000
"""Bytes of the texts of all cells together, a shared text counted wherever it stands."""

_END_OF_TEXT = re.compile(rb"</si\s*>")
_SHARED = re.compile(rb't="s"[^<>]*+>(?:<f[^<>]*+>(?:[^<]*+</f>)?+)?+<v>(\d+)')
_MERGED = re.compile(
    rb"<(?:[\w.-]+:)?mergeCell\s[^<>]*?\bref\s*=\s*[\"']([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})[\"']"
)
_SHORTEST_CELL = len('<c r="A1" t="s"><v>0</v></c>')

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_TO_PARTS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"


def read_xlsx(path: Path, archive: Archive) -> RawWorkbook:
    """Read every cell of an Open XML workbook. Raises Refused."""
    package = read_package(archive)
    names = [name for name, _ in package.sheets]
    plain = [plain_sheet(name, xml) for name, xml in package.sheets]
    tables = read_cells(package, plain)
    merged = [tuple(_merged(xml)) for _, xml in package.sheets]
    sheets = tuple(map(RawSheet, names, tables, merged))
    return RawWorkbook(path, sheets, package.date1904, _kept_as(path, package))


def _merged(xml: bytes | bytearray) -> Iterator[tuple[int, int, int, int]]:
    for found in _MERGED.finditer(xml, max(xml.rfind(b"sheetData"), 0)):
        left, top, right, bottom = found.groups()
        yield column_index(left.decode()), int(top), column_index(right.decode()), int(bottom)


def _kept_as(path: Path, package: Package) -> str:
    if package.strict:
        return "strict"
    return "xlsm" if path.suffix.lower() == ".xlsm" else "xlsx"


def read_cells(package: Package, sheets: list[PlainSheet]) -> list[Rows]:
    """Read the rows of sheets that were looked at, from A1 on. Raises Refused."""
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


def _calamine(package: Package, sheets: list[PlainSheet]) -> Iterator[Rows]:
    try:
        workbook = python_calamine.load_workbook(_repacked(package, sheets))
        for index in range(len(sheets)):
            rows = workbook.get_sheet_by_index(index).to_python(skip_empty_area=False)
            yield cast("Rows", rows)
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
