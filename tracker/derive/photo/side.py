"""What a photograph from the side tells: angles to the ground, lengths along the wall and the ground.

All angles are in degrees to the ground line, 90 upright, less the further the top lies toward the heel:
`toe_angle` and `heel_angle` of the wall from hairline to ground, `upper_toe_angle` and `lower_toe_angle` of
its upper third and of the rest, `pastern_angle` of the front of the pastern. Differences of two:

- `toe_flare`, upper less lower: positive where the wall runs forward below. Common practice, no published source.
- `heel_lag`, toe less heel: positive where the heel lies flatter than the toe.
- `axis_break`, pastern less toe: positive where the hoof is lower than the pastern (broken back), negative
  where it is steeper (broken forward).

References: Dyson et al. 2011, Vet J 190:364 (angles to the ground, support length); Turner, as in
`tracker.derive.angles` (heel lag, axis).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from tracker.derive.photo import points
from tracker.derive.photo.level import Level
from tracker.derive.photo.view import MM, Row, View, height, length, less, slope

At = Mapping[str, Any]

_TOE, _HEEL = ("toe_hairline", "toe_ground"), ("heel_hairline", "heel_ground")
_HAIRLINE = ("toe_hairline", "heel_hairline")
_PASTERN = ("pastern_upper", "pastern_lower")
_UPPER, _LOWER = ("toe_hairline", "wall_third"), ("wall_third", "toe_ground")
_ENDS = tuple((f"{line}_upper", f"{line}_lower") for line in points.LINES)
_WALLS = (*_TOE, *_HEEL)
LOWER_ENDS = tuple(lower for _, lower in _ENDS)

toe_angle, heel_angle, pastern_angle = slope(*_TOE), slope(*_HEEL), slope(*_PASTERN)
upper_angle, lower_angle = slope(*_UPPER), slope(*_LOWER)


def hairline_angle(at: At) -> Any:
    """Angle of the hairline to the ground, deg: positive where it rises from heel to toe."""
    rise = at["toe_hairline"] - at["heel_hairline"]
    return np.degrees(np.arctan2(rise.imag, -rise.real))


def heel_run(at: At) -> Any:
    """How far the heel's ground contact lies forward of its hairline, mm; negative where it lies behind."""
    return (at["heel_hairline"] - at["heel_ground"]).real * at[MM]


def support_length(at: At) -> Any:
    """From toe to heel contact, along the ground, mm."""
    return (at["heel_ground"] - at["toe_ground"]).real * at[MM]


def toe_heel_ratio(at: At) -> Any:
    """Toe length over heel length, both down the wall.

    References: Stachurska et al. 2008 measured about 2, fore and hind.
    """
    return np.abs(at["toe_hairline"] - at["toe_ground"]) / np.abs(at["heel_hairline"] - at["heel_ground"])


def heel_toe_height_percent(at: At) -> Any:
    """Heel height as a percentage of toe height (never lengths).

    References: Dyson et al. 2011, Vet J 190:364.
    """
    heel, toe = (at[up].imag - at[low].imag for up, low in (_HEEL, _TOE))
    return 100 * heel / toe


def line_lean(at: At) -> Any:
    """How much steeper the growth lines stand for each cm further back, deg/cm; negative: flatter.

    The straight line of least squares through the angles, each at the middle of its growth line, measured
    along the ground. Lines that are not marked are left out; NaN for fewer than two.
    """
    marked = [(at[up], at[low]) for up, low in _ENDS if up in at and low in at]
    if not marked:
        return np.full(np.shape(at[MM]), np.nan)
    angles = [np.degrees(np.angle(up - low)) for up, low in marked]
    backs = [(up + low).real / 2 * at[MM] / 10 for up, low in marked]
    angle, back = np.split(np.stack(np.broadcast_arrays(*angles, *backs)), 2)
    known = np.isfinite(angle) & np.isfinite(back)
    count = np.maximum(known.sum(axis=0), 1)
    back, angle = np.where(known, back, 0), np.where(known, angle, 0)
    back = np.where(known, back - back.sum(axis=0) / count, 0)
    spread = (back**2).sum(axis=0)
    return (back * angle).sum(axis=0) / np.where((known.sum(axis=0) > 1) & (spread > 0), spread, np.nan)


def _line(number: int) -> Row:
    return Row(f"line{number + 1}_angle", "deg", _ENDS[number], slope(*_ENDS[number]))


ROWS = (
    Row("toe_angle", "deg", _TOE, toe_angle),
    Row("upper_toe_angle", "deg", _UPPER, upper_angle),
    Row("lower_toe_angle", "deg", _LOWER, lower_angle),
    Row("toe_flare", "deg", (*_UPPER, "toe_ground"), less(upper_angle, lower_angle)),
    Row("heel_angle", "deg", _HEEL, heel_angle),
    Row("heel_lag", "deg", _WALLS, less(toe_angle, heel_angle)),
    Row("hairline_angle", "deg", _HAIRLINE, hairline_angle),
    Row("pastern_angle", "deg", _PASTERN, pastern_angle),
    Row("axis_break", "deg", (*_PASTERN, *_TOE), less(pastern_angle, toe_angle)),
    Row("toe_length", "mm", (*_TOE, MM), length(*_TOE), to_ground=False),
    Row("toe_height", "mm", (*_TOE, MM), height(*_TOE)),
    Row("heel_length", "mm", (*_HEEL, MM), length(*_HEEL), to_ground=False),
    Row("heel_height", "mm", (*_HEEL, MM), height(*_HEEL)),
    Row("heel_run", "mm", (*_HEEL, MM), heel_run),
    Row("hairline_length", "mm", (*_HAIRLINE, MM), length(*_HAIRLINE), to_ground=False),
    Row("support_length", "mm", ("toe_ground", "heel_ground", MM), support_length),
    Row("toe_heel_ratio", "1", _WALLS, toe_heel_ratio, to_ground=False),
    Row("heel_toe_height_percent", "%", _WALLS, heel_toe_height_percent),
    *(_line(number) for number in range(len(_ENDS))),
    Row("line_lean", "deg/cm", (MM,), line_lean, takes=tuple(end for pair in _ENDS for end in pair)),
)  # fmt: skip

SIDE = View(
    points.SIDE,
    Level(
        grounds=(("ground_front", "ground_back"), ("toe_ground", "heel_ground")),
        ways=(("toe_ground", "heel_ground"), _HAIRLINE, ("ground_front", "ground_back")),
        uprights=(_TOE, _HEEL, _PASTERN, _UPPER, _LOWER, *_ENDS),
        leans=(_TOE[::-1], _HEEL[::-1], _PASTERN[::-1]),
    ),
    ROWS,
)
