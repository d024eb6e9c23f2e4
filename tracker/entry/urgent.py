"""The warnings that an entry calls for while it still waits: whoever looks at the workbook must not miss them."""

from __future__ import annotations

import datetime as dt
import logging
import os
from collections.abc import Sequence

from tracker.cells.text import typed
from tracker.derive.referral.firing import Firing
from tracker.entry.journal import Waiting
from tracker.entry.look import look_over
from tracker.entry.match import keyed
from tracker.problem import Unreadable
from tracker.workbook.read import RawWorkbook, read_workbook


def waiting_warnings(path: str | os.PathLike[str], entries: Sequence[Waiting]) -> list[tuple[Firing, ...]]:
    """What each entry warns of, as if it stood in the workbook; nothing where the workbook cannot be read."""
    try:
        raw = read_workbook(path) if entries else None
    except Unreadable:
        raw = None
    if raw is None:
        return [() for _ in entries]
    return [_warnings(raw, entry) for entry in entries]


def _warnings(raw: RawWorkbook, entry: Waiting) -> tuple[Firing, ...]:
    try:
        look = look_over(raw, entry.sheet, _whole(entry), add_column=True, add_sheet=True, today=_today())
    except Exception:  # one entry that the program cannot deal with must not hide the workbook
        logging.getLogger(__name__).exception("looking at an entry that waits")
        return ()
    return look.warnings


def _today() -> dt.date:
    return dt.date.today()


def _whole(entry: Waiting) -> dict[str, str]:
    """The record with the entry in it, as it would be typed."""
    values = {key: "" if value is None else typed(value) for key, value in keyed(entry.values).items()}
    return {**entry.was, **values}
