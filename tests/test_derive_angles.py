"""Lengths and angles: there and back again, arrays, and beyond the range of validity."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.derive import angles
from tracker.derive.quantities import QUANTITIES, with_derived
from tracker.derive.uncertainty import Measure

LENGTHS = st.floats(10, 200)
FORWARD = st.floats(5, 85)
ANY_LEAN = st.floats(5, 120)


@given(LENGTHS, ANY_LEAN)
def test_length_and_angle_come_back_from_height_and_run(length, angle):
    height, run = angles.heel_height(length, angle), angles.heel_run(length, angle)

    assert angles.heel_length_from_run(height, run) == pytest.approx(length)
    assert angles.heel_angle_from_run(height, run) == pytest.approx(angle)
    assert angles.heel_length_from_height(height, angle) == pytest.approx(length)
    assert angles.heel_run_from_height(height, angle) == pytest.approx(run, abs=1e-9)


@given(LENGTHS, FORWARD)
def test_the_angle_of_a_forward_heel_comes_back_from_height_and_length(length, angle):
    assert angles.heel_angle_from_height(angles.heel_height(length, angle), length) == pytest.approx(angle)


@given(LENGTHS, LENGTHS, ANY_LEAN)
def test_a_hoof_whose_walls_match_has_a_level_hairline_as_long_as_its_support(length, support, angle):
    hoof = (length, angle, length, angle, support)

    assert angles.hairline_angle_model(*hoof) == pytest.approx(0, abs=1e-9)
    assert angles.hairline_length(*hoof) == pytest.approx(support)


@given(LENGTHS, st.floats(20, 70), st.floats(20, 70))
def test_a_lower_heel_of_the_same_length_has_a_longer_run(length, one, other):
    low, high = sorted((one, other))

    assert angles.heel_run(length, low) >= angles.heel_run(length, high)
    assert angles.heel_height(length, low) <= angles.heel_height(length, high)


def test_signs_say_which_way():
    assert angles.heel_lag(50, 40) == 10  # heel lower than toe
    assert angles.axis_break(55, 50) == 5  # broken back
    assert angles.axis_break(45, 50) == -5  # broken forward
    assert angles.heel_length_difference(45, 40) == 5  # inner heel longer
    assert angles.wall_angle_difference(75, 70) == 5  # inner wall steeper
    assert angles.heel_run(40, 100) < 0  # the heel leans back


def test_arrays_go_in_and_come_out():
    lag = angles.heel_lag(np.array([50.0, 55.0, np.nan]), np.array([45.0, 55.0, 40.0]))

    np.testing.assert_array_equal(lag, [5, 0, np.nan])


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("row", QUANTITIES, ids=lambda row: f"{row.name} from {' '.join(row.inputs)}")
@pytest.mark.parametrize(
    "bad", [0.0, -5.0, -1001.0, 180.0, 1001.0, math.nan, math.inf, -math.inf, 1e308, 5e-324]
)
def test_beyond_the_range_of_validity_the_answer_is_nan(row, bad):
    within = {"heel_run": (-5.0, 0.0, 180.0, 5e-324)}
    for at, name in enumerate(row.inputs):
        good = [60.0 if "angle" in other else 80.0 for other in row.inputs]
        if bad in within.get(name, ()) or (bad == 180 and "angle" not in name):
            continue
        good[at] = bad
        assert math.isnan(row.function(*good)), name


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("low", [1.0, 0.1])
@pytest.mark.parametrize("high", [179.0, 1000.0])
def test_at_the_edges_of_the_range_nothing_warns(low, high):
    for row in QUANTITIES:
        for values in (
            [low] * len(row.inputs),
            [high] * len(row.inputs),
            [low, *[high] * (len(row.inputs) - 1)],
        ):
            row.function(*values)


def test_a_heel_higher_than_long_has_no_angle():
    assert math.isnan(angles.heel_angle_from_height(41, 40))
    assert angles.heel_angle_from_height(40, 40) == pytest.approx(90)


def test_a_hairline_that_would_run_backwards_has_no_angle():
    assert math.isnan(angles.hairline_angle_model(150, 20, 30, 120, 50))


def measures(**values):
    units = {name: "deg" if "angle" in name else "mm" for name in values}
    return {name: Measure(value, 0.5, units[name], "ruler") for name, value in values.items()}


def test_what_is_measured_wins_over_what_could_be_computed():
    found = with_derived(measures(heel_height=30, heel_length=40, heel_angle=60))

    assert [found[name].value for name in ("heel_height", "heel_length", "heel_angle")] == [30, 40, 60]
    assert found["heel_height"].how == "ruler"


@pytest.mark.parametrize(
    ("given_two", "name", "value"),
    [
        ({"heel_length": 50, "heel_angle": 30}, "heel_height", 25),
        ({"heel_height": 25, "heel_angle": 30}, "heel_length", 50),
        ({"heel_height": 25, "heel_length": 50}, "heel_angle", 30),
        ({"heel_height": 30, "heel_run": 40}, "heel_length", 50),
        ({"heel_height": 30, "heel_length": 50}, "heel_run", 40),
    ],
)
def test_any_two_of_the_heel_give_the_others(given_two, name, value):
    found = with_derived(measures(**given_two))

    assert found[name].value == pytest.approx(value)
    assert {"heel_length", "heel_angle", "heel_height", "heel_run"} <= set(found)


def test_partners_of_partners_are_found_and_say_what_they_come_from():
    found = with_derived(measures(toe_angle=50, heel_height=20, heel_length=40))

    assert found["heel_lag"].value == pytest.approx(20)
    assert found["heel_lag"].how == "from toe angle, heel height and heel length (ruler)"


def test_nothing_is_derived_from_nothing():
    assert with_derived({}) == {}


def test_a_quantity_without_an_answer_is_left_out():
    found = with_derived(measures(heel_height=45, heel_length=40, toe_angle=50))

    assert set(found) == {"heel_height", "heel_length", "toe_angle"}


def test_every_quantity_names_its_unit():
    assert {row.unit for row in QUANTITIES} == {"mm", "deg", "1", "%"}
