"""Enter a record: looked over, kept safe beside the workbook, then written into it."""

from __future__ import annotations

import datetime as dt
import os
import uuid
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from tracker.cells.text import typed as as_typed
from tracker.entry.form import key_of, sheet_named
from tracker.entry.history import Done, known
from tracker.entry.journal import Waiting
from tracker.entry.look import look_over, shown
from tracker.entry.page import page_of
from tracker.entry.pending import IN, KEPT, REFUSED, Entered, adopt, keep, pending, write_pending
from tracker.entry.write import refuse_read_only
from tracker.problem import NotWritten
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import read_bytes, told
from tracker.workbook.read import RawWorkbook, read_workbook

TAKEN_BACK = "This entry was taken back before."


def may_enter(path: str | os.PathLike[str]) -> None:
    """Raise NotWritten where the workbook can only be read, Unreadable where not even that."""
    path = Path(os.path.realpath(path))
    refuse_read_only(path, read_workbook(path))


def enter(
    path: str | os.PathLike[str],
    sheet: str,
    typed: Mapping[str, str],
    *,
    row: int | None = None,
    add_column: bool = False,
    to_remarks: bool = False,
    add_sheet: bool = False,
    seen: Mapping[str, str] | None = None,
    today: dt.date | None = None,
    now: dt.datetime | None = None,
    day_first: bool | None = None,
    id: str = "",  # noqa: A002 (as an entry calls it)
) -> Entered:
    """Write a new record, or change the one in `row`; what was typed stands by heading or key.

    `seen` is all that the record held, by heading or key, when it was shown to be changed. An entry with an
    error is refused; one that cannot be written now is kept beside the workbook. `id` names the entry: the
    same one entered twice is written once, and gets the same answer. Raises NotWritten where the workbook
    can only be read, the record has changed, or nothing could be kept; Unreadable where the workbook cannot
    be read.
    """
    path = Path(os.path.realpath(path))
    raw = read_workbook(path)
    refuse_read_only(path, raw)
    done = _done(path, id)
    now = now or dt.datetime.now()
    look = look_over(
        raw, sheet, typed, done.row if done and not done.undone else row,
        add_column=add_column, to_remarks=to_remarks, add_sheet=add_sheet, today=today, now=now,
        day_first=day_first,
    )  # fmt: skip
    entered = Entered(
        REFUSED, look.sheet, row, problems=look.problems, warnings=look.warnings, shown=look.shown
    )  # fmt: skip
    if done:
        return replace(entered, **_again(done), problems=() if look.refused else look.problems)
    if look.refused and not _waits(path, id):
        return entered
    entry = Waiting(
        id=id or uuid.uuid4().hex,
        sheet=look.sheet,
        row=row,
        values=look.values,
        moment=now,
        was=record_of(raw, look.sheet, row, seen) if row and not _waits(path, id) else {},
        added=look.added,
        adds_sheet=look.adds_sheet,
        seen=fingerprint(read_bytes(path)),
    )
    adopt(path)
    keep(path, entry)
    written = {each.id: each for each in write_pending(path)}
    own = written.get(entry.id) or by_another(path, entry)
    return as_told(entered, own, entry.id)


def as_told(entered: Entered, own: Entered, name: str) -> Entered:
    """What is told of an entry: how it was looked over, and what became of it."""
    return replace(
        entered, state=own.state, row=own.row, cells=own.cells, reason=own.reason, id=name, added=own.added
    )


def _done(path: Path, name: str) -> Done | None:
    """The entry of that id that went in before, if there is one."""
    with told(path):
        return known(path).get(name) if name else None


def _waits(path: Path, name: str) -> bool:
    return bool(name) and any(entry.id == name for entry in pending(path).entries)


def _again(done: Done) -> dict[str, Any]:
    """What is told once more of an entry that went in before."""
    if done.undone:
        return {"state": REFUSED, "reason": TAKEN_BACK, "id": done.id}
    values = {heading: shown(value) for heading, value in done.values.items()}
    return {
        "state": IN, "row": done.row, "cells": done.cells, "id": done.id, "shown": values, "added": done.added
    }  # fmt: skip


def record_of(raw: RawWorkbook, sheet: str, row: int, seen: Mapping[str, str] | None) -> dict[str, str]:
    """What the record holds, by key. Raises NotWritten where that is not what was seen, blank cells included."""
    record = {key: as_typed(value) for key, value in page_of(raw, sheet_named(sheet)).record(row).items()}
    if seen is not None and record != {key_of(name): text for name, text in seen.items() if text}:
        raise NotWritten("write-row-changed", path=raw.path.name, sheet=sheet, row=str(row))
    return record


def by_another(path: Path, entry: Waiting) -> Entered:
    """What became of an entry that another window of the program has written meanwhile."""
    done = _done(path, entry.id)
    if done:
        return Entered(IN, entry.sheet, done.row, done.cells, added=done.added)
    return Entered(KEPT, entry.sheet, entry.row)
