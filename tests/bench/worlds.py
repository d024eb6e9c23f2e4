"""The worlds of the bench: what a horse's level does, calm or getting worse.

`draw(world, n, seed)` gives the diaries of n horses. `CALM` worlds hold no worsening, `WORSE` worlds one in
each horse; of `OTHER` worlds `trims` is calm, and in the others, most from another law, half of the horses
worsen by a whole grade.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable

import numpy as np

from bench.diary import (
    HEAVY,
    NOISIEST,
    ROUNDED_UP,
    USUAL,
    Diaries,
    Dice,
    Flags,
    Floats,
    Law,
    Whole,
    keep,
    most_days,
    twice_a_week,
)

__all__ = ["CALM", "OTHER", "POOLED", "WORSE", "Diaries", "draw"]

World = Callable[[int, int, Dice], Diaries]
Noted = Callable[[int, int, Dice], Flags]


def steady(low: float, high: float, n: int, days: int, rng: Dice) -> Floats:
    """One level for each horse, the same on all days."""
    return np.repeat(rng.uniform(low, high, (n, 1)), days, axis=1)


def ramp(first: Whole, length: Whole | Floats, days: int) -> Floats:
    """0 before the first day, 1 once so many days have passed, straight between; a length of 1 is a step."""
    gone = np.arange(days) - first[:, None] + 1
    return np.clip(gone / np.asarray(length)[:, None], 0.0, 1.0)


def within(rng: Dice, low: int, high: int, n: int) -> Whole:
    """A whole number for each horse, both ends included."""
    return rng.integers(low, high + 1, n)


# ------------------------------------------------------------------ what happens beside the level


def trimmed(n: int, days: int, rng: Dice) -> tuple[Flags, Floats]:
    """A trim every five or six weeks, and the dip of 0.7 to 1.5 on the one to three days after each."""
    trims = np.zeros((n, days + 50), dtype=np.bool_)
    dip = np.zeros((n, days + 50))
    rows = np.arange(n)
    next_trim = within(rng, 5, 40, n)
    while (next_trim < days).any():
        there = np.minimum(next_trim, days + 40)
        trims[rows, there] = True
        size, lasts = rng.uniform(0.7, 1.5, n), within(rng, 1, 3, n)
        for after in (1, 2, 3):
            dip[rows, there + after] = np.where(after <= lasts, size, 0.0)
        next_trim = there + within(rng, 35, 42, n)
    return trims[:, :days], dip[:, :days]


def bouts(first: Whole, pause: tuple[int, int], days: int, rng: Dice) -> Flags:
    """Pain relief from the first day, for 5 to 14 days at a time with pauses between."""
    n = len(first)
    day = np.arange(days)
    masked = np.zeros((n, days), dtype=np.bool_)
    start = first.copy()
    while (start < days).any():
        stop = start + within(rng, 5, 14, n)
        masked |= (day >= start[:, None]) & (day < stop[:, None])
        start = stop + within(rng, *pause, n)
    return masked


# ------------------------------------------------------------------ calm worlds


def _calm(low: float, high: float, noted: Noted = most_days, noisier: float = 1.0) -> World:
    def world(n: int, days: int, rng: Dice) -> Diaries:
        return keep(
            steady(low, high, n, days, rng), rng, noted=noted, noisier=noisier, compares=noted is most_days
        )

    return world


def _mending(n: int, days: int, rng: Dice) -> Floats:
    """From 2.5 to 0.5 over four to ten months, beginning in the first weeks."""
    return 2.5 - 2.0 * ramp(within(rng, 0, 30, n), within(rng, 120, 300, n), days)


def improving(n: int, days: int, rng: Dice) -> Diaries:
    """A horse that gets better over months."""
    return keep(_mending(n, days, rng), rng, compares=True)


def improving_trims(n: int, days: int, rng: Dice) -> Diaries:
    """Better over months, and a few sore days after each trim."""
    trims, dip = trimmed(n, days, rng)
    return keep(_mending(n, days, rng), rng, trims=trims, shift=dip)


def rater_change(n: int, days: int, rng: Dice) -> Diaries:
    """From some day on another person scores, or two take turns by chance."""
    from_day = np.arange(days) >= within(rng, 60, max(61, days - 60), n)[:, None]
    in_turns = rng.random((n, days)) < 0.4
    rater = np.where(rng.random((n, 1)) < 0.5, from_day, in_turns).astype(np.int64)
    return keep(steady(1, 2, n, days, rng), rng, rater=rater)


def _relieved(works: bool) -> World:
    def world(n: int, days: int, rng: Dice) -> Diaries:
        masked = bouts(within(rng, 20, 60, n), (15, 45), days, rng)
        lowered = rng.uniform(1, 2, (n, 1)) * works
        return keep(steady(1.5, 3, n, days, rng), rng, masked=masked, shift=-lowered * masked)

    return world


def four_limbs(n: int, days: int, rng: Dice) -> Diaries:
    """Scores of all limbs, one of them mildly lame."""
    level, limb = _limbs(n, days, rng)
    return keep(level, rng, limb=limb)


def _limbs(n: int, days: int, rng: Dice) -> tuple[Floats, Whole]:
    """Four limbs, all nearly sound but one; and that one."""
    limb = within(rng, 0, 3, n)
    level = np.repeat(rng.uniform(0, 0.5, (n, 1, 4)), days, axis=1)
    level[np.arange(n), :, limb] = rng.uniform(0.5, 2, (n, 1))
    return level, limb


CALM: dict[str, World] = {
    "sound": _calm(0, 0.5),
    "mild": _calm(1, 2),
    "noisy": _calm(1, 2, noisier=1.5),
    "improving": improving,
    "improving, trims": improving_trims,
    "plateau": _calm(1.5, 2),
    "sparse": _calm(1, 2, twice_a_week),
    "rater change": rater_change,
    "masked bouts": _relieved(works=True),
    "masked without effect": _relieved(works=False),
    "four limbs": four_limbs,
}

POOLED = [world for world in CALM if world not in ("masked without effect", "four limbs")]
"""The calm worlds that the threshold is fitted to, with equal weight."""

# ------------------------------------------------------------------ worlds that get worse


def _onset(n: int, rng: Dice) -> Whole:
    return within(rng, 60, 90, n)


def _worse(size: tuple[float, float], over: tuple[int, int] = (1, 1), noted: Noted = most_days) -> World:
    """A mild level that rises by so much over so many days."""

    def world(n: int, days: int, rng: Dice) -> Diaries:
        onset = _onset(n, rng)
        rise = rng.uniform(*size, (n, 1)) * ramp(onset, within(rng, *over, n), days)
        compares = noted is most_days
        return keep(steady(0.5, 2, n, days, rng) + rise, rng, onset=onset, noted=noted, compares=compares)

    return world


def _relapse(returns: float | None) -> World:
    """Better by 1.5 to 2 until a few weeks before, then worse again by so much, or by all of it."""

    def world(n: int, days: int, rng: Dice) -> Diaries:
        onset = _onset(n, rng)
        mended = onset - within(rng, 10, 25, n)
        size = rng.uniform(1.5, 2, (n, 1))
        better = size * (1 - ramp(np.zeros(n, dtype=np.int64), mended, days))
        back = (size if returns is None else returns) * ramp(onset, within(rng, 7, 14, n), days)
        return keep(steady(0.5, 2, n, days, rng) + better + back, rng, onset=onset, compares=True)

    return world


def masked_worsening(n: int, days: int, rng: Dice) -> Diaries:
    """Worse by 1 to 2 beneath pain relief that begins within three days and takes 1 to 2 away."""
    onset = _onset(n, rng)
    masked = bouts(onset + within(rng, 0, 3, n), (2, 7), days, rng)
    rise = rng.uniform(1, 2, (n, 1)) * ramp(onset, within(rng, 1, 4, n), days)
    lowered = rng.uniform(1, 2, (n, 1)) * masked
    return keep(steady(0.5, 2, n, days, rng) + rise, rng, onset=onset, masked=masked, shift=-lowered)


def one_limb(n: int, days: int, rng: Dice) -> Diaries:
    """One limb of four, lame or not before, gets worse by a grade: at once, or over three to six weeks."""
    onset = _onset(n, rng)
    level, _ = _limbs(n, days, rng)
    limb = within(rng, 0, 3, n)
    over = np.where(rng.random(n) < 0.5, 1, within(rng, 21, 42, n))
    level[np.arange(n), :, limb] += ramp(onset, over, days)
    return keep(level, rng, onset=onset, limb=limb)


WORSE: dict[str, World] = {
    "step +1": _worse((1, 1)),
    "step +0.5": _worse((0.5, 0.5)),
    "drift": _worse((1, 1), (21, 42)),
    "relapse": _relapse(returns=None),
    "relapse +1": _relapse(returns=1.0),
    "abscess": _worse((2, 3), (1, 2)),
    "masked worsening": masked_worsening,
    "sparse step": _worse((1, 1), noted=twice_a_week),
    "sparse drift": _worse((1, 1), (21, 42), noted=twice_a_week),
    "one limb": one_limb,
}

# ------------------------------------------------------------------ other worlds


def trims_world(n: int, days: int, rng: Dice) -> Diaries:
    """A mild level with sore days after each trim: what alarms inside those days alarms for nothing."""
    trims, dip = trimmed(n, days, rng)
    return keep(steady(0.5, 2, n, days, rng), rng, trims=trims, shift=dip)


def _half_worse(law: Law) -> World:
    """A mild level that rises by a grade in half of the horses, under another law."""

    def world(n: int, days: int, rng: Dice) -> Diaries:
        onset = np.where(rng.random(n) < 0.5, _onset(n, rng), -1)
        rise = ramp(np.where(onset < 0, days, onset), np.ones(n), days)
        return keep(steady(0.5, 2, n, days, rng) + rise, rng, onset=onset, law=law)

    return world


OTHER: dict[str, World] = {
    "trims": trims_world,
    "half worse": _half_worse(USUAL),
    "half worse, heavy tails": _half_worse(HEAVY),
    "half worse, noise 0.8": _half_worse(NOISIEST),
    "half worse, rounded up": _half_worse(ROUNDED_UP),
}


def draw(world: str, n: int, seed: int, days: int | None = None) -> Diaries:
    """The diaries of n horses of one world, always the same for the same seed."""
    made = (CALM | WORSE | OTHER)[world]
    usual = 365 if world in CALM or world == "trims" else 150
    rng = np.random.default_rng([seed, zlib.crc32(world.encode())])
    return made(n, days or usual, rng)
