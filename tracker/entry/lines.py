"""A file of events, one JSON object a line: lines are only ever added, and one that cannot be read spoils no other."""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Callable, Mapping
from io import FileIO
from pathlib import Path
from typing import Any

from tracker.workbook.change.disk import push_folder

NOT_AN_EVENT = (ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError)


def take_in(file: Path, apply: Callable[[dict[str, Any]], None]) -> list[bytes]:
    """Give every event of the file to `apply`, in order; returns the lines that cannot be read.

    Raises OSError where the file cannot be read at all; a file that is not there holds no event.
    """
    try:
        content = file.read_bytes()
    except FileNotFoundError:
        return []
    unread: list[bytes] = []
    for line in content.split(b"\n"):
        if not line.strip():
            continue
        try:
            apply(json.loads(line))
        except NOT_AN_EVENT:
            unread.append(line)
    return unread


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
        push_folder(file.parent)


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
