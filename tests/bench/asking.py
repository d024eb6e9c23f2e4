"""Diaries whose owner is asked for a score when a detector would like one.

A detector without a rule of its own asks on a day without a score whose eve reached its asking level; that is
set so that a calm horse with two notes a week is asked on a tenth of its days without one. An asked owner
answers with probability 0.7.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bench.diary import Diaries, Flags, with_scores
from bench.measure import FREE
from bench.peers import Detector

Asker = Callable[[Diaries], Flags]
"""From the diaries up to the eve: which owners (n,) are asked today, should they not score by themselves."""

ASKED_SHARE = 0.1
ANSWERED = 0.7


def usual_asker(detector: Detector, calm: Diaries) -> Asker:
    """Asks where the eve's evidence is among the highest tenth of the calm days without a score."""
    eve = np.nan_to_num(detector(calm)[:, FREE:-1], nan=-np.inf)
    without = eve[np.isnan(calm.scores[:, FREE + 1 :])]
    level = float(np.quantile(without, 1 - ASKED_SHARE, method="higher"))

    def asks(diaries: Diaries) -> Flags:
        asked: Flags = detector(diaries)[:, -1] >= level
        return asked

    return asks


def asked(asks: Asker, diaries: Diaries, seed: int) -> tuple[Diaries, float]:
    """The diaries with the answers in them, and how many scores were asked for in a horse's week.

    It is asked day by day, from what was there by then.
    """
    n, days = diaries.masked.shape
    willing = np.random.default_rng(seed).random((n, days)) < ANSWERED
    answers = np.zeros((n, days), dtype=np.bool_)
    now, times = diaries, 0
    for day in range(FREE + 1, days):
        wanted = asks(now.until(day)) & np.isnan(diaries.scores[:, day])
        answers[:, day] = wanted & willing[:, day]
        times += int(wanted.sum())
        if answers[:, day].any():
            now = with_scores(diaries, answers)
    return now, times * 7 / (n * (days - FREE - 1))
