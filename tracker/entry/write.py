"""Bring one entry that waits into the workbook, exactly once, whatever happened to the last try."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from tracker.cells.text import typed
from tracker.entry import journal as events
from tracker.entry.form import BY_PROGRAM, sheet_named
from tracker.entry.history import known
from tracker.entry.journal import Attempt, Waiting
from tracker.entry.look import BESIDE
from tracker.entry.match import as_seen, counts, is_in, keyed, nearest_row, row_of_changed
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

    The caller holds the workbook's lock. Raises NotWritten or Unreadable, and then the workbook is as it was.
    """
    for _ in range(TRIES - 1):
        try:
            return _bring_in(path, entry)
        except NotWritten as failure:
            if failure.problem.kind != "write-changed":
                raise
    return _bring_in(path, entry)


def _bring_in(path: Path, entry: Waiting) -> Attempt:
    content, page = read_page(path, entry.sheet)
    was_in = is_in(entry, content, page)
    if was_in and entry.attempt:
        return entry.attempt
    try:
        if was_in is None and entry.attempt:
            row = nearest_row(entry.attempt, page, keyed(entry.values))
            raise NotWritten("write-perhaps-in", path=path.name, sheet=entry.sheet, row=str(row))
        refuse_open(path)
        with told(path):
            wider, plans = _plans(path, content, page, entry)
    except REFUSALS as failure:
        note_refused(path, entry, str(failure), settled=was_in is not None)
        raise
    attempt = _attempt(content, page, wider, entry, plans)
    with told(path):
        events.note(path, events.tried(entry, attempt))
    try:
        save(path, content, _as_one(plans))
    except REFUSALS as failure:
        note_refused(path, replace(entry, attempt=attempt), str(failure))
        raise
    except Exception:
        if read_bytes(path) == content:
            note_refused(path, replace(entry, attempt=attempt), "")
        raise
    return attempt


def bring_in_all(path: Path, entries: Sequence[Waiting]) -> list[Attempt]:
    """The same for entries of one sheet that were never tried yet: all of them are saved at once, or none."""
    try:
        content, page = read_page(path, entries[0].sheet)
        refuse_open(path)
        with told(path):
            attempts, plan = _all_planned(path, content, page, entries)
            for entry, attempt in zip(entries, attempts, strict=True):
                events.note(path, events.tried(entry, attempt))
        save(path, content, plan)
    except REFUSALS as failure:
        for entry in entries:
            note_refused(path, entry, str(failure))
        raise
    return attempts


def _all_planned(
    path: Path, content: bytes, page: Page, entries: Sequence[Waiting]
) -> tuple[list[Attempt], Plan]:
    """What each entry would be, and all of them as one plan."""
    plans: list[Plan] = []
    attempts: list[Attempt] = []
    latest = page
    for entry in entries:
        wider, own = _plans(path, _latest(content, plans), latest, entry)
        attempt = _attempt(content, latest, wider, entry, own)
        attempts.append(replace(attempt, counts=counts(page, keyed(entry.values)) if attempt.counts else ()))
        plans += own
        latest = wider.grown(keyed(entry.values), entry.row)
    plan = _as_one(plans)
    return [replace(attempt, after=plan.after) for attempt in attempts], plan


def _earlier(path: Path, entry: Waiting) -> list[dict[str, Stored]]:
    """What the entries that this one follows have put into the record."""
    if not entry.follows:
        return []
    with told(path):
        done = known(path)
    return [keyed(done[each].values) for each in entry.follows if each in done]


def note_refused(path: Path, entry: Waiting, reason: str, *, settled: bool = True) -> None:
    """Note that nothing came of a try, so that it need not be found out again once other entries are in.

    `settled`: it is known that the entry is not in.
    """
    if reason != entry.reason or (settled and entry.attempt):
        with contextlib.suppress(OSError, NotWritten):
            events.note(path, events.refused(entry, reason, settled=settled))


def read_page(path: Path, sheet: str) -> tuple[bytes, Page]:
    """The workbook's bytes, and one of its sheets as the same bytes hold it. Raises NotWritten, Unreadable."""
    for _ in range(TRIES):
        content = read_bytes(path)
        page = page_of(read_workbook(path), sheet_named(sheet))
        if read_bytes(path) == content:
            return content, page
    raise NotWritten("write-changed", path=path.name)


