"""What changed in a hoof since the last and the first time, and whether more than error can explain.

A difference's sd is √(sd1² + sd2²), and the smallest detectable one is 1.96 times that (Bland and Altman
1996, BMJ 313:744). Errors that repeat themselves, such as one gauge reading always a degree high, cancel
between readings of one way and do not between two ways; no figure for that is published, and none is added.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property, lru_cache
from itertools import groupby
from typing import NamedTuple

from tracker.derive.hooves import HoofRecord
from tracker.derive.shoes import pair_of
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE
from tracker.terms import PAIRS


class Change(NamedTuple):
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


class PairDifference(NamedTuple):
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
        (past for past in history if _view(past) == _view(record) and past.date < record.date),
        key=lambda past: past.date,
    )
    before = _Before(shoes_off)
    for past in earlier:
        before.add(past)
    return before.compare(record)


def all_changes(
    records: Sequence[HoofRecord], shoes_off: Mapping[str, date | None]
) -> tuple[Mapping[str, Mapping[str, Change]], ...]:
    """The `changes` of each of one horse's records, in their order; `shoes_off` is the day of each pair of feet.

    They are worked out when one of them is first looked at. A year of them is half of all that is known of a
    horse, and no warning needs them.
    """
    whole = _Whole(records, shoes_off)
    return tuple(_Changes(whole, at) for at in range(len(records)))


class _Whole:
    """The changes of all of one horse's records."""

    def __init__(self, records: Sequence[HoofRecord], shoes_off: Mapping[str, date | None]) -> None:
        self.records, self.shoes_off = records, shoes_off

    @cached_property
    def changes(self) -> tuple[dict[str, dict[str, Change]], ...]:
        return _all_changes(self.records, self.shoes_off)


class _Changes(Mapping[str, Mapping[str, Change]]):
    """Those of one of them."""

    def __init__(self, whole: _Whole, at: int) -> None:
        self._whole, self._at = whole, at

    def __getitem__(self, name: str) -> Mapping[str, Change]:
        return self._whole.changes[self._at][name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._whole.changes[self._at])

    def __len__(self) -> int:
        return len(self._whole.changes[self._at])

    def __repr__(self) -> str:
        return repr(self._whole.changes[self._at])


def _all_changes(
    records: Sequence[HoofRecord], shoes_off: Mapping[str, date | None]
) -> tuple[dict[str, dict[str, Change]], ...]:
    found: dict[int, dict[str, dict[str, Change]]] = {}
    views: dict[tuple[str, str, str], list[int]] = {}
    for at, record in enumerate(records):
        views.setdefault(_view(record), []).append(at)
    for (_, foot, _), places in views.items():
        before = _Before(shoes_off[pair_of(foot)])
        places.sort(key=lambda at: records[at].date)
        for _, of_day in groupby(places, key=lambda at: records[at].date):
            today = [*of_day]
            found |= {at: before.compare(records[at]) for at in today}
            for at in today:
                before.add(records[at])
    return tuple(found[at] for at in range(len(records)))


class _Before:
    """What each measure of one foot was at first and last, as its records are gone through by date."""

    def __init__(self, shoes_off: date | None) -> None:
        self.shoes_off = shoes_off
        self.first: dict[str, HoofRecord] = {}
        self.first_without: dict[str, HoofRecord] = {}
        self.last: dict[str, HoofRecord] = {}

    def add(self, past: HoofRecord) -> None:
        for name in past.measures:
            self.first.setdefault(name, past)
            if self.shoes_off and past.date >= self.shoes_off:
                self.first_without.setdefault(name, past)
            self.last[name] = past

    def compare(self, record: HoofRecord) -> dict[str, dict[str, Change]]:
        shod = self.shoes_off is None or record.date < self.shoes_off
        first = self.first if shod else self.first_without
        found = {}
        for name, measure in record.measures.items():
            if past := self.last.get(name):
                found[name] = {"since_last": change(past.date, past.measures[name], measure)}
                if begun := first.get(name):
                    found[name]["since_first"] = (
                        found[name]["since_last"]
                        if begun is past
                        else change(begun.date, begun.measures[name], measure)
                    )
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


def _view(record: HoofRecord) -> tuple[str, str, str]:
    return record.horse, record.foot, record.stage


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
        sd, how = math.hypot(one.sd, other.sd), _difference_by(one.how, other.how)
        measure = Measure(one.value - other.value, sd, one.unit, how)
        found.append(
            PairDifference(pair, horse, day, stage, name, measure, _beyond(measure.value, measure.sd))
        )
    return found


@lru_cache(maxsize=256)
def _difference_by(left: str, right: str) -> str:
    return f"left less right ({', '.join(sorted({left, right}))})"


def _beyond(value: float, sd: float) -> bool:
    """Whether a difference reaches the smallest detectable one; equal counts, binary rounding aside."""
    size, limit = abs(value), COVERAGE * sd
    return value != 0 and (size >= limit or math.isclose(size, limit))
