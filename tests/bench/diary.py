"""How an owner's diary comes from a horse's true level: day swing, rater, noise, slips, rounding, gaps.

The noise fits how often two clinicians agree whether a limb is lame (graded 1 or more after rounding) in Keegan
et al. 2010, Equine Vet J 42:92-97: 61.9 % where the mean grade is at most 1.5, 93.1 % above it, kappa 0.45 over
all limbs. That leaves it open how the horses' own levels were spread. A noise of 0.45 fits where most levels
lie close to the line between sound and lame, 0.8 where they are spread evenly up to 4; `tests/test_bench.py`
holds both to the published figures. The bench takes the first, and looks at the second beside it. All else
here (swing, slips, gaps, how owners differ) is our own choice; no source is known.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Whole = npt.NDArray[np.int64]
Dice = np.random.Generator

TOP = 5.0


@dataclass(frozen=True)
class Diaries:
    """Many horses' diaries of one world, a row a horse and a column a day."""

    scores: Floats
    """Whole or half grades 0 to 5, nan where no score; in worlds of limbs (n, days, 4)."""
    masked: Flags
    """Scored under pain relief."""
    rater: Whole
    """0 the usual person, 1 and up another."""
    trims: Flags
    """A trim on that day; any dip begins on the day after."""
    than_last: Floats
    """Said beside the score: -1 better, 0 the same, 1 worse than last time; nan where not said."""
    onset: Whole
    """The first day of true worsening, -1 where there is none."""
    level: Floats
    """The true lasting level, without day swing, trim dips and pain relief; of limbs, the one that worsens."""
    unmasked_possible: Floats
    """What the scores would be, had every day been scored; shaped as they are."""

    def until(self, days: int) -> Diaries:
        """The same diaries, as they stand at the end of so many days; onset is not hidden."""
        by_day = ("scores", "masked", "rater", "trims", "than_last", "level", "unmasked_possible")
        return replace(self, **{name: getattr(self, name)[:, :days] for name in by_day})

    def horses(self, chosen: Flags | Whole) -> Diaries:
        """The diaries of some of the horses."""
        return Diaries(*(getattr(self, name)[chosen] for name in self.__dataclass_fields__))


@dataclass(frozen=True)
class Law:
    """How far what an owner sees strays from the level, in grades."""

    noise_sd: float = 0.45
    """Of one person's grade, apart from that person's bias."""
    rater_sd: float = 0.4
    """Of the bias of each person. The usual person's bias is part of the level."""
    swing_sd: float = 0.25
    """Of a horse's good and bad days."""
    swing_kept: float = 0.6
    """The correlation of one day's swing with the next."""
    slips: float = 0.015
    """The share of scores that are any grade at all."""
    horse_spread: float = 0.2
    """How noise differs from horse to horse: the sd of its logarithm."""
    student: float = 0.0
    """Degrees of freedom of Student-t noise; 0 for normal noise."""
    rounds_up: bool = False
    """A grade is rounded up, and to whole grades only."""
    worst_missed: float = 0.0
    """The share without a score of the days that look worse than usual by a standard deviation."""


USUAL = Law()
HEAVY = Law(swing_sd=0.35, swing_kept=0.8, student=4.0)
NOISIEST = Law(noise_sd=0.8)
ROUNDED_UP = Law(rounds_up=True, worst_missed=0.6)


def most_days(n: int, days: int, rng: Dice) -> Flags:
    """85 % of days scored; gaps are 2.5 days long in the mean."""
    ends, begins = 0.4, 0.4 * 0.15 / 0.85
    noted = np.empty((n, days), dtype=np.bool_)
    now = rng.random(n) < 0.85
    for day, chance in enumerate(rng.random((days, n))):
        noted[:, day] = now
        now = np.where(now, chance >= begins, chance < ends)
    return noted


