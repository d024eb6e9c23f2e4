"""Growth lines of a foot of known measures, photographed: each lies where it was on the foot."""

from __future__ import annotations

import numpy as np
import pytest
from photo_points import EXACT, SIDE_MM, shot

from tracker.derive.photo.growth import growth_lines
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.views import side_view

# On the foot itself, mm from where the toe meets the ground, x toward the heel: the camera's own plane.
LINES_MM = {
    "line1_lower": (20.0, 2.0), "line1_upper": (50.0, 45.0),
    "line2_lower": (60.0, 3.0), "line2_upper": (88.0, 33.0),
}  # fmt: skip
SIZES = {"card_mm": (85.60, 53.98), "scale_mm": 100.0}


def seen_of(points: dict[str, tuple[float, float]], **sizes: object) -> Seen:
    return side_view(points, **{**EXACT, **SIZES, **sizes})


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_line_lies_on_the_level_foot_as_it_lay_before_the_camera(mirrored: bool) -> None:
    """The camera is simulated from the millimetres; the way back is the program's own."""
    points = shot(SIDE_MM | LINES_MM)
    if mirrored:
        points = {name: (EXACT["image_size"][0] - x, y) for name, (x, y) in points.items()}
    found = growth_lines(points, seen_of(points))
    assert [*found] == ["line1", "line2"]
    for name, line in found.items():
        lower, upper = (np.array(LINES_MM[f"{name}_{end}"]) for end in ("lower", "upper"))
        (x, y), (across, up) = (lower + upper) / 2, upper - lower
        assert (line.middle.real, line.middle.imag) == pytest.approx((x, y), abs=0.1)
        assert line.length == pytest.approx(np.hypot(across, up), abs=0.1)
        assert line.angle.value == pytest.approx(np.degrees(np.arctan2(up, across)), abs=0.05)


def test_half_a_line_is_none() -> None:
    points = shot(SIDE_MM | {name: LINES_MM[name] for name in ("line1_lower", "line1_upper", "line2_upper")})
    assert [*growth_lines(points, seen_of(points))] == ["line1"]


def test_a_line_that_is_left_out_as_swapped_is_none() -> None:
    points = shot(SIDE_MM | LINES_MM)
    points["line1_lower"], points["line1_upper"] = points["line1_upper"], points["line1_lower"]
    assert [*growth_lines(points, seen_of(points))] == ["line2"]


def test_without_a_scale_or_the_toes_ground_a_line_has_no_place() -> None:
    points = shot(SIDE_MM | LINES_MM)
    assert "line1_angle" in seen_of(points, card_mm=None, scale_mm=None)
    assert growth_lines(points, seen_of(points, card_mm=None, scale_mm=None)) == {}
    bare = {name: place for name, place in points.items() if name != "toe_ground"}
    assert growth_lines(bare, seen_of(bare)) == {}
    assert growth_lines({}, seen_of({})) == {}
