"""Whatever is wrong with the points is told in one sentence; what can be measured still is."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from photo_points import ALSO, MISTAKES, SIDE, side, side_view, swapped

from tracker.derive.photo.points import SIDE as NAMES
from tracker.problem import KINDS


@pytest.mark.parametrize("slug", MISTAKES)
def test_a_mistake_is_told_once_and_by_its_own_name(slug):
    found = [problem.kind for problem in MISTAKES[slug]().problems]

    assert found.count(slug) == 1
    assert set(found) - {slug} == ALSO.get(slug, set())


def test_every_kind_about_points_has_its_mistake():
    about_files = {"empty", "other-type", "heic", "damaged", "moving", "too-large", "missing"}
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


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(st.sampled_from(sorted(NAMES)), _places), st.booleans())
def test_no_points_whatever_raise(points, with_card):
    with np.errstate(all="raise"):
        found = side_view(
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
