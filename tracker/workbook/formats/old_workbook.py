"""Reading an old workbook (.xls, [MS-XLS]): the library reads the cells, and the errors that it loses are looked up.

An error is a record of its own or the saved result of a formula. Every formula of this format has a result.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from tracker.cells.raw import CellError
from tracker.workbook.formats.compound_file import stream
from tracker.workbook.formats.own_process import MOST_BYTES, read_apart
from tracker.workbook.gate import Refused, holds_stream
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook, Rows, filled

ERROR_CODES = {
    0x00: "#NULL!", 0x07: "#DIV/0!", 0x0F: "#VALUE!", 0x17: "#REF!",
    0x1D: "#NAME?", 0x24: "#NUM!", 0x2A: "#N/A", 0x2B: "#GETTING_DATA",
}  # fmt: skip
"""[MS-XLS] §2.5.10 and [MS-XLSB] §2.5.97.2."""

Errors = dict[tuple[int, int], CellError]

_BEGIN = (0x0809, 0x0409, 0x0209, 0x0009)
_END, _FORMULA, _DATES, _LOCKED, _SHEET, _TRUTH_OR_ERROR = 0x000A, 0x0006, 0x0022, 0x002F, 0x0085, 0x0205
_WORKSHEET = 0


def read_old(path: Path, file: BinaryIO) -> RawWorkbook:
    """Read every cell of a compound file that is a workbook. Raises Refused."""
    file.seek(0)
    content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise Refused("file-too-large")
    if holds_stream(file, "EncryptedPackage"):
        raise Refused("file-password")
    records = stream(content, "Workbook", "Book")
    if records is None:
        raise Refused("file-not-workbook")
    try:
        date1904, errors = _looked_through(records)
    except (struct.error, IndexError, ValueError) as error:
        raise Refused("file-damaged") from error
    tables = read_apart(content)
    if len(tables) != len(errors):
        raise Refused("file-damaged")
    sheets = (
        RawSheet(name, with_errors(rows, own)) for (name, rows), own in zip(tables, errors, strict=True)
    )
    return RawWorkbook(path, tuple(sheets), date1904, "xls")


def with_errors(rows: Rows, errors: Errors) -> Rows:
    """Lay errors over the cells, by (row, column) from 0."""
    for (row, column), error in errors.items():
        rows.extend([] for _ in range(row + 1 - len(rows)))
        rows[row].extend([""] * (column + 1 - len(rows[row])))
        rows[row][column] = error
    return filled(rows)


def _looked_through(records: bytes) -> tuple[bool, list[Errors]]:
    """Whether days count from 1904, and the errors of each worksheet."""
    date1904 = False
    places: list[int] = []
    for kind, at, length in _records(records, 0):
        if kind == _LOCKED:
            raise Refused("file-password")
        if kind == _DATES:
            date1904 = records[at] == 1
        elif kind == _SHEET and length >= 6 and records[at + 5] == _WORKSHEET:
            places.append(struct.unpack_from("<L", records, at)[0])
    return date1904, list(_errors(records, places))


def _errors(records: bytes, places: list[int]) -> Iterator[Errors]:
    """The errors of each worksheet. The parts of the stream lie side by side, so together they are no longer than it."""
    left = len(records)
    for place in places:
        errors: Errors = {}
        at = place
        for kind, at, _ in _records(records, place):
            if kind in (_TRUTH_OR_ERROR, _FORMULA) and (code := _error_code(kind, records, at)) is not None:
                errors[struct.unpack_from("<HH", records, at)] = CellError(ERROR_CODES.get(code, "#VALUE!"))
        left -= max(0, at - place)
        if left < 0:
            raise Refused("file-damaged")
        yield errors


def _error_code(kind: int, records: bytes, at: int) -> int | None:
    """The code of the error that a cell holds. A formula's result takes eight bytes (§2.5.133)."""
    first, second, third = records[at + 6 : at + 9]
    if kind == _TRUTH_OR_ERROR:
        return first if second == 1 else None
    return third if first == 2 and records[at + 12 : at + 14] == b"\xff\xff" else None


def _records(content: bytes, at: int) -> Iterator[tuple[int, int, int]]:
    """Each record of one part of the stream: its kind, where its content begins, and the content's length.

    The charts inside a sheet are parts of their own, and are passed over.
    """
    depth = 0
    while at + 4 <= len(content):
        kind, length = struct.unpack_from("<HH", content, at)
        if kind in _BEGIN:
            depth += 1
        elif kind == _END:
            depth -= 1
            if depth <= 0:
                return
        elif depth == 1:
            yield kind, at + 4, length
        at += 4 + length
