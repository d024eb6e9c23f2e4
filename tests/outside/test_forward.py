"""The filter against hmmlearn's, against every path written out, and its normal distribution against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from hmmlearn.hmm import CategoricalHMM
from scipy.stats import norm
from small_habits import SMALL, all_paths, days, first_states, night, seen

from tracker.derive.worsening import forward as forward_file
from tracker.derive.worsening import since as since_file
from tracker.derive.worsening.forward import NOT_SAID, Walk, forward
from tracker.derive.worsening.hidden import Habits
from tracker.derive.worsening.looks import GRADES, HALVES_FOR_SURE, kind, likelihood, people
from tracker.derive.worsening.normal import below
from tracker.derive.worsening.since import changed

WORSE = [0.5, 0.0, 0.5, 1.0, 1.5, 1.0]
SWINGING = Habits(
    **{**{name: getattr(SMALL, name) for name in SMALL.__dataclass_fields__}, "swing": (-0.3, 0.3)}
)


def look(half_grades: int) -> int:
    one, none = np.array(half_grades), np.array(0)
    return int(kind(one, none + HALVES_FOR_SURE, rater=none, masked=none, sore=none, late=none))


def peer(habits: Habits) -> CategoricalHMM:
    """The same model in hmmlearn; its first state is the one after the first night."""
    nights = night(habits, relief=False)
    model = CategoricalHMM(len(nights), n_features=GRADES, init_params="")
    model.n_features = GRADES
    model.startprob_ = first_states(habits, relief=False) @ nights
    model.transmat_ = nights
    model.emissionprob_ = np.array([seen(habits, False, look(half)) for half in range(GRADES)]).T
    return model


@pytest.mark.parametrize("habits", [SMALL, SWINGING], ids=["no swing", "swinging"])
def test_the_forward_pass_is_that_of_hmmlearn(habits: Habits) -> None:
    model, halves = peer(habits), [[round(2 * grade)] for grade in WORSE]
    ours = forward(days([*WORSE]), habits)[0]
    for day in range(len(WORSE)):
        upto = model.predict_proba(halves[: day + 1])[-1]  # of the last day: nothing later has a part in it
        shares = upto.reshape(habits.levels, habits.changes, len(habits.swing)).sum(axis=2)
        assert ours[day] == pytest.approx(shares, abs=1e-6)


def test_the_likelihood_of_a_diary_is_that_of_hmmlearn() -> None:
    columns = people(SMALL, 0, relief=False)
    table = np.stack([likelihood(SMALL, columns, look(round(2 * grade))) for grade in WORSE], axis=1)
    walk, total = Walk(SMALL, columns, table, 1, hears=False), 0.0
    for day in range(len(WORSE)):
        walk.step(np.array([False]), np.array([True]), np.array([NOT_SAID], dtype=np.int8))
        walk.see(np.array([day]))
        total += float(np.log(walk.states.sum(dtype=float)))
        walk.told()
    assert total == pytest.approx(peer(SMALL).score([[round(2 * grade)] for grade in WORSE]), abs=1e-5)


CASES = {
    "every day": days([0.5, 0, 1, 1.5]),
    "silence": days([0.5, None, None, 1.5]),
    "pain relief": days([0.5, 1, 0.5, 1], masked=(1, 2)),
    "relief twice": days([1, 0.5, 1, 0], masked=(0, 3)),
    "said": days([0.5, 0.5, 1, 1], said={1: 0, 2: 1}),
    "said after silence": days([0.5, None, None, 0.5], said={3: 1}),
    "said better": days([1, 0.5, None, 0.5], said={1: -1, 3: -1}),
    "said at the start of relief": days([0.5, 1, 1, 1], masked=(1, 2), said={1: 1, 2: 1}),
}


def written_out(found, day: int) -> np.ndarray:
    """The shares of level and change after a day, from all paths up to it."""
    upto = days_until(found, day)
    relief = bool(found.masked.any())
    shares = np.zeros(len(first_states(SMALL, relief)))
    for path, share in all_paths(upto, SMALL).items():
        shares[path[-1]] += share
    return shares.reshape(SMALL.levels, -1, SMALL.changes).sum(axis=1)


def days_until(found, day: int):
    return type(found)(found.looks[:, : day + 1], found.masked[:, : day + 1], found.said[:, : day + 1], 0)


@pytest.mark.parametrize("case", CASES)
def test_the_forward_pass_is_the_sum_of_all_paths(case: str) -> None:
    found = CASES[case]
    ours = forward(found, SMALL)[0]
    assert ours[-1] == pytest.approx(written_out(found, 3), abs=2e-6)
    if not found.masked.any() or found.masked[0, :2].any():
        assert ours[1] == pytest.approx(written_out(found, 1), abs=2e-6)


def test_what_has_lasted_settles_in_the_sum_of_all_paths_too(monkeypatch: pytest.MonkeyPatch) -> None:
    before = forward(CASES["every day"], SMALL)[0, -1]
    monkeypatch.setattr(forward_file, "_SETTLES", 2)
    ours = forward(CASES["every day"], SMALL)[0, -1]
    assert ours == pytest.approx(written_out(CASES["every day"], 3), abs=2e-6)
    assert abs(ours - before).max() > 0.001


def test_what_is_said_after_a_settling_is_nearly_the_sum_of_all_paths(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Settling and a night change places there: not exact, but it must not be forgotten."""
    monkeypatch.setattr(forward_file, "_SETTLES", 3)
    found = days([1, 1, None, 1], said={3: 0})
    settled = written_out(found, 3)
    monkeypatch.setattr(forward_file, "_SETTLES", 99)
    forgotten = written_out(found, 3)
    monkeypatch.setattr(forward_file, "_SETTLES", 3)
    off = abs(forward(found, SMALL)[0, -1] - settled).max()
    assert off < 0.5 * abs(forgotten - settled).max()


@pytest.mark.parametrize("settles", [2, 99])
@pytest.mark.parametrize("case", ["every day", "silence", "pain relief", "relief twice"])
def test_since_when_is_the_share_of_paths_that_had_changed_by_then(
    case: str, settles: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forward_file, "_SETTLES", settles)
    paths = {
        path: share
        for path, share in all_paths(CASES[case], SMALL).items()
        if path[-1] % SMALL.changes >= since_file._LEAST
    }
    total = sum(paths.values())
    expected = [
        sum(share for path, share in paths.items() if path[day] % SMALL.changes >= since_file._LEAST) / total
        for day in range(4)
    ]
    assert changed(CASES[case], SMALL) == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize("relief", [False, True])
@pytest.mark.parametrize("begins", [False, True])
def test_a_night_loses_nothing(relief: bool, begins: bool) -> None:
    if begins and not relief:
        return
    for habits in (SMALL, SWINGING):
        for day in (1, 7):
            assert night(habits, relief, day=day, begins=begins).sum(axis=1) == pytest.approx(1, abs=1e-6)


def test_the_normal_distribution_is_that_of_scipy() -> None:
    z = np.array([-np.inf, -9, -3.2, -1, -1e-9, 0, 0.5, 2, 8, np.inf])
    assert below(z) == pytest.approx(norm.cdf(z), rel=1e-12, abs=1e-300)
    assert below(z.reshape(2, 5)).shape == (2, 5)
    assert float(below(1.96)) == pytest.approx(0.9750021, abs=1e-7)  # NIST/SEMATECH e-Handbook 1.3.6.7.1
