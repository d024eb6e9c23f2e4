"""No progress for 60 days: what the notes show where the grades stay where they are.

Too few notes would never show an improvement, whatever the horse does. So it is not enough that none shows:
the notes must also be good enough to rule out a clear one.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from statistics import median

from tracker.derive.progress.days import Day, between, days_of
from tracker.derive.progress.trend import Slope, slope_of
from tracker.derive.soundness import Series

SPAN = 60  # days
WINDOW = 90  # days; older notes are not looked at
FRESH = 14  # days since the last note
BEFORE = 8  # days: it must have held then too, so that one odd week does not make it

# A clear improvement, in grades a month: two grades of 0-5 in five months. Our own choice; on 0-10, whose
# steps are smaller, twice as many. That is no conversion: the two are never set side by side.
CLEAR = {"0-5": -0.4, "0-10": -0.8}


def standstill(series: Series, on: date, known: Sequence[Day] | None = None) -> Slope | None:
    """The slope of the last 60 to 90 days, where it shows no progress; None where it does, or cannot say.

    It shows none where its interval of 95 % reaches 0 or more, does not reach a clear improvement, and the
    middle grade is not 0; on the day `on` as well as eight days before. None too where the grades outside
    pain relief span less than 60 days, are too few for a slope, or ended two weeks ago.

    On simulated diaries with a note on nine days of ten, in whole grades, by an eye that is off by half a
    grade (1 SD), it is found by day 90 in 98 of 100 horses that stay at grade 2, and at any look wrongly in 2
    of 100 that improve by two grades in five months; where the day before is shared by a fifth, in 97 and 3.
    Three notes a week, or bad weeks that last, leave it less sure: 77 and 10, 79 and 14.
    `python tests/test_derive_standstill.py` prints them. `known` as for `around_trims`.
    """
    days = days_of(series) if known is None else known
    before = _flat(days, series.scale, on - timedelta(days=BEFORE))
    return _flat(days, series.scale, on) if before else None


def _flat(all_days: Sequence[Day], scale: str, on: date) -> Slope | None:
    days = between(all_days, on - timedelta(days=WINDOW), on)
    if not days or (days[-1].date - days[0].date).days < SPAN or (on - days[-1].date).days > FRESH:
        return None
    if median(day.grade for day in days) == 0:
        return None
    found = slope_of(days)
    if found is None:
        return None
    flat = found.rate.high >= 0 and found.rate.low > CLEAR[scale]
    return found if flat else None
