"""The entries that wait for a workbook: kept on the disk first, written in their order, told until they are in."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tracker.derive.referral.firing import Firing
from tracker.entry import journal as events
from tracker.entry.journal import SUFFIX, Attempt, Waiting, journal_of
from tracker.entry.write import REFUSALS, bring_in
from tracker.problem import NotWritten, Problem
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import lock

IN, KEPT, REFUSED = "in the workbook", "kept", "refused"

# What is the matter with one entry or one sheet. Whatever else is refused, the next entry would be too.
OF_ONE_ENTRY = frozenset(
    {"write-no-sheet", "write-protected", "write-totals", "write-in-the-way", "write-row-changed",
     "write-too-long", "heading-missing", "write-no-column"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Entered:
    """What became of an entry.

    `state` is "in the workbook"; "kept" (beside it until it can be written; `reason` says why); or
    "refused" (nothing is kept, `problems` say why). `cells` are the cells written, by heading, such as
    "Soundness!F14"; `shown` what stands in them, dates as they were read; `warnings` those that the entry
    calls for.
    """

    state: str
    sheet: str
    row: int | None = None
    cells: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    warnings: tuple[Firing, ...] = ()
    reason: str = ""
    id: str = ""
    shown: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pending:
    """The entries that wait for a workbook, and sentences on what else is the matter with its journal."""

    entries: tuple[Waiting, ...]
    notes: tuple[str, ...]
    journal: Path


def keep(path: Path, entry: Waiting) -> None:
    """Put an entry into the journal, safe on the disk. Raises NotWritten where that cannot be."""
    try:
        with events.held(path) as journal:
            events.set_right(journal)
            events.append(journal, events.made(entry))
    except OSError as failure:
        raise events.not_kept(path, failure) from failure


def pending(path: str | os.PathLike[str]) -> Pending:
    """Say what waits for the workbook. Nothing is written."""
    path = Path(os.path.realpath(path))
    journal = journal_of(path)
    notes = [_aside(file) for file in events.kept_aside(path)]
    waiting: list[Waiting] = []
    try:
        waiting, unread = events.read(journal)
        lines = "1 line" if len(unread) == 1 else f"{len(unread)} lines"
        notes += [f"{lines} of {journal.name} cannot be read."] if unread else []
    except OSError as failure:
        notes.append(f"{journal.name}, where entries wait, cannot be read ({failure.strerror}).")
    orphans = _orphans(path)
    state = _state(path) if orphans or any(entry.attempt for entry in waiting) else ""
    for orphan, entries in orphans.items():
        if _is_of(state, entries):
            waiting = entries + waiting
        else:
            notes.append(_stray(orphan, len(entries), path))
    left = [entry for entry in waiting if not (entry.attempt and entry.attempt.after == state)]
    return Pending(tuple(left), tuple(notes), journal)


def _aside(file: Path) -> str:
    return (
        f"Not all of the entries that waited could be read; they are kept as they were in {file.name}. "
        "Look at it in a text editor, enter what is missing, then delete it."
    )


def _stray(orphan: Path, count: int, path: Path) -> str:
    workbook = orphan.name.removesuffix(SUFFIX)
    number = "1 entry waits" if count == 1 else f"{count} entries wait"
    return (
        f"{number} in {orphan.name} for {workbook}, which is no longer there. If you have renamed it to "
        f"{path.name}, rename that file to {journal_of(path).name}."
    )


def _orphans(path: Path) -> dict[Path, list[Waiting]]:
    """The journals in the folder whose workbook is gone, with the entries that wait in them."""
    found: dict[Path, list[Waiting]] = {}
    with contextlib.suppress(OSError):
        for file in sorted(path.parent.iterdir()):
            workbook = file.with_name(file.name.removesuffix(SUFFIX))
            if file.name.endswith(SUFFIX) and file != journal_of(path) and not workbook.exists():
                found[file] = events.read(file)[0]
    return {file: entries for file, entries in found.items() if entries}


def _state(path: Path) -> str:
    try:
        return fingerprint(path.read_bytes())
    except OSError:
        return ""


def _is_of(state: str, entries: list[Waiting]) -> bool:
    """Whether entries were made for the workbook of that fingerprint, whatever its name was then."""
    known = {entry.seen for entry in entries}
    for entry in entries:
        known |= {entry.attempt.before, entry.attempt.after} if entry.attempt else set()
    return bool(state) and state in known


def adopt(path: Path) -> None:
    """Take over the journal of this very workbook under the name that it had before."""
    orphans = _orphans(path)
    if not orphans:
        return
    state = _state(path)
    for orphan, entries in orphans.items():
        with contextlib.suppress(OSError, NotWritten), events.held(path) as journal:
            if _is_of(state, entries) and not journal.exists():
                os.rename(orphan, journal)


def write_pending(path: str | os.PathLike[str]) -> tuple[Entered, ...]:
    """Write what waits for the workbook, in the order in which it was entered; says what became of each."""
    path = Path(os.path.realpath(path))
    if not pending(path).entries and not journal_of(path).exists():
        return ()
    try:
        with lock(path):
            return tuple(write_all(path))
    except NotWritten as busy:
        return tuple(_kept(entry, busy) for entry in pending(path).entries)


def write_all(path: Path) -> Iterator[Entered]:
    """Write what waits; the caller holds the workbook's lock."""
    adopt(path)
    stop: Exception | None = None
    for entry in in_order(path):
        if stop is None:
            try:
                attempt = bring_in(path, entry)
            except REFUSALS as failure:
                stop = None if _is_of_one(failure) else failure
                yield _kept(entry, failure)
            else:
                with contextlib.suppress(OSError, NotWritten):  # next time finds that it is in
                    strike_off(path, entry)
                yield _entered(entry, attempt)
        else:
            yield _kept(entry, stop)


def in_order(path: Path) -> list[Waiting]:
    """List what waits, the oldest first. A journal that cannot be set right now is read as far as it can be."""
    with contextlib.suppress(OSError, NotWritten), events.held(path) as journal:
        events.set_right(journal)
        events.clear(journal)
    try:
        return events.read(journal_of(path))[0]
    except OSError:
        return []


def strike_off(path: Path, entry: Waiting) -> None:
    """Take an entry out of the journal, and the journal away with the last one. Raises NotWritten, OSError."""
    with events.held(path) as journal:
        events.append(journal, events.over(entry))
        with contextlib.suppress(OSError):
            events.clear(journal)


def _is_of_one(failure: Exception) -> bool:
    return isinstance(failure, NotWritten) and failure.problem.kind in OF_ONE_ENTRY


def _kept(entry: Waiting, failure: Exception) -> Entered:
    return Entered(KEPT, entry.sheet, entry.row, reason=str(failure), id=entry.id)


def _entered(entry: Waiting, attempt: Attempt) -> Entered:
    return Entered(IN, entry.sheet, attempt.row, cells=attempt.cells, id=entry.id)