def _plans(path: Path, content: bytes, page: Page, entry: Waiting) -> tuple[Page, list[Plan]]:
    """All that must change so that the entry can go in, each plan made on what the one before it gives."""
    row = None if entry.row is None else _row(path, page, entry)
    plans: list[Plan] = []
    if page.is_new:
        if not entry.adds_sheet:
            raise NotWritten("write-no-sheet", path=path.name, sheet=entry.sheet)
        plans.append(plan_sheet(content, page.name, [heading_text(column) for column in page.sheet.columns]))
    elif not page.heading_row:
        missing = " and ".join(column.heading for column in page.sheet.required)
        raise NotWritten("heading-missing", sheet=entry.sheet, missing=missing)
    for column in _lacking(page, entry):
        page = page.with_columns([column])
        if page.crowded:
            raise Refused("write-in-the-way", sheet=page.name, ref=page.crowded, reason=BESIDE)
        place, text = page.places[column.key], heading_text(column)
        plans.append(plan_heading(_latest(content, plans), page.name, page.heading_row, place, text))
    cells = {
        page.places[key]: _value(value) for key, value in keyed(entry.values).items() if key in page.places
    }
    latest = _latest(content, plans)
    if row is None:
        plans.append(_appended(latest, page, cells))
    else:
        plans.append(plan_set(latest, page.name, row, cells, heading_row=page.heading_row))
    return page, plans


def _latest(content: bytes, plans: Sequence[Plan]) -> bytes:
    return plans[-1].content if plans else content


def _lacking(page: Page, entry: Waiting) -> list[Column]:
    by_program = BY_PROGRAM.get(page.sheet.name)
    lacking = [
        page.sheet.by_key[key] for key in keyed(entry.values) if key not in page.places and key != by_program
    ]
    for column in lacking:
        if column.heading not in entry.added:
            raise NotWritten("write-no-column", sheet=entry.sheet, column=column.heading)
    return lacking


def _row(path: Path, page: Page, entry: Waiting) -> int:
    """The row of the record that is changed, wherever it has moved. Raises NotWritten where it is not clear."""
    earlier = _earlier(path, entry)
    known_of = as_seen(entry.was, entry.was, earlier)
    changed = as_seen(entry.was, keyed(entry.values), earlier)
    row = row_of_changed(page, entry.row or 0, known_of, changed)
    if row is None:
        raise NotWritten("write-row-changed", path=path.name, sheet=entry.sheet, row=str(entry.row))
    return row


def _appended(content: bytes, page: Page, cells: Mapping[int, Value]) -> Plan:
    """A new record below the last, a blank row above whatever else stands on the sheet."""
    if page.totals:
        raise Refused("write-totals", sheet=page.name, ref=f"A{page.totals}")
    places = frozenset(page.places.values())
    plan = plan_append(
        content, page.name, cells, heading_row=page.heading_row, known=places, until=page.until or None
    )
    if plan.row + 1 == page.until:
        reason = "another table stands there"
        raise Refused("write-in-the-way", sheet=page.name, ref=f"A{page.until}", reason=reason)
    return plan


def _as_one(plans: Sequence[Plan]) -> Plan:
    """The plans as one, so that all of it is saved at once or nothing."""
    return replace(
        plans[-1],
        written={at: value for plan in plans for at, value in plan.written.items()},
        old={at: value for plan in reversed(plans) for at, value in plan.old.items()},
        worked_out=frozenset(at for plan in plans for at in plan.worked_out),
        parts=tuple(dict.fromkeys(part for plan in plans for part in plan.parts)),
    )


def _attempt(content: bytes, page: Page, wider: Page, entry: Waiting, plans: Sequence[Plan]) -> Attempt:
    """What is known just before the swap; `wider` is the page with the columns that it is given."""
    plan = plans[-1]
    heading = {index: page.sheet.by_key[key].heading for key, index in wider.places.items()}
    record = {} if entry.row is None else page.record(plan.row)
    added = [key for key in wider.places if key not in page.places]
    return Attempt(
        before=fingerprint(content),
        after=plan.after,
        row=plan.row,
        counts=counts(page, keyed(entry.values)) if entry.row is None else (),
        cells={heading[index]: f"{entry.sheet}!{ref}" for index, ref in plan.refs.items()},
        old={heading[at]: _stored(old) for (_, at), old in plan.old.items() if _may_be_put_back(old)},
        was={key: typed(value) for key, value in record.items()},
        added={page.sheet.by_key[key].heading: wider.ref(key, page.heading_row) for key in added},
        added_sheet=page.is_new,
        worked_out=tuple(heading[at] for _, at in plan.worked_out if at in heading),
    )


def _may_be_put_back(old: object) -> bool:
    """Whether the writer can write this value as it was; not so an error, or a time of day alone."""
    return isinstance(old, dt.date | float | bool) or type(old) is str


def _stored(old: object) -> Stored:
    assert isinstance(old, str | dt.date | float | bool)
    return None if old == "" else old


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
