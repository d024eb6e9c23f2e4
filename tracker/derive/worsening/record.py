"""What a horse's record says about getting worse, as of one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import pandas as pd

from tracker.cells.text import fold
from tracker.derive.rows import each
from tracker.derive.soundness import Series
from tracker.derive.worsening import levels
from tracker.derive.worsening.comparable import Comparable, comparable
from tracker.derive.worsening.days import days_of
from tracker.derive.worsening.hidden import USUAL
from tracker.derive.worsening.since import likely_since
from tracker.derive.worsening.watch import diary_of, last_spell, looks_of, watch_scores

NONE, WATCH, ACT = "none", "watch", "act"
STALE = dt.timedelta(weeks=12)
"""What the last score signalled stands so long after it: silence is no recovery. Then nobody knows."""
_WEEK = dt.timedelta(days=7)
SPARSE = 4
"""Fewer scored days in a week than these, and more are asked for."""


@dataclass(frozen=True, slots=True)
class WatchedDay:
    """One day of a series: as in `watch_scores`."""

    date: dt.date
    severity: float
    low: float
    high: float
    p_worse: float
    p_any: float
    evidence: float
    signal: str


@dataclass(frozen=True, slots=True)
class Began:
    """When a change likely began: 8 of 10 times between `earliest` and `latest`."""

    likely: dt.date
    earliest: dt.date
    latest: dt.date


@dataclass(frozen=True, slots=True)
class Watch:
    """One series as of one day. `since` is None without a signal.

    `asks` holds where suspicion has risen and the diary is too sparse to settle it; `rows` are the notes since
    the change likely began; `late` those that were written days later; `assumed` those that do not say how
    the horse was looked at.
    """

    series: Series
    days: tuple[WatchedDay, ...]
    signal: str
    p_worse: float
    p_any: float
    since: Began | None
    asks: bool
    rows: tuple[int, ...]
    late: tuple[int, ...]
    assumed: tuple[int, ...]


def watches(
    series: Sequence[Series], late: Collection[int], trims: Collection[dt.date], on: dt.date
) -> tuple[Watch, ...]:
    """Watch every series of one horse up to the day `on`; `late` are the rows written days later."""
    found = []
    for one in comparable([*until(series, on)]):
        own_late = frozenset(point.row for point in one.series.points if point.row in late)
        found.append(_watch(one, own_late, tuple(sorted(trims)), on))
    return tuple(found)


def until(series: Iterable[Series], on: dt.date) -> Iterator[Series]:
    """The series up to that day, without those that begin later."""
    for one in series:
        points = tuple(point for point in one.points if point.date <= on)
        if points:
            yield replace(one, points=points)


@lru_cache(maxsize=512)  # a page is drawn again far more often than a note is written
def _watch(watched: Comparable, late: frozenset[int], trims: tuple[dt.date, ...], on: dt.date) -> Watch:
    series = watched.series
    points = series.points
    given: Any = {
        "scale": series.scale,
        "masked": [point.masked for point in points],
        "rater": [fold(point.seen_by) for point in points],
        "than_last": [point.than_last for point in points],
        "late": [point.row in late for point in points],
    }
    days, grades = [point.date for point in points], [point.score for point in points]
    told = _days(watch_scores(days, grades, trims=trims, days=[on], on=on, limbs=watched.limbs, **given))
    now = told[-1]
    noted = next(day for day in reversed(told) if day.date == points[-1].date)
    fresh = on - noted.date <= STALE
    signal = noted.signal if fresh else NONE
    if now.date == on:
        told = (*told[:-1], replace(now, signal=signal))
    since = _since(looks_of(days, grades, **given), trims) if signal != NONE else None
    recent = {point.date for point in points if on - _WEEK < point.date}
    return Watch(
        series=series,
        days=told,
        signal=signal,
        p_worse=noted.p_worse,
        p_any=noted.p_any,
        since=since,
        asks=_asks(noted.evidence, signal, recent, on) if fresh else False,
        rows=tuple(point.row for point in points if since and point.date >= since.likely),
        late=tuple(sorted(late)),
        assumed=watched.assumed,
    )


def _days(frame: pd.DataFrame) -> tuple[WatchedDay, ...]:
    return tuple(
        WatchedDay(
            row.date.date(),
            row.severity,
            row.severity_low,
            row.severity_high,
            row.p_worse,
            row.p_any,
            row.evidence,
            row.signal,
        )
        for row in each(frame)
    )


def _since(looks: pd.DataFrame, trims: tuple[dt.date, ...]) -> Began:
    """When the change began; a note that was written days later does not date it."""
    spell = last_spell(looks)
    last = spell["day"].iloc[-1]
    prompt = spell[~spell["late"]]
    diary = diary_of(spell if prompt.empty else prompt, list(trims), last)
    began = likely_since(days_of(diary), USUAL)
    return Began(*(last - dt.timedelta(days=back) for back in (began.likely, began.earliest, began.latest)))


def _asks(evidence: float, signal: str, recent: Collection[dt.date], on: dt.date) -> bool:
    """Whether a note today would help: suspicion has risen, and there are few notes to settle it."""
    settled = signal == ACT and recent
    return evidence >= levels.ASK and not settled and len(recent) < SPARSE and on not in recent