def twice_a_week(n: int, days: int, rng: Dice) -> Flags:
    """Two days of each week, any two."""
    weeks = -(-days // 7)
    rank = rng.random((n, weeks, 7)).argsort(axis=2).argsort(axis=2)
    return (rank < 2).reshape(n, weeks * 7)[:, :days]


def swings(n: int, days: int, law: Law, rng: Dice) -> Floats:
    """Good and bad days: a first-order autoregression with the law's sd on every day."""
    steps = rng.normal(0, law.swing_sd, (days, n))
    fresh = np.sqrt(1 - law.swing_kept**2)
    for day in range(1, days):
        steps[day] = law.swing_kept * steps[day - 1] + fresh * steps[day]
    return np.ascontiguousarray(steps.T)


def noise(shape: tuple[int, ...], law: Law, rng: Dice) -> Floats:
    """One person's noise, with the law's sd whatever its shape."""
    if law.student:
        narrowed: float = law.noise_sd * (1 - 2 / law.student) ** 0.5
        return rng.standard_t(law.student, shape) * narrowed
    return rng.normal(0, law.noise_sd, shape)


def graded(seen: Floats, step: Floats | float, law: Law, rng: Dice) -> Floats:
    """What is written down for what is seen: rounded, within the scale, sometimes a slip."""
    rounded = np.ceil(seen) if law.rounds_up else np.floor(seen / step + 0.5) * step
    slip = rng.random(seen.shape) < law.slips
    return np.where(slip, rng.integers(0, 6, seen.shape), np.clip(rounded, 0, TOP))


def keep(
    level: Floats,
    rng: Dice,
    *,
    onset: Whole | None = None,
    shift: Floats | float = 0.0,
    masked: Flags | None = None,
    trims: Flags | None = None,
    rater: Whole | None = None,
    limb: Whole | None = None,
    noisier: float = 1.0,
    compares: bool = False,
    noted: Callable[[int, int, Dice], Flags] = most_days,
    law: Law = USUAL,
) -> Diaries:
    """The diaries of horses at these levels (n, days), or (n, days, 4) with the limb that worsens.

    `shift` is what trims and pain relief add to what can be seen; `noisier` widens noise and swing; where
    `compares`, half of the owners also say how it is against last time.
    """
    n, days = level.shape[:2]
    limbs = level.ndim == 3

    def wide(values: Floats) -> Floats:
        return values[..., None] if limbs else values

    none = np.zeros((n, days), dtype=np.bool_)
    who = np.zeros((n, days), dtype=np.int64) if rater is None else rater
    factor = noisier * np.exp(rng.normal(0, law.horse_spread, (n, 1)))
    people = rng.normal(0, law.rater_sd, (n, int(who.max()) + 1))
    bias = np.take_along_axis(people - people[:, :1], who, axis=1)
    shown = level + wide(shift + factor * swings(n, days, law, rng))
    strays = wide(factor) * noise(level.shape, law, rng)
    step = np.where(rng.random((n, 1)) < 0.5, 1.0, 0.5)
    full = graded(shown + wide(bias) + strays, wide(step), law, rng)
    here = noted(n, days, rng)
    if law.worst_missed:
        looks_worse = shown + strays - level > law.noise_sd
        here &= ~(looks_worse & (rng.random((n, days)) < law.worst_missed))
    return Diaries(
        scores=np.where(here[..., None] if limbs else here, full, np.nan),
        masked=none if masked is None else masked,
        rater=who,
        trims=none if trims is None else trims,
        than_last=compared(shown, here, rng) if compares else np.full((n, days), np.nan),
        onset=np.full(n, -1) if onset is None else onset,
        level=level if limb is None else np.take_along_axis(level, limb[:, None, None], 2)[..., 0],
        unmasked_possible=full,
    )


def compared(shown: Floats, here: Flags, rng: Dice) -> Floats:
    """Better, the same or worse than on the last day with a score, as half of the owners say."""
    n, days = here.shape
    day = np.where(here, np.arange(days), -1)
    last = np.full_like(day, -1)
    last[:, 1:] = np.maximum.accumulate(day, axis=1)[:, :-1]
    felt = shown - np.take_along_axis(shown, np.maximum(last, 0), axis=1) + rng.normal(0, 0.5, (n, days))
    says = here & (last >= 0) & (rng.random((n, 1)) < 0.5)
    return np.where(says, np.sign(felt) * (np.abs(felt) > 0.5), np.nan)


def with_scores(diaries: Diaries, asked: Flags) -> Diaries:
    """The same diaries, with a score on the days that were asked for and answered."""
    there = asked[..., None] if diaries.scores.ndim == 3 else asked
    return replace(diaries, scores=np.where(there, diaries.unmasked_possible, diaries.scores))
