"""The feet over the year: what gauge and ruler said before and after each trim.

The heels stand up by four to five degrees in a year and most of it comes early. Measured change is slower
still to settle: Clayton et al. 2011 (Aust Vet J 89:305) saw it set in four months and go on to sixteen.
"""

from __future__ import annotations

import math
from datetime import date

from sample_workbooks.foot_days import FOOT, Shot, marked, shot
from sample_workbooks.hand import Hand, Row, days_on, rows
from tracker.terms import FEET

TRIMS = (0, 35, 69, 105, 140, 175, 210, 246, 281, 316)
GROWTH = (
    9.2 / 30.44
)  # mm a day; Kolstrung et al. 2012 (Med Weter 68:426): 2.1 mm a week, seven barefoot mares

_FRONT = {
    "Toe angle": (47.5, 50.5), "Heel angle": (37.5, 42.0),
    "Toe length": (84, 80), "Heel length": (40, 39), "Support length": (112, 110),
    "Hoof length": (134, 130), "Hoof width": (127, 131), "Frog length": (95, 97), "Frog width": (49, 55),
    "Heel bulb distance": (62, 66), "Groove depth at frog tip": (9, 13), "Groove depth at heel": (16, 20),
    "Coronet girth": (372, 371),
}  # fmt: skip
_HIND = _FRONT | {
    "Toe angle": (51.5, 52.5), "Heel angle": (45.5, 47.0),
    "Toe length": (82, 80), "Heel length": (38, 37), "Hoof width": (120, 121), "Support length": (110, 109),
    "Frog width": (52, 54), "Groove depth at frog tip": (14, 15), "Groove depth at heel": (20, 21),
}  # fmt: skip
_OWN = {
    "LF": 0.0,
    "RF": -1.0,
    "LH": 0.0,
    "RH": 0.5,
}  # each foot a little other than its neighbour, in degrees
_BEFORE = {"Toe angle": -1.3, "Heel angle": -1.6, "Toe length": 5, "Heel length": 3, "Support length": 3}
_SELDOM = ("Hoof length", "Hoof width", "Frog length", "Frog width", "Heel bulb distance",
           "Groove depth at frog tip", "Groove depth at heel", "Coronet girth")  # fmt: skip

# Each mark grows down from where it stood on its first day: (foot, name, first day, mm below the hairline).
MARKS = (("RF", "top nail hole", 0, 38.0), ("LF", "abscess exit", 192, 0.0))
_GROUND = 82  # by then the mark has been trimmed away

SHOT_DAYS = (14, 330)
"""Of these days there is a photograph; the others of the record were lost with the owner's old telephone."""

_REAL = {(FOOT, day) for day in SHOT_DAYS}
_READ = {
    name: name.lower().replace(" ", "_")
    for name in ("Toe angle", "Heel angle", "Hairline angle", "Pastern angle", "Toe length", "Heel length",
                 "Heel height", "Support length")
}  # fmt: skip


def hooves(start: date) -> list[Row]:
    """Measure all four feet before and after each trim: angles with the gauge, lengths with the ruler."""
    hand = Hand(417)
    measured: list[Row] = []
    for number, day in enumerate(TRIMS):
        for stage in ("before trim", "after trim"):
            for foot in FEET:
                foot_now = _foot(hand, foot, day, stage)
                who: Row = {"Date": hand.day(days_on(start, day)), "Foot": foot, "Stage": stage}
                measured.append(who | {"Measured with": "gauge"} | _angles(foot_now))
                measured.append(who | {"Measured with": "ruler"} | _lengths(foot_now, number, stage))
                measured[-1] |= _mark(foot, day) if stage == "before trim" else {}
        measured += _photos(hand, start, day + 14) if number % 2 == 0 else []
    return [*measured, {"Date": days_on(start, SHOT_DAYS[-1])} | _from_photograph(SHOT_DAYS[-1])]


def shots() -> list[Shot]:
    """The photographs that are really there."""
    return [shot(day, true_foot(FOOT, day, "between")) for day in SHOT_DAYS]


