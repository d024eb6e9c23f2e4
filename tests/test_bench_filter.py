"""What is claimed of the filter, on simulated diaries that it was not tuned on.

The goals are the project's own. A share found in 200 diaries has a standard error of up to 3.5 %, so the limits
here lie two of them below the goals; the figures themselves are printed by `python -m tests.bench`.
"""

from __future__ import annotations

import numpy as np
import pytest
from bench import calibrate, measure
from bench.filter import evidence
from bench.peers import PEERS
from bench.worlds import POOLED, draw

from tracker.derive.worsening import levels

SEED, HORSES = 4321, 200


@pytest.fixture(scope="module")
def threshold() -> float:
    """One false alarm a horse-year, fitted on other seeds."""
    return measure.threshold_for(1.0, np.concatenate([evidence(draw(world, 150, 77)) for world in POOLED]))


@pytest.mark.parametrize(("level", "low", "high"), [(levels.WATCH, 1.5, 2.5), (levels.ACT, 0.3, 0.7)])
def test_false_alarms_come_as_often_as_is_said(level: float, low: float, high: float) -> None:
    rates = {world: measure.rate(evidence(draw(world, 100, SEED)), level) for world in POOLED}
    assert low <= np.mean(list(rates.values())) <= high


@pytest.mark.parametrize(
    ("world", "within", "share", "middle"),
    [
        ("step +1", 14, 0.96, 4),
        ("drift", 28, 0.82, 21),
        ("step +0.5", 28, 0.75, 14),  # the goal, 80 % and 13 days, is not reached
        ("relapse", 14, 0.87, 9),
        ("abscess", 7, 0.98, 1),
        ("masked worsening", 28, 0.87, 28),
        ("sparse step", 28, 0.90, 10),
        ("sparse drift", 28, 0.56, 28),
    ],
)
def test_worsenings_are_found_in_time(
    world: str, within: int, share: float, middle: int, threshold: float
) -> None:
    diaries = draw(world, HORSES, SEED)
    late = measure.delays(evidence(diaries), threshold, diaries)
    margin = 2 * (share * (1 - share) / HORSES) ** 0.5
    assert measure.found(late, within) >= share - margin
    assert np.median(late) <= middle + 2


def test_it_finds_more_than_a_tuned_chart_at_the_same_rate(threshold: float) -> None:
    chart = PEERS["CUSUM, tuned"]
    level = measure.threshold_for(1.0, np.concatenate([chart(draw(world, 150, 77)) for world in POOLED]))
    for world, within in (("drift", 28), ("step +0.5", 28), ("sparse drift", 28)):
        diaries = draw(world, HORSES, SEED)
        own = measure.found(measure.delays(evidence(diaries), threshold, diaries), within)
        assert own > measure.found(measure.delays(chart(diaries), level, diaries), within) + 0.04


def test_trims_hardly_alarm(threshold: float) -> None:
    diaries = draw("trims", HORSES, SEED)
    assert measure.trims_alarmed(evidence(diaries), threshold, diaries) <= 0.05


@pytest.mark.parametrize(
    ("worlds", "horses", "most"),
    [
        (calibrate.WORLDS, 60, 0.03),
        (["half worse, noise 0.8"], 400, 0.04),
        (["half worse, rounded up"], 400, 0.05),
        (["half worse, heavy tails"], 400, 0.08),  # too sure there, by what it was not told
    ],
)
def test_the_probabilities_are_calibrated(worlds: list[str], horses: int, most: float) -> None:
    for said, true in calibrate.pooled(worlds, horses, SEED).values():
        assert calibrate.error(said, true) <= most


def test_a_wrong_probability_would_be_seen() -> None:
    said, true = calibrate.pooled(["half worse"], 60, SEED)[calibrate.ANY]
    assert calibrate.error(np.clip(said + 0.2, 0, 1), true) > 0.1
