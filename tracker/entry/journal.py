"""The journal beside the workbook: an entry stands in it, safe on the disk, from before it is written until it is in.

Each line is one event of one entry: it was made, it was about to be written, it was refused, it is over. A
program that is stopped at any moment leaves at most one line torn, and what that line did not say yet was
told to nobody.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import errno
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tracker.entry.form import key_of, sheet_named
from tracker.entry.lines import append, take_in
from tracker.entry.look import Entry, shown
from tracker.entry.stored import Stored, restored, stored
from tracker.problem import NotWritten
from tracker.workbook.change.backups import folder_of
from tracker.workbook.change.disk import push_folder, write_through
from tracker.workbook.change.journal_lock import journal_lock

SUFFIX = ".pending.jsonl"


@dataclass(frozen=True, slots=True)
class Attempt:
    """What is known of one try to write an entry, from just before the file was swapped.

    `before` and `after` are the fingerprints of the whole file. `counts` are those of `match.counts` before.
    `cells` are the places by heading, `old` what stood in them, as far as it can be put back, `was` what all
    of a record that is changed held, by key. `added` are
    the headings that the sheet was given, with their cells, `added_sheet` whether it was new itself;
    `worked_out` the headings under which the owner's own table put a formula.
    """

    before: str
    after: str
    row: int
    counts: tuple[int, ...]
    cells: Mapping[str, str]
    old: Mapping[str, Stored]
    was: Mapping[str, str] = field(default_factory=dict)
    added: Mapping[str, str] = field(default_factory=dict)
    added_sheet: bool = False
    worked_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Waiting:
    """An entry that is not in the workbook yet, with the reason.

    `row` is the record that it changes, None for a new one, and `was` what that record held when it was made.
    `added` are the headings that the sheet may be given, `adds_sheet` whether the sheet itself may be.
    `number` counts the entries of the workbook, so that the last one is known whatever the clock says;
    `follows` are the ids of those that change the same record and were still waiting then. `is_in`: it is in
    the workbook, which only could not be noted for undo.
    """

    id: str
    sheet: str
    row: int | None
    values: Mapping[str, Entry]
    moment: dt.datetime
    was: Mapping[str, str] = field(default_factory=dict)
    added: tuple[str, ...] = ()
    adds_sheet: bool = False
    seen: str = ""
    number: int = 0
    follows: tuple[str, ...] = ()
    is_in: bool = False
    reason: str = ""
    attempt: Attempt | None = None

    @property
    def shown(self) -> dict[str, str]:
        """What was entered, in words, by heading."""
        return {heading: shown(value) for heading, value in self.values.items()}


def journal_of(workbook: Path) -> Path:
    """The journal's path: "my-horse.xlsx.pending.jsonl"."""
    return workbook.with_name(workbook.name + SUFFIX)


def made(entry: Waiting) -> dict[str, Any]:
    """The event that an entry was made."""
    return {
        "id": entry.id, "what": "made", "sheet": entry.sheet, "row": entry.row, "values": stored(entry.values),
        "moment": entry.moment.isoformat(), "was": dict(entry.was), "added": list(entry.added),
        "adds_sheet": entry.adds_sheet, "seen": entry.seen, "number": entry.number,
        "follows": list(entry.follows),
    }  # fmt: skip


def together(entries: Sequence[Waiting]) -> dict[str, Any]:
    """The event that entries were made that belong together."""
    return {"what": "together", "made": [made(entry) for entry in entries]}


def tried(entry: Waiting, attempt: Attempt) -> dict[str, Any]:
    """The event that an entry is about to be written."""
    return {
        "id": entry.id, "what": "tried", "before": attempt.before, "after": attempt.after,
        "row": attempt.row, "counts": list(attempt.counts), "cells": dict(attempt.cells),
        "old": stored(attempt.old), "was": dict(attempt.was), "added": dict(attempt.added), "added_sheet": attempt.added_sheet,
        "worked_out": list(attempt.worked_out),
    }  # fmt: skip


def refused(entry: Waiting, reason: str, *, settled: bool = True) -> dict[str, Any]:
    """The event that an entry could not be written; `settled`: it is known that it is not in."""
    return {"id": entry.id, "what": "refused", "reason": reason, "settled": settled}


def gone_in(entry: Waiting) -> dict[str, Any]:
    """The event that an entry is in the workbook, though it could not be noted for undo yet."""
    return {"id": entry.id, "what": "in"}


def over(entry: Waiting) -> dict[str, Any]:
    """The event that an entry is in the workbook, or was taken back before it was."""
    return {"id": entry.id, "what": "over"}


def read(journal: Path) -> tuple[list[Waiting], list[bytes]]:
    """The entries that wait, in the order in which they were made, and the lines that cannot be read.

    Raises OSError where the file cannot be read at all; a journal that is not there is an empty one.
    """
    waiting: dict[str, Waiting] = {}
    unread = take_in(journal, lambda event: _apply(event, waiting))
    return list(waiting.values()), unread


