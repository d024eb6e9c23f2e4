"""What a detector is worth: false alarms in calm worlds, and how soon it finds a worsening.

An alarm episode begins on a day whose evidence reaches the threshold after at least 7 quiet days. One that
still stands 28 days after it was last counted counts again as a false alarm. A horse whose alarm stands when its worsening
begins tells nothing of how soon it is found, and is left out there (the delay given no false alarm before:
Pollak 1985, Ann Statist 13:206-227). The first 14 days are free.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bench.diary import Diaries, Flags, Floats

QUIET, AGAIN, FREE = 7, 28, 14
YEAR = 365.25


@dataclass(frozen=True)
class Alarms:
    """Flags (n, days): on which an episode begins, and on which an alarm is counted."""

    new: Flags
    counted: Flags


def alarms(evidence: Floats, threshold: float) -> Alarms:
    """The episodes of each row, with evidence at or above the threshold."""
    over = evidence >= threshold  # nan is not
    over[:, :FREE] = False
    n, days = over.shape
    new, counted = np.zeros((2, n, days), dtype=np.bool_)
    last_over = np.full(n, -days)
    last_counted = np.full(n, -days)
    for day in np.flatnonzero(over.any(axis=0)):
        here = over[:, day]
        new[:, day] = here & (day - last_over > QUIET)
        counted[:, day] = new[:, day] | (here & (day - last_counted >= AGAIN))
        last_over[here] = day
        last_counted[counted[:, day]] = day
    return Alarms(new, counted)


def rate(evidence: Floats, threshold: float) -> float:
    """False alarms in a horse-year of calm diaries."""
    n, days = evidence.shape
    return float(alarms(evidence, threshold).counted.sum() * YEAR / (n * (days - FREE)))


def threshold_for(wanted: float, evidence: Floats, steps: int = 40) -> float:
    """The lowest threshold with at most the wanted rate, between two values of the evidence itself.

    All calm worlds stand in `evidence`, with as many horses each, so that each has the same weight.
    """
    values = np.unique(evidence[:, FREE:][np.isfinite(evidence[:, FREE:])])
    low, high = 0, len(values)  # the rate at `high` is low enough, beyond all values it is 0
    for _ in range(steps):
        if high - low <= 1:
            break
        middle = (low + high) // 2
        if rate(evidence, float(values[middle])) <= wanted:
            high = middle
        else:
            low = middle
    return float(values[high]) if high < len(values) else float(np.nextafter(values[-1], np.inf))


def delays(evidence: Floats, threshold: float, diaries: Diaries) -> Floats:
    """Days from the onset to the first alarm, 0 on the day itself; inf where none came.

    Of the horses that worsen and had no alarm on any of the seven days before.
    """
    worse = diaries.onset >= 0
    over = evidence[worse] >= threshold
    after = np.arange(evidence.shape[1]) - diaries.onset[worse, None]
    standing = (over & (after < 0) & (after >= -QUIET)).any(axis=1)
    there = over & (after >= 0)
    first = np.where(there.any(axis=1), there.argmax(axis=1) - diaries.onset[worse], np.inf)
    return first[~standing].astype(np.float64)


def found(late: Floats, within: int) -> float:
    """The share of worsenings found at most so many days after the onset."""
    return float((late <= within).mean())


def trims_alarmed(evidence: Floats, threshold: float, diaries: Diaries) -> float:
    """The share of trims that a counted alarm follows within three days."""
    counted = alarms(evidence, threshold).counted
    horse, day = np.nonzero(diaries.trims[:, : evidence.shape[1] - 3])
    horse, day = horse[day >= FREE], day[day >= FREE]
    return float(np.mean(counted[horse, day + 1] | counted[horse, day + 2] | counted[horse, day + 3]))
