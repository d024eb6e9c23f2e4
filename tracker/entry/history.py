"""What was entered, kept beside the backups so that the last entry can be taken back: lines are only ever added."""

from __future__ import annotations

import contextlib
import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tracker.entry.journal import Attempt, Waiting, append
from tracker.entry.stored import Stored, restored, stored
from tracker.workbook.change.backups import folder_of

NAME = "entries.jsonl"


@dataclass(frozen=True, slots=True)
class Done:
    """One entry that went into the workbook: what was written where, by heading, and what stood there before.

    `is_new`: it made a record of its own, rather than changing one.
    """

    id: str
    sheet: str
    moment: dt.datetime
    row: int
    is_new: bool
    values: Mapping[str, Stored]
    cells: Mapping[str, str]
    old: Mapping[str, Stored]


def note_done(workbook: Path, entry: Waiting, attempt: Attempt) -> None:
    """Add an entry that went in. Where that fails, it can only not be taken back by the program."""
    if any(done.id == entry.id for done in entries(workbook)):
        return
    _note(
        workbook,
        {
            "id": entry.id, "sheet": entry.sheet, "row": attempt.row, "new": entry.row is None,
            "moment": entry.moment.isoformat(), "values": stored(entry.values), "cells": dict(attempt.cells),
            "old": stored(attempt.old),
        },
    )  # fmt: skip


def note_undone(workbook: Path, done: Done) -> None:
    """Add that an entry was taken back."""
    _note(workbook, {"id": done.id, "undone": True})


def _note(workbook: Path, event: dict[str, Any]) -> None:
    with contextlib.suppress(OSError):
        file = folder_of(workbook) / NAME
        append(file, event)


def entries(workbook: Path) -> list[Done]:
    """The entries that went in and were not taken back, in order; a line that cannot be read is passed over."""
    try:
        lines = (folder_of(workbook) / NAME).read_bytes().split(b"\n")
    except OSError:
        return []
    found: dict[str, Done] = {}
    for line in lines:
        with contextlib.suppress(ValueError, KeyError, TypeError, AttributeError):
            event = json.loads(line)
            if event.get("undone"):
                found.pop(event["id"], None)
            else:
                found[event["id"]] = _done(event)
    return list(found.values())


def _done(event: dict[str, Any]) -> Done:
    return Done(
        id=str(event["id"]),
        sheet=str(event["sheet"]),
        moment=dt.datetime.fromisoformat(event["moment"]),
        row=int(event["row"]),
        is_new=bool(event["new"]),
        values=restored(event["values"]),
        cells={str(heading): str(cell) for heading, cell in event["cells"].items()},
        old=restored(event["old"]),
    )
