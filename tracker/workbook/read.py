"""Reading a workbook, in whatever format it is kept: every sheet's cells from A1 on."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tracker.problem import Unreadable
from tracker.workbook.exported.read import description_of, read_exported
from tracker.workbook.formats.binary_workbook import is_binary, read_binary
from tracker.workbook.formats.csv_folder import read_folder
from tracker.workbook.formats.old_workbook import read_old
from tracker.workbook.formats.opendocument import is_opendocument, read_opendocument
from tracker.workbook.gate import COMPOUND_FILE, Archive, Refused, is_folder, opened_file
from tracker.workbook.letters import column_letter
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook
from tracker.workbook.xlsx import read_cells, read_xlsx

__all__ = ["RawSheet", "RawWorkbook", "column_letter", "read_cells", "read_workbook"]

_SHOWN_WHOLE = ("file-missing", "file-is-folder")


def read_workbook(path: str | os.PathLike[str]) -> RawWorkbook:
    """Read every cell of a workbook, or of a folder of CSV files.

    Raises Unreadable, and nothing else, for what it cannot read.
    """
    path = Path(path)
    try:
        with _no_collection():
            return _read_folder(path) if is_folder(path) else _read_file(path)
    except Refused as refusal:
        shown = str(path) if refusal.slug in _SHOWN_WHOLE else path.name
        raise Unreadable(refusal.slug, **{"path": shown, **refusal.words}) from refusal


def _read_folder(path: Path) -> RawWorkbook:
    """Read a folder of CSV files: one that this program gave out with what puts the workbook together again."""
    described = description_of(path)
    return read_folder(path) if described is None else read_exported(path, described)


def _read_file(path: Path) -> RawWorkbook:
    """Read a file by what it is: the ending of its name may be that of another format."""
    with opened_file(path) as file:
        if file.read(len(COMPOUND_FILE)) == COMPOUND_FILE:
            return read_old(path, file)
        archive = Archive(file)
        if is_opendocument(archive):
            return read_opendocument(path, archive)
        if is_binary(archive):
            return read_binary(path, archive)
        return read_xlsx(path, archive)


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
