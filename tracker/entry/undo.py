"""Take an entry back, as long as nobody has built on it since."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tracker.entry.form import key_of
from tracker.entry.history import Done, entries, known, note_done, note_undoing, note_undone
from tracker.entry.journal import Waiting, journal_of
from tracker.entry.look import shown
from tracker.entry.match import as_seen, clears, holds, is_in, keyed, row_of_changed, row_of_new, tests
from tracker.entry.page import Page
from tracker.entry.pending import adopt, in_order, pending, refuse_taken_name, strike_off
from tracker.entry.stored import Stored
from tracker.entry.write import REFUSALS, read_page
from tracker.workbook.change.plan import plan_set
from tracker.workbook.change.save import backup_folder, lock, save, told
from tracker.workbook.read import read_workbook

NOTHING_KNOWN = "No entry is known that could be taken back."
NOTHING_WAITS = "No entry waits to be written."
NOT_KNOWN = "This entry is not known, or was taken back before."


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What came of taking an entry back: `reason` says why it was not, and is "" where it was.

    `cells` are the cells that hold again what they held before, by heading; none where the entry was still
    waiting. `values` are what had been entered. `note` is what else there is to say.
    """

    reason: str = ""
    sheet: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Stored] = field(default_factory=dict)
    note: str = ""

    @property
    def shown(self) -> dict[str, str]:
        """What had been entered, in words, by heading."""
        return {heading: shown(value) for heading, value in self.values.items()}


def undo(
    path: str | os.PathLike[str],
    *,
    waiting: bool = False,
    id: str = "",  # noqa: A002 (as an entry calls it)
) -> TakenBack:
    """Take the last entry back, or, `waiting`, the last one that still waits to be written, or the one of that id.

    Raises NotWritten or Unreadable where the workbook cannot be changed now.
    """
    path = Path(os.path.realpath(path))
    if not path.is_file():
        read_workbook(path)  # says what is the matter with it
    none = TakenBack(NOT_KNOWN if id else NOTHING_WAITS if waiting else NOTHING_KNOWN)
    with told(path):
        if not (pending(path).entries or journal_of(path).exists() or known(path)):
            return none  # and leave neither a folder nor a lock beside a workbook that was never written
    refuse_taken_name(path)
    with lock(path):
        adopt(path)
        found: list[Waiting | Done] = [*_waiting(path), *([] if waiting else _done(path))]
        wanted = [entry for entry in found if not id or entry.id == id]
        last = max(wanted, key=lambda entry: entry.number, default=None)
        if isinstance(last, Waiting):
            return _struck_off(path, last)
        return _taken_back(path, last, "This entry" if id else "The last entry") if last else none


def _waiting(path: Path) -> list[Waiting]:
    """The entries that are not in, as far as it can be told; the others are struck off."""
    return [entry for entry in in_order(path) if not _is_in(path, entry)]


def _is_in(path: Path, entry: Waiting) -> bool:
    if entry.attempt is None or not is_in(entry, *read_page(path, entry.sheet)):
        return False
    with told(path):
        note_done(path, entry, entry.attempt)
        strike_off(path, entry)
    return True


def _done(path: Path) -> list[Done]:
    """The entries that are in. One that was being taken back when the program was stopped is looked at first."""
    with told(path):
        return [done for done in entries(path) if not (done.undoing and _is_gone(path, done))]


def _is_gone(path: Path, done: Done) -> bool:
    """Whether it was taken back before the program was stopped; what was only changed since is still there."""
    page = read_page(path, done.sheet)[1]
    if done.is_new:
        values = {key_of(heading): done.values.get(heading) for heading in done.cells}
        gone = row_of_new(page, done.row, values) is None and not page.record(done.row)
    else:
        as_before = row_of_changed(page, done.row, as_seen(done.was, done.was), tests(keyed(done.old)))
        gone = _row(page, done) is None and as_before is not None
    if gone:
        note_undone(path, done)
    return gone


def _struck_off(path: Path, entry: Waiting) -> TakenBack:
    with told(path):
        strike_off(path, entry)
    note = (
        f"It may be in the workbook all the same: look at the sheet {entry.sheet}." if entry.attempt else ""
    )
    return TakenBack(sheet=entry.sheet, values=entry.values, note=note)


def _taken_back(path: Path, done: Done, which: str) -> TakenBack:
    content, page = read_page(path, done.sheet)
    row = _row(page, done)
    if reason := _reason(path, page, done, row):
        return TakenBack(f"{which} cannot be taken back: {reason}", done.sheet, done.cells, done.values)
    assert row is not None
    keys = {heading: key_of(heading) for heading in done.cells}
    old = {page.places[key]: done.old[heading] for heading, key in keys.items()}
    with told(path):
        plan = plan_set(content, page.name, row, old, heading_row=page.heading_row)
        note_undoing(path, done)
    try:
        save(path, content, plan)
    except REFUSALS:
        with contextlib.suppress(OSError):
            note_undoing(path, done, stays=True)
        raise
    with contextlib.suppress(OSError):  # next time finds that it is gone
        note_undone(path, done)
    cells = {heading: page.ref(key, row) for heading, key in keys.items()}
    return TakenBack("", done.sheet, cells, done.values, _stays(done))


def _row(page: Page, done: Done) -> int | None:
    """The row in which the entry stands now; None where it is nowhere as it was entered, or not clear."""
    values = {key_of(heading): done.values.get(heading) for heading in done.cells}
    if done.is_new:
        row = row_of_new(page, done.row, values)
        return row if row and not _changed(page, done, row) else None
    if clears(values):
        return done.row if page.is_blank(done.row) else None
    return row_of_changed(page, done.row, as_seen(done.was, done.was), tests(values))


def _changed(page: Page, done: Done, row: int) -> list[str]:
    """The cells in that row that no longer hold what was entered."""
    record = page.record(row)
    values = keyed({heading: done.values.get(heading) for heading in done.cells})
    place = {key: page.ref(key, row) if key in page.places else done.cells[heading]
             for heading, key in ((heading, key_of(heading)) for heading in done.cells)}  # fmt: skip
    return [place[key] for key, value in values.items() if not holds(record.get(key, ""), value)]


def _reason(path: Path, page: Page, done: Done, row: int | None) -> str:
    """Why the entry can no longer be taken back, or "" where it can."""
    if row is None:
        values = {key_of(heading): done.values.get(heading) for heading in done.cells}
        at = (row_of_new(page, done.row, values) if done.is_new else None) or done.row
        if changed := _changed(page, done, at):
            cells = ", ".join(changed)
            return f"{cells} no longer holds what was entered."
        return (
            f"the record in row {done.row} of the sheet {done.sheet} is no longer the one that was changed."
        )
    if done.is_new:
        own = {*map(key_of, done.cells), *map(key_of, done.worked_out)}
        if more := [page.ref(key, row) for key in page.record(row) if key not in own]:
            return f"{', '.join(more)} was filled in since."
    if lost := [cell for heading, cell in done.cells.items() if heading not in done.old]:
        return (
            f"the program cannot put back what stood in {', '.join(lost)} before. A copy of the workbook as it "
            f"was lies in {backup_folder(path).name}."
        )
    return ""


def _stays(done: Done) -> str:
    """What was added for the entry and is left."""
    if done.added_sheet:
        return f"The sheet {done.sheet}, which was added for it, stays."
    if not done.added:
        return ""
    headings = ", ".join(f"{heading} ({cell})" for heading, cell in done.added.items())
    return f"Added for it, and left there: {headings}."
