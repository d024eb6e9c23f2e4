"""Slope, trend and agreement, against published examples and reference libraries."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pymannkendall
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.inter_rater import cohens_kappa

from tracker.derive.statistics.interval import mean, t_quantile
from tracker.derive.statistics.kappa import grades_apart, weighted_kappa
from tracker.derive.statistics.kendall import mann_kendall, serial_factor, variance_of_s
from tracker.derive.statistics.slope import theil_sen

# US EPA 2009, Statistical Analysis of Groundwater Monitoring Data at RCRA Facilities, Unified Guidance
# (EPA 530/R-09-007), example 17-7: sodium in ppm. The data from memory; they give every published figure.
YEAR = [89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3]
SODIUM = [56, 53, 51, 55, 52, 60, 62, 59, 61, 63]


def test_the_sodium_of_the_unified_guidance():
    slope, trend = theil_sen(YEAR, SODIUM), mann_kendall(YEAR, SODIUM)

    assert slope.value == pytest.approx(1.3333333)
    # The interval and z: the same example in the manual of the R package EnvStats, kendallTrendTest.
    assert (slope.low, slope.high) == pytest.approx((0.3992083, 2.3333333), abs=1e-6)
    assert trend.s == 25
    assert (trend.s - 1) / math.sqrt(trend.variance) == pytest.approx(2.146625, abs=1e-6)
    assert np.median(SODIUM) - slope.value * np.median(YEAR) == pytest.approx(-65.966667, abs=1e-5)


def test_the_sulfate_of_the_unified_guidance_by_what_is_published_of_it():
    """Example 17-6: n = 23, S = 194, tau = 0.7667984 and z = 5.107322 (manual of EnvStats, kendallTrendTest).

    Only the first of its values were found. One value thrice and two twice is the only way in which the
    variance with ties gives that z; without ties it would be 5.0972.
    """
    assert pytest.approx(0.7667984, abs=1e-7) == 194 / (23 * 22 / 2)
    assert (194 - 1) / math.sqrt(variance_of_s(23, value_ties=[3, 2, 2])) == pytest.approx(5.107322, abs=1e-6)
    assert (194 - 1) / math.sqrt(variance_of_s(23)) == pytest.approx(5.0972, abs=1e-4)


# Kendall's table of the chance that S is at least this where there is no trend, as in Gilbert 1987, Table A18:
# from memory.
@pytest.mark.parametrize(
    ("n", "s", "upper"), [(4, 4, 0.167), (5, 6, 0.117), (8, 16, 0.031), (10, 21, 0.036), (10, 25, 0.014)]
)
def test_the_exact_chance_of_the_printed_table(n, s, upper):
    values = _with_s(n, s)
    assert mann_kendall(range(n), values).s == s
    assert mann_kendall(range(n), values).chance == pytest.approx(2 * upper, abs=0.001)


def _with_s(n: int, s: int) -> list[int]:
    """An order of 0 to n - 1 with that S."""
    values, swaps = list(range(n)), (n * (n - 1) // 2 - s) // 2
    for at in itertools.cycle(range(n - 1)):
        if not swaps:
            return values
        if values[at] < values[at + 1]:
            values[at], values[at + 1] = values[at + 1], values[at]
            swaps -= 1
    return values


@settings(deadline=None)
@given(st.lists(st.integers(0, 3), min_size=3, max_size=6))
def test_the_exact_chance_with_ties_is_that_of_all_orders(values):
    """By counting every permutation."""
    found = mann_kendall(range(len(values)), values)
    all_s = [
        sum(np.sign(b - a) for a, b in itertools.combinations(order, 2))
        for order in itertools.permutations(values)
    ]
    assert found.chance == pytest.approx(np.mean([abs(s) >= abs(found.s) for s in all_s]))
    assert found.variance == pytest.approx(np.mean(np.square(all_s)))


GRADES = [
    3,
    3,
    2.5,
    3,
    2,
    3,
    2,
    2,
    2.5,
    1,
    2,
    2,
    1,
    1.5,
    1,
    2,
    1,
    1,
    0.5,
    1,
    0,
    1,
    1,
    0,
    0.5,
    0,
    1,
    0,
    0,
    1,
    0,
    0.5,
]


def test_with_ties_as_scipy_has_it():
    """scipy.stats.kendalltau(variant="b", method="asymptotic") has no correction for continuity."""
    days = np.repeat(np.arange(16), 2)
    for times in (np.arange(32), days):
        ours = mann_kendall(times, GRADES)
        theirs = stats.kendalltau(times, GRADES, method="asymptotic").pvalue
        assert math.erfc(abs(ours.s) / math.sqrt(2 * ours.variance)) == pytest.approx(theirs, rel=1e-9)
    assert stats.kendalltau(range(10), SODIUM, method="exact").pvalue == pytest.approx(
        mann_kendall(YEAR, SODIUM).chance
    )


def test_the_slope_as_scipy_has_it():
    """scipy.stats.theilslopes: the same slope; its interval takes whole ranks, ours lies between them."""
    ours, theirs = theil_sen(YEAR, SODIUM), stats.theilslopes(SODIUM, YEAR)
    assert ours.value == pytest.approx(theirs.slope)
    wide = theil_sen(range(32), GRADES)
    assert (wide.value, wide.low, wide.high) == pytest.approx(
        (lambda found: (found.slope, found.low_slope, found.high_slope))(
            stats.theilslopes(GRADES, range(32))
        ),
        abs=0.003,
    )


@pytest.mark.parametrize("seed", range(8))
def test_serial_correlation_as_pymannkendall_has_it(seed):
    """pymannkendall.hamed_rao_modification_test, all lags: var_s is ours times n/n*."""
    noise, values = np.random.default_rng(seed), [0.0]
    for _ in range(39):
        values.append(0.6 * values[-1] + noise.normal())
    theirs = pymannkendall.hamed_rao_modification_test(values)
    slope = theil_sen(range(40), values).value
    factor = serial_factor(range(40), values, slope)
    assert slope == pytest.approx(theirs.slope)
    assert variance_of_s(40) * factor == pytest.approx(theirs.var_s, rel=1e-6)


# Cohen 1968, Psychol Bull 70:213, table 1: proportions of 200 cases, ratio weights of disagreement.
COHEN = 200 * np.array([[0.44, 0.07, 0.09], [0.05, 0.20, 0.05], [0.01, 0.03, 0.06]])
APART = np.array([[0, 1, 3], [1, 0, 6], [3, 6, 0]])


def test_the_weighted_kappa_of_cohen():
    assert weighted_kappa(COHEN, APART).value == pytest.approx(0.348, abs=0.0005)
    assert weighted_kappa(COHEN, 1 - np.eye(3)).value == pytest.approx(0.492, abs=0.0005)


def test_the_interval_of_kappa_as_statsmodels_has_it():
    """statsmodels.stats.inter_rater.cohens_kappa, whose standard error is that of Fleiss et al. 1969."""
    for table, apart in ((COHEN, APART), (np.arange(1, 26).reshape(5, 5) + 20 * np.eye(5), grades_apart(5))):
        ours, theirs = weighted_kappa(table, apart), cohens_kappa(table, weights=apart)
        assert ours.value == pytest.approx(theirs.kappa)
        assert (ours.low, ours.high) == pytest.approx((theirs.kappa_low, theirs.kappa_upp), abs=1e-5)


def test_the_table_of_fleiss_cohen_and_everitt():
    """Fleiss, Cohen and Everitt 1969, Psychol Bull 72:323: the table as in the manual of the R package psych.

    The weighted kappa and its error as statsmodels has them.
    """
    table = np.array([[106, 10, 4], [22, 28, 10], [2, 12, 6]])
    apart = 1 - np.array([[1, 0, 0.4444], [0, 1, 0.6667], [0.4444, 0.6667, 1]])
    ours, theirs = weighted_kappa(table, apart), cohens_kappa(table, weights=apart)
    assert ours.value == pytest.approx(theirs.kappa)
    assert ours.high - ours.low == pytest.approx(2 * 1.959964 * theirs.std_kappa, rel=1e-6)
    assert weighted_kappa(table, 1 - np.eye(3)).value == pytest.approx(0.429, abs=0.0005)  # from memory


@pytest.mark.parametrize("freedom", [1, 2, 3, 3.5, 4, 5, 7.25, 10, 30, 200])
def test_students_t_as_scipy_has_it(freedom):
    assert t_quantile(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), abs=0.001)


def test_the_mean_as_scipy_has_it():
    ours = mean(SODIUM)
    theirs = stats.ttest_1samp(SODIUM, 0).confidence_interval()
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=0.001)
