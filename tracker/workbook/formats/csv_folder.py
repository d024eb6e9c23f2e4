"""Reading a folder of CSV files, one for each sheet and named after it, such as Horses.csv.

A CSV file says neither its encoding nor its delimiter nor its types: the first two are settled here, and every
cell stays the text that stands in the file.
"""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from pathlib import Path

from tracker.cells.raw import CellError
from tracker.cells.text import fold
from tracker.sheets import SHEETS
from tracker.workbook.formats.delimiter import delimiter_of
from tracker.workbook.formats.grid import Line, grid
from tracker.workbook.gate import Refused, opened_file, refusing
from tracker.workbook.raw_workbook import ERRORS, MOST_CELLS, RawSheet, RawWorkbook, Rows

EXTENSIONS = (".csv", ".tsv", ".tab")

MOST_BYTES = 32_000_000
"""Bytes of all files together; 100,000 rows of 20 cells are about 16,000,000."""

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),  # before UTF-16, whose mark it begins with
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SAYS_DELIMITER = re.compile(r'"?sep=([^\w\r\n])"?(?:\r\n|\r|\n|$)')  # for Excel, which does not show it
_END = "\0"  # in no file that is read


def read_folder(folder: Path) -> RawWorkbook:
    """Read the folder's CSV files, those of our sheets first and in our order. Raises Refused."""
    order = {fold(sheet.name): number for number, sheet in enumerate(SHEETS)}
    with refusing():
        found = [path for path in folder.iterdir() if path.suffix.lower() in EXTENSIONS]
    files = sorted(
        (path for path in found if not path.name.startswith(".")),
        key=lambda path: (order.get(fold(path.stem), len(order)), fold(path.stem), path.name),
    )
    if not any(fold(path.stem) in order for path in files):
        raise Refused("file-is-folder")
    bytes_left, cells_left = MOST_BYTES, MOST_CELLS
    sheets = []
    for path in files:
        with _naming(path):
            content = _read(path, bytes_left)
            rows = _rows(path.stem, decoded(content), cells_left)
        bytes_left -= len(content)
        cells_left -= len(rows) * len(rows[0]) if rows else 0
        sheets.append(RawSheet(path.stem, rows))
    return RawWorkbook(folder, tuple(sheets), date1904=False, kept_as="csv")


@contextmanager
def _naming(path: Path) -> Iterator[None]:
    """Let a refusal name the file, and not the folder."""
    try:
        yield
    except Refused as refusal:
        raise Refused(refusal.slug, path=path.name, **refusal.words) from refusal


def _read(path: Path, most: int) -> bytes:
    with opened_file(path, EXTENSIONS) as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise Refused("file-too-large")
    return content


def decoded(content: bytes) -> str:
    """Decode by the mark at the file's beginning; else as UTF-8, else as Windows-1252. Raises Refused."""
    marked = next(((mark, encoding) for mark, encoding in _BOMS if content.startswith(mark)), None)
    encodings = (marked[1],) if marked else ("utf-8", "cp1252")
    body = content[len(marked[0]) :] if marked else content
    for encoding in encodings:
        try:
            text = body.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise Refused("file-encoding")


def _rows(name: str, text: str, most: int) -> Rows:
    said = _SAYS_DELIMITER.match(text)
    text = text[said.end() :] if said else text
    delimiter = said[1] if said else delimiter_of(text)
    return grid(name, _lines(name, text, delimiter, most), most)


def _lines(name: str, text: str, delimiter: str, most: int) -> list[Line]:
    """Take the text apart. A quotation mark that is never closed would swallow all that follows."""
    lines: list[Line] = []
    held, record = 0, 0
    row: list[str] = []
    try:
        for record, row in enumerate(
            csv.reader(StringIO(f"{text}\n{_END}", newline=""), delimiter=delimiter)
        ):
            if cells := _cells(row):
                lines.append(Line(record, 1, cells))
                held += len(cells)
            if held > most:  # the rectangle cannot be smaller, so this refuses
                grid(name, lines, most)
    except csv.Error:  # a cell of more than 131,072 signs, far more than a spreadsheet can hold
        row, record = [], record + 1
    if row != [_END]:
        raise Refused("file-open-quote", row=str(record + 1))
    return lines[:-1]


def _cells(row: list[str]) -> list[object]:
    """The row's cells up to its last filled one."""
    while row and not row[-1]:
        row.pop()
    return [CellError(text) if text in ERRORS else text for text in row]
