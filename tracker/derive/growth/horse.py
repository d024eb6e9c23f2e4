"""All that is known of one horse's growth."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from tracker.derive.growth.front_wall import FrontWall
from tracker.derive.growth.marks import Mark, marks_of
from tracker.derive.growth.new_horn import NewHorn, new_horn
from tracker.derive.growth.rates import Rate, RateRange, agreement, foot_rates, horse_rate, range_of
from tracker.derive.hooves import HoofRecord
from tracker.derive.statistics.agree import Pooled
from tracker.terms import FEET


@dataclass(frozen=True, slots=True)
class Growth:
    """One horse: its marks, each foot's rate and the horse's, what is new horn, and the wall on photographs.

    `horse` is None where no foot has a rate, or where they do not agree; `range` is what to reckon with.
    """

    marks: tuple[Mark, ...]
    feet: Mapping[str, Rate]
    horse: Rate | None
    agreement: Pooled | None
    range: RateRange
    new_horn: tuple[NewHorn, ...]
    front_walls: tuple[FrontWall, ...]

    def new_at(self, foot: str, site: str) -> NewHorn | None:
        """What is new horn at that part of that foot."""
        return next((part for part in self.new_horn if (part.foot, part.site) == (foot, site)), None)


def growth(
    records: Sequence[HoofRecord],
    shoes_off: Mapping[str, date | None],
    walls: Iterable[FrontWall],
    on: date,
) -> Growth:
    """The growth of one horse as of the day `on`; records, days and walls are that horse's own."""
    known = [record for record in records if record.date <= on]
    marks = marks_of(known)
    feet = foot_rates(marks)
    ranges = {foot: range_of(feet, foot) for foot in FEET}
    return Growth(
        marks=marks,
        feet=feet,
        horse=horse_rate(feet),
        agreement=agreement(feet),
        range=range_of(feet),
        new_horn=new_horn(FEET, known, shoes_off, ranges, on),
        front_walls=tuple(wall for wall in walls if wall.date <= on),
    )
