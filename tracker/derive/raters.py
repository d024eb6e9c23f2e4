"""Where two people looked the same way at the same horse on the same day: how far apart their grades are."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import combinations
from statistics import median

import numpy as np

from tracker.cells.text import fold
from tracker.derive.soundness import Series
from tracker.derive.statistics.interval import Estimate, mean
from tracker.derive.statistics.kappa import grades_apart, weighted_kappa
from tracker.terms import SCALES

# Our own choices: a mean of fewer than five differences says nothing; kappa's interval is that of large samples.
LEAST_PAIRS = 5
LEAST_FOR_KAPPA = 20

STEP = 0.5
DIFFERENCE_SD = STEP / 6**0.5  # of the difference of two grades, each rounded to a half


@dataclass(frozen=True, slots=True)
class Agreement:
    """Two people, as they are written under Seen by, and the days on which both gave a grade.

    `difference` is the mean of the first's grade less the second's, in grades, with its interval of 95 %.
    `kappa` weighs each pair by how many grades lie between them, on the whole scale in halves; None for
    fewer than 20 days, or where chance alone would give no disagreement.
    """

    series: Series
    first: str
    second: str
    days: int
    difference: Estimate
    kappa: Estimate | None


def agreements(series: Series) -> tuple[Agreement, ...]:
    """Every two people with five days or more on which both gave a grade, by name.

    Of one person's several grades of a day the middle one counts. Grades under pain relief count: both saw
    the horse under it. Notes that do not say who saw the horse are left out.
    """
    names: dict[str, str] = {}
    grades: dict[str, dict[date, list[float]]] = {}
    for point in series.points:
        if person := fold(point.seen_by):
            names.setdefault(person, point.seen_by)
            grades.setdefault(person, {}).setdefault(point.date, []).append(point.score)
    found = []
    for one, other in combinations(sorted(grades), 2):
        shared = sorted(grades[one].keys() & grades[other].keys())
        pairs = [(median(grades[one][day]), median(grades[other][day])) for day in shared]
        if len(pairs) >= LEAST_PAIRS:
            found.append(_agreement(series, names[one], names[other], pairs))
    return tuple(found)


def _agreement(series: Series, one: str, other: str, pairs: list[tuple[float, float]]) -> Agreement:
    difference = mean([first - second for first, second in pairs], least_sd=DIFFERENCE_SD)
    assert difference is not None  # at least five pairs
    return Agreement(series, one, other, len(pairs), difference, _kappa(pairs, SCALES[series.scale]))


def _kappa(pairs: list[tuple[float, float]], top: float) -> Estimate | None:
    if len(pairs) < LEAST_FOR_KAPPA:
        return None
    steps = round(top / STEP) + 1
    table = np.zeros((steps, steps))
    for pair in pairs:
        first, second = (min(steps - 1, int(grade / STEP + 0.5)) for grade in pair)
        table[first, second] += 1
    return weighted_kappa(table, grades_apart(steps))
