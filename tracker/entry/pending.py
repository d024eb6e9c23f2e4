"""The entries that wait for a workbook: kept on the disk first, written in their order, told until they are in."""

from __future__ import annotations

import contextlib
import logging
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from tracker.derive.referral.firing import Firing
from tracker.entry import journal as events
from tracker.entry.history import Done, known, note_done
from tracker.entry.journal import SUFFIX, Attempt, Waiting, journal_of
from tracker.entry.lines import append
from tracker.entry.write import REFUSALS, bring_in, note_refused
from tracker.problem import NotWritten, Problem
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import lock, told

IN, KEPT, REFUSED = "in the workbook", "kept", "refused"

# What is the matter with the whole workbook, so that the next entry would meet it too.
OF_THE_WORKBOOK = frozenset(
    {"write-open", "write-busy", "write-changed", "write-disk-full", "write-no-permission", "write-failed",
     "write-signed", "write-strict", "write-other-format", "file-locked", "file-missing"}
)  # fmt: skip
FAULT = "Something went wrong inside the program while this entry was written."


@dataclass(frozen=True, slots=True)
class Entered:
    """What became of an entry.

    `state` is "in the workbook"; "kept" (beside it until it can be written; `reason` says why); or
    "refused" (nothing is kept, `problems` say why). `cells` are the cells written, by heading, such as
    "Soundness!F14"; `shown` what stands in them, dates as they were read; `warnings` those that the entry
    calls for. `added` are the headings that the sheet was given for it, with their cells.
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
    added: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pending:
    """The entries that wait for a workbook, and sentences on what else is the matter with its journal."""

    entries: tuple[Waiting, ...]
    notes: tuple[str, ...]
    journal: Path


def keep(path: Path, entry: Waiting) -> None:
    """Put an entry into the journal, safe on the disk, unless one of its id is known already.

    Raises NotWritten where that cannot be.
    """
    with _journal(path) as (journal, waiting, done):
        if entry.id not in done and entry.id not in (each.id for each in waiting):
            append(journal, events.made(_numbered(entry, waiting, done, 1)))


def keep_all(path: Path, entries: Sequence[Waiting]) -> None:
    """Put entries that belong together into the journal by one line, so that all are kept or none.

    Raises NotWritten where that cannot be.
    """
    with _journal(path) as (journal, waiting, done):
        numbered = [_numbered(entry, waiting, done, number) for number, entry in enumerate(entries, 1)]
        append(journal, events.together(numbered))


@contextlib.contextmanager
def _journal(path: Path) -> Iterator[tuple[Path, list[Waiting], Mapping[str, Done]]]:
    """The journal, set right and held, with what waits in it and what is in. Raises NotWritten."""
    try:
        with events.held(path) as journal:
            events.set_right(journal)
            yield journal, events.read(journal)[0], known(path)
    except OSError as failure:
        raise events.not_kept(path, failure) from failure


def _numbered(entry: Waiting, waiting: Sequence[Waiting], done: Mapping[str, Done], after: int) -> Waiting:
    """The entry with its number, so many after the last, and the ids of those that change the same record before it."""
    numbers = [each.number for each in waiting] + [each.number for each in done.values()]
    same = (each for each in waiting if (each.sheet, each.row) == (entry.sheet, entry.row))
    follows = tuple(each.id for each in same) if entry.row is not None else ()
    return replace(entry, number=after + max(numbers, default=0), follows=follows)


def state_of(path: str | os.PathLike[str], name: str) -> str:
    """What has become of the entry of that id: "in the workbook", "kept", or "refused" where nothing is known."""
    path = Path(os.path.realpath(path))
    if any(entry.id == name for entry in pending(path).entries):
        return KEPT
    with contextlib.suppress(OSError):
        if name in known(path) or any(entry.id == name for entry in events.read(journal_of(path))[0]):
            return IN
    return REFUSED


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
        if _is_of(state, entries) and not journal.exists():
            waiting = entries + waiting
        elif _is_of(state, entries) or _is_alone(path):
            notes.append(_stray(orphan, len(entries), path))
    left = [entry for entry in waiting if not _is_in_now(entry, state)]
    return Pending(tuple(left), tuple(notes), journal)


def _is_in_now(entry: Waiting, state: str) -> bool:
    return entry.is_in or bool(entry.attempt and entry.attempt.after == state)


def _is_alone(path: Path) -> bool:
    """Whether no other workbook lies in the folder, so that an entry without one can only belong here."""
    return not any(
        other != path
        and other.suffix.lower() in (".xlsx", ".xlsm")
        and not other.name.startswith((".", "~$"))
        for other in path.parent.iterdir()
    )


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
        for file in sorted(path.parent.glob(f"?*{SUFFIX}")):
            workbook = file.with_name(file.name.removesuffix(SUFFIX))
            if file != journal_of(path) and not workbook.exists():
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
    """Take over the journal of this very workbook under the name that it had before, unless it has one."""
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
        refuse_taken_name(path)
        with lock(path):
            return tuple(write_all(path))
    except NotWritten as busy:
        return tuple(kept_for(entry, busy) for entry in pending(path).entries)


def refuse_taken_name(path: Path) -> None:
    """Raise NotWritten where the folder with the older copies cannot be made."""
    with told(path):
        events.refuse_taken_name(path)


def write_all(path: Path) -> Iterator[Entered]:
    """Write what waits; the caller holds the workbook's lock."""
    adopt(path)
    stop: Exception | None = None
    for entry in in_order(path):
        if stop is not None:
            yield kept_for(entry, stop)
            continue
        try:
            attempt = bring_in(path, entry)
        except REFUSALS as failure:
            stop = failure if _is_of_the_workbook(failure) else None
            yield kept_for(entry, failure)
        except Exception:  # one entry that the program cannot deal with must not hold up the others
            logging.getLogger(__name__).exception("writing an entry that waits")
            note_refused(path, entry, FAULT, settled=False)
            yield Entered(KEPT, entry.sheet, entry.row, reason=FAULT, id=entry.id)
        else:
            settle(path, entry, attempt)
            yield entered_in(entry, attempt)


def settle(path: Path, entry: Waiting, attempt: Attempt) -> None:
    """Note that an entry is in, and strike it off; what cannot be noted now is found out next time."""
    with contextlib.suppress(OSError, NotWritten):
        try:
            note_done(path, entry, attempt)
        except OSError:  # it must not be struck off: undo would take the one before for the last
            events.note(path, events.gone_in(entry))
        else:
            strike_off(path, entry)


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
        append(journal, events.over(entry))
        with contextlib.suppress(OSError):
            events.clear(journal)


def _is_of_the_workbook(failure: Exception) -> bool:
    return not isinstance(failure, NotWritten) or failure.problem.kind in OF_THE_WORKBOOK


def kept_for(entry: Waiting, failure: Exception) -> Entered:
    """What is told of an entry that could not be written now."""
    return Entered(KEPT, entry.sheet, entry.row, reason=str(failure), id=entry.id)


def entered_in(entry: Waiting, attempt: Attempt) -> Entered:
    """What is told of an entry that is in."""
    return Entered(IN, entry.sheet, attempt.row, cells=attempt.cells, id=entry.id, added=attempt.added)
