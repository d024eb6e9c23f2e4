"""What grows and what falls between two trims of a foot, by the week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from tracker.derive.hooves import HoofRecord
from tracker.derive.statistics.line import Run, common_slope
from tracker.derive.trimming.cycles import Placed, placed, way_of
from tracker.derive.trims import Trim
from tracker.reference.measuring import COVERAGE
from tracker.terms import FEET

WEEK = 7
MEASURES = ("toe_length", "heel_length", "toe_angle", "heel_angle")
LEAST_DAYS = 14
"""From the first reading of a cycle to its last; over less the measuring error is all. Our own choice."""


@dataclass(frozen=True, slots=True)
class Weekly:
    """How much one measure of one foot changes in a week between trims, in its own unit, with its sd.

    From `readings` over `cycles` cycles, the first of which began on `first`.
    """

    foot: str
    name: str
    value: float
    sd: float
    unit: str
    cycles: int
    readings: int
    first: date

    @property
    def beyond_error(self) -> bool:
        """Whether it changes by at least the error."""
        return self.value != 0 and abs(self.value) >= COVERAGE * self.sd


def between_trims(records: Iterable[HoofRecord], trims: Iterable[Trim]) -> tuple[Weekly, ...]:
    """Each measure's change in a week for each foot that was measured twice or more between two trims.

    All cycles of a foot share one slope, each from its own height after its trim; so what the trimmer took
    away is not in it. Readings of different ways, such as gauge and photograph, are never joined.
    """
    all_records, done = list(records), list(trims)
    found = []
    for foot in FEET:
        own = [record for record in all_records if record.foot == foot]
        for name in MEASURES:
            told = _weekly(foot, name, placed(name, own, done))
            found += [told] if told else []
    return tuple(found)


def _weekly(foot: str, name: str, found: Sequence[Placed]) -> Weekly | None:
    runs: dict[tuple[date, str], list[Placed]] = defaultdict(list)
    for one in found:
        runs[one.first, way_of(one.measure)].append(one)
    used = {key: own for key, own in runs.items() if own[-1].days - own[0].days >= LEAST_DAYS}
    line = common_slope(_run(own) for own in used.values())
    if line is None:
        return None
    return Weekly(
        foot=foot,
        name=name,
        value=line.slope * WEEK,
        sd=line.sd * WEEK,
        unit=found[0].measure.unit,
        cycles=len({first for first, _ in used}),
        readings=line.count,
        first=min(first for first, _ in used),
    )


def _run(own: Sequence[Placed]) -> Run:
    return (
        [float(one.days) for one in own],
        [one.measure.value for one in own],
        [one.measure.sd for one in own],
    )