def photo_points(start: date) -> list[Row]:
    """Every point that was marked on them."""
    points: list[Row] = []
    for each in shots():
        marking, _ = marked(each)
        shared: Row = {"Photo": each.name, "Date": days_on(start, each.day), "Foot": FOOT, "View": "side"}
        for name, (x, y) in marking.points.items():
            size = {"Size": marking.card} if name == "card_1" else {}
            points.append(shared | {"Point": name, "X": x, "Y": y} | size)
    return points


def _foot(hand: Hand, foot: str, day: int, stage: str) -> dict[str, float]:
    true = true_foot(foot, day, stage)
    return {name: hand.about(value, 0.4 if name.endswith("angle") else 0.8) for name, value in true.items()}


def true_foot(foot: str, day: int, stage: str) -> dict[str, float]:
    """What the foot is on that day, in degrees and mm, before anybody measures it."""
    gone = (1 - math.exp(-day / 180)) / (1 - math.exp(-364 / 180))
    now = {}
    for name, (first, last) in (_FRONT if foot in ("LF", "RF") else _HIND).items():
        value = first + (last - first) * gone
        if name.endswith("angle"):
            value += _OWN[foot]
        if stage == "before trim":
            value += _BEFORE.get(name, 0) + (3 if day == 0 and name == "Toe length" else 0)
        now[name] = value
    return now


def _angles(now: dict[str, float]) -> Row:
    angles = {name: now[name] for name in ("Toe angle", "Heel angle")} | {"Hairline angle": _hairline(now)}
    return {name: _half(value) for name, value in angles.items()}


def _lengths(now: dict[str, float], number: int, stage: str) -> Row:
    height = now["Heel length"] * math.sin(math.radians(now["Heel angle"]))
    lengths: Row = {name: round(now[name]) for name in ("Toe length", "Heel length")}
    lengths |= {"Heel height": round(height), "Support length": round(now["Support length"])}
    if number % 3 == 0 and stage == "after trim":
        lengths |= {name: round(now[name]) for name in _SELDOM}
    return lengths


def _hairline(now: dict[str, float]) -> float:
    """Work the hairline's angle out from the side view, so that the foot hangs together."""
    toe, heel = math.radians(now["Toe angle"]), math.radians(now["Heel angle"])
    fall = now["Toe length"] * math.sin(toe) - now["Heel length"] * math.sin(heel)
    along = now["Support length"] + now["Heel length"] * math.cos(heel) - now["Toe length"] * math.cos(toe)
    return math.degrees(math.atan2(fall, along))


def _half(value: float) -> float:
    return round(value * 2) / 2


def _mark(foot: str, day: int) -> Row:
    for its_foot, name, first, below in MARKS:
        down = below + (day - first) * GROWTH
        if foot == its_foot and day >= first and down < _GROUND:
            return {"Growth mark": name, "Growth mark below hairline": round(down)}
    return {}


def _from_photograph(day: int) -> Row:
    """What the points on that day's photograph measure; nobody has looked at the foot again."""
    each = shot(day, true_foot(FOOT, day, "between"))
    _, seen = marked(each)
    read: Row = {name: round(seen[key].value, 1) for name, key in _READ.items()}
    who = {"Foot": FOOT, "Stage": "between", "Measured with": "photo"}
    return who | read | {"Photo": each.name, "Checked on the live horse": "no"}


def _photos(hand: Hand, start: date, day: int) -> list[Row]:
    """Measure the fronts on a photograph between two trims; not every one is looked at again on the foot."""
    taken = []
    for foot in ("LF", "RF"):
        now = _foot(hand, foot, day, "between")
        toe, hairline = (_half(hand.about(value, 1.0)) for value in (now["Toe angle"], _hairline(now)))
        picture = f"{foot} side day {day}.jpg"
        checked = "yes" if day < 100 else "no"
        taken.append((days_on(start, day), foot, "between", "photo", toe, hairline, picture, checked))
    measured = rows(
        "Date | Foot | Stage | Measured with | Toe angle | Hairline angle | Photo | Checked on the live horse",
        *taken,
    )
    return [row | (_from_photograph(day) if (row["Foot"], day) in _REAL else {}) for row in measured]
