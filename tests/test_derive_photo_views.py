"""A foot of known measures, photographed squarely: every measure of the three views comes out."""

from __future__ import annotations

import numpy as np
import pytest
from photo_points import EXACT, FRONT, SIDE, SOLE, front_view, side_view, sole_view

from tracker.derive.photo.plane import unmirrored

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


def flipped(points):
    return {name: (4000 - x, y) for name, (x, y) in points.items()}


def turned_by(degrees, points):
    about = np.exp(1j * np.radians(degrees))
    turned = {name: 2000 + 1500j + about * (complex(*place) - 2000 - 1500j) for name, place in points.items()}
    return {name: (place.real, place.imag) for name, place in turned.items()}


def inner_doubts(seen):
    return [problem.message for problem in seen.problems if problem.kind == "photo-inner-side"]


@pytest.mark.parametrize(
    ("view", "points", "turns"), [(front_view, FRONT, (-25, 0, 40)), (sole_view, SOLE, (-90, 0, 60, 180))]
)
@pytest.mark.parametrize("foot", ["LF", "LH", "RF", "RH"])
def test_the_inner_side_lies_where_that_foot_has_it(view, points, turns, foot):
    """By the plan of a horse, its inner side being the one toward its middle.

    Ahead of it, its left is the viewer's right, so its middle is to the left of a left foot. From above, toe
    up, the middle is to the right of a left foot; from below that is turned over, so to the left.
    """
    for turn in turns:
        plain, mirror = turned_by(turn, points), turned_by(turn, flipped(points))
        right, wrong = (plain, mirror) if foot[0] == "L" else (mirror, plain)
        assert inner_doubts(view(right, foot=foot, card_mm=CARD)) == []
        assert len(inner_doubts(view(wrong, foot=foot, card_mm=CARD))) == 1
        assert inner_doubts(view(wrong, card_mm=CARD)) == []
        assert dict(view(wrong, foot=foot, card_mm=CARD)) == dict(view(wrong, card_mm=CARD))


@pytest.mark.parametrize("foot", ["", "both fronts", None, "XX"])
def test_what_is_no_foot_has_no_inner_side(foot):
    assert inner_doubts(front_view(flipped(FRONT), foot=foot)) == []
    assert inner_doubts(sole_view(flipped(SOLE), foot=foot)) == []


def test_the_words_of_an_inner_side_on_the_wrong_side():
    assert inner_doubts(front_view(FRONT, foot="RF")) == [
        "Seen from the front, the inner side of a right front foot lies to the right, but it is marked to the "
        "left; all is measured as marked."
    ]


def test_of_many_feet_those_are_named_whose_inner_side_is_wrong():
    both = {name: np.array([FRONT[name], flipped(FRONT)[name]]) for name in FRONT}
    found = front_view(both, foot="LF", card_mm=CARD)

    assert [each.feet for each in found.doubts if each.problem.kind == "photo-inner-side"] == [(1,)]


def test_a_window_is_never_mirrored():
    window = [(-50.0, 170.0), (-50.0, -20.0), (190.0, -20.0), (190.0, 170.0)]
    for points, toe_right in ((SIDE, False), (flipped(SIDE), True)):
        plane = side_view(points, card_mm=CARD, **EXACT).plane
        upper_left, lower_left, lower_right, upper_right = unmirrored(plane.picture(window).tolist())
        assert plane.toe_right is toe_right
        assert upper_left[0] < upper_right[0]
        assert lower_left[0] < lower_right[0]
        assert upper_left[1] < lower_left[1]
        assert upper_right[1] < lower_right[1]
