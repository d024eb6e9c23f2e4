"""An abscess that came out at the hairline leaves a crack across the wall, which grows down with the horn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from dateutil.relativedelta import relativedelta

from tracker.derive.abscess import Episode
from tracker.derive.abscesses.place import BULB, HEEL, QUARTER, TOE, Spot, spot_of
from tracker.derive.growth.marks import marks_of
from tracker.derive.growth.new_horn import wall_lengths
from tracker.derive.growth.rates import PUBLISHED_RANGE, foot_rates, range_of
from tracker.derive.hooves import HoofRecord
from tracker.derive.uncertainty import Measure
from tracker.reference.growing import FASTEST, HEELS, MONTH, QUARTERS, SLOWEST, renewal
from tracker.reference.growing import TOE as TOE_WALL
from tracker.reference.measuring import COVERAGE
from tracker.terms import FEET

HAIRLINE = "hairline"
_SPEAKS_OF_IT = ("abscess", "exit", "burst", "crack", "drain")
_INNER_HEEL, _OUTER_HEEL = "medial_heel_length", "lateral_heel_length"
_SITES = {TOE: (TOE_WALL,), QUARTER: (QUARTERS,), HEEL: (HEELS,), BULB: (HEELS,)}
_ANYWHERE = (HEELS, TOE_WALL)  # a place that is not told: from the shortest wall to the longest


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast horn grows down, from the slowest to the fastest that it may be, in mm a month, above 0.

    `source` says whose it is, in words.
    """

    low: float
    high: float
    source: str


PUBLISHED_PACE = Pace(SLOWEST.value, FASTEST.value, f"in grown horses ({SLOWEST.source})")


@dataclass(frozen=True, slots=True)
class MarkFit:
    """A recorded growth mark beside where the crack should have been that day, all in mm below the hairline.

    `low` and `high` allow for the growth's range and the reading's error.
    """

    name: str
    date: date
    found: float
    low: float
    high: float
    rows: tuple[int, ...]

    @property
    def fits(self) -> bool:
        """Whether the mark lies where a crack of that day may lie."""
        return self.low <= self.found <= self.high


@dataclass(frozen=True, slots=True)
class Crack:
    """Where the crack should be on one day, and when it should reach the ground, all as ranges.

    `low` and `high` in mm below the hairline on the day `on`. `wall` is the wall's length there, lowest and
    highest (mm); None where it was not measured. `ground` is the first and the last day that the crack may
    reach the ground: by `wall`, or else by the published `months` until the wall is new at such a place.
    """

    exit: date
    on: date
    pace: Pace
    low: float
    high: float
    wall: tuple[float, float] | None
    ground: tuple[date, date]
    months: tuple[int, int] | None
    mark: MarkFit | None

    @property
    def may_be_at_ground(self) -> bool:
        """Whether the fastest growth has it at the ground by then."""
        return self.on >= self.ground[0]

    @property
    def is_at_ground(self) -> bool:
        """Whether even the slowest has."""
        return self.on >= self.ground[1]


def paces_of(feet: Sequence[HoofRecord]) -> Mapping[str, Pace]:
    """How fast each foot's horn grows by the horse's own marks; no foot where they say no more than print does."""
    rates = foot_rates(marks_of(feet))
    found = {foot: range_of(rates, foot) for foot in FEET} if rates else {}
    return {
        foot: Pace(one.low, one.high, "by the horse's own marks")
        for foot, one in found.items()
        if one.whose != PUBLISHED_RANGE.whose and one.low > 0
    }


def grown(since: date, on: date, pace: Pace) -> tuple[float, float]:
    """How far horn has grown down between two days, in mm, at the slowest and at the fastest."""
    months = (on - since).days / MONTH
    return months * pace.low, months * pace.high


def at_ground(exit_day: date, wall: tuple[float, float], pace: Pace) -> tuple[date, date]:
    """The first and the last day on which what left the hairline on `exit_day` may reach the ground."""
    soonest, latest = wall[0] / pace.high, wall[1] / pace.low
    first, last = (exit_day + timedelta(days=round(months * MONTH)) for months in (soonest, latest))
    return first, last


def crack_of(
    episode: Episode, others: Sequence[Episode], feet: Sequence[HoofRecord], pace: Pace, on: date
) -> Crack | None:
    """The crack of an episode that opened at the hairline; None for any other, or where its day is in doubt.

    `feet` are the horse's hoof records up to the day `on`, by date; `others` its episodes: a mark is taken
    for the latest exit of its foot before the mark was first measured.
    """
    opened = episode.opened
    if episode.opened_at != HAIRLINE or opened is None or opened < episode.first_seen:
        return None
    own = [record for record in feet if record.foot == episode.foot and record.date <= on]
    spot = spot_of(episode.where)
    wall, months = _wall(spot, own), _months(spot)
    low, high = grown(opened, on, pace)
    return Crack(
        exit=opened,
        on=on,
        pace=pace,
        low=low,
        high=high,
        wall=wall,
        ground=at_ground(opened, wall, pace) if wall else _renewed(opened, months),
        months=None if wall else months,
        mark=_mark(episode, others, own, pace),
    )


def _months(spot: Spot) -> tuple[int, int]:
    """The published months until the wall is new there, the shortest and the longest."""
    ends = [renewal(site) for site in _SITES.get(spot.part, _ANYWHERE)]
    return min(shortest for shortest, _ in ends), max(longest for _, longest in ends)


def _renewed(exit_day: date, months: tuple[int, int]) -> tuple[date, date]:
    first, last = (exit_day + relativedelta(months=number) for number in months)
    return first, last


def _wall(spot: Spot, own: Sequence[HoofRecord]) -> tuple[float, float] | None:
    """How long the wall is from hairline to ground there; of a place not told, from the heel's to the toe's."""
    latest: dict[str, Measure] = {}
    for record in own:
        latest.update(record.measures)
    toe = latest.get("toe_length")
    side = {"inner": _INNER_HEEL, "outer": _OUTER_HEEL}.get(spot.side, "")
    heel = latest.get(side) or latest.get("heel_length")
    if spot.part == TOE:
        heel = toe
    elif spot.part in (HEEL, BULB):
        toe = heel
    if toe is None or heel is None:
        return None
    if spot.part == QUARTER:
        return wall_lengths({"toe_length": toe, "heel_length": heel})[QUARTERS]
    return max(0.0, heel.value - COVERAGE * heel.sd), toe.value + COVERAGE * toe.sd


def _mark(
    episode: Episode, others: Sequence[Episode], own: Sequence[HoofRecord], pace: Pace
) -> MarkFit | None:
    """The latest reading of a mark that speaks of an abscess and was first measured after this exit."""
    first: dict[str, date] = {}
    latest: dict[str, HoofRecord] = {}
    for record in own:
        for name in record.marks:
            if any(word in name.casefold() for word in _SPEAKS_OF_IT):
                first.setdefault(name, record.date)
                latest[name] = record
    told = [name for name in latest if _exit_before(first[name], episode.foot, others) == episode.opened]
    if not told:
        return None
    name = max(told, key=lambda name: latest[name].date)
    record, found = latest[name], latest[name].marks[name]
    assert episode.opened is not None
    low, high = grown(episode.opened, record.date, pace)
    reach = COVERAGE * found.sd
    return MarkFit(name, record.date, found.value, max(0.0, low - reach), high + reach, record.rows)


def _exit_before(day: date, foot: str, episodes: Sequence[Episode]) -> date | None:
    exits = [one.opened for one in episodes if one.foot == foot and one.opened_at == HAIRLINE and one.opened]
    return max((exit_day for exit_day in exits if exit_day <= day), default=None)
