"""Enter several records that belong together, such as the points of one photograph and what they measure."""

from __future__ import annotations

import datetime as dt
import itertools
import os
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tracker.entry.enter import as_told, by_another, record_of
from tracker.entry.form import sheet_named
from tracker.entry.journal import Waiting
from tracker.entry.look import Entry, Look, look_over
from tracker.entry.page import page_of
from tracker.entry.pending import (
    REFUSED,
    Entered,
    adopt,
    entered_in,
    in_order,
    keep_all,
    kept_for,
    refuse_taken_name,
    settle,
    write_all,
)  # fmt: skip
from tracker.entry.write import REFUSALS, bring_in_all, refuse_read_only
from tracker.problem import NotWritten
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import lock, read_bytes
from tracker.workbook.read import RawWorkbook, read_workbook


@dataclass(frozen=True, slots=True)
class Record:
    """One of several records: what was typed, by heading or key; `row` and `seen` for one that is changed, as for `enter`.

    `cleared`: the record in `row` is emptied, every known cell of it.
    """

    sheet: str
    typed: Mapping[str, str]
    row: int | None = None
    seen: Mapping[str, str] | None = None
    cleared: bool = False


def enter_all(
    path: str | os.PathLike[str],
    records: Sequence[Record],
    *,
    state: str = "",
    today: dt.date | None = None,
    now: dt.datetime | None = None,
) -> tuple[Entered, ...]:
    """Enter records that belong together: an error in one refuses them all, and those of one sheet are saved at once.

    `state` is the fingerprint of the file in which the rows were found. A column or a sheet that is lacking is
    added. What cannot be written now is kept beside the workbook. Says what became of each. Raises NotWritten and Unreadable as `enter` does; then nothing was kept.
    """
    path = Path(os.path.realpath(path))
    raw = read_workbook(path)
    refuse_read_only(path, raw)
    seen = fingerprint(read_bytes(path))
    if state and state != seen:
        raise NotWritten("write-changed", path=path.name)
    now = now or dt.datetime.now()
    looks = [_look(raw, record, today or now.date(), now) for record in records]
    told = [_told(look) for look in looks]
    if any(look.refused for look in looks):
        return tuple(told)
    entries = [
        Waiting(
            id=uuid.uuid4().hex, sheet=look.sheet, row=record.row, values=look.values, moment=now,
            was=record_of(raw, look.sheet, record.row, record.seen) if record.row else {},
            added=look.added, adds_sheet=look.adds_sheet, seen=seen,
        )
        for look, record in zip(looks, records, strict=True)
    ]  # fmt: skip
    adopt(path)
    keep_all(path, entries)
    done = {each.id: each for each in _written(path, entries)}
    return tuple(
        as_told(each, done.get(entry.id) or by_another(path, entry), entry.id)
        for each, entry in zip(told, entries, strict=True)
    )


def _look(raw: RawWorkbook, record: Record, today: dt.date, now: dt.datetime) -> Look:
    if record.cleared and record.row:
        sheet = sheet_named(record.sheet)
        held = page_of(raw, sheet).record(record.row)
        emptied: dict[str, Entry] = {sheet.by_key[key].heading: None for key in held}
        return Look(sheet.name, record.row, emptied, (), ())
    return look_over(
        raw, record.sheet, record.typed, record.row, add_column=True, add_sheet=True, today=today, now=now
    )


def _told(look: Look) -> Entered:
    return Entered(
        REFUSED, look.sheet, look.row, problems=look.problems, warnings=look.warnings, shown=look.shown
    )


def _written(path: Path, entries: Sequence[Waiting]) -> Iterable[Entered]:
    """What became of each. Where others wait from before, all go in one by one, in their order."""
    own = {entry.id for entry in entries}
    try:
        refuse_taken_name(path)
        with lock(path):
            waiting = in_order(path)  # another window may have written some of them meanwhile
            if all(entry.id in own and not entry.attempt and not entry.is_in for entry in waiting):
                yield from _sheet_by_sheet(path, waiting)
            else:
                yield from (each for each in write_all(path) if each.id in own)
    except NotWritten as busy:
        yield from (kept_for(entry, busy) for entry in entries)


def _sheet_by_sheet(path: Path, entries: Sequence[Waiting]) -> Iterable[Entered]:
    for _, group in itertools.groupby(entries, key=lambda entry: entry.sheet):
        of_one = list(group)
        try:
            attempts = bring_in_all(path, of_one)
        except REFUSALS as failure:
            yield from (kept_for(entry, failure) for entry in of_one)
            continue
        for entry, attempt in zip(of_one, attempts, strict=True):
            settle(path, entry, attempt)
            yield entered_in(entry, attempt)
