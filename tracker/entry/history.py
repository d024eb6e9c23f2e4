"""What was entered, kept beside the backups so that it can be taken back: lines are only ever added."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tracker.entry.journal import Attempt, Waiting
from tracker.entry.lines import append, take_in
from tracker.entry.stored import Stored, restored, stored
from tracker.workbook.change.backups import folder_of

NAME = "entries.jsonl"


@dataclass(frozen=True, slots=True)
class Done:
    """One entry that went into the workbook: what was written where, by heading, and what stood there before.

    `is_new`: it made a record of its own, rather than changing one, which held `was` (by key). `old` lacks
    what cannot be put back. `undoing`: taking it back has begun; `undone`: it was taken back.
    """

    id: str
    sheet: str
    number: int
    row: int
    is_new: bool
    values: Mapping[str, Stored]
    cells: Mapping[str, str]
    old: Mapping[str, Stored]
    was: Mapping[str, str]
    added: Mapping[str, str] = field(default_factory=dict)
    added_sheet: bool = False
    worked_out: tuple[str, ...] = ()
    undoing: bool = False
    undone: bool = False


def note_done(workbook: Path, entry: Waiting, attempt: Attempt) -> None:
    """Add an entry that went in, once. Raises OSError."""
    if entry.id in known(workbook):
        return
    _note(
        workbook,
        {
            "id": entry.id, "sheet": entry.sheet, "number": entry.number, "row": attempt.row,
            "new": entry.row is None, "values": stored(entry.values), "cells": dict(attempt.cells),
            "old": stored(attempt.old), "was": dict(attempt.was), "added": dict(attempt.added),
            "added_sheet": attempt.added_sheet, "worked_out": list(attempt.worked_out),
        },
    )  # fmt: skip


def note_undoing(workbook: Path, done: Done, *, stays: bool = False) -> None:
    """Add that an entry is about to be taken back, or that it `stays` after all. Raises OSError."""
    _note(workbook, {"id": done.id, "undoing": not stays})


def note_undone(workbook: Path, done: Done) -> None:
    """Add that an entry was taken back. Raises OSError."""
    _note(workbook, {"id": done.id, "undone": True})


def _note(workbook: Path, event: dict[str, Any]) -> None:
    append(folder_of(workbook) / NAME, event)


def entries(workbook: Path) -> list[Done]:
    """The entries that went in and were not taken back, in order. Raises OSError."""
    return [done for done in known(workbook).values() if not done.undone]


def known(workbook: Path) -> dict[str, Done]:
    """Every entry that ever went in, by its id; a line that cannot be read is passed over. Raises OSError."""
    found: dict[str, Done] = {}
    take_in(folder_of(workbook) / NAME, lambda event: _apply(event, found))
    return found


def _apply(event: dict[str, Any], found: dict[str, Done]) -> None:
    key = event["id"]
    if "undone" in event:
        found[key] = replace(found[key], undone=True)
    elif "undoing" in event:
        found[key] = replace(found[key], undoing=bool(event["undoing"]))
    else:
        found[key] = _done(event)


def _done(event: dict[str, Any]) -> Done:
    return Done(
        id=str(event["id"]),
        sheet=str(event["sheet"]),
        number=int(event["number"]),
        row=int(event["row"]),
        is_new=bool(event["new"]),
        values=restored(event["values"]),
        cells={str(heading): str(cell) for heading, cell in event["cells"].items()},
        old=restored(event["old"]),
        was={str(key): str(text) for key, text in event["was"].items()},
        added={str(heading): str(cell) for heading, cell in event["added"].items()},
        added_sheet=bool(event["added_sheet"]),
        worked_out=tuple(map(str, event["worked_out"])),
    )
