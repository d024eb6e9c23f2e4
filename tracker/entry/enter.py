"""Enter a record: looked over, kept safe beside the workbook, then written into it."""

from __future__ import annotations

import datetime as dt
import os
import uuid
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from tracker.cells.text import typed as as_typed
from tracker.entry.form import key_of, sheet_named
from tracker.entry.history import entries
from tracker.entry.journal import Waiting
from tracker.entry.look import look_over
from tracker.entry.page import page_of
from tracker.entry.pending import IN, KEPT, REFUSED, Entered, keep, write_pending
from tracker.entry.write import refuse_read_only
from tracker.problem import NotWritten
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import read_bytes
from tracker.workbook.read import RawWorkbook, read_workbook


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
) -> Entered:
    """Write a new record, or change the one in `row`; what was typed stands by heading or key.

    `seen` is what the record held, by heading or key, when it was shown to be changed. An entry with an
    error is refused; one that cannot be written now is kept beside the workbook. Raises NotWritten where
    the workbook can only be read, the record has changed, or nothing could be kept; Unreadable where the
    workbook cannot be read.
    """
    path = Path(os.path.realpath(path))
    raw = read_workbook(path)
    refuse_read_only(path, raw)
    now = now or dt.datetime.now()
    look = look_over(
        raw, sheet, typed, row,
        add_column=add_column, to_remarks=to_remarks, add_sheet=add_sheet, today=today, now=now,
        day_first=day_first,
    )  # fmt: skip
    told = Entered(
        REFUSED, look.sheet, row, problems=look.problems, warnings=look.warnings, shown=look.shown
    )  # fmt: skip
    if look.refused:
        return told
    entry = Waiting(
        id=uuid.uuid4().hex,
        sheet=look.sheet,
        row=row,
        values=look.values,
        moment=now,
        was=_record(raw, look.sheet, row, seen) if row else {},
        added=look.added,
        adds_sheet=look.adds_sheet,
        seen=fingerprint(read_bytes(path)),
    )
    keep(path, entry)
    done = {each.id: each for each in write_pending(path)}
    own = done.get(entry.id) or _by_another(path, entry)
    return replace(told, state=own.state, row=own.row, cells=own.cells, reason=own.reason, id=entry.id)


def _record(raw: RawWorkbook, sheet: str, row: int, seen: Mapping[str, str] | None) -> dict[str, str]:
    """What the record holds, by key. Raises NotWritten where that is not what was seen."""
    record = {key: as_typed(value) for key, value in page_of(raw, sheet_named(sheet)).record(row).items()}
    for name, text in (seen or {}).items():
        if record.get(key_of(name), "") != text:
            raise NotWritten("write-row-changed", path=raw.path.name, sheet=sheet, row=str(row))
    return record


def _by_another(path: Path, entry: Waiting) -> Entered:
    """What became of an entry that another window of the program has written meanwhile."""
    for done in reversed(entries(path)):
        if done.id == entry.id:
            return Entered(IN, entry.sheet, done.row, done.cells)
    return Entered(KEPT, entry.sheet, entry.row)
