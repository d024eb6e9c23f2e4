"""A marked copy on the disk: read back by two readers before it gets its name, and never over another file."""

from __future__ import annotations

import os
import stat
import tempfile
import warnings
from collections.abc import Sequence
from html import unescape
from io import BytesIO
from pathlib import Path

import openpyxl

from tracker.problem import Problem
from tracker.whole_file import rename_to_free
from tracker.workbook import package
from tracker.workbook.change.editable import Editable
from tracker.workbook.change.save import read_bytes, told
from tracker.workbook.change.sheet_xml import SheetXml
from tracker.workbook.change.values import text_of
from tracker.workbook.gate import Archive, Refused, part_name
from tracker.workbook.mark.plan import NOTHING, Marked, marked
from tracker.workbook.xlsx import read_xlsx

_NO_TEXTS = b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>'


def write_marked(path: Path, copy: Path, problems: Sequence[Problem]) -> Marked:
    """Write a copy of the workbook in which the cells of the problems are marked; the workbook is only read.

    Where no cell can be marked there is no copy. Raises NotWritten where it is of a kind that cannot be marked, FileExistsError where the copy's name is
    taken (the workbook's own name, too), and OSError where the copy cannot be written; then there is no copy.
    """
    if copy.exists() or copy.is_symlink():
        raise FileExistsError(copy)
    if not problems:
        return NOTHING
    with told(path):
        if path.is_dir():
            raise Refused("write-other-format", reason="it is a folder of CSV files")
        old = read_bytes(path)
        made = marked(old, problems)
    if made.cells:
        _write(path, copy, old, made)
    return made


def _write(path: Path, copy: Path, old: bytes, made: Marked) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{copy.name}.", suffix=".part", dir=copy.parent)
    new = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(made.content)
            file.flush()
            os.fsync(file.fileno())
        with told(path):
            check_marked(old, new.read_bytes(), made)
        new.chmod(stat.S_IMODE(path.stat().st_mode) | stat.S_IWUSR)
        rename_to_free(new, copy)
    finally:
        new.unlink(missing_ok=True)


def check_marked(old: bytes, new: bytes, made: Marked) -> None:
    """Compare the copy with the workbook. Raises Refused("write-not-the-same") for any difference but the marks.

    All parts but those that were to change are packed as they were; our own reader gives the same values for
    all cells; openpyxl opens the copy and finds the old notes and the new ones, and no other.
    """
    try:
        before, after = Editable(old), Editable(new)
        changed = {part_name(part) for part in made.parts}
        stayed = [
            [entry for entry in book.parts.raw() if part_name(entry[0]) not in changed]
            for book in (before, after)
        ]
        same = (
            stayed[0] == stayed[1] and _cells(old) == _cells(new) and _notes(after) == _expected(before, made)
        )
    except Refused as refusal:
        raise Refused("write-not-the-same") from refusal
    if not same:
        raise Refused("write-not-the-same")


def _cells(content: bytes) -> list[tuple[str, list[list[object]]]]:
    book = read_xlsx(Path("copy.xlsx"), Archive(BytesIO(content)))
    return [(sheet.name, sheet.rows) for sheet in book.sheets]


def _expected(before: Editable, made: Marked) -> dict[tuple[str, str], str]:
    notes = _notes(before)
    for place, text in made.notes.items():
        words = unescape(text_of(text).decode())
        had = notes.get(place)
        if had is None or words not in had:
            notes[place] = words if had is None else f"{had}\n\n{words}"
    return notes


def _notes(book: Editable) -> dict[tuple[str, str], str]:
    """Every note by sheet and cell as openpyxl finds it; it is spared the rows, which take it far longer."""
    bare = {place: _without_rows(SheetXml(book.xml(place))) for _, place in book.sheets()}
    if strings := package.first_target(book.targets, "sharedStrings"):
        bare[strings] = _NO_TEXTS
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of what openpyxl would lose if it saved
            found = openpyxl.load_workbook(BytesIO(book.parts.rebuilt(bare)))
    except Exception as error:  # whatever it stumbles over
        raise Refused("write-not-the-same") from error
    return {
        (sheet.title, cell.coordinate): cell.comment.text
        for sheet in found.worksheets
        for cell in sheet._cells.values()
        if cell.comment
    }


def _without_rows(sheet: SheetXml) -> bytes:
    end = sheet.data.end() if sheet.empty else sheet.xml.index(b">", sheet.rows_end) + 1
    return bytes(sheet.xml[: sheet.data.start()]) + b"<%s/>" % sheet.tag("sheetData") + bytes(sheet.xml[end:])
