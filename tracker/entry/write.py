"""Bring one entry that waits into the workbook, exactly once, whatever happened to the last try."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path

from tracker.cells.text import says_nothing, typed
from tracker.entry import journal as events
from tracker.entry.form import BY_PROGRAM, key_of, sheet_named
from tracker.entry.history import note_done
from tracker.entry.journal import Attempt, Waiting
from tracker.entry.page import Page, page_of
from tracker.entry.stored import Stored
from tracker.problem import NotWritten, Unreadable
from tracker.sheets import Column
from tracker.workbook.change.editable import open_editable
from tracker.workbook.change.plan import (
    AsTyped,
    Plan,
    Value,
    fingerprint,
    plan_append,
    plan_heading,
    plan_set,
    plan_sheet,
)
from tracker.workbook.change.save import read_bytes, refuse_open, save, told
from tracker.workbook.gate import Refused
from tracker.workbook.new.lay_out import heading_text
from tracker.workbook.read import RawWorkbook, read_workbook

REFUSALS = (NotWritten, Unreadable, OSError)  # whichever comes, the workbook is as it was
TRIES = 3  # how often to start again where somebody saves the workbook just now


def bring_in(path: Path, entry: Waiting) -> Attempt:
    """Write the entry, or find that it is in already; says where it stands.

    The caller holds the workbook's lock. Raises NotWritten or Unreadable, and then the entry is not in.
    """
    for left in reversed(range(TRIES)):
        try:
            attempt = _bring_in(path, entry)
        except NotWritten as failure:
            if failure.problem.kind != "write-changed" or not left:
                raise
        else:
            break
    with contextlib.suppress(OSError):  # it is in: what cannot be noted now is found out next time
        note_done(path, entry, attempt)
    return attempt


def _bring_in(path: Path, entry: Waiting) -> Attempt:
    content, page = read_page(path, entry.sheet)
    if entry.attempt and is_in(entry, content, page):
        return entry.attempt
    try:
        content, page, plan = _planned(path, content, page, entry)
    except REFUSALS as failure:
        if entry.attempt or str(failure) != entry.reason:
            _note_refused(path, entry, failure)
        raise
    attempt = _attempt(content, page, entry, plan)
    try:
        events.note(path, events.tried(entry, attempt))
    except OSError as failure:
        raise events.not_kept(path, failure) from failure
    try:
        save(path, content, plan)
    except REFUSALS as failure:
        _note_refused(path, entry, failure)
        raise
    return attempt


def _planned(path: Path, content: bytes, page: Page, entry: Waiting) -> tuple[bytes, Page, Plan]:
    refuse_open(path)
    content, page = _made_ready(path, content, page, entry)
    cells = {page.places[key]: _value(value) for key, value in _keyed(entry).items() if key in page.places}
    with told(path):
        return content, page, _plan(path, content, page, entry, cells)


def _note_refused(path: Path, entry: Waiting, failure: Exception) -> None:
    """Note that nothing came of a try, so that it need not be found out again once other entries are in."""
    with contextlib.suppress(OSError, NotWritten):
        events.note(path, events.refused(entry, str(failure)))


def read_page(path: Path, sheet: str) -> tuple[bytes, Page]:
    """The file's bytes, and its sheet as it stands in these bytes. Raises NotWritten or Unreadable."""
    for _ in range(TRIES):
        content = read_bytes(path)
        page = page_of(read_workbook(path), sheet_named(sheet))
        if read_bytes(path) == content:
            return content, page
    raise NotWritten("write-changed", path=path.name)


def is_in(entry: Waiting, content: bytes, page: Page) -> bool:
    """Whether the last try had put the entry in before it was stopped.

    The file itself shows it, unless its owner has saved it since: then the records do.
    """
    attempt = entry.attempt
    if attempt is None:
        return False
    state = fingerprint(content)
    if state in (attempt.before, attempt.after):
        return state == attempt.after
    if entry.row is None:
        return alike(page, entry) > attempt.alike
    return any(_same(record, _keyed(entry)) for _, record in _candidates(page, entry))


def alike(page: Page, entry: Waiting) -> int:
    """How many records may be the entry: those made in the same second, else those that say all it says."""
    values = _keyed(entry)
    mark = BY_PROGRAM.get(entry.sheet)
    told = {mark: values[mark]} if mark in values and mark in page.places else values
    return page.count({key: partial(holds, value=value) for key, value in told.items()})


def _keyed(entry: Waiting) -> dict[str, Stored]:
    return {key_of(heading): value for heading, value in entry.values.items()}


def _same(record: Mapping[str, object], values: Mapping[str, Stored]) -> bool:
    return all(holds(record.get(key, ""), value) for key, value in values.items())


