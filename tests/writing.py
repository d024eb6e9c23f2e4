"""A change planned and saved in one step, as the tests of the writer want it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from tracker.workbook.change.plan import Plan, Value, fingerprint, plan_append, plan_set, plan_sheet
from tracker.workbook.change.save import lock, read_bytes, save, told
from tracker.workbook.gate import Refused


def append_row(
    path: Path,
    sheet: str,
    cells: Mapping[int, Value] | Sequence[Mapping[int, Value]],
    *,
    heading_row: int,
    known: Collection[int],
    until: int | None = None,
) -> Plan:
    """Add a record, or several, below the last one and save. Raises NotWritten; then nothing has changed."""
    with lock(path), told(path):
        old = read_bytes(path)
        plan = plan_append(old, sheet, cells, heading_row=heading_row, known=known, until=until)
        save(path, old, plan)
        return plan


def set_cells(path: Path, sheet: str, row: int, cells: Mapping[int, Value], *, seen: str) -> Plan:
    """Set cells of a row and save.

    `seen` is the fingerprint of the file in which the row was looked at: a file that was changed since may
    have another record there. Raises NotWritten; then nothing has changed.
    """
    with lock(path), told(path):
        old = read_bytes(path)
        if fingerprint(old) != seen:
            raise Refused("write-changed")
        plan = plan_set(old, sheet, row, cells)
        save(path, old, plan)
        return plan


def add_sheet(path: Path, name: str, headings: Sequence[str]) -> Plan:
    """Add a sheet with its headings and save. Raises NotWritten; then nothing has changed."""
    with lock(path), told(path):
        old = read_bytes(path)
        plan = plan_sheet(old, name, headings)
        save(path, old, plan)
        return plan
