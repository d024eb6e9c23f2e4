"""What a trim changed: the same foot measured before it and after it, on one day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from tracker.derive.change import Change, change
from tracker.derive.hooves import HoofRecord
from tracker.derive.trimming.cycles import AFTER, BEFORE
from tracker.derive.uncertainty import Measure
from tracker.terms import FEET


@dataclass(frozen=True, slots=True)
class AtTrim:
    """One foot on the day of one trim: what it measured before and after."""

    foot: str
    date: date
    before: Mapping[str, Measure]
    after: Mapping[str, Measure]

    @property
    def changes(self) -> dict[str, Change]:
        """The change of each measure that was measured both times, with its error."""
        both = (name for name in self.before if name in self.after)
        return {name: change(self.date, self.before[name], self.after[name]) for name in both}


def at_trims(records: Iterable[HoofRecord]) -> tuple[AtTrim, ...]:
    """Every foot and day that has both and something that was measured both times, by day and foot."""
    stages: dict[tuple[date, str], dict[str, HoofRecord]] = {}
    for record in records:
        stages.setdefault((record.date, record.foot), {})[record.stage] = record
    found = []
    for (day, foot), own in sorted(stages.items(), key=lambda item: (item[0][0], FEET.index(item[0][1]))):
        if BEFORE in own and AFTER in own:
            before, after = own[BEFORE].measures, own[AFTER].measures
            if before.keys() & after.keys():
                found.append(AtTrim(foot, day, before, after))
    return tuple(found)
