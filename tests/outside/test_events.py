"""Counts and times against published tables: Garwood's limits, remission times, and second libraries.

References: Garwood 1936, Biometrika 28:437, whose 95 % limits every handbook of epidemiology reprints, here with
three decimals as in Ulm 1990, Am J Epidemiol 131:373; Freireich et al. 1963, Blood 21:699, the remission times of
21 children on 6-mercaptopurine, and their survival as in Kleinbaum and Klein, Survival Analysis, ch. 2;
Miller 1981, Survival Analysis, the remission times under maintenance (acute myelogenous leukaemia), survival
as printed for them by the survival library's manual (`aml`).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.duration.survfunc import SurvfuncRight

from tracker.derive.statistics.poisson import count_interval, rate, rate_ratio
from tracker.derive.statistics.survival import kaplan_meier

GARWOOD = {0: (0.0, 3.689), 1: (0.025, 5.572), 2: (0.242, 7.225), 5: (1.623, 11.668), 10: (4.795, 18.390)}

# In weeks; with False the child was still in remission when last seen.
FREIREICH = {
    6: (True, True, True, False), 7: (True,), 9: (False,), 10: (True, False), 11: (False,), 13: (True,), 16: (True,),
    17: (False,), 19: (False,), 20: (False,), 22: (True,), 23: (True,), 25: (False,), 32: (False, False),
    34: (False,), 35: (False,),
}  # fmt: skip
MAINTAINED = [
    (9, 1),
    (13, 1),
    (13, 0),
    (18, 1),
    (23, 1),
    (28, 0),
    (31, 1),
    (34, 1),
    (45, 0),
    (48, 1),
    (161, 0),
]
NOT_MAINTAINED = [
    (5, 1),
    (5, 1),
    (8, 1),
    (8, 1),
    (12, 1),
    (16, 0),
    (23, 1),
    (27, 1),
    (30, 1),
    (33, 1),
    (43, 1),
    (45, 1),
]


def flat(times: dict[int, tuple[bool, ...]]) -> tuple[list[int], list[bool]]:
    pairs = [(week, ended) for week, all_ended in times.items() for ended in all_ended]
    return [week for week, _ in pairs], [ended for _, ended in pairs]


@pytest.mark.parametrize("events", GARWOOD)
def test_the_limits_of_a_count_are_garwoods(events: int) -> None:
    assert count_interval(events) == pytest.approx(GARWOOD[events], abs=0.0005)


@given(st.integers(0, 400))
def test_the_limits_of_a_count_are_the_chi_squared_quantiles(events: int) -> None:
    low, high = count_interval(events)
    assert low == pytest.approx(stats.chi2.ppf(0.025, 2 * events) / 2 if events else 0.0, rel=1e-6)
    assert high == pytest.approx(stats.chi2.ppf(0.975, 2 * events + 2) / 2, rel=1e-6)


def test_a_rate_is_the_count_and_its_limits_over_the_time() -> None:
    found = rate(2, 364, per=100)
    assert (found.value, found.count) == (pytest.approx(200 / 364), 2)
    assert (found.low, found.high) == pytest.approx((24.22 / 364, 722.5 / 364), rel=1e-3)


@given(st.integers(0, 30), st.integers(0, 30), st.floats(1, 500), st.floats(1, 500))
def test_a_ratio_of_rates_has_the_exact_limits_of_its_share(
    first: int, second: int, t1: float, t2: float
) -> None:
    """Given their sum, the later count is binomial (Przyborowski and Wilenski 1940, Biometrika 31:313)."""
    found = rate_ratio(first, t1, second, t2)
    if first + second == 0:
        assert found is None
        return
    assert found is not None
    share = stats.binomtest(second, first + second).proportion_ci(0.95, "exact")
    low, high = (part / (1 - part) * t1 / t2 if part < 1 else math.inf for part in share)
    assert found.low == pytest.approx(low, rel=1e-5, abs=1e-9)
    assert found.high == pytest.approx(high, rel=1e-5)
    assert found.value == pytest.approx(second / t2 / (first / t1) if first else math.inf)


def test_thousands_of_events_have_limits_too() -> None:
    found = rate_ratio(1500, 100.0, 2500, 100.0)
    assert found is not None
    low, high = stats.binomtest(2500, 4000).proportion_ci(0.95, "exact")
    assert (found.low, found.high) == pytest.approx((low / (1 - low), high / (1 - high)), rel=1e-6)
    assert count_interval(4000) == pytest.approx(stats.chi2.ppf([0.025, 0.975], [8000, 8002]) / 2, rel=1e-9)


def test_the_remission_times_of_freireich() -> None:
    found = kaplan_meier(*flat(FREIREICH))
    assert [step.time for step in found.steps] == [6, 7, 10, 13, 16, 22, 23]
    assert [step.share for step in found.steps] == pytest.approx(
        [0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448], abs=0.0005
    )
    assert [step.at_risk for step in found.steps] == [21, 17, 15, 12, 11, 7, 6]
    assert found.median == 23


def test_the_remission_times_under_maintenance() -> None:
    with_it, without = (
        kaplan_meier([time for time, _ in group], [bool(ended) for _, ended in group])
        for group in (MAINTAINED, NOT_MAINTAINED)
    )
    assert [step.share for step in with_it.steps] == pytest.approx(
        [0.9091, 0.8182, 0.7159, 0.6136, 0.4909, 0.3682, 0.1841], abs=0.00005
    )
    assert [step.share for step in without.steps] == pytest.approx(
        [0.8333, 0.6667, 0.5833, 0.4861, 0.3889, 0.2917, 0.1944, 0.0972, 0.0], abs=0.00005
    )
    assert (with_it.median, without.median) == (31, 23)


@pytest.mark.filterwarnings("ignore:The confidence interval is undefined")
@given(st.lists(st.tuples(st.integers(1, 30), st.booleans()), min_size=1, max_size=60))
def test_a_second_library_gives_the_same_shares_and_limits(pairs: list[tuple[int, bool]]) -> None:
    times, ended = (list(part) for part in zip(*pairs, strict=True))
    found = kaplan_meier(times, ended)
    one = stats.ecdf(stats.CensoredData.right_censored(times, ~np.array(ended))).sf
    limits = one.confidence_interval(0.95, method="log-log")
    for step in found.steps:
        at = int(np.flatnonzero(one.quantiles == step.time)[0])
        assert step.share == pytest.approx(one.probabilities[at], abs=1e-12)
        if 0 < step.share < 1:
            assert step.low == pytest.approx(limits.low.probabilities[at], abs=1e-9)
            assert step.high == pytest.approx(limits.high.probabilities[at], abs=1e-9)
    half = one.quantiles[one.probabilities <= 0.5 + 1e-12]
    assert found.median == (half[0] if half.size else None)


@pytest.mark.filterwarnings("ignore:divide by zero", "ignore:invalid value")
@pytest.mark.parametrize("group", [MAINTAINED, NOT_MAINTAINED])
def test_the_limits_of_the_middle_time_are_where_those_of_the_share_cross_a_half(
    group: list[tuple[int, int]],
) -> None:
    """Brookmeyer and Crowley 1982, Biometrics 38:29, on the log-log scale, as statsmodels has it."""
    times, ended = [time for time, _ in group], [bool(over) for _, over in group]
    found, other = kaplan_meier(times, ended), SurvfuncRight(times, ended)
    low, high = other.quantile_ci(0.5, method="cloglog")
    assert found.median_low == low
    assert found.median_high == (None if math.isinf(high) or math.isnan(high) else high)
