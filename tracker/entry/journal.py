"""The journal beside the workbook: an entry stands in it, safe on the disk, from before it is written until it is in.

Each line is one event of one entry: it was made, it was about to be written, it was refused, it is over. A
program that is stopped at any moment leaves at most one line torn, and what that line did not say yet was
told to nobody.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from io import FileIO
from pathlib import Path
from typing import Any

from tracker.entry.form import key_of, sheet_named
from tracker.entry.look import Entry, shown
from tracker.entry.stored import Stored, restored, stored
from tracker.problem import NotWritten
from tracker.workbook.change.journal_lock import journal_lock

SUFFIX = ".pending.jsonl"


@dataclass(frozen=True, slots=True)
class Attempt:
    """What is known of one try to write an entry, from just before the file was swapped.

    `before` and `after` are the fingerprints of the whole file. `alike` counts the records that said the
    same before. `cells` are the places by heading, `old` what stood in them.
    """

    before: str
    after: str
    row: int
    alike: int
    cells: Mapping[str, str]
    old: Mapping[str, Stored]


@dataclass(frozen=True, slots=True)
class Waiting:
    """An entry that is not in the workbook yet, with the reason.

    `row` is the record that it changes, None for a new one, and `was` what that record held when it was made.
    `added` are the headings that the sheet may be given, `adds_sheet` whether the sheet itself may be.
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
        "adds_sheet": entry.adds_sheet, "seen": entry.seen,
    }  # fmt: skip


def tried(entry: Waiting, attempt: Attempt) -> dict[str, Any]:
    """The event that an entry is about to be written."""
    return {
        "id": entry.id, "what": "tried", "before": attempt.before, "after": attempt.after, "row": attempt.row,
        "alike": attempt.alike, "cells": dict(attempt.cells), "old": stored(attempt.old),
    }  # fmt: skip


def refused(entry: Waiting, reason: str) -> dict[str, Any]:
    """The event that an entry could not be written; what the try before it came to is known then."""
    return {"id": entry.id, "what": "refused", "reason": reason}


def over(entry: Waiting) -> dict[str, Any]:
    """The event that an entry is in the workbook, or was taken back before it was."""
    return {"id": entry.id, "what": "over"}


def read(journal: Path) -> tuple[list[Waiting], list[bytes]]:
    """The entries that wait, in the order in which they were made, and the lines that cannot be read.

    Raises OSError where the file cannot be read at all; a journal that is not there is an empty one.
    """
    try:
        content = journal.read_bytes()
    except FileNotFoundError:
        return [], []
    waiting: dict[str, Waiting] = {}
    unread: list[bytes] = []
    for line in content.split(b"\n"):
        if not line.strip():
            continue
        try:
            _apply(json.loads(line), waiting)
        except (ValueError, KeyError, TypeError, AttributeError):
            unread.append(line)
    return list(waiting.values()), unread


def _apply(event: dict[str, Any], waiting: dict[str, Waiting]) -> None:
    """Take in one event. An event of an entry that is over, or of one whose line was torn, changes nothing."""
    key, what = event["id"], event["what"]
    if what == "made":
        waiting[key] = _waiting(event)
    elif what == "over":
        waiting.pop(key, None)
    elif key in waiting and what == "tried":
        waiting[key] = replace(waiting[key], attempt=_attempt(event))
    elif key in waiting and what == "refused":
        waiting[key] = replace(waiting[key], reason=str(event["reason"]), attempt=None)
    elif what not in ("tried", "refused"):
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
    )


def _attempt(event: dict[str, Any]) -> Attempt:
    return Attempt(
        before=str(event["before"]),
        after=str(event["after"]),
        row=int(event["row"]),
        alike=int(event["alike"]),
        cells={str(key): str(ref) for key, ref in event["cells"].items()},
        old=restored(event["old"]),
    )


@contextlib.contextmanager
def held(workbook: Path) -> Iterator[Path]:
    """Hold the workbook's journal for a moment. Raises NotWritten where another window does, OSError."""
    with journal_lock(workbook):
        yield journal_of(workbook)


def note(workbook: Path, event: Mapping[str, Any]) -> None:
    """Add an event to the workbook's journal. Raises NotWritten, OSError."""
    with held(workbook) as journal:
        append(journal, event)


def append(file: Path, event: Mapping[str, Any]) -> None:
    """Add one line and wait until it is on the disk. Raises OSError, and then the line is not in the file."""
    line = json.dumps(event).encode() + b"\n"
    is_new = not file.exists()
    with file.open("ab+", buffering=0) as opened:
        end = opened.seek(0, os.SEEK_END)
        try:
            _write(opened, line if _ends_well(opened, end) else b"\n" + line)
        except OSError:
            with contextlib.suppress(OSError):
                opened.truncate(end)
            raise
    if is_new:
        _sync_folder(file.parent)


def _write(opened: FileIO, content: bytes) -> None:
    """Write all of it, past any buffer: what a full disk cuts short can be taken back then."""
    left = memoryview(content)
    while left:
        left = left[opened.write(left) :]
    os.fsync(opened.fileno())


def _ends_well(opened: FileIO, end: int) -> bool:
    """Whether the last line is whole, so that the next one begins a line of its own."""
    if not end:
        return True
    opened.seek(end - 1)
    return opened.read(1) == b"\n"


def _sync_folder(folder: Path) -> None:
    """Have the folder's own list of files on the disk too; some systems offer no way."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


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
    _write_new(_free_name(journal), content)
    kept = [line for line in content.split(b"\n") if line.strip() and line not in unread]
    fresh = journal.with_name(journal.name + ".new")
    fresh.unlink(missing_ok=True)
    _write_new(fresh, b"".join(line + b"\n" for line in kept))
    os.replace(fresh, journal)
    _sync_folder(journal.parent)


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


def _write_new(file: Path, content: bytes) -> None:
    """Write a file that was not there. Raises OSError, and then it is not there again."""
    with file.open("xb", buffering=0) as opened:
        try:
            _write(opened, content)
        except OSError:
            file.unlink(missing_ok=True)
            raise


def clear(journal: Path) -> None:
    """Take the journal away once nothing waits in it. Raises OSError."""
    if not any(read(journal)):
        journal.unlink(missing_ok=True)


def not_kept(workbook: Path, failure: OSError) -> NotWritten:
    """The refusal of an entry that not even the journal could take."""
    return NotWritten("write-not-kept", path=workbook.name, reason=failure.strerror or "no reason given")
