"""How fast the wall grows and how much of it is new, in the barn's words; silent where nothing is known."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.derive.growth.front_wall import FrontWall
from tracker.derive.growth.horse import Growth
from tracker.derive.growth.marks import Mark
from tracker.derive.growth.new_horn import NewHorn
from tracker.derive.growth.rates import LEAST_DAYS, Rate, is_known
from tracker.derive.shoes import pair_of
from tracker.derive.uncertainty import Measure
from tracker.reference.growing import (
    ALIKE_ALL_ROUND,
    BY_SEASON,
    FASTEST,
    RENEWAL,
    RENEWAL_SOURCES,
    SITES,
    SLOWEST,
)
from tracker.show import words
from tracker.terms import FOOT_WORDS, PAIRS

UNIT = "mm a month"
_THIRD = 1 / 3
_NEAR = 0.05
_NAMED = 3  # marks that a sentence names
RATE_NOTE = (
    f"A month is 30.4 days; ± holds the true rate 19 times in 20. Growth changes with the season ({BY_SEASON}), so a "
    "rate is that of the months it was read in."
)
NEW_NOTE = (
    "New is what has grown since the shoes came off, had the wall grown at that rate throughout; each range holds the "
    "errors of the rate and of the wall's length. "
    f"One rate is taken for all parts ({ALIKE_ALL_ROUND}). The quarters are not measured: they are taken as the "
    "middle third of the way from toe to heel, where the published times have them too."
)
_TIMES = ", ".join(f"{site} {first.value:g} to {last.value:g}" for site, (first, last) in RENEWAL.items())
RENEWAL_NOTE = f"Published months until the wall is new: {_TIMES} ({'; '.join(RENEWAL_SOURCES)})."
WALL_NOTE = (
    "From photographs: the upper third of the front wall is the newer horn, the rest the older. A wall that is bent "
    "or worn back below makes the two differ as well."
)


@dataclass(frozen=True, slots=True)
class PartView:
    """One part of one foot's wall: how much is new, when all of it is, and what that rests on.

    `band` are the ends of the share, 0 to 100, to be drawn.
    """

    foot: str
    part: str
    share: str
    all_new: str
    rests_on: str
    band: tuple[float, float]


@dataclass(frozen=True, slots=True)
class GrowthView:
    """A horse's growth, ready to be shown."""

    rates: tuple[str, ...]
    parts: tuple[PartView, ...]
    walls: tuple[str, ...]
    notes: tuple[str, ...]

    def __bool__(self) -> bool:
        """Whether there is anything to say."""
        return bool(self.rates or self.parts or self.walls)


def growth_view(found: Growth) -> GrowthView:
    """A horse's growth as a shape to show; nothing where neither marks, shoes nor photographs tell of it."""
    parts = _parts(found.new_horn)
    rates = _rates(found) if parts or found.marks else ()
    walls = tuple(_wall(wall, found) for wall in found.front_walls)
    notes = (
        RATE_NOTE if found.feet else "",
        NEW_NOTE if any(part.rate for part in found.new_horn) else "",
        RENEWAL_NOTE if parts else "",
        WALL_NOTE if walls else "",
    )
    return GrowthView(rates, parts, walls, tuple(filter(None, notes)))


def _rates(found: Growth) -> tuple[str, ...]:
    told = [_foot(foot, rate, found) for foot, rate in found.feet.items()]
    told += [_silent(mark, found) for mark in found.marks]
    return tuple(filter(None, (*told, _together(found), _reckoned(found))))


def _foot(foot: str, rate: Rate, found: Growth) -> str:
    names = [_name(mark) for mark in found.marks if mark.foot == foot and _counts(mark)]
    return (
        f"{FOOT_WORDS[foot].capitalize()}: {rate_words(rate)}, from {rate.readings} readings of "
        f"{listed_marks(names)} over {words.span((rate.last - rate.first).days)} ({months(rate.first, rate.last)}).{_beside_published(rate)}"
    )


def listed_marks(names: Sequence[str]) -> str:
    """The marks by name; of many, how many."""
    return " and ".join(names) if len(names) <= _NAMED else f"{len(names)} marks"


def _beside_published(rate: Rate) -> str:
    """What to look at where the whole range of a rate lies outside the published one."""
    low, high = SLOWEST.value, FASTEST.value
    if low <= rate.high and rate.low <= high:
        return ""
    way = "faster" if rate.low > high else "slower"
    return (
        f" That is {way} than is published for grown horses, {low:g} to {high:g} {UNIT}: look at the readings and "
        "their days, and whether it is one mark throughout."
    )


def _counts(mark: Mark) -> bool:
    return mark.days >= LEAST_DAYS and not mark.went_up


def _silent(mark: Mark, found: Growth) -> str:
    """Why a mark gives no rate."""
    foot = FOOT_WORDS[mark.foot]
    if mark.went_up:
        return (
            f"On the {foot}, {_name(mark)} was read higher than on an earlier day. A mark only grows down, so no "
            "growth is taken from it until that is mended."
        )
    if mark.days < LEAST_DAYS and mark.foot not in found.feet:
        return f"On the {foot}, {_name(mark)} gives no rate yet: it takes two readings six weeks apart."
    return ""


