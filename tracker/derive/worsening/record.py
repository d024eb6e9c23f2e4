"""What a horse's record says about getting worse, as of one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from tracker.cells.text import fold
from tracker.derive.soundness import Series
from tracker.derive.worsening import levels
from tracker.derive.worsening.comparable import Comparable, comparable
from tracker.derive.worsening.days import days_of
from tracker.derive.worsening.hidden import USUAL
from tracker.derive.worsening.since import likely_since
from tracker.derive.worsening.watch import (
    OneLook,
    WatchedDay,
    diary_of,
    last_spell,
    looks_of,
    watched_days,
)

NONE, WATCH, ACT = "none", "watch", "act"
STALE = dt.timedelta(weeks=12)
"""What the last score signalled stands so long after it: silence is no recovery. Then nobody knows."""
_WEEK = dt.timedelta(days=7)
SPARSE = 4
"""Fewer scored days in a week than these, and more are asked for."""


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


# A page is drawn again far more often than a note is written. A horse has a dozen series, and where the horses
# together have more than are kept, none is found again.
@lru_cache(maxsize=2048)
def _watch(watched: Comparable, late: frozenset[int], trims: tuple[dt.date, ...], on: dt.date) -> Watch:
    series = watched.series
    points = series.points
    looks = looks_of(
        [point.date for point in points],
        [point.score for point in points],
        scale=series.scale,
        masked=[point.masked for point in points],
        rater=[fold(point.seen_by) for point in points],
        than_last=[point.than_last for point in points],
        late=[point.row in late for point in points],
    )
    told = watched_days(looks, trims, [on], on, series.scale, watched.limbs)
    now = told[-1]
    noted = next(day for day in reversed(told) if day.date == points[-1].date)
    fresh = on - noted.date <= STALE
    signal = noted.signal if fresh else NONE
    if now.date == on:
        told[-1] = now._replace(signal=signal)
    since = _since(looks, trims) if signal != NONE else None
    recent = {point.date for point in points if on - _WEEK < point.date}
    return Watch(
        series=series,
        days=tuple(told),
        signal=signal,
        p_worse=noted.p_worse,
        p_any=noted.p_any,
        since=since,
        asks=_asks(noted.evidence, signal, recent, on) if fresh else False,
        rows=tuple(point.row for point in points if since and point.date >= since.likely),
        late=tuple(sorted(late)),
        assumed=watched.assumed,
    )


def _since(looks: Sequence[OneLook], trims: tuple[dt.date, ...]) -> Began:
    """When the change began; a note that was written days later does not date it."""
    spell = last_spell(looks)
    last = spell[-1].day
    prompt = [look for look in spell if not look.late]
    began = likely_since(days_of(diary_of(prompt or spell, trims, last)), USUAL)
    return Began(*(last - dt.timedelta(days=back) for back in (began.likely, began.earliest, began.latest)))


def _asks(evidence: float, signal: str, recent: Collection[dt.date], on: dt.date) -> bool:
    """Whether a note today would help: suspicion has risen, and there are few notes to settle it."""
    settled = signal == ACT and recent
    return evidence >= levels.ASK and not settled and len(recent) < SPARSE and on not in recent
