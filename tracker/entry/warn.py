"""The warnings that a record calls for, told as soon as it is entered."""

from __future__ import annotations

import datetime as dt

from tracker.check.book import Checked
from tracker.derive.abscess import episodes
from tracker.derive.referral.facts import gather
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.rules import fire
from tracker.derive.relief import courses
from tracker.derive.shoes import shoes_off
from tracker.derive.trims import trims
from tracker.sheets import ABSCESSES, HORSES, PAIN_RELIEF, VISITS


def warnings_of(checked: Checked, sheet: str, row: int, today: dt.date) -> tuple[Firing, ...]:
    """Every warning that points to that row of that sheet, the most urgent first."""
    tables = checked.tables
    frame = tables[sheet].frame
    if row not in frame.index:
        return ()
    horse = str(frame.loc[row, "horse"])
    off = shoes_off(tables[HORSES.name]).get(horse, {"front": None, "hind": None})
    facts = gather(
        horse,
        today,
        tables,
        episodes(tables[ABSCESSES.name], today),
        courses(tables[PAIN_RELIEF.name], today),
        trims(tables[VISITS.name], today),
        off,
        today,
    )
    return tuple(
        warning for warning in fire(facts) if any(points_to(cell, sheet, row) for cell in warning.cells)
    )


def points_to(cell: str, sheet: str, row: int) -> bool:
    """Whether a place such as "Soundness!F14" lies in that row of that sheet."""
    name, _, ref = cell.rpartition("!")
    return name == sheet and ref.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") == str(row)
