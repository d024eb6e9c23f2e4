"""What calls for a vet whatever else the record holds: known beforehand, for when the workbook cannot be asked."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from tracker.derive.referral.firing import Firing
from tracker.entry.look import look_over
from tracker.sheets import SOUNDNESS
from tracker.terms import SCALES
from tracker.workbook.read import RawWorkbook

_NO_WORKBOOK = RawWorkbook(Path(), (), date1904=False)


@cache
def urgent_alone() -> tuple[tuple[Mapping[str, str], Firing], ...]:
    """What the rules make of one sign, or of the top grade, in a note that says nothing else.

    Each with what is typed for it, by key: the signs of the list first, then the scales.
    """
    signs = [{"signs": sign} for sign in SOUNDNESS.by_key["signs"].choices]
    grades = [{"score": f"{top:g}", "scale": scale} for scale, top in SCALES.items()]
    return tuple((typed, firing) for typed in (*signs, *grades) for firing in _warnings(typed))


def _warnings(typed: Mapping[str, str]) -> tuple[Firing, ...]:
    found = look_over(_NO_WORKBOOK, SOUNDNESS.name, {"horse": "any horse", **typed}, add_sheet=True)
    return found.warnings
