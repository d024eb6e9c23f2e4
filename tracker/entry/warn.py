"""The warnings that a record calls for, told as soon as it is entered."""

from __future__ import annotations

import datetime as dt

from tracker.check.book import Checked
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.looked_back import firings_at_once


def warnings_of(checked: Checked, sheet: str, row: int, today: dt.date) -> tuple[Firing, ...]:
    """Every warning that points to that row of that sheet, the most urgent first."""
    frame = checked.tables[sheet].frame
    if row not in frame.index:
        return ()
    fired = firings_at_once(checked.tables, str(frame.loc[row, "horse"]), today)
    return tuple(warning for warning in fired if any(points_to(cell, sheet, row) for cell in warning.cells))


def points_to(cell: str, sheet: str, row: int) -> bool:
    """Whether a place such as "Soundness!F14" lies in that row of that sheet."""
    name, _, ref = cell.rpartition("!")
    return name == sheet and ref.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") == str(row)
