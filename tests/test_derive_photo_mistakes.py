"""Whatever is wrong with the points is told in one sentence; what can be measured still is."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from photo_points import (
    ALSO,
    EXACT,
    LINES_OF_ONE_MIDDLE,
    MISTAKES,
    SIDE,
    SOLE,
    front_view,
    side,
    side_view,
    sole_view,
    swapped,
)

from tracker.derive.photo.points import CARDS
from tracker.derive.photo.points import FRONT as FRONT_NAMES
from tracker.derive.photo.points import SIDE as NAMES
from tracker.derive.photo.points import SOLE as SOLE_NAMES
from tracker.problem import KINDS


@pytest.mark.parametrize("slug", MISTAKES)
def test_a_mistake_is_told_once_and_by_its_own_name(slug):
    found = [problem.kind for problem in MISTAKES[slug]().problems]

    assert found.count(slug) == 1
    assert set(found) - {slug} == ALSO.get(slug, set())


def test_every_kind_about_points_has_its_mistake():
    about_files = {"empty", "other-type", "heic", "damaged", "moving", "too-large", "missing", "not-there"}
    told = {slug for slug in KINDS if slug.startswith("photo-")} - {f"photo-{word}" for word in about_files}

    assert set(MISTAKES) <= told
    assert {slug for slug in told if "{path}" not in KINDS[slug].message} == set(MISTAKES)


def test_a_whole_foot_has_no_doubt():
    assert side().problems == ()


def test_what_needs_no_missing_point_is_still_measured():
    assert {"toe_angle", "toe_length"} <= set(side("heel_hairline"))
    assert "heel_angle" not in side("heel_hairline")
    assert "toe_angle" in side("card_1", "card_2", "card_3", "card_4", scale_mm=None, card_mm=None)


def test_a_turned_ground_line_is_the_same_line():
    found = side(moved=swapped("ground_front", "ground_back"))

    assert found["toe_angle"].value == pytest.approx(side()["toe_angle"].value, abs=1e-6)


def test_swapped_walls_never_give_an_angle_of_the_other_wall():
    for one, other in (
        ("toe_hairline", "heel_hairline"),
        ("toe_ground", "heel_ground"),
        ("toe_hairline", "toe_ground"),
    ):
        found = side(moved=swapped(one, other))
        assert found.problems
        assert "toe_angle" not in found


def test_a_spoilt_card_leaves_the_angles_of_the_foot():
    without = side("card_1", "card_2", "card_3", "card_4", card_mm=None)
    for slug in ("photo-card-shape", "photo-card-fit", "photo-card-half"):
        found = MISTAKES[slug]()
        assert found["toe_angle"].value == pytest.approx(without["toe_angle"].value, abs=0.01)
        assert found["toe_length"].value == pytest.approx(without["toe_length"].value, abs=0.1)


def test_a_card_that_shows_a_far_tilt_is_believed():
    assert MISTAKES["photo-far-from-square"]()["toe_angle"].value == pytest.approx(50, abs=1.0)


@pytest.mark.parametrize("wrong", [0, -1, float("nan"), float("inf"), "big", (), None, (1, 2, 3)])
@pytest.mark.parametrize(
    "name", ["mm_per_px", "scale_mm", "card_mm", "focal_px", "image_size", "point_sd_px", "tilt_sd_deg"]
)
def test_a_size_that_is_none_never_raises(name, wrong):
    found = side(**{name: wrong})

    assert found["toe_angle"].value == pytest.approx(50, abs=0.5)


_places = st.one_of(
    st.tuples(*2 * [st.floats(-1e4, 1e4, allow_subnormal=False)]),
    st.sampled_from([None, "here", (1,), (float("nan"), 2.0), (float("inf"), 0.0), (1, 2, 3)]),
)


@pytest.mark.parametrize(
    ("view", "names"), [(side_view, NAMES), (front_view, FRONT_NAMES), (sole_view, SOLE_NAMES)]
)
@settings(max_examples=100, deadline=None)
@given(data=st.data(), with_card=st.booleans())
def test_no_points_whatever_raise(view, names, data, with_card):
    points = data.draw(st.dictionaries(st.sampled_from(sorted(names)), _places))
    with np.errstate(all="raise"):
        found = view(
            points, card_mm=(85.6, 53.98) if with_card else None, scale_mm=100, image_size=(4000, 3000)
        )

    assert all(np.isfinite([measure.value, measure.sd]).all() for measure in found.values())
    assert found or found.problems


def test_points_in_one_spot_or_in_one_line_give_no_angle():
    spot = dict.fromkeys(SIDE, (500.0, 500.0))
    line = {name: (100.0 * number, 500.0) for number, name in enumerate(SIDE)}
    for points in (spot, line):
        found = side_view(points, image_size=(4000, 3000))
        assert found.problems
        assert not {"toe_angle", "heel_angle", "pastern_angle"} & set(found)


def kinds(found):
    return [problem.kind for problem in found.problems]


def test_points_as_a_page_sends_them():
    sent = json.loads(json.dumps(SIDE))

    assert all(isinstance(place, list) for place in sent.values())
    assert dict(side_view(sent, **EXACT)) == dict(side_view(SIDE, **EXACT))


@pytest.mark.parametrize("points", [None, [1, 2], "toe_ground", 3, {}, {"card_1": (1, 2)}])
def test_what_holds_no_point_is_told(points):
    assert kinds(side_view(points)) == ["photo-no-points"]


@pytest.mark.parametrize(
    "place", [None, "here", "12", 5, (1,), (1, 2, 3), (float("nan"), 2), (float("inf"), 2), (1j, 2), {"x": 1, "y": 2},
              (10**400, 2), (10**5000, 2), (1e300, 2), (-1e9, 2), [[1, 2], [3, 4], [5, 6]], object()],
)  # fmt: skip
def test_a_place_that_is_none_loses_its_own_measures_only(place):
    found = side(moved={"heel_ground": place}) if place != [[1, 2], [3, 4], [5, 6]] else None
    if found is None:  # three places for one foot: three feet, of which all share the other points
        found = side_view({**SIDE, "toe_hairline": np.zeros((2, 2)), "heel_ground": np.ones((3, 2))})
        assert "photo-no-place" in kinds(found)
        return
    assert set(kinds(found)) == {"photo-no-place", "photo-not-marked"}
    assert "heel_angle" not in found
    assert found["toe_angle"].value == pytest.approx(side()["toe_angle"].value, abs=1e-9)


def test_toe_and_heel_that_were_taken_for_each_other_give_no_angle_of_the_other_wall():
    moved = swapped("toe_hairline", "heel_hairline") | swapped("toe_ground", "heel_ground")
    found = side(moved=moved)

    assert kinds(found).count("photo-crossed") == 2
    assert not {"toe_angle", "heel_angle"} & set(found)
    assert found["pastern_angle"].value == pytest.approx(side()["pastern_angle"].value, abs=1e-6)


def test_a_wall_that_leans_over_its_own_toe_is_left_out():
    x, y = SIDE["toe_ground"]
    found = side(moved={"toe_hairline": (x - 80, y - 160)})

    assert kinds(found) == ["photo-crossed"]
    assert "toe_angle" not in found
    assert "heel_angle" in found


def test_a_ground_line_across_the_picture_is_told_and_not_used_in_silence():
    found = side(moved={"ground_front": (1000, 500), "ground_back": (1000, 2500)})

    assert "photo-ground-off" in kinds(found)


def test_where_the_ground_line_has_no_length_the_foots_own_contacts_serve():
    found = side(moved={"ground_front": SIDE["ground_back"]})

    assert kinds(found) == ["photo-same-place"]
    assert found["toe_angle"].value == pytest.approx(50, abs=0.5)


def test_a_foot_that_loses_its_ground_line_to_a_mistake_is_told_so():
    points = {name: SIDE[name] for name in ("toe_ground", "heel_ground", "toe_hairline", "heel_hairline")}
    found = side_view(points | swapped("toe_hairline", "heel_hairline"))

    assert "photo-crossed" in kinds(found)
    assert not {"toe_angle", "heel_angle", "hairline_angle"} & set(found)


def test_what_is_wrong_with_many_points_is_one_sentence():
    off = side_view({name: (x + 5000, y) for name, (x, y) in SIDE.items()}, image_size=(4000, 3000))
    spot = side_view(dict.fromkeys(("toe_ground", "toe_hairline", "heel_ground"), (500, 500)))
    swap = side(moved=swapped("toe_hairline", "toe_ground"))
    other = side_view({"a": (1, 2), 3: (3, 4), "toe_ground": (5, 6)})

    assert kinds(off).count("photo-outside") == 1
    assert kinds(spot).count("photo-same-place") == 1
    assert kinds(swap).count("photo-swapped") == 1
    assert kinds(other).count("photo-not-a-point") == 1


def test_a_scale_of_any_kind_that_is_near_is_warned_of():
    near = {name: (2000 + 3 * (x - 2000), 1500 + 3 * (y - 1500)) for name, (x, y) in SIDE.items()}
    near = {name: place for name, place in near.items() if not name.startswith("card")}
    given = {"focal_px": 3000, "image_size": (40000, 30000), "tilt_sd_deg": 0}
    bare = {name: place for name, place in near.items() if not name.startswith("scale")}

    assert kinds(side_view(near, scale_mm=100, **given)) == ["photo-near"]
    assert kinds(side_view(bare, mm_per_px=0.4 / 3, **given)) == ["photo-near"]
    assert kinds(side_view(bare, mm_per_px=0.4 / 3, tilt_sd_deg=0)) == []  # nothing is known of the camera


@pytest.mark.parametrize(
    ("one", "other"),
    [("frog_tip", "frog_base"), ("toe", "medial_heel"), ("toe", "lateral_heel"), ("medial_heel", "lateral_heel"),
     ("medial_widest", "lateral_widest"), ("frog_medial", "frog_lateral"), ("medial_bulb", "lateral_bulb")],
)  # fmt: skip
@pytest.mark.parametrize("turn", [0, 75, 180])
def test_swapped_points_of_a_sole_are_told_and_not_used(one, other, turn):
    about = np.exp(1j * np.radians(turn))
    turned = {name: about * complex(*place) for name, place in SOLE.items()}
    points = {name: (place.real, place.imag) for name, place in turned.items()}
    right = sole_view(points, card_mm=(85.6, 53.98))
    assert kinds(right) == []

    found = sole_view(points | {one: points[other], other: points[one]}, card_mm=(85.6, 53.98))
    assert set(kinds(found)) == {"photo-crossed"}
    assert len(found) < len(right)
    for name, measure in found.items():  # the mean over likely tilts takes in where the points lie
        assert measure.value == pytest.approx(right[name].value, rel=0.01), name


@pytest.mark.parametrize("wrong", [1e300, 1e-300])
@pytest.mark.parametrize("name", ["mm_per_px", "scale_mm", "focal_px"])
def test_a_number_beyond_all_pictures_is_told_and_not_used(name, wrong):
    found = side(**{name: wrong})

    assert "photo-size" in kinds(found)
    assert found["toe_angle"].value == pytest.approx(50, abs=0.5)


@pytest.mark.parametrize("how", ["card", "number"])
def test_a_scale_without_its_length_leaves_no_trace_in_values_and_errors(how):
    """JCGM 100:2008, 5.1.2: only what the result is computed from adds to its error."""
    sizes = {"scale_mm": None} if how == "card" else {"scale_mm": None, "card_mm": None, "mm_per_px": 0.4}
    without = () if how == "card" else CARDS
    marked = side(*without, **sizes)

    assert kinds(marked) == ["photo-scale-size"]
    assert dict(marked) == dict(side("scale_a", "scale_b", *without, **sizes))


def test_without_the_pictures_size_the_unknown_scale_says_nothing_of_the_camera_either():
    far = {"scale_a": (0.0, 5000.0), "scale_b": (9000.0, 5000.0)}
    bare = {name: place for name, place in SIDE.items() if name not in far}

    assert dict(side_view(bare | far, card_mm=(85.6, 53.98))) == dict(side_view(bare, card_mm=(85.6, 53.98)))


def test_no_error_is_absurd_without_a_doubt():
    """Our own choice: an error of ten times the value, or of any direction at all."""
    whole = side(moved=LINES_OF_ONE_MIDDLE)

    assert "line_lean" not in whole
    assert "line1_angle" in whole
    for name, measure in whole.items():
        assert measure.sd < (45 if measure.unit == "deg" else 10 * max(abs(measure.value), 10)), name


def test_an_absurd_error_of_one_foot_leaves_the_others():
    apart = {name: (x + 150 * ("2" in name), y) for name, (x, y) in LINES_OF_ONE_MIDDLE.items()}
    points = {name: np.array([place, place]) for name, place in SIDE.items()}
    points |= {name: np.array([place, apart[name]]) for name, place in LINES_OF_ONE_MIDDLE.items()}
    found = side_view(points, card_mm=(85.6, 53.98), image_size=(4000, 3000), point_sd_px=2.0)

    assert np.isfinite(found["line_lean"].value).tolist() == [False, True]
    assert [each.feet for each in found.doubts if each.problem.kind == "photo-unsure"] == [(0,)]
