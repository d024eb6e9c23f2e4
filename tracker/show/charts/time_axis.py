"""The one time axis: which days it spans, and the weeks since the shoes came off."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tracker.show.charts.style import GREY
from tracker.terms import PAIRS

_STEPS = (1, 2, 4, 8, 13, 26, 52, 104, 260)
_NEAR = dt.timedelta(days=60)
_SHORTEST = dt.timedelta(days=14)
_MONTH_MS = 27 * 86_400_000


@dataclass(frozen=True, slots=True)
class Span:
    """The days the axis shows, both included."""

    start: dt.date
    end: dt.date

    def edges(self, room: float) -> tuple[dt.datetime, dt.datetime]:
        """The axis' ends: that part of the span as room on both sides, and a fortnight in all at least."""
        length = self.end - self.start + dt.timedelta(days=1)
        beside = max(dt.timedelta(days=1), length * room, (_SHORTEST - length) / 2)
        start = dt.datetime.combine(self.start, dt.time())
        return start - beside, start + length + beside


def date_ticks(most: int) -> dict[str, Any]:
    """How dates stand below an axis: months by name, and days where it is short; the year once."""
    return {
        "nticks": most,
        "tickformatstops": [
            {"dtickrange": [None, _MONTH_MS], "value": "%-d %b\n%Y"},
            {"dtickrange": ["M1", None], "value": "%b\n%Y"},
        ],
        "showgrid": False,
        "zeroline": False,
        "ticks": "outside",
        "ticklen": 4,
        "tickcolor": GREY,
    }


def first_off(shoes_off: Mapping[str, dt.date | None], as_of: dt.date) -> dt.date | None:
    """Day 0: the earliest day that shoes of either pair came off; None where none is known yet."""
    return min((day for day in shoes_off.values() if day and day <= as_of), default=None)


def span(first: dt.date, as_of: dt.date, day_0: dt.date | None) -> Span:
    """From the first record to the last day; back to day 0 unless that would squeeze the records into a corner."""
    near = max(_NEAR, as_of - first)
    return Span(day_0 if day_0 and first - near <= day_0 < first else first, as_of)


def week_ticks(days: Span, day_0: dt.date, most: int) -> list[tuple[dt.date, str]]:
    """At most about `most` whole weeks since day 0, evenly apart; the first says what it counts."""
    weeks = max(1, (days.end - max(days.start, day_0)).days // 7)
    step = next((step for step in _STEPS if weeks / step <= most), _STEPS[-1])
    first = max(0, -(-(days.start - day_0).days // 7))
    first += -first % step
    last = (days.end - day_0).days // 7
    return [
        (day_0 + dt.timedelta(weeks=week), f"week {week}" if week == first else str(week))
        for week in range(first, last + 1, step)
    ]


def off_days(shoes_off: Mapping[str, dt.date | None], days: Span) -> list[tuple[dt.date, str]]:
    """The lines to draw: when shoes came off, in words; one line where both pairs came off together."""
    known = {pair: day for pair in PAIRS if (day := shoes_off.get(pair)) and days.start <= day <= days.end}
    if len(set(known.values())) == 1:
        pair, day = next(iter(known.items()))
        return [(day, "shoes off" if len(known) == 2 else f"{pair} shoes off")]
    return sorted((day, f"{pair} shoes off") for pair, day in known.items())
