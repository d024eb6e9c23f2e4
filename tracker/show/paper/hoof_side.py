"""A hoof from the side with the name of each measure where it is taken."""

from __future__ import annotations

import cmath
from math import degrees, radians

from tracker.derive.uncertainty import Measure
from tracker.show.foot_limb import limb
from tracker.show.foot_parts import Placed, laid_over, mark_lines, parts
from tracker.show.foot_shape import Profile, shape_of
from tracker.show.paper.drawn import GREY, Drawing
from tracker.show.words import name

NAMED = (
    "toe_angle", "heel_angle", "hairline_angle", "pastern_angle", "toe_length", "heel_length", "heel_height",
    "support_length", "coronet_girth", "growth_mark_below_hairline",
)  # fmt: skip
_SCALE = 0.6  # of a hoof of usual size
_PENS = {"outline": 0.6, "hair": 0.15}
_ARC = 11.0


def side_drawing() -> str:
    """The drawing, as SVG; the toe points left."""
    paper = Drawing(117, 76, 11 + 62j)
    placed = _placed()
    for part in limb(placed):
        paper.field(*_scaled(part.points))
    for part in parts(placed):
        if part.kind in _PENS:
            paper.line(*_scaled(part.points), width=_PENS[part.kind])
    toe, heel = 0j, _SCALE * (placed.heel or 0) + 0j
    top, back = _SCALE * (placed.toe_top or 0), _SCALE * (placed.heel_top or 0)
    paper.line(toe - 11, toe + 106, width=0.3, colour=GREY)
    _lengths(paper, placed, toe, heel, top, back)
    _angles(paper, placed, toe, heel, top, back)
    return paper.svg()


def _lengths(
    paper: Drawing, placed: Placed, toe: complex, heel: complex, top: complex, back: complex
) -> None:
    before = cmath.rect(1, cmath.phase(top - toe) + radians(90))
    paper.name(paper.size(toe, top, 8 * before) - 2, name("toe_length"), "end")
    behind = cmath.rect(6, cmath.phase(back - heel) - radians(90))
    paper.name(paper.size(heel, back, behind) + complex(1, -1), name("heel_length"), "start")
    upright = paper.size(complex(back.real), back, 14 + 0j)
    paper.name(upright + complex(1, 1), name("heel_height").replace(" ", "\n"), "start")
    paper.name(paper.size(toe, heel, -9j) - 3j, name("support_length"))
    (mark,) = mark_lines(placed).values()
    on_wall = _SCALE * mark[0]
    paper.line(*_scaled(mark[:7]), width=0.4)
    middle = paper.size(on_wall, top, 3 * before)
    paper.name(
        middle + complex(-14, 15), name("growth_mark_below_hairline").replace(" below", "\nbelow"), to=middle
    )
    girth = [point + (top - on_wall) * 0.8 for point in _scaled(mark)]
    paper.line(*girth, width=0.3, dashed=True)
    paper.name(girth[9] + complex(-2, -11), name("coronet_girth"), to=girth[9])


def _angles(paper: Drawing, placed: Placed, toe: complex, heel: complex, top: complex, back: complex) -> None:
    own = placed.shape.profile
    assert own.pastern_angle
    assert own.toe_angle
    assert own.heel_angle
    falling = degrees(cmath.phase(top - back))  # of the hairline, seen from the heel
    paper.angle(toe, _ARC, 0, own.toe_angle.value)
    paper.name(toe + cmath.rect(_ARC, radians(22)) + 0.6, name("toe_angle"), "start")
    paper.angle(heel, _ARC, 0, own.heel_angle.value)
    paper.name(heel + complex(_ARC + 1, -3), name("heel_angle"), "start")
    paper.line(back, back - 30, width=0.2, colour=GREY, dashed=True)
    paper.angle(back, 22, falling, 180)
    paper.name(back + complex(-22, -3), name("hairline_angle"))
    paper.line(top, top + 22, width=0.2, colour=GREY, dashed=True)
    paper.line(top, top + cmath.rect(27, radians(own.pastern_angle.value)), width=0.6)
    paper.angle(top, _ARC, 0, own.pastern_angle.value)
    paper.name(top + cmath.rect(_ARC, radians(28)) + 0.6, name("pastern_angle"), "start")


def _placed() -> Placed:
    """A hoof of usual size."""

    def measured(value: float, unit: str) -> Measure:
        return Measure(value, 1.0, unit, "")

    profile = Profile(
        "",
        toe_angle=measured(52, "deg"), toe_length=measured(82, "mm"), heel_angle=measured(50, "deg"),
        heel_length=measured(40, "mm"), support_length=measured(110, "mm"), pastern_angle=measured(55, "deg"),
        marks={"": measured(22, "mm")},
    )  # fmt: skip
    return laid_over(shape_of(profile), None)[0]


def _scaled(points: tuple[complex, ...]) -> tuple[complex, ...]:
    return tuple(_SCALE * point for point in points)
