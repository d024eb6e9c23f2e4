"""A hoof from below, and its sides from the front and from behind, with the name of each measure where it is taken."""

from __future__ import annotations

import cmath
from math import degrees

from tracker.show.paper.drawn import GREY, Drawing, curve, mirrored
from tracker.show.words import name

NAMED = (
    "hoof_length", "hoof_width", "frog_length", "frog_width", "heel_bulb_distance", "groove_depth_at_frog_tip",
    "groove_depth_at_heel",
)  # fmt: skip
NAMED_IN_FRONT = ("medial_wall_angle", "lateral_wall_angle")
NAMED_BEHIND = ("medial_heel_length", "lateral_heel_length")

# Half of each outline, the inner half being its mirror: y up from the line of the heels to the toe.
_SIZE = 0.8


def _half(start: complex, *pieces: tuple[complex, complex, complex]) -> tuple[complex, ...]:
    return tuple(_SIZE * point for point in curve(start, *pieces))


_TOE, _WIDE, _HEEL = _SIZE * 68j, _SIZE * (30 + 32j), _SIZE * (19 + 0j)
_WALL = _half(68j, (18 + 68j, 30 + 52j, 30 + 32j), (30 + 16j, 26 + 6j, 19 + 0j))
_SOLE = _half(62.5j, (15 + 62.5j, 25.5 + 50j, 25.5 + 32j), (25.5 + 18j, 22 + 9j, 17 + 5j))
_FROG = _half(44j, (2 + 40j, 6 + 26j, 12 + 5j), (13 + 0j, 9 - 3j, 0 - 2j))
_BULB = _half(0 - 8j, (2 - 12j, 9 - 14j, 14 - 12j), (19 - 10j, 20 - 5j, 19 + 0j))
_BAR = (_SIZE * (17 + 5j), _SIZE * (3 + 38j))
_TIP, _BACK, _FROG_SIDE, _BULB_MIDDLE = (_SIZE * point for point in (44j, -2j, 12 + 5j, 9 - 13.5j))
_GROOVE_AT_TIP, _GROOVE_AT_HEEL = _SIZE * (4 + 38j), _SIZE * (14 + 8j)


def sole_drawing() -> str:
    """A left hoof from below, the toe above, as SVG."""
    paper = Drawing(78, 92, 40 + 66j)
    paper.field(*_BULB, *mirrored(_BULB), edge=0.4)
    paper.field(*_WALL, *mirrored(_WALL), colour="#ffffff", edge=0.6)
    paper.line(*_SOLE, _BAR[1], width=0.3)
    paper.line(*mirrored((*_SOLE, _BAR[1])), width=0.3)
    paper.field(*_FROG, *mirrored(_FROG), edge=0.5)
    paper.line(_SIZE * 18j, _SIZE * 6j, width=0.4)
    paper.name(complex(-33, 46), "inner")
    paper.name(complex(34, 46), "outer")
    _sole_sizes(paper)
    return paper.svg()


def _sole_sizes(paper: Drawing) -> None:
    paper.line(-_HEEL, _HEEL + 9, width=0.15, colour=GREY)
    hoof, frog = (name(key).replace(" ", "\n") for key in ("hoof_length", "frog_length"))
    paper.name(paper.size(0j, _TOE, 29 + 0j) + complex(0, 10), hoof, "start")
    paper.name(paper.size(_BACK, _TIP, -29 + 0j) + complex(-1.5, 2), frog, "end")
    paper.name(paper.size(-_WIDE.conjugate(), _WIDE, 32j) + 3j, name("hoof_width"))
    paper.name(
        paper.size(-_FROG_SIDE.conjugate(), _FROG_SIDE, -19j) + complex(11, 0), name("frog_width"), "start"
    )
    middle = paper.size(-_BULB_MIDDLE.conjugate(), _BULB_MIDDLE, -10j)
    paper.name(middle + complex(11, -0.5), name("heel_bulb_distance"), "start")
    paper.dot(_GROOVE_AT_TIP)
    paper.name(complex(0, 42), name("groove_depth_at_frog_tip"), to=_GROOVE_AT_TIP)
    paper.dot(_GROOVE_AT_HEEL)
    label = name("groove_depth_at_heel").replace(" at", "\nat")
    paper.name(complex(19, -6), label, "start", to=_GROOVE_AT_HEEL)


# From the front and from behind: one half of the wall, up from the ground.
_GROUND, _HAIR = 23 + 0j, 17 + 26j


def front_drawing() -> str:
    """A left hoof from the front, as SVG."""
    paper = _standing()
    hair = curve(-_HAIR.conjugate(), (-8 + 31j, 8 + 31j, _HAIR))
    paper.field(-_GROUND.conjugate(), *hair, _GROUND, colour="#ffffff", edge=0.6)
    lean = degrees(cmath.phase(_HAIR - _GROUND))
    for key, way in zip(NAMED_IN_FRONT, (-1, 1), strict=True):
        foot = complex(way * _GROUND.real)
        paper.angle(foot, 7, 180 - lean if way < 0 else lean, 0 if way < 0 else 180)
        paper.name(
            foot + complex(-way * 8, 8), name(key).replace(" ", "\n", 1), "end" if way > 0 else "start"
        )
    _sides(paper, "inner", "outer")
    return paper.svg()


def behind_drawing() -> str:
    """A left hoof from behind, as SVG."""
    paper = _standing()
    bulbs = curve(-19 + 21j, (-18 + 31j, -3 + 32j, 0 + 22j), (3 + 32j, 18 + 31j, 19 + 21j))
    paper.field(*bulbs, 12 + 0j, -12 + 0j)
    paper.line(-12 + 0j, *bulbs, 12 + 0j, width=0.3)
    paper.field(-19 + 21j, -22 + 0j, -12 + 0j, -11 + 17j, colour="#ffffff", edge=0.6)
    paper.field(19 + 21j, 22 + 0j, 12 + 0j, 11 + 17j, colour="#ffffff", edge=0.6)
    for key, way in zip(NAMED_BEHIND, (1, -1), strict=True):
        paper.size(complex(way * 22), complex(way * 19, 21), complex(way * 4))
        paper.name(complex(way * 17, -6), name(key), "middle")
    _sides(paper, "outer", "inner")
    return paper.svg()


def _standing() -> Drawing:
    paper = Drawing(58, 46, 29 + 36j)
    paper.line(-29 + 0j, 29 + 0j, width=0.3, colour=GREY)
    return paper


def _sides(paper: Drawing, left: str, right: str) -> None:
    paper.name(-22 + 31j, left)
    paper.name(22 + 31j, right)
