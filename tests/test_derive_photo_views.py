"""A foot of known measures, photographed squarely: every measure of the three views comes out."""

from __future__ import annotations

import numpy as np
import pytest
from photo_points import EXACT, FRONT, SIDE, SOLE, front_view, side_view, sole_view

CARD = (85.60, 53.98)
# The drawn foot: toe 85 mm at 50°, heel 40 mm at 45°, 110 mm on the ground; the rest by exact trigonometry.
SIDE_TRUE = {
    "toe_angle": 50, "upper_toe_angle": 50, "lower_toe_angle": 50, "toe_flare": 0, "heel_angle": 45, "heel_lag": 5,
    "hairline_angle": 23.7637, "pastern_angle": 54, "axis_break": 4, "toe_length": 85, "toe_height": 65.1138,
    "heel_length": 40, "heel_height": 28.2843, "heel_run": 28.2843, "hairline_length": 91.3963,
    "support_length": 110, "toe_heel_ratio": 2.125, "heel_toe_height_percent": 43.4382,
}  # fmt: skip
FRONT_TRUE = {
    "medial_wall_angle": 76, "lateral_wall_angle": 72, "wall_angle_difference": 4, "hairline_tilt": 1.3495,
    "medial_height": 60, "lateral_height": 62,
}  # fmt: skip
SOLE_TRUE = {
    "hoof_length": 125, "hoof_width": 122, "width_length_ratio": 0.976, "frog_length": 90, "frog_width": 51,
    "frog_ratio": 51 / 90, "bulb_distance": 64, "heel_width": 80, "before_widest": 65, "behind_widest": 60,
    "front_part_percent": 52, "heel_reach_difference": 0,
}  # fmt: skip
VIEWS = [(side_view, SIDE, SIDE_TRUE), (front_view, FRONT, FRONT_TRUE), (sole_view, SOLE, SOLE_TRUE)]


def values(seen):
    return {name: measure.value for name, measure in seen.items()}


@pytest.mark.parametrize(("view", "points", "true"), VIEWS)
def test_every_measure_of_a_view(view, points, true):
    found = values(view(points, card_mm=CARD, **EXACT))

    assert {name: found[name] for name in true} == pytest.approx(true, abs=2e-4)
    assert set(found) - set(true) <= {"medial_flare", "lateral_flare"}


@pytest.mark.parametrize(("view", "points", "true"), VIEWS)
def test_a_mirrored_a_rolled_and_an_upside_down_picture_tell_the_same(view, points, true):
    plain = {name: (x, y) for name, (x, y) in points.items() if not name.startswith(("card", "scale"))}
    turn = np.radians(25)
    turned = {
        name: (np.cos(turn) * x - np.sin(turn) * y, np.sin(turn) * x + np.cos(turn) * y)
        for name, (x, y) in plain.items()
    }
    expected = values(view(plain, mm_per_px=0.4, tilt_sd_deg=0))

    assert expected
    for other in ({name: (4000 - x, y) for name, (x, y) in plain.items()}, turned):
        assert values(view(other, mm_per_px=0.4, tilt_sd_deg=0)) == pytest.approx(expected, abs=1e-6)


def test_the_sign_of_a_break_a_flare_and_a_tilt():
    assert side_view(SIDE, **EXACT)["axis_break"].value > 0  # the pastern stands steeper than the toe
    bent = SIDE | {"wall_third": (SIDE["wall_third"][0] + 10, SIDE["wall_third"][1])}
    assert side_view(bent, **EXACT)["toe_flare"].value > 0  # dished: it runs forward below
    front = front_view(FRONT, **EXACT)
    assert front["medial_flare"].value > 0  # the wall runs outward below
    assert front["lateral_flare"].value > 0
    assert front["hairline_tilt"].value > 0  # the outer side is higher


def test_growth_lines_lean_by_so_many_degrees_a_centimetre():
    # Drawn so that each line, 20 mm behind the one before, stands 1° flatter: −0.5 deg/cm.
    lines = {}
    for number, angle in enumerate((50, 49, 48)):
        run, rise = 20 * np.cos(np.radians(angle)), 20 * np.sin(np.radians(angle))
        x = 10 + 20 * number - run / 2
        lines |= {f"line{number + 1}_lower": (x, -10.0), f"line{number + 1}_upper": (x + run, -10 - rise)}
    ground = {"ground_front": (-40.0, 0.0), "ground_back": (150.0, 0.0)}
    seen = side_view(ground | lines, mm_per_px=1, tilt_sd_deg=0)

    assert seen["line2_angle"].value == pytest.approx(49)
    assert seen["line_lean"].value == pytest.approx(-0.5, abs=1e-6)
    assert seen["line_lean"].unit == "deg/cm"


def test_the_card_may_begin_anywhere_and_run_either_way():
    first = values(side_view(SIDE, card_mm=CARD, **EXACT))
    corners = [SIDE[f"card_{n}"] for n in (1, 2, 3, 4)]
    for way in (corners, corners[::-1]):
        for start in range(4):
            marked = {f"card_{n + 1}": way[(start + n) % 4] for n in range(4)}
            for sides in (CARD, CARD[::-1]):
                assert values(side_view(SIDE | marked, card_mm=sides, **EXACT)) == pytest.approx(
                    first, abs=1e-6
                )


def test_many_feet_at_once_are_each_foot_alone():
    dice = np.random.default_rng(8)
    many = {name: np.array(place) + dice.normal(0, 3, (5, 2)) for name, place in SIDE.items()}
    many["pastern_upper"][2] = np.nan
    together = side_view(many, card_mm=CARD, focal_px=3000, image_size=(4000, 3000))
    for foot in range(5):
        alone = side_view(
            {name: place[foot] for name, place in many.items()},
            card_mm=CARD,
            focal_px=3000,
            image_size=(4000, 3000),
        )
        for name, measure in alone.items():
            assert together[name].value[foot] == pytest.approx(measure.value, rel=1e-9)
            assert together[name].sd[foot] == pytest.approx(measure.sd, rel=1e-9)
    assert np.isnan(together["axis_break"].value[2])
    assert [doubt.feet for doubt in together.doubts if "pastern_upper" in doubt.points] == [(2,)]


def test_from_the_picture_to_the_level_foot_and_back():
    plane = side_view(SIDE, card_mm=CARD, **EXACT).plane
    assert plane.level(SIDE["heel_ground"]).ravel() == pytest.approx([110, 0], abs=1e-6)
    assert plane.level(SIDE["toe_hairline"]).ravel()[1] == pytest.approx(65.1138, abs=1e-3)
    assert plane.picture([[110.0, 0.0]]).ravel() == pytest.approx(SIDE["heel_ground"], abs=1e-6)
