"""The filter's stated probabilities against what is true in simulated diaries, and the fitting of its levels.

`python -m tests.bench --fit` prints the figures for `tracker/derive/worsening/levels.py`.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from bench import measure
from bench.diary import Diaries, Flags, Floats
from bench.filter import evidence, watched
from bench.worlds import POOLED, WORSE, draw
from tracker.derive.worsening import levels

DAYS = 150
WORLDS = [*POOLED, *(world for world in WORSE if world != "one limb")]
"""Half of them about calm, half worse."""
ANY, WHOLE = 0.5, 1.0
_BINS = 10


def said_and_true(diaries: Diaries) -> dict[float, tuple[Floats, Flags]]:
    """Of all scored days after the first two weeks: the probability said, and whether it is true, by size."""
    found = watched(diaries)
    days = np.arange(diaries.scores.shape[1])
    before = np.take_along_axis(diaries.level, np.maximum(diaries.onset - 1, 0)[:, None], axis=1)
    after = (diaries.onset[:, None] >= 0) & (days >= diaries.onset[:, None])
    rise = np.where(after, diaries.level - before, 0.0)
    told = ~np.isnan(diaries.scores) & (days >= measure.FREE)
    return {
        size: (said[told], (rise >= size - 1e-9)[told])
        for size, said in ((ANY, found.p_any), (WHOLE, found.p_worse))
    }


def pooled(worlds: Iterable[str], horses: int, seed: int) -> dict[float, tuple[Floats, Flags]]:
    """The same of several worlds together."""
    found = [said_and_true(draw(world, horses, seed, DAYS)) for world in worlds]
    return {
        size: (
            np.concatenate([each[size][0] for each in found]),
            np.concatenate([each[size][1] for each in found]),
        )
        for size in (ANY, WHOLE)
    }


def error(said: Floats, true: Flags) -> float:
    """The expected calibration error over ten bins of equal width (Naeini et al. 2015, AAAI 29:2901-2907)."""
    place = np.minimum((said * _BINS).astype(int), _BINS - 1)
    gaps = [abs(said[place == one].sum() - true[place == one].sum()) for one in range(_BINS)]
    return float(sum(gaps) / len(said))


def line(evidence: Floats, true: Flags) -> tuple[float, float]:
    """Offset and slope of the logistic line through these log-odds (Platt 1999), by Newton's method."""
    design = np.stack([np.ones_like(evidence), evidence], axis=1)
    found = np.array([0.0, 1.0])
    for _ in range(30):
        share = 1 / (1 + np.exp(-design @ found))
        weight = share * (1 - share)
        found += np.linalg.solve((design * weight[:, None]).T @ design, design.T @ (true - share))
    return float(found[0]), float(found[1])


def fit(horses: int, seed: int) -> str:
    """The figures of the levels, fitted anew."""
    calm = np.concatenate([evidence(draw(world, horses, seed)) for world in POOLED])
    by_limb = evidence(draw("four limbs", horses, seed)) + levels.LIMBS * np.log(4)
    watch, one, act = (measure.threshold_for(rate, calm) for rate in (2.0, 1.0, 0.5))
    limbs = (measure.threshold_for(1.0, by_limb) - one) / np.log(4)
    told = pooled(WORLDS, horses, seed)
    lines = [f"WATCH, ACT = {watch:.2f}, {act:.2f}", f"LIMBS = {limbs:.2f}"]
    for name, size, (offset, slope) in (("_WORSE", WHOLE, levels._WORSE), ("_ANY", ANY, levels._ANY)):
        said, true = told[size]
        offset, slope = line((levels.log_odds(said) - offset) / slope, true)
        lines.append(f"{name} = ({offset:.3f}, {slope:.3f})")
    return "\n".join(lines)