def holds(cell: object, value: Stored) -> bool:
    """Whether a cell, as the reader gives it, holds what was written there."""
    if value is None or (isinstance(value, str) and says_nothing(value)):
        return says_nothing(cell)
    if isinstance(value, dt.date) and isinstance(cell, dt.datetime):
        return cell == (value if isinstance(value, dt.datetime) else dt.datetime.combine(value, dt.time()))
    if isinstance(cell, str) or not isinstance(value, str):
        return cell == value
    with contextlib.suppress(ValueError):
        return isinstance(cell, float) and cell == float(value)
    return False


def _candidates(page: Page, entry: Waiting) -> Iterator[tuple[int, dict[str, object]]]:
    """The records that may be the one the entry changes: all that it does not change is as it was."""
    changed = set(_keyed(entry))
    was = {key: text for key, text in entry.was.items() if key not in changed}
    for row, record in page.records():
        if {key: typed(value) for key, value in record.items() if key not in changed} == was:
            yield row, record


def _made_ready(path: Path, content: bytes, page: Page, entry: Waiting) -> tuple[bytes, Page]:
    """Add the sheet and the columns that the entry may add, each as a change of its own."""
    if page.is_new:
        if not entry.adds_sheet:
            raise NotWritten("write-no-sheet", path=path.name, sheet=entry.sheet)
        headings = [heading_text(column) for column in page.sheet.columns]
        with told(path):
            plan = plan_sheet(content, page.name, headings)
        save(path, content, plan)
        content, page = read_page(path, entry.sheet)
    if not page.heading_row:
        missing = " and ".join(column.heading for column in page.sheet.required)
        raise NotWritten("heading-missing", sheet=entry.sheet, missing=missing)
    for column in _lacking(page, entry):
        content, page = _with_column(path, content, page, column)
    return content, page


def _lacking(page: Page, entry: Waiting) -> list[Column]:
    by_program = BY_PROGRAM.get(page.sheet.name)
    lacking = [
        page.sheet.by_key[key] for key in _keyed(entry) if key not in page.places and key != by_program
    ]
    for column in lacking:
        if column.heading not in entry.added:
            raise NotWritten("write-no-column", sheet=entry.sheet, column=column.heading)
    return lacking


def _with_column(path: Path, content: bytes, page: Page, column: Column) -> tuple[bytes, Page]:
    wider = page.with_columns([column])
    place, text = wider.places[column.key], heading_text(column)
    with told(path):
        plan = plan_heading(content, page.name, page.heading_row, place, text)
    save(path, content, plan)
    return plan.content, wider


def _plan(path: Path, content: bytes, page: Page, entry: Waiting, cells: Mapping[int, Value]) -> Plan:
    if entry.row is None:
        return _appended(content, page, cells)
    return plan_set(content, page.name, _row(path, page, entry), cells)


def _appended(content: bytes, page: Page, cells: Mapping[int, Value]) -> Plan:
    """A new record below the last, a blank row above whatever else stands on the sheet."""
    if page.totals:
        raise Refused("write-totals", sheet=page.name, ref=f"A{page.totals}")
    known = frozenset(page.places.values())
    plan = plan_append(
        content, page.name, cells, heading_row=page.heading_row, known=known, until=page.until or None
    )
    if plan.row + 1 == page.until:
        reason = "another table stands there"
        raise Refused("write-in-the-way", sheet=page.name, ref=f"A{page.until}", reason=reason)
    return plan


def _row(path: Path, page: Page, entry: Waiting) -> int:
    """The row of the record that is changed, wherever it has moved. Raises NotWritten where it is not clear."""
    rows = [
        row for row, record in page.records() if {key: typed(v) for key, v in record.items()} == entry.was
    ]
    if entry.row in rows:
        return entry.row
    if len(rows) == 1:
        return rows[0]
    raise NotWritten("write-row-changed", path=path.name, sheet=entry.sheet, row=str(entry.row))


def _attempt(content: bytes, page: Page, entry: Waiting, plan: Plan) -> Attempt:
    keys = {index: key for key, index in page.places.items()}
    heading = {index: page.sheet.by_key[keys[index]].heading for index in plan.refs if index in keys}
    return Attempt(
        before=fingerprint(content),
        after=plan.after,
        row=plan.row,
        alike=alike(page, entry) if entry.row is None else 0,
        cells={
            heading[index]: f"{entry.sheet}!{ref}" for index, ref in plan.refs.items() if index in heading
        },
        old={heading[at]: _stored(old) for (_, at), old in plan.old.items() if at in heading},
    )


def _stored(old: object) -> Stored:
    if isinstance(old, dt.date | float):
        return old
    return None if old == "" else typed(old)


def _value(value: Stored) -> Value:
    return AsTyped(value) if isinstance(value, str) else value


def refuse_read_only(path: Path, workbook: RawWorkbook) -> None:
    """Raise NotWritten where the workbook can only ever be read, as it is kept."""
    with told(path):
        if workbook.kept_as == "strict":
            raise Refused("write-strict")
        if workbook.kept_as not in ("xlsx", "xlsm"):
            raise Refused("write-other-format", reason="only .xlsx workbooks are")
        open_editable(read_bytes(path))
