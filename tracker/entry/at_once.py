"""What calls for a vet whatever else the record holds: known beforehand, for when the workbook cannot be asked."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from tracker.derive.referral.firing import Firing
from tracker.derive.referral.rules import NOW, SAME_DAY
from tracker.entry.look import look_over
from tracker.sheets import SOUNDNESS
from tracker.terms import SCALES
from tracker.workbook.read import RawWorkbook

RAISED = {"pulse_lf": "2", "pulse_rf": "2"}
_NO_WORKBOOK = RawWorkbook(Path(), (), date1904=False)


@cache
def urgent_alone() -> tuple[tuple[Mapping[str, str], Firing], ...]:
    """What the rules call urgent in a note that says but one thing: a sign, a grade, or raised pulses with stiffness.

    Each with what is typed for it, by key. The pulses stand for any two feet.
    """
    signs = [{"signs": sign} for sign in SOUNDNESS.by_key["signs"].choices]
    grades = [
        {"score": f"{half / 2:g}", "scale": scale}
        for scale, top in SCALES.items()
        for half in range(2 * int(top), 0, -1)
    ]
    alone = [(typed, firing) for typed in (*signs, *grades) for firing in _warnings(typed)]
    rules = {(typed.get("signs"), firing.rule) for typed, firing in alone}
    stiff = [RAISED | more for more in (*signs, {"limb": "both fronts", "score": "1"})]
    together = [
        (typed, firing)
        for typed in stiff
        for firing in _warnings(typed)
        if (typed.get("signs"), firing.rule) not in rules
    ]
    return (*alone, *together)


def _warnings(typed: Mapping[str, str]) -> tuple[Firing, ...]:
    found = look_over(_NO_WORKBOOK, SOUNDNESS.name, {"horse": "any horse", **typed}, add_sheet=True)
    return tuple(firing for firing in found.warnings if firing.urgency in (NOW, SAME_DAY))
