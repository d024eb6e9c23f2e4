"""Take the last entry back, as long as nobody has built on it since."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tracker.entry.form import key_of
from tracker.entry.history import Done, entries, note_done, note_undone
from tracker.entry.journal import Waiting
from tracker.entry.look import shown
from tracker.entry.page import Page
from tracker.entry.pending import adopt, in_order, strike_off
from tracker.entry.stored import Stored
from tracker.entry.write import holds, is_in, read_page
from tracker.workbook.change.plan import plan_set
from tracker.workbook.change.save import lock, save, told
from tracker.workbook.read import read_workbook

NOTHING_KNOWN = "No entry is known that could be taken back."
NOTHING_WAITS = "No entry waits to be written."


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What came of taking an entry back: `reason` says why it was not, and is "" where it was.

    `cells` are the cells that hold again what they held before, by heading; none where the entry was still
    waiting. `values` are what had been entered.
    """

    reason: str = ""
    sheet: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Stored] = field(default_factory=dict)

    @property
    def shown(self) -> dict[str, str]:
        """What had been entered, in words, by heading."""
        return {heading: shown(value) for heading, value in self.values.items()}


def undo(path: str | os.PathLike[str], *, waiting: bool = False) -> TakenBack:
    """Take the last entry back, or, `waiting`, the last one that still waits to be written.

    Raises NotWritten or Unreadable where the workbook cannot be changed now.
    """
    path = Path(os.path.realpath(path))
    if not path.is_file():
        read_workbook(path)  # says what is the matter with it
    with lock(path):
        adopt(path)
        kept = [entry for entry in in_order(path) if not _went_in(path, entry)]
        done = entries(path)
        if kept and (waiting or not done or kept[-1].moment >= done[-1].moment):
            _strike_off(path, kept[-1])
            return TakenBack(sheet=kept[-1].sheet, values=kept[-1].values)
        if waiting or not done:
            return TakenBack(NOTHING_WAITS if waiting else NOTHING_KNOWN)
        return _take_back(path, done[-1])


def _went_in(path: Path, entry: Waiting) -> bool:
    """Whether an entry that still stands in the journal had gone in; it is struck off then."""
    if entry.attempt is None or not is_in(entry, *read_page(path, entry.sheet)):
        return False
    note_done(path, entry, entry.attempt)
    _strike_off(path, entry)
    return True


def _strike_off(path: Path, entry: Waiting) -> None:
    with told(path):
        strike_off(path, entry)


def _take_back(path: Path, done: Done) -> TakenBack:
    content, page = read_page(path, done.sheet)
    places = {heading: page.places.get(key_of(heading)) for heading in done.cells}
    reason = _reason(page, done)
    if not reason:
        old = {index: done.old.get(heading) for heading, index in places.items() if index is not None}
        with told(path):
            save(path, content, plan_set(content, page.name, done.row, old))
        note_undone(path, done)
    return TakenBack(reason, done.sheet, done.cells, done.values)


def _reason(page: Page, done: Done) -> str:
    """Why the entry can no longer be taken back, or "" where it can."""
    record = page.record(done.row)
    values = {key_of(heading): done.values.get(heading) for heading in done.cells}
    changed = [key for key, value in values.items() if not holds(record.get(key, ""), value)]
    if changed:
        cells = ", ".join(cell for heading, cell in done.cells.items() if key_of(heading) in changed)
        return f"The last entry cannot be taken back: {cells} no longer holds what was entered."
    more = [page.ref(key, done.row) for key in record if key not in values]
    if done.is_new and more:
        return f"The last entry cannot be taken back: {', '.join(more)} was filled in since."
    return ""
