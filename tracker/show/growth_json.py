"""A horse's growth as plain data for JSON. Rates are in mm for each 30.4 days, shares from 0 to 1."""

from __future__ import annotations

from typing import Any

from tracker.derive.growth.front_wall import FrontWall
from tracker.derive.growth.horse import Growth
from tracker.derive.growth.marks import Mark
from tracker.derive.growth.new_horn import NewHorn
from tracker.derive.growth.rates import Rate, RateRange
from tracker.derive.uncertainty import Measure

Data = dict[str, Any]


def growth_data(found: Growth) -> Data:
    """All marks, the rates that follow, what is new horn, and the front wall on photographs."""
    agreement = found.agreement
    return {
        "marks": [_mark(mark) for mark in found.marks],
        "feet": {foot: _rate(rate) for foot, rate in found.feet.items()},
        "horse": found.horse and _rate(found.horse),
        "agreement": agreement
        and {"q": _round(agreement.q), "chance": _round(agreement.chance), "agree": agreement.agree},
        "reckoned_with": _range(found.range),
        "new_horn": [_new(part) for part in found.new_horn],
        "front_wall": [_wall(wall) for wall in found.front_walls],
    }


def _mark(mark: Mark) -> Data:
    return {
        "foot": mark.foot,
        "name": mark.name,
        "went_up": mark.went_up,
        "readings": [
            {"date": reading.date.isoformat(), "below_hairline": _measure(reading.below)}
            for reading in mark.readings
        ],
    }


def _rate(rate: Rate) -> Data:
    return {
        "value": _round(rate.value),
        "sd": _round(rate.sd),
        "first": rate.first.isoformat(),
        "last": rate.last.isoformat(),
        "readings": rate.readings,
        "marks": rate.marks,
    }


def _range(found: RateRange) -> Data:
    return {"low": _round(found.low), "high": _round(found.high), "whose": found.whose}


def _new(part: NewHorn) -> Data:
    return {
        "foot": part.foot,
        "part": part.site,
        "since": part.since.isoformat(),
        "share": {"low": _round(part.low), "high": _round(part.high)},
        "all_new": {"first": part.all_from.isoformat(), "last": part.all_until.isoformat()},
        "length": part.length and {"low": _round(part.length[0]), "high": _round(part.length[1])},
        "rate": part.rate and _range(part.rate),
    }


def _wall(wall: FrontWall) -> Data:
    return {
        "foot": wall.foot,
        "date": wall.date.isoformat(),
        "photo": wall.photo,
        "upper": _measure(wall.upper),
        "lower": _measure(wall.lower),
        "difference": _measure(wall.difference),
        "beyond_error": wall.beyond_error,
    }


def _measure(found: Measure) -> Data:
    return {"value": _round(found.value), "sd": _round(found.sd), "unit": found.unit}


def _round(value: float) -> float:
    return round(value, 6)
