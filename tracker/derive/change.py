"""What changed in a hoof since the last and the first time, and whether more than error can explain.

A difference's sd is √(sd1² + sd2²), and the smallest detectable one is 1.96 times that (Bland and Altman
1996, BMJ 313:744). Errors that repeat themselves, such as one gauge reading always a degree high, cancel
between readings of one way and do not between two ways; no figure for that is published, and none is added.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from tracker.derive.hooves import HoofRecord
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE
from tracker.terms import PAIRS


@dataclass(frozen=True, slots=True)
class Change:
    """A later value less an earlier one, with the earlier day.

    `beyond_error` holds from the smallest detectable change on, that change itself included: 1.0° by a
    gauge whose smallest detectable change is 1° counts.
    """

    since: date
    value: float
    sd: float
    unit: str
    detectable: float
    beyond_error: bool

    @property
    def probability(self) -> float:
        """How likely it is that the foot itself changed in this direction, 0.5 to 1; see `probability_real`."""
        return probability_real(self.value, self.sd)


@dataclass(frozen=True, slots=True)
class PairDifference:
    """One measure of the left foot less the same of the right, measured the same day at the same stage."""

    pair: str
    horse: str
    date: date
    stage: str
    name: str
    measure: Measure
    beyond_error: bool


def changes(
    record: HoofRecord, history: Iterable[HoofRecord], shoes_off: date | None = None
) -> dict[str, dict[str, Change]]:
    """Each measure's change "since_last" and "since_first", where it was measured before.

    The first is the first since the shoes came off, that day included; where that is not known, or the record
    is older, the first of all. Only earlier records of the same horse, foot and stage count, a stage that is not given only with one
    that is not given, and only those that hold the measure.
    """
    earlier = sorted(
        (past for past in history if _same_view(past, record) and past.date < record.date),
        key=lambda past: past.date,
    )
    found = {}
    for name, measure in record.measures.items():
        held = [past for past in earlier if name in past.measures]
        since = {
            "since_last": held[-1:],
            "since_first": [past for past in held if counts(past, record, shoes_off)],
        }
        if told := {
            key: change(past[0].date, past[0].measures[name], measure) for key, past in since.items() if past
        }:
            found[name] = told
    return found


def counts(past: HoofRecord, record: HoofRecord, shoes_off: date | None) -> bool:
    """Whether an earlier record can be the first that a later one is compared with."""
    return shoes_off is None or record.date < shoes_off or past.date >= shoes_off


def left_right(records: Sequence[HoofRecord]) -> list[PairDifference]:
    """Left less right for every measure that both feet of a pair hold the same day at the same stage."""
    ordered = sorted(records, key=_occasion)
    found = []
    for (horse, day, stage), together in groupby(ordered, key=_occasion):
        feet = {record.foot: record for record in together}
        for pair, (left, right) in PAIRS.items():
            if left in feet and right in feet:
                found += _differences(pair, horse, day, stage, feet[left], feet[right])
    return found


def _same_view(one: HoofRecord, other: HoofRecord) -> bool:
    return (one.horse, one.foot, one.stage) == (other.horse, other.foot, other.stage)


def _occasion(record: HoofRecord) -> tuple[str, date, str]:
    return record.horse, record.date, record.stage


def change(since: date, then: Measure, now: Measure) -> Change:
    """A later measure less an earlier one of the same foot and unit, their errors taken as independent."""
    sd = math.hypot(now.sd, then.sd)
    value = now.value - then.value
    return Change(since, value, sd, now.unit, COVERAGE * sd, _beyond(value, sd))


def probability_real(value: float, sd: float) -> float:
    """How likely a difference of `value` with error `sd` is a true one in that direction, 0.5 to 1.

    The normal distribution at |value|/sd, nothing known beforehand: 0.975 at the smallest detectable
    change, 0.5 for no difference. NaN where there is no sd.
    """
    if sd == 0:
        return 1.0 if value else 0.5
    return 0.5 * (1 + math.erf(abs(value) / (sd * math.sqrt(2))))


def _differences(
    pair: str, horse: str, day: date, stage: str, left: HoofRecord, right: HoofRecord
) -> list[PairDifference]:
    found = []
    for name in (name for name in left.measures if name in right.measures):
        one, other = left.measures[name], right.measures[name]
        how = f"left less right ({', '.join(sorted({one.how, other.how}))})"
        measure = Measure(one.value - other.value, math.hypot(one.sd, other.sd), one.unit, how)
        found.append(
            PairDifference(pair, horse, day, stage, name, measure, _beyond(measure.value, measure.sd))
        )
    return found


def _beyond(value: float, sd: float) -> bool:
    """Whether a difference reaches the smallest detectable one; equal counts, binary rounding aside."""
    limit = COVERAGE * sd
    return value != 0 and (abs(value) >= limit or math.isclose(abs(value), limit, rel_tol=1e-9))
