"""The straight line and the test of agreement, against certified and printed values and reference libraries."""

from __future__ import annotations

import math

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from tracker.derive.statistics.agree import chi_square_tail, pooled
from tracker.derive.statistics.line import common_slope

# NIST Statistical Reference Datasets, linear regression, Norris (interlaboratory study of ozone monitors): y, x.
NORRIS = """
    0.1 0.2   338.8 337.4   118.1 118.2   888.0 884.6   9.2 10.1     228.1 226.5   668.5 666.3   998.5 996.3
    449.1 448.6   778.9 777.0   559.2 558.2   0.3 0.4   0.1 0.6      778.1 775.5   668.8 666.9   339.3 338.0
    448.9 447.5   10.8 11.6     557.7 556.0   228.3 228.1   998.0 995.8   888.8 887.6   119.6 120.2   0.3 0.3
    0.6 0.3   557.6 556.8   339.3 339.1   888.0 887.2   998.5 999.0   778.9 779.0   10.2 11.1    117.6 118.3
    228.9 229.2   668.4 669.1   449.2 448.9   0.2 0.5
"""
CERTIFIED_SLOPE, CERTIFIED_SLOPE_SD = 1.00211681802045, 0.429796848199937e-03
CERTIFIED_RESIDUAL_SD = 0.884796396144373


def norris() -> tuple[list[float], list[float]]:
    numbers = [float(word) for word in NORRIS.split()]
    return numbers[1::2], numbers[::2]


def test_norris_of_the_nist_reference_datasets():
    x, y = norris()
    assert len(x) == 36
    line = common_slope([(x, y, [1.0] * 36)])
    assert line.slope == pytest.approx(CERTIFIED_SLOPE, rel=1e-12)
    assert line.scatter == pytest.approx(CERTIFIED_RESIDUAL_SD, rel=1e-10)
    assert line.known_sd * line.scatter == pytest.approx(CERTIFIED_SLOPE_SD, rel=1e-10)


def test_norris_moved_far_off_is_the_same_line():
    """Dates are large numbers: the days since the year 1 must not cost the slope its figures."""
    x, y = norris()
    line = common_slope([([at + 739_000 for at in x], y, [1.0] * 36)])
    assert line.slope == pytest.approx(CERTIFIED_SLOPE, rel=1e-10)


readings = st.lists(
    st.tuples(st.integers(0, 400), st.floats(0, 90), st.floats(0.3, 5)),
    min_size=3,
    max_size=12,
    unique_by=lambda one: one[0],
)


@settings(deadline=None)
@given(readings)
def test_one_run_is_the_weighted_line_of_statsmodels(found):
    t, y, sds = (list(part) for part in zip(*found, strict=True))
    fit = sm.WLS(y, sm.add_constant(t), weights=[1 / sd**2 for sd in sds]).fit(cov_type="fixed scale")
    line = common_slope([(t, y, sds)])
    assert line.slope == pytest.approx(fit.params[1], rel=1e-6, abs=1e-8)
    assert line.known_sd == pytest.approx(fit.bse[1], rel=1e-6)


@settings(deadline=None)
@given(st.lists(readings, min_size=2, max_size=4))
def test_several_runs_share_the_slope_that_a_line_with_a_height_for_each_has(runs):
    """The same model by statsmodels, each run's height a column of its own."""
    t = np.concatenate([[one[0] for one in run] for run in runs])
    y = np.concatenate([[one[1] for one in run] for run in runs])
    sds = np.concatenate([[one[2] for one in run] for run in runs])
    which = np.concatenate([[number] * len(run) for number, run in enumerate(runs)])
    columns = np.column_stack([t, *[which == number for number in range(len(runs))]]).astype(float)
    fit = sm.WLS(y, columns, weights=1 / sds**2).fit(cov_type="fixed scale")
    line = common_slope([[list(part) for part in zip(*run, strict=True)] for run in runs])
    assert line.slope == pytest.approx(fit.params[0], rel=1e-6, abs=1e-8)
    assert line.known_sd == pytest.approx(fit.bse[0], rel=1e-6)
    assert line.scatter**2 * (len(t) - len(runs) - 1) == pytest.approx(
        float(((y - fit.fittedvalues) ** 2 / sds**2).sum()), rel=1e-6, abs=1e-8
    )


def test_a_run_of_one_day_has_no_slope_and_two_readings_leave_no_scatter():
    assert common_slope([([3.0, 3.0], [1.0, 2.0], [1.0, 1.0])]) is None
    assert common_slope([]) is None
    two = common_slope([([0.0, 10.0], [5.0, 8.0], [1.0, 1.0])])
    assert (two.slope, two.count) == (pytest.approx(0.3), 2)
    assert math.isnan(two.scatter)
    assert two.sd == two.known_sd == pytest.approx(math.sqrt(2) / 10)


def test_the_error_is_never_narrower_than_the_readings_own():
    exact = common_slope([([0.0, 10.0, 20.0], [0.0, 3.0, 6.0], [1.0] * 3)])
    wild = common_slope([([0.0, 10.0, 20.0], [0.0, 9.0, 6.0], [1.0] * 3)])
    assert exact.sd == exact.known_sd
    assert wild.sd == pytest.approx(wild.known_sd * wild.scatter)
    assert wild.scatter > 1


def test_the_range_holds_the_true_slope_19_times_in_20():
    dice = np.random.default_rng(5)
    held, often = 0, 4000
    times = [0.0, 35.0, 70.0, 105.0]
    for _ in range(often):
        heights = 9.2 / 30.4 * np.array(times) + dice.normal(0, 1.08, 4)
        line = common_slope([(times, heights.tolist(), [1.08] * 4)])
        held += abs(line.slope - 9.2 / 30.4) <= 1.96 * line.sd
    assert held / often > 0.945


# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, critical values of the chi-square distribution.
@pytest.mark.parametrize(
    ("freedom", "ten", "five", "one"),
    [
        (1, 2.706, 3.841, 6.635),
        (2, 4.605, 5.991, 9.210),
        (3, 6.251, 7.815, 11.345),
        (4, 7.779, 9.488, 13.277),
    ],
)
def test_chi_square_of_the_printed_table(freedom, ten, five, one):
    for value, chance in ((ten, 0.10), (five, 0.05), (one, 0.01)):
        assert chi_square_tail(value, freedom) == pytest.approx(chance, abs=2e-4)


@settings(deadline=None)
@given(st.floats(0, 200), st.integers(1, 12))
def test_chi_square_is_that_of_scipy(value, freedom):
    assert chi_square_tail(value, freedom) == pytest.approx(stats.chi2.sf(value, freedom), abs=1e-12)


def test_pooling_is_that_of_statsmodels():
    """Fixed effect and Cochran's Q of its meta-analysis."""
    from statsmodels.stats.meta_analysis import combine_effects

    values, sds = [9.2, 8.1, 7.4], [0.4, 0.5, 0.9]
    other = combine_effects(np.array(values), np.array(sds) ** 2)
    found = pooled(values, sds)
    assert found.value == pytest.approx(other.mean_effect_fe)
    assert found.sd == pytest.approx(other.sd_eff_w_fe)
    assert found.q == pytest.approx(other.q)
    assert found.chance == pytest.approx(other.test_homogeneity().pvalue)
    assert found.agree


def test_values_further_apart_than_their_errors_do_not_agree():
    assert not pooled([9.2, 6.0], [0.4, 0.4]).agree
    assert pooled([9.2], [0.4]).agree
    assert pooled([], []) is None
