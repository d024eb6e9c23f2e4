"""How far two readings of the same hoof may differ by measuring error alone.

A smallest detectable change is the repeatability coefficient 1.96·√2·Sw of one reading with standard
deviation Sw (Bland and Altman 1996, BMJ 313:744). No such figure is published for an owner with a
gauge, a ruler or a telephone: what stands here is provisional, until the user's own repeats replace it.
"""

from __future__ import annotations

import math
from functools import cache

from tracker.reference.figure import DERIVED, PROVISIONAL, PUBLISHED, Figure

COVERAGE = 1.96
REPEATABILITY = COVERAGE * math.sqrt(2)
NOT_SAID = "not said"

TOE_WALL, SIDE_WALL, HEEL_WALL = "toe wall angle", "side wall angle", "heel wall angle"
HAIRLINE, PASTERN = "hairline angle", "pastern angle"
LENGTH, GIRTH = "length", "girth"

# Every other measure is a length.
_KINDS = {
    "toe_angle": TOE_WALL,
    "medial_wall_angle": SIDE_WALL,
    "lateral_wall_angle": SIDE_WALL,
    "heel_angle": HEEL_WALL,
    "hairline_angle": HAIRLINE,
    "pastern_angle": PASTERN,
    "coronet_girth": GIRTH,
}

_TRAINED = "trained people reach 0.31 to 0.37° (Peel 2006); widened for an owner"
_POINTS_1 = "both ends of the line placed to 1 mm (1 SD), rounded up"
_POINTS_HALF = "both ends of the line, and the ground line, placed to 0.5 mm (1 SD), rounded up"
_STANCE = "the pastern moves with the stance; a careful guess"

_ROWS = (
    (TOE_WALL, "gauge", 1.0, "deg", PROVISIONAL, _TRAINED),
    (TOE_WALL, "photo", 3.0, "deg", PROVISIONAL, f"an 85 mm wall, {_POINTS_1}"),
    (TOE_WALL, "radiograph", 2.0, "deg", DERIVED, f"an 85 mm wall, {_POINTS_HALF}"),
    (SIDE_WALL, "gauge", 1.0, "deg", PROVISIONAL, f"as the toe wall: {_TRAINED}"),
    (SIDE_WALL, "photo", 4.0, "deg", DERIVED, f"a 60 mm wall, {_POINTS_1}"),
    (SIDE_WALL, "radiograph", 3.0, "deg", DERIVED, f"a 60 mm wall, {_POINTS_HALF}"),
    (HEEL_WALL, "gauge", 2.0, "deg", PROVISIONAL, "the toe's 1° on a wall half as long"),
    (HEEL_WALL, "photo", 6.0, "deg", PROVISIONAL, f"a 40 mm wall, {_POINTS_1}"),
    (HEEL_WALL, "radiograph", 4.0, "deg", DERIVED, f"a 40 mm wall, {_POINTS_HALF}"),
    (HAIRLINE, "gauge", 3.0, "deg", PROVISIONAL, "held along the hairline by eye; taken as a photograph's"),
    (HAIRLINE, "photo", 3.0, "deg", DERIVED, f"a 90 mm hairline, {_POINTS_1}"),
    (HAIRLINE, "radiograph", 3.0, "deg", PROVISIONAL, "the hairline hardly shows; taken as a photograph's"),
    (PASTERN, "gauge", 3.0, "deg", PROVISIONAL, _STANCE),
    (PASTERN, "photo", 6.0, "deg", PROVISIONAL, _STANCE),
    (PASTERN, "radiograph", 3.0, "deg", PROVISIONAL, _STANCE),
    (LENGTH, "ruler", 3.0, "mm", PROVISIONAL, "a reading to 1 mm at each end"),
    (LENGTH, "gauge", 3.0, "mm", PROVISIONAL, "a gauge's own rule, taken as a ruler"),
    (LENGTH, "photo", 5.0, "mm", DERIVED, "85 mm, ends placed to 1 mm (1 SD), scale right to 1.5 % (1 SD)"),
    (
        LENGTH,
        "radiograph",
        5.0,
        "mm",
        PROVISIONAL,
        "the scale depends on where the marker lies, as in a photograph",
    ),
    (GIRTH, "ruler", 2.0, "mm", PROVISIONAL, "trained people reach 1.8 mm by tape (Decurnex 2009)"),
)

_BY_KIND: dict[str, dict[str, Figure]] = {}
for _kind, _way, _value, _unit, _standing, _source in _ROWS:
    _figure = Figure(f"{_kind} by {_way}: smallest detectable change", _value, _unit, _standing, _source)
    _BY_KIND.setdefault(_kind, {})[_way] = _figure

DETECTABLE = tuple(figure for ways in _BY_KIND.values() for figure in ways.values())

PEEL_LEFT = Figure(
    "toe angle by metal gauge, left fore: repeatability coefficient", 0.31, "deg", PUBLISHED,
    "Peel et al. 2006, Equine Vet J Suppl 36:431 (15 horses, twice in a day)",
)  # fmt: skip
PEEL_RIGHT = Figure(
    "toe angle by metal gauge, right fore: repeatability coefficient",
    0.37,
    "deg",
    PUBLISHED,
    PEEL_LEFT.source,
)
DECURNEX = Figure(
    "hoof circumference by tape: repeatability coefficient", 1.8, "mm", PUBLISHED,
    "Decurnex et al. 2009, Equine Vet J (25 horses, three times in a day)",
)  # fmt: skip
ANCHORS = (PEEL_LEFT, PEEL_RIGHT, DECURNEX)


def kind_of(key: str) -> str:
    """The kind of a measure: all of one kind are read equally well."""
    return _KINDS.get(key, LENGTH)


def detectable(key: str, way: str) -> Figure:
    """Look up the smallest detectable change of a measure, such as "toe_angle", read a way, such as "gauge".

    A way that is not said, or by which this measure cannot be read, takes the largest of its kind.
    """
    ways = _BY_KIND[kind_of(key)]
    return ways.get(way) or max(ways.values(), key=lambda figure: figure.value)


@cache
def reading_sd(key: str, way: str) -> float:
    """Give the standard deviation of one reading, in the measure's own unit (degrees or mm)."""
    return detectable(key, way).value / REPEATABILITY
