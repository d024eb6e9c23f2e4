"""Slope, trend and agreement where there is little or nothing to go by."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.derive.statistics.interval import mean
from tracker.derive.statistics.kappa import grades_apart, weighted_kappa
from tracker.derive.statistics.kendall import EXACT, mann_kendall, serial_factor
from tracker.derive.statistics.slope import theil_sen

GRADES = st.lists(st.tuples(st.integers(0, 60), st.sampled_from([0, 0.5, 1, 2, 3])), min_size=3, max_size=25)


@pytest.mark.parametrize("values", [[], [2], [2, 1], [math.nan] * 8])
def test_too_few_values_say_nothing(values):
    times = range(len(values))
    assert mann_kendall(times, values) is None
    assert theil_sen(times, values) is None
    assert serial_factor(times, values, 0) == 1
    assert mean([value for value in values if not math.isnan(value)][:1]) is None


def test_values_that_are_all_equal_have_no_trend():
    found, slope = mann_kendall(range(9), [2] * 9), theil_sen(range(9), [2] * 9)
    assert (found.s, found.variance, found.chance) == (0, 0, 1)
    assert (slope.value, slope.low, slope.high) == (0, 0, 0)
    assert serial_factor(range(9), [2] * 9, 0) == 1


def test_values_of_one_time_have_no_slope():
    assert theil_sen([5] * 6, [1, 2, 3, 2, 1, 0]) is None
    assert mann_kendall([5] * 6, [1, 2, 3, 2, 1, 0]).chance == 1


def test_so_few_values_that_no_interval_holds_them_have_an_open_one():
    assert theil_sen([0, 1, 2], [3, 2, 1]).low == -math.inf


def test_a_missing_value_is_as_if_it_were_not_there():
    assert mann_kendall([0, 1, 2, 3, 4], [1, 2, math.nan, 4, 3]) == mann_kendall([0, 1, 3, 4], [1, 2, 4, 3])
    assert theil_sen([0, 1, 2, 3, 4], [1, 2, math.nan, 4, 3]) == theil_sen([0, 1, 3, 4], [1, 2, 4, 3])


@settings(deadline=None)
@given(GRADES, st.randoms())
def test_the_order_does_not_matter(pairs, random):
    mixed = list(pairs)
    random.shuffle(mixed)
    assert mann_kendall(*zip(*pairs, strict=True)) == mann_kendall(*zip(*mixed, strict=True))
    assert theil_sen(*zip(*pairs, strict=True)) == theil_sen(*zip(*mixed, strict=True))


@settings(deadline=None)
@given(GRADES)
def test_upside_down_is_the_same_trend_the_other_way(pairs):
    times, values = (np.array(part, dtype=float) for part in zip(*pairs, strict=True))
    one, other = mann_kendall(times, values), mann_kendall(times, -values)
    assert (one.s, one.chance) == (-other.s, other.chance)
    if (slope := theil_sen(times, values)) is not None:
        turned = theil_sen(times, -values)
        assert (slope.value, slope.low, slope.high) == pytest.approx(
            (-turned.value, -turned.high, -turned.low)
        )
        assert slope.low <= slope.value <= slope.high


def test_the_exact_chance_runs_into_the_normal_one():
    values = [value % 7 + 0.1 * value for value in range(EXACT + 1)]
    exact, near = mann_kendall(range(EXACT), values[:-1]), mann_kendall(range(EXACT), values[:-1], 1 + 1e-12)
    assert exact.chance == pytest.approx(near.chance, abs=0.003)


def test_neighbours_that_resemble_each_other_widen_the_interval_and_raise_the_chance():
    values = [3, 3.2, 3.1, 2.8, 2.7, 2.9, 2.2, 2.0, 2.1, 2.6]
    plain, shared = theil_sen(range(10), values), theil_sen(range(10), values, 2.0)
    assert shared.value == plain.value
    assert shared.low <= plain.low
    assert shared.high >= plain.high
    assert mann_kendall(range(10), values, 2.0).chance > mann_kendall(range(10), values).chance


def test_one_odd_value_does_not_tilt_the_slope():
    assert theil_sen(range(9), [4, 3.5, 3, 2.5, 99, 1.5, 1, 0.5, 0]).value == pytest.approx(-0.5)


def test_without_a_trend_five_in_a_hundred_are_called_one():
    """The chance is what it says, for whole grades whose weeks are independent of each other."""
    found = [
        mann_kendall(range(12), np.random.default_rng(seed).integers(0, 4, 12)).chance < 0.05
        for seed in range(1000)
    ]
    assert 0.02 < np.mean(found) < 0.055


def test_agreement_of_nobody_and_of_one_and_the_same_grade_is_none():
    assert weighted_kappa(np.zeros((3, 3)), grades_apart(3)) is None
    assert weighted_kappa([[0, 0, 0], [0, 9, 0], [0, 0, 0]], grades_apart(3)) is None
    assert weighted_kappa([[4]], grades_apart(1)) is None


def test_who_is_named_first_does_not_matter():
    table = np.array([[5, 2, 0], [3, 6, 1], [0, 1, 4]])
    assert weighted_kappa(table, grades_apart(3)).value == pytest.approx(
        weighted_kappa(table.T, grades_apart(3)).value
    )


def test_grades_that_nobody_gave_change_nothing():
    small, wide = np.array([[5, 2], [3, 6]]), np.zeros((11, 11))
    wide[:2, :2] = small
    assert weighted_kappa(small, grades_apart(2)).value == pytest.approx(
        weighted_kappa(wide, grades_apart(11)).value
    )


def test_equal_values_are_still_read_in_steps():
    assert mean([1, 1, 1, 1]).low == 1
    assert mean([1, 1, 1, 1], least_sd=0.5).low < 1
