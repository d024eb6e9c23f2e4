"""The ledger's own filter as a detector: the evidence of `tracker.watch_scores`, many diaries at once."""

from __future__ import annotations

import numpy as np

from bench.diary import Diaries, Flags, Floats
from tracker.derive.worsening import levels
from tracker.derive.worsening.days import Diaries as Watchable
from tracker.derive.worsening.many import Watched, watch_many


def watched(diaries: Diaries) -> Watched:
    """What the filter makes of diaries of the whole horse."""
    return watch_many(
        Watchable(
            diaries.scores,
            masked=diaries.masked,
            rater=diaries.rater,
            trims=diaries.trims,
            than_last=diaries.than_last,
        )
    )


def evidence(diaries: Diaries) -> Floats:
    """The log-odds of a lasting worsening; of four limbs those of the worst, as the record takes them."""
    if diaries.scores.ndim == 2:
        return watched(diaries).evidence
    n, days, limbs = diaries.scores.shape
    apart = Watchable(
        diaries.scores.transpose(2, 0, 1).reshape(limbs * n, days),
        masked=np.tile(diaries.masked, (limbs, 1)),
        rater=np.tile(diaries.rater, (limbs, 1)),
        trims=np.tile(diaries.trims, (limbs, 1)),
    )
    each = watch_many(apart).evidence.reshape(limbs, n, days)
    worst: Floats = each.max(axis=0) - levels.LIMBS * np.log(limbs)
    return worst


def asks(diaries: Diaries) -> Flags:
    """Who is asked today: whose evidence on the eve is at the asking level."""
    asked: Flags = evidence(diaries)[:, -1] >= levels.ASK
    return asked