def _apply(event: dict[str, Any], waiting: dict[str, Waiting]) -> None:
    """Take in one event. An event of an entry that is over, or of one whose line was torn, changes nothing."""
    if event["what"] == "together":
        made_now = [_waiting(each) for each in event["made"]]
        waiting.update({each.id: each for each in made_now})
    else:
        _apply_one(event["id"], event["what"], event, waiting)


def _apply_one(key: str, what: str, event: dict[str, Any], waiting: dict[str, Waiting]) -> None:
    if what == "made":
        waiting[key] = _waiting(event)
    elif what == "over":
        waiting.pop(key, None)
    elif key in waiting and what == "tried":
        waiting[key] = replace(waiting[key], attempt=_attempt(event))
    elif key in waiting and what == "refused":
        attempt = None if event["settled"] else waiting[key].attempt
        waiting[key] = replace(waiting[key], reason=str(event["reason"]), attempt=attempt)
    elif key in waiting and what == "in":
        waiting[key] = replace(waiting[key], is_in=True)
    elif what not in ("tried", "refused", "in"):
        raise ValueError(f"unknown event {what}")


def _waiting(event: dict[str, Any]) -> Waiting:
    known = sheet_named(event["sheet"]).by_key
    if not all(key_of(heading) in known for heading in event["values"]):
        raise ValueError("a heading that is not declared")
    return Waiting(
        id=str(event["id"]),
        sheet=str(event["sheet"]),
        row=None if event["row"] is None else int(event["row"]),
        values=restored(event["values"]),
        moment=dt.datetime.fromisoformat(event["moment"]),
        was={str(key): str(text) for key, text in event["was"].items()},
        added=tuple(map(str, event["added"])),
        adds_sheet=bool(event["adds_sheet"]),
        seen=str(event["seen"]),
        number=int(event["number"]),
        follows=tuple(map(str, event["follows"])),
    )


def _attempt(event: dict[str, Any]) -> Attempt:
    return Attempt(
        before=str(event["before"]),
        after=str(event["after"]),
        row=int(event["row"]),
        counts=tuple(map(int, event["counts"])),
        cells={str(key): str(ref) for key, ref in event["cells"].items()},
        old=restored(event["old"]),
        was={str(key): str(text) for key, text in event["was"].items()},
        added={str(key): str(ref) for key, ref in event["added"].items()},
        added_sheet=bool(event["added_sheet"]),
        worked_out=tuple(map(str, event["worked_out"])),
    )


@contextlib.contextmanager
def held(workbook: Path) -> Iterator[Path]:
    """Hold the workbook's journal for a moment. Raises NotWritten where another window does, OSError."""
    refuse_taken_name(workbook)
    with journal_lock(workbook):
        yield journal_of(workbook)


def refuse_taken_name(workbook: Path) -> None:
    """Raise OSError where the owner keeps a file under the name of the folder with the older copies."""
    folder = folder_of(workbook)
    if folder.exists() and not folder.is_dir():
        reason = f"{folder.name} is a file, but the older copies go into a folder of that name"
        raise NotADirectoryError(errno.ENOTDIR, reason)


def note(workbook: Path, event: Mapping[str, Any]) -> None:
    """Add an event to the workbook's journal. Raises NotWritten, OSError."""
    with held(workbook) as journal:
        append(journal, event)


def set_right(journal: Path) -> None:
    """Bring a journal that cannot be read in full into order; the whole of it is kept aside under a new name.

    What can be read of it goes on as before. Raises OSError.
    """
    try:
        _, unread = read(journal)
    except OSError:
        os.rename(journal, _free_name(journal))
        return
    if not unread:
        return
    content = journal.read_bytes()
    write_through(_free_name(journal), content)
    kept = [line for line in content.split(b"\n") if line.strip() and line not in unread]
    fresh = journal.with_name(journal.name + ".new")
    fresh.unlink(missing_ok=True)
    write_through(fresh, b"".join(line + b"\n" for line in kept))
    os.replace(fresh, journal)
    push_folder(journal.parent)


def kept_aside(workbook: Path) -> list[Path]:
    """The journals that could not be read in full, as they were."""
    stem = journal_of(workbook).name.removesuffix(".jsonl")
    try:
        files = list(workbook.parent.iterdir())
    except OSError:
        return []
    return sorted(file for file in files if file.name.startswith(f"{stem}-unread-"))


def _free_name(journal: Path) -> Path:
    stem = journal.name.removesuffix(".jsonl")
    names = (journal.with_name(f"{stem}-unread-{number}.jsonl") for number in range(1, 10_000))
    return next(name for name in names if not name.exists())


def clear(journal: Path) -> None:
    """Take the journal away once nothing waits in it. Raises OSError."""
    if not any(read(journal)):
        journal.unlink(missing_ok=True)


def not_kept(workbook: Path, failure: OSError) -> NotWritten:
    """The refusal of an entry that not even the journal could take."""
    return NotWritten("write-not-kept", path=workbook.name, reason=failure.strerror or "no reason given")
