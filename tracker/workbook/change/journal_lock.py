"""Hold the journal of a workbook for a moment; whoever writes the workbook itself may hold that for seconds."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from tracker.problem import NotWritten
from tracker.workbook.change.backups import folder_of

PATIENCE = 30.0
"""Seconds to wait for another window of this program, which holds a journal for milliseconds."""


@contextmanager
def journal_lock(workbook: Path) -> Iterator[None]:
    """Keep other windows of this program from the workbook's journal. Raises NotWritten, OSError."""
    held = FileLock(folder_of(workbook) / "journal in use", timeout=PATIENCE)
    try:
        held.acquire()
    except Timeout as timeout:
        raise NotWritten("write-busy", path=workbook.name) from timeout
    try:
        yield
    finally:
        held.release()
