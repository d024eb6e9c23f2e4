"""Where entries go from the pages to the workbook: one at a time, each once, and tried again while any waits."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import logging
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from dashboards.library import Library, Trouble
from tracker import (
    Entered,
    Look,
    NotWritten,
    Pending,
    TakenBack,
    Unreadable,
    enter,
    look_over,
    may_enter,
    pending,
    undo,
    write_pending,
)
from tracker.show import words

T = TypeVar("T")

PAUSE = 4.0
"""Seconds between two tries to write what waits, at least."""

NEWS_LASTS = 600.0
"""Seconds for which it is said that what waited is in."""

_IN, _KEPT = "in the workbook", "kept"
_REMEMBERED = 200  # answers that are given again where the same entry is sent once more
_UNEXPECTED = Trouble(
    "Something went wrong inside the program; this is not written as far as it knows.",
    "It stays here. Look whether the workbook has it, then save again.",
)


@dataclass(frozen=True, slots=True)
class Sent:
    """What a page sends: what was typed, by key, and what may be done about a column or a sheet that is lacking.

    `row` is the record that is changed, None for a new one, and `seen` what it held when it was shown.
    `once` names this entry, so that the same one sent twice is written once; what was amended is another.
    """

    sheet: str
    typed: Mapping[str, str]
    row: int | None = None
    seen: Mapping[str, str] = field(default_factory=dict)
    once: str = ""
    add_column: bool = False
    to_remarks: bool = False
    add_sheet: bool = False

    @property
    def name(self) -> str:
        """What the same entry bears every time it is sent, before and after the program was stopped."""
        said = json.dumps([self.once, self.sheet, self.row, sorted(self.typed.items())])
        return hashlib.sha256(said.encode()).hexdigest()[:32] if self.once else ""

    @property
    def allowed(self) -> Any:
        """What may be done about a column or a sheet that is lacking."""
        return {"add_column": self.add_column, "to_remarks": self.to_remarks, "add_sheet": self.add_sheet}


@dataclass(frozen=True, slots=True)
class WaitView:
    """One entry that waits: what it says, in a line, and why it waits."""

    id: str
    sheet: str
    said: str
    reason: str


@dataclass(frozen=True, slots=True)
class Waits:
    """What waits for the workbook, and sentences on what came of what waited and on what is the matter."""

    entries: tuple[WaitView, ...] = ()
    notes: tuple[str, ...] = ()
    news: tuple[str, ...] = ()


class Desk:
    """Writes into one workbook, for any number of pages at once."""

    def __init__(self, file: Path, library: Library, day_first: bool | None = None) -> None:
        self.library = library
        self.written = 0
        self._file = file
        self._day_first = day_first
        self._one = threading.Lock()
        self._counting = threading.Lock()
        self._answers: OrderedDict[str, Entered] = OrderedDict()
        self._waited: dict[str, str] = {}
        self._news: list[tuple[float, str]] = []
        self._next_try = 0.0

    def closed(self) -> Trouble | None:
        """Why the workbook can only be read, and what to do; None where that is not known.

        Where it cannot even be read now, the library says so.
        """
        try:
            may_enter(self._file)
        except NotWritten as failure:
            return self.told(failure)
        except Unreadable:
            return None
        return None

    def look(self, sent: Sent) -> Look | Trouble:
        """What the program makes of an entry so far, whatever is lacking for it. Nothing is written."""
        try:
            return look_over(
                self._file, sent.sheet, sent.typed, sent.row, day_first=self._day_first,
                add_column=True, add_sheet=True,
            )  # fmt: skip
        except Unreadable as failure:
            return self.told(failure)

    def enter(self, sent: Sent) -> Entered | Trouble:
        """Write an entry, or keep it beside the workbook; the same one sent again gets the same answer."""
        with self._one:
            if sent.name in self._answers:
                return self._answers[sent.name]
            try:
                if self._waited:
                    self._bring_in()
                entered = enter(
                    self._file, sent.sheet, sent.typed, row=sent.row, seen=sent.seen, day_first=self._day_first,
                    id=sent.name, **sent.allowed,
                )  # fmt: skip
            except (NotWritten, Unreadable) as failure:
                return self.told(failure)
            except Exception:
                logging.getLogger(__name__).exception("entering")
                return _UNEXPECTED
            self._remember(sent.name, entered)
            return entered

    def _remember(self, name: str, entered: Entered) -> None:
        if entered.state not in (_IN, _KEPT):
            return
        self.written += entered.state == _IN
        if name:
            self._answers[name] = entered
        while len(self._answers) > _REMEMBERED:
            self._answers.popitem(last=False)

    def undo(self, entry: str) -> TakenBack | Trouble:
        """Take the entry of that id back, and no other."""
        with self._one:
            try:
                taken = undo(self._file, id=entry)
            except (NotWritten, Unreadable) as failure:
                return self.told(failure)
            except Exception:
                logging.getLogger(__name__).exception("taking back")
                return _UNEXPECTED
            if not taken.reason:
                self._answers.pop(entry, None)
                self._waited.pop(entry, None)
                self.written += bool(taken.cells)
            return taken

    def try_again(self) -> None:
        """Write what waits, if anything: never twice at a time, and not sooner than a pause after the last try."""
        if not self._one.acquire(blocking=False):
            return
        try:
            if time.monotonic() >= self._next_try:
                begun = time.monotonic()
                self._bring_in()
                self._next_try = time.monotonic() + max(PAUSE, 5 * (time.monotonic() - begun))
        except Exception:
            logging.getLogger(__name__).exception("writing what waits")
        finally:
            self._one.release()

    def _bring_in(self) -> None:
        for entered in write_pending(self._file):
            if entered.state == _IN:
                self.written += 1
                self._waited.pop(entered.id, None)
                cells = ", ".join(cell.rpartition("!")[2] for cell in entered.cells.values())
                self._tell(f"What waited is in the workbook now, on the sheet {entered.sheet}: {cells}.")

    def _tell(self, news: str) -> None:
        self._news.append((time.monotonic(), news))

    def waits(self) -> Waits:
        """What there is to say of entries that wait, or that waited a short while ago."""
        try:
            found: Pending = pending(self._file)
        except Exception:
            logging.getLogger(__name__).exception("looking for what waits")
            return Waits()
        since = time.monotonic() - NEWS_LASTS
        with self._counting:
            now = {entry.id: entry.sheet for entry in found.entries}
            gone = {entry: sheet for entry, sheet in self._waited.items() if entry not in now}
            if gone and self._one.locked():  # being written just now: what came of it is told then
                now |= gone
            elif gone:
                for sheet in gone.values():
                    self._tell(f"An entry for the sheet {sheet} was written or taken back in another window.")
            self._waited = now
            news = tuple(told for moment, told in self._news if moment > since)
        return Waits(tuple(self._waiting(entry) for entry in found.entries), found.notes, news)

    def _waiting(self, entry: Any) -> WaitView:
        by_program = [value for value in entry.values.values() if isinstance(value, dt.datetime)]
        values = [value for value in entry.values.values() if value not in (None, "", *by_program)]
        said = ", ".join(map(words.value, values))
        return WaitView(entry.id, entry.sheet, said, self.library.named(entry.reason))

    def stamp(self) -> str:
        """What differs whenever a page has something else to show."""
        waits = self.waits()
        told = repr(([(entry.id, entry.reason) for entry in waits.entries], waits.notes, waits.news))
        if not (waits.entries or waits.notes or waits.news):
            return self.library.read().stamp
        return f"{self.library.read().stamp} {hashlib.sha256(told.encode()).hexdigest()[:12]}"

    def alone(self, doing: Callable[[], T]) -> T:
        """Do something with the workbook while nothing else here writes it; what waits goes first."""
        with self._one:
            if self._waited:
                self._bring_in()
            return doing()

    def told(self, failure: NotWritten | Unreadable) -> Trouble:
        """The failure in the words of a page."""
        problem = failure.problem
        return Trouble(self.library.named(problem.message), self.library.named(problem.hint))
