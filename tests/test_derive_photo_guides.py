"""Lines laid over a photo: what they say of a foot of known measures."""

from __future__ import annotations

import numpy as np
import pytest
from photo_points import EXACT, SIDE

from tracker.derive.photo.guides import hairline_guide, heel_line
from tracker.reference.figure import PRACTICE
from tracker.reference.measuring import reading_sd
from tracker.reference.photo import HAIRLINE_GUIDE, HEEL_DEPTH, HEEL_DEPTH_DEEPER

GIVEN = EXACT | {"card_mm": (85.60, 53.98)}


def test_the_guides_are_common_practice_and_say_so():
    # The inch is exactly 25.4 mm: 1 1/8 in and 1 1/4 in.
    assert [HEEL_DEPTH.value, HEEL_DEPTH_DEEPER.value] == [1.125 * 25.4, 1.25 * 25.4]
    assert {figure.standing for figure in (HAIRLINE_GUIDE, HEEL_DEPTH, HEEL_DEPTH_DEEPER)} == {PRACTICE}


def test_the_hairline_beside_its_guide():
    guide = hairline_guide(SIDE, **GIVEN)
    assert guide.above.value == pytest.approx(23.7637 - 30, abs=1e-3)
    (x1, y1), (x2, y2) = guide.line
    assert (x1, y1) == pytest.approx(SIDE["heel_hairline"], abs=1e-6)
    assert np.degrees(np.arctan2(y1 - y2, x1 - x2)) == pytest.approx(30)


def test_the_square_and_circle_line_is_not_a_guide_of_thirty_degrees():
    # Common practice, no published source: that drawn line is atan(1/2) = 26.565°, exactly.
    drawn = {
        "ground_front": (0.0, 300.0),
        "ground_back": (300.0, 300.0),
        "heel_hairline": (200.0, 200.0),
        "toe_hairline": (0.0, 100.0),
    }
    assert hairline_guide(drawn, 30.0, tilt_sd_deg=0).above.value == pytest.approx(26.565 - 30, abs=5e-4)


@pytest.mark.parametrize(("depth", "lower"), [(20.0, True), (28.2843, None), (40.0, False)])
def test_the_heel_line_tells_what_lies_below_it(depth, lower):
    found = heel_line(SIDE, depth, **GIVEN)
    (point,) = found.points
    assert (point.point, point.becomes_lower) == ("heel_ground", lower)
    assert point.below.value == pytest.approx(28.2843 - depth, abs=1e-3)
    (_, y1), (_, y2) = found.line
    assert y1 == pytest.approx(y2)  # level with the ground


def test_a_line_is_no_surer_than_a_photograph_can_be_repeated():
    """Points without any error of their own; how the horse stood still has one."""
    (point,) = heel_line(SIDE, 25.0, **GIVEN, point_sd_px=0).points
    assert point.below.sd == reading_sd("heel_height", "photo")
    assert point.becomes_lower is None  # 3.3 mm, within 1.96 × 1.8 mm
    assert hairline_guide(SIDE, **GIVEN, point_sd_px=0).above.sd == reading_sd("hairline_angle", "photo")


def test_each_marked_end_at_the_heel_is_told_of():
    ends = {"line1_lower": (1900.0, 1550.0), "line1_upper": (1930.0, 1500.0)}
    assert [point.point for point in heel_line(SIDE | ends, **GIVEN).points] == ["heel_ground", "line1_lower"]


def test_it_describes_and_leaves_the_rest_to_the_live_foot():
    for found in (hairline_guide(SIDE, **GIVEN), heel_line(SIDE, **GIVEN)):
        assert "live foot decides" in found.caution
        assert not {"cut", "trim", "should", "too"} & set(found.caution.lower().split())


def test_without_a_scale_there_is_no_heel_line_and_without_a_hairline_no_guide():
    assert (
        heel_line({name: SIDE[name] for name in SIDE if name[:4] not in ("card", "scal")}, tilt_sd_deg=0)
        is None
    )
    assert hairline_guide({name: SIDE[name] for name in SIDE if name != "toe_hairline"}, **GIVEN) is None
