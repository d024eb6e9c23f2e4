"""Reading a binary workbook (.xlsb, [MS-XLSB]): the library reads the cells, after they were looked through.

Its records show what the library loses (errors) and what would end it (a cell far away in the grid).
"""

from __future__ import annotations

import struct
import zipfile
from collections.abc import Iterable, Iterator
from io import BytesIO
from pathlib import Path

from tracker.cells.raw import CellError
from tracker.workbook.formats.grid import Line, grid
from tracker.workbook.formats.old_workbook import ERROR_CODES, Errors, with_errors
from tracker.workbook.formats.own_process import MOST_CELLS, read_apart
from tracker.workbook.gate import Archive, Refused
from tracker.workbook.letters import LAST_COLUMN, LAST_ROW
from tracker.workbook.package import first_target, relationships
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook

_PLACE = "xl/workbook.bin"
_SIGNPOSTS = "xl/_rels/workbook.bin.rels"
_ROW, _ERROR, _FORMULA_ERROR, _SETTINGS, _SHEET = 0, 3, 11, 153, 156  # §2.3.2
_FILLED = range(2, 12)
_WORKSHEET = "worksheet"


def is_binary(archive: Archive) -> bool:
    """Whether the parts are those of a binary workbook."""
    return _PLACE in archive


def read_binary(path: Path, archive: Archive) -> RawWorkbook:
    """Read every cell of a binary workbook. Raises Refused."""
    targets = relationships(archive, _PLACE)
    workbook = archive.read_bytes(_PLACE)
    try:
        date1904, listed = _contents(workbook)
    except (struct.error, UnicodeDecodeError, IndexError) as error:
        raise Refused("file-damaged") from error
    sheets = [(name, targets[key][1]) for name, key in listed if targets.get(key, ("", ""))[0] == _WORKSHEET]
    parts = {place: archive.read_bytes(place) for _, place in sheets}
    errors = [_looked_through(name, parts[place]) for name, place in sheets]
    others = [place for kind in ("sharedStrings", "styles") if (place := first_target(targets, kind))]
    parts |= {place: archive.read_bytes(place) for place in others}
    parts |= {_PLACE: workbook, _SIGNPOSTS: archive.read_bytes(_SIGNPOSTS)}
    tables = dict(read_apart(_packed(parts)))
    if tables.keys() != {name for name, _ in sheets}:
        raise Refused("file-damaged")
    read = (
        RawSheet(name, with_errors(tables[name], own)) for (name, _), own in zip(sheets, errors, strict=True)
    )
    return RawWorkbook(path, tuple(read), date1904, "xlsb")


def _packed(parts: dict[str, bytearray]) -> bytes:
    """Pack anew, unpressed, what was looked at and nothing else."""
    content = BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        for place, part in parts.items():
            archive.writestr(place.lstrip("/"), bytes(part))
    return content.getvalue()


def _contents(workbook: bytes | bytearray) -> tuple[bool, list[tuple[str, str]]]:
    """Whether days count from 1904, and each sheet's name and the id of its part."""
    date1904, sheets = False, []
    for kind, at, _ in _records(workbook):
        if kind == _SETTINGS:
            date1904 = bool(workbook[at] & 1)
        elif kind == _SHEET:
            key, after = _text(workbook, at + 8)
            sheets.append((_text(workbook, after)[0], key))
    return date1904, sheets


def _text(content: bytes | bytearray, at: int) -> tuple[str, int]:
    (length,) = struct.unpack_from("<L", content, at)
    end = at + 4 + 2 * length
    return content[at + 4 : end].decode("utf-16-le"), end


def _looked_through(name: str, sheet: bytes | bytearray) -> Errors:
    """Give the errors of a sheet, and refuse a rectangle of filled cells that is too large."""
    errors: Errors = {}
    columns: dict[int, int] = {}
    rows: list[int] = []
    row = -1
    for kind, at, length in _records(sheet):
        if kind == _ROW and length >= 4:
            (row,) = struct.unpack_from("<L", sheet, at)
        elif kind in _FILLED and length >= 9:
            (column,) = struct.unpack_from("<L", sheet, at)
            columns.setdefault(column, row)
            if not rows or rows[-1] != row:
                rows.append(row)
            if kind in (_ERROR, _FORMULA_ERROR):
                errors[row, column] = CellError(ERROR_CODES.get(sheet[at + 8], "#VALUE!"))
    _check_distance(name, columns, rows)
    return errors


def _check_distance(name: str, columns: dict[int, int], rows: Iterable[int]) -> None:
    rows = set(rows)
    height, width = max(rows, default=-1) + 1, max(columns, default=-1) + 1
    if min(rows, default=0) < 0 or height > LAST_ROW or width > LAST_COLUMN:
        raise Refused("file-damaged")
    if height * width > MOST_CELLS:
        at = {row: column for column, row in columns.items()}
        grid(name, [Line(row, 1, [""] * at.get(row, 0) + [0.0]) for row in sorted(rows)], MOST_CELLS)


def _records(content: bytes | bytearray) -> Iterator[tuple[int, int, int]]:
    """Each record: its kind, where its content begins, and the content's length (§2.1.4)."""
    at, end = 0, len(content)
    while at < end:
        kind, at = _number(content, at, 2)
        length, at = _number(content, at, 4)
        if at + length > end:
            raise Refused("file-damaged")
        yield kind, at, length
        at += length


def _number(content: bytes | bytearray, at: int, most: int) -> tuple[int, int]:
    number = 0
    for place in range(most):
        if at >= len(content):
            raise Refused("file-damaged")
        byte, at = content[at], at + 1
        number |= (byte & 0x7F) << 7 * place
        if not byte & 0x80:
            break
    return number, at
