"""What a photograph from the front tells: how the inner and the outer wall stand, and how level the foot is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from tracker.derive.photo import points
from tracker.derive.photo.level import Level
from tracker.derive.photo.view import MM, Row, View, height, less, slope, slope_inward

At = Mapping[str, Any]

_MEDIAL, _LATERAL = ("medial_hairline", "medial_ground"), ("lateral_hairline", "lateral_ground")
_HAIRLINE = ("medial_hairline", "lateral_hairline")


def hairline_tilt(at: At) -> Any:
    """Angle of the line between both hairline points to the ground, deg: positive where the outer is higher."""
    return np.degrees(np.angle(at["lateral_hairline"] - at["medial_hairline"]))


def _flare(side: str, wall: Callable[[str, str], Callable[[At], Any]]) -> Row:
    """The upper third's angle less the rest's: positive where the wall runs outward below.

    Common practice, no published source.
    """
    hairline, third, ground = f"{side}_hairline", f"{side}_third", f"{side}_ground"
    return Row(
        f"{side}_flare", "deg", (hairline, third, ground), less(wall(hairline, third), wall(third, ground))
    )


medial_wall_angle, lateral_wall_angle = slope(*_MEDIAL), slope_inward(*_LATERAL)

ROWS = (
    Row("medial_wall_angle", "deg", _MEDIAL, medial_wall_angle),
    Row("lateral_wall_angle", "deg", _LATERAL, lateral_wall_angle),
    Row("wall_angle_difference", "deg", (*_MEDIAL, *_LATERAL), less(medial_wall_angle, lateral_wall_angle)),
    Row("hairline_tilt", "deg", _HAIRLINE, hairline_tilt),
    _flare("medial", slope),
    _flare("lateral", slope_inward),
    Row("medial_height", "mm", (*_MEDIAL, MM), height(*_MEDIAL)),
    Row("lateral_height", "mm", (*_LATERAL, MM), height(*_LATERAL)),
)

FRONT = View(
    points.FRONT,
    Level(
        grounds=(("ground_medial", "ground_lateral"), ("medial_ground", "lateral_ground")),
        ways=(("medial_ground", "lateral_ground"), _HAIRLINE, ("ground_medial", "ground_lateral")),
        uprights=(
            _MEDIAL, _LATERAL,
            ("medial_hairline", "medial_third"), ("medial_third", "medial_ground"),
            ("lateral_hairline", "lateral_third"), ("lateral_third", "lateral_ground"),
        ),
    ),
    ROWS,
)  # fmt: skip
