"""The upper part of the front wall against the lower: the newer horn against the older."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from tracker.derive.photo.marking import Marking
from tracker.derive.photo.own import SeenTogether
from tracker.derive.photo.repeatable import repeatable
from tracker.derive.photo.seen import Seen
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE
from tracker.terms import UNNAMED

_NEEDED = frozenset({"toe_hairline", "wall_third", "toe_ground"})
_UPPER, _LOWER, _DIFFERENCE = "upper_toe_angle", "lower_toe_angle", "toe_flare"


@dataclass(frozen=True, slots=True)
class FrontWall:
    """One photograph from the side: angles to the ground of the wall's upper third and of the rest, deg.

    `difference` is upper less lower, with an error of its own: the two share a point.
    """

    horse: str
    foot: str
    date: date
    photo: str
    upper: Measure
    lower: Measure
    difference: Measure

    @property
    def beyond_error(self) -> bool:
        """Whether the two differ by at least the measuring error."""
        return abs(self.difference.value) >= COVERAGE * self.difference.sd


def front_walls(seen: Iterable[SeenTogether]) -> tuple[FrontWall, ...]:
    """Every photograph whose front wall was marked in two parts, by date; `seen` as for `own_errors`.

    No angle is taken to be surer than a photograph can be repeated.
    """
    found = [
        _wall(marking, {name: Measure(*values) for name, values in of_one.items()})
        for several, measures in seen
        for at, marking in enumerate(several)
        if _is_enough(marking) and (of_one := _values(measures, at))
    ]
    return tuple(sorted(found, key=lambda wall: wall.date))


def _is_enough(marking: Marking) -> bool:
    return marking.view == "side" and bool(marking.date and marking.foot) and marking.points.keys() >= _NEEDED


def _values(seen: Seen, at: int) -> dict[str, tuple[float, float, str, str]]:
    """The three angles of one of several feet; nothing where one is missing."""
    found = {}
    for name in (_UPPER, _LOWER, _DIFFERENCE):
        if name not in seen:
            return {}
        measure = seen[name]
        value, sd = (float(np.atleast_1d(part)[at]) for part in (measure.value, measure.sd))
        if not (math.isfinite(value) and math.isfinite(sd)):
            return {}
        found[name] = (value, sd, measure.unit, measure.how)
    return found


def _wall(marking: Marking, measures: Mapping[str, Measure]) -> FrontWall:
    told = repeatable(measures)
    return FrontWall(
        horse=marking.horse or UNNAMED,
        foot=marking.foot,
        date=date.fromisoformat(marking.date),
        photo=marking.photo,
        upper=told[_UPPER],
        lower=told[_LOWER],
        difference=told[_DIFFERENCE],
    )