def _name(mark: Mark) -> str:
    return f"“{mark.name}”" if mark.name else "a mark without a name"


def rate_words(rate: Rate) -> str:
    """In words: "9.2 ± 0.8 mm a month"."""
    return f"{rate.value:.1f} ± {rate.high - rate.value:.1f} {UNIT}"


def _together(found: Growth) -> str:
    """Whether the feet agree, where there is more than one."""
    if found.agreement is None or found.agreement.count < 2:
        return ""
    chance = found.agreement.chance
    test = f"Cochran's test, chance {chance:.2f}" if chance >= 0.01 else "Cochran's test, chance under 0.01"
    if found.horse:
        return (
            f"The feet do not differ by more than the error ({test}), so together: {rate_words(found.horse)}."
        )
    return f"The feet differ by more than the error ({test}), so each keeps its own rate."


def _reckoned(found: Growth) -> str:
    """What is reckoned with until the horse has a rate of its own."""
    if found.range.whose != "published":
        return ""
    published = f"{SLOWEST.value:g} to {FASTEST.value:g} {UNIT} in grown horses ({SLOWEST.source})"
    if found.feet and not any(is_known(rate) for rate in found.feet.values()):
        return f"That is no surer than what is published, so this is reckoned with: {published}."
    return (
        f"No rate of the horse's own yet; published is {published}. A mark on the wall gives its own: its distance "
        "below the hairline, read twice or more over six weeks and longer."
    )


def _parts(found: Sequence[NewHorn]) -> tuple[PartView, ...]:
    """Each part of each foot; both feet of a pair together where they hardly differ."""
    rows = []
    for feet in PAIRS.values():
        for site in SITES:
            own = [part for part in found if part.foot in feet and part.site == site]
            rows += [own] if _alike(own) else [[part] for part in own]
    return tuple(_part(own) for own in rows if own)


def _alike(own: Sequence[NewHorn]) -> bool:
    """Whether several feet may be told as one: the ends of their shares within a twentieth, reckoned the same way."""
    lows, highs = [part.low for part in own], [part.high for part in own]
    near = all(max(ends) - min(ends) <= _NEAR for ends in (lows, highs) if ends)
    return near and len({_whose(part) for part in own}) == 1


def _part(own: Sequence[NewHorn]) -> PartView:
    """One or both feet of a pair, by the widest of their ranges."""
    low, high = min(part.low for part in own), max(part.high for part in own)
    lengths = [part.length for part in own if part.length]
    wall = ""
    if lengths:
        wall = f"wall {min(low for low, _ in lengths):.0f} to {max(high for _, high in lengths):.0f} mm, "
    feet = f"both {pair_of(own[0].foot)}s" if len(own) > 1 else FOOT_WORDS[own[0].foot]
    return PartView(
        foot=feet.capitalize(),
        part=own[0].site.capitalize(),
        share=_share(low, high),
        all_new=months(min(part.all_from for part in own), max(part.all_until for part in own)),
        rests_on=f"{wall}{_whose(own[0])}",
        band=(100 * low, 100 * high),
    )


def _share(low: float, high: float) -> str:
    """In words: "40 to 55 %", to the nearest 5; "all" where even the slowest growth has it so."""
    if low >= 1:
        return "all"
    ends = [min(100, 5 * round(20 * share)) for share in (low, high)]
    if ends[1] == 0:
        return "under 5 %"
    return f"about {ends[0]} %" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} %"


def months(first: dt.date, last: dt.date) -> str:
    """A span by its months: "Jul to Sep 2026", "Nov 2026 to Feb 2027", "Jul 2026"."""
    if (first.year, first.month) == (last.year, last.month):
        return f"{last:%b %Y}"
    return f"{first:%b}{'' if first.year == last.year else f' {first.year}'} to {last:%b %Y}"


def _whose(part: NewHorn) -> str:
    if part.rate is None:
        return "published times; wall length not measured"
    return {
        "horse": "this horse's rate",
        "foot": "this foot's rate",
        "feet": "the rates of its feet",
        "published": "published rate",
    }[part.rate.whose]


def _wall(wall: FrontWall, found: Growth) -> str:
    difference = words.difference(wall.difference)
    told = (
        f"{FOOT_WORDS[wall.foot].capitalize()}, {words.day(wall.date)}: upper third {words.measure(wall.upper)}, below it "
        f"{words.measure(wall.lower)}. Upper minus lower {difference}: {_steeper(wall.difference, wall.beyond_error)}."
    )
    toe = found.new_at(wall.foot, "toe")
    return f"{told} {_upper_third(*toe.share_on(wall.date))}" if toe and wall.date >= toe.since else told


def _steeper(difference: Measure, beyond: bool) -> str:
    if not beyond:
        return "within the measuring error"
    way = "steeper" if difference.value > 0 else "flatter"
    return f"the newer horn stands {way}, by at least the measuring error"


def _upper_third(low: float, high: float) -> str:
    if low >= _THIRD:
        return "By then the upper third had all grown since the shoes came off."
    share = _share(low / _THIRD, min(1.0, high / _THIRD))
    return f"By then {share} of the upper third had grown since the shoes came off."
