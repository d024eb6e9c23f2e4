"""One horse's scores, as they were typed → how likely it is that it is getting worse, day by day."""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise
from operator import attrgetter
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from tracker.derive.worsening import levels
from tracker.derive.worsening.days import Diaries
from tracker.derive.worsening.many import watch_many

LONGEST_SILENCE = 180
"""After so many days without a score the horse is learned anew."""
LEARNING = 14
"""Days from the first score on which no signal is given: what is usual is not known yet."""
_TOP = {"0-5": 5.0, "0-10": 10.0}
_SAID = {"better": -1.0, "same": 0.0, "worse": 1.0}
COLUMNS = ("date", "severity", "severity_low", "severity_high", "p_worse", "p_any", "evidence", "signal")


class WatchedDay(NamedTuple):
    """One day of a series: a row of what `watch_scores` gives."""

    date: dt.date
    severity: float
    low: float
    high: float
    p_worse: float
    p_any: float
    evidence: float
    signal: str


class OneLook(NamedTuple):
    """One grade, in steps of 0-5 whatever its scale, and how it was written.

    `said` is -1 better, 0 the same, 1 worse than last time; nan where nothing is said.
    """

    day: dt.date
    grade: float
    masked: bool
    rater: str
    said: float
    late: bool


def watch_scores(
    dates: Sequence[Any],
    scores: Sequence[Any],
    *,
    scale: str = "0-5",
    masked: Sequence[bool] | None = None,
    rater: Sequence[str] | None = None,
    trims: Iterable[Any] | None = None,
    than_last: Sequence[str] | None = None,
    late: Sequence[bool] | None = None,
    days: Iterable[Any] = (),
    on: Any = None,
    limbs: int = 1,
) -> pd.DataFrame:
    """How likely it is that a horse is lastingly worse than it usually is, from comparable scores.

    What is given, n of each and in any order: `dates`; `scores`, left out where missing or nan; `masked`,
    scored under pain relief: a bad one counts, a good one takes back nothing that was known before it, for 28
    days; `rater`, names, of which the first to score is the usual person, and so is nobody named; `than_last`,
    "better", "same" or "worse", any other word says nothing; `late`, written down days later, which weighs
    half. Then `scale`, "0-5" or "0-10": on the latter a grade below means two steps, our own choice and no
    conversion. `trims`, days of trims: on them and the three days after, a dip may be footsoreness. `days`,
    further days to tell of, today for example. What lies after the day `on` is left out. Of `limbs` that are
    watched beside each other each needs more evidence for a signal.

    What comes back: a row for each scored day and each of `days`, by date. date; severity, the level that the
    horse lastingly shows, with severity_low and severity_high, which hold it in 9 of 10, in steps of the scale;
    p_worse, the probability that it is lastingly worse by at least one grade; p_any, by at least half a grade;
    evidence, the log-odds of any lasting worsening; signal, "none", "watch" or "act".

    Only what lies before a day, or on it, has a part in its row. Of several scores by one person on one day the
    worst counts; several people on one day count each. After half a year of silence the horse is learned anew,
    and in the first 14 days no signal is given. No score at all gives no row; all masked or all equal are
    like any others. Raises ValueError for sequences of different lengths, an unknown scale, a score off its
    scale, a day that is none, fewer limbs than one.

    The model is our own (`hidden.py`, `looks.py`), its filter exact (`forward.py`), its probabilities
    calibrated on simulated diaries only (`levels.py`).
    """
    if limbs < 1:
        raise ValueError(f"{limbs} limbs")
    looks = looks_of(dates, scores, scale=scale, masked=masked, rater=rater, than_last=than_last, late=late)
    cut = sorted({_day(day) for day in trims or ()})
    asked, until = [_day(day) for day in days], None if on is None else _day(on)
    told = watched_days(looks, cut, asked, until, scale, limbs)
    frame = pd.DataFrame(told, columns=list(COLUMNS))
    frame["date"] = pd.to_datetime(frame["date"]).astype("datetime64[us]")
    return frame.astype(dict.fromkeys(COLUMNS[1:-1], "float64") | {"signal": "str"})


def watched_days(
    looks: Iterable[OneLook],
    trims: Sequence[dt.date],
    days: Iterable[dt.date],
    on: dt.date | None,
    scale: str,
    limbs: int,
) -> list[WatchedDay]:
    """What `watch_scores` says, of looks as `looks_of` gives them and of days, the trims by date."""
    asked = {day for day in days if on is None or day <= on}
    unit = _TOP[scale] / 5
    found = []
    for spell in _spells([look for look in looks if on is None or look.day <= on]):
        last = min(spell[-1].day + dt.timedelta(days=LONGEST_SILENCE), dt.date.max)
        further = {day for day in asked if spell[0].day <= day <= last}
        found += _spell(spell, trims, further, unit, limbs)
    return found


def _day(value: Any) -> dt.date:
    if type(value) is dt.date:
        return value
    day = pd.Timestamp(value)
    if pd.isna(day):
        raise ValueError(f"{value!r} is no day")
    return day.date()


def _flag(value: Any) -> bool:
    return value if type(value) is bool else not pd.isna(value) and bool(value)


def looks_of(
    dates: Sequence[Any],
    scores: Sequence[Any],
    *,
    scale: str,
    masked: Sequence[bool] | None,
    rater: Sequence[str] | None,
    than_last: Sequence[str] | None,
    late: Sequence[bool] | None,
) -> list[OneLook]:
    """The looks by day, and by grade on one day; the worst where one person looked more than once."""
    if scale not in _TOP:
        raise ValueError(f"scale {scale!r} is neither of {', '.join(_TOP)}")
    n = len(dates)
    columns: dict[str, Sequence[Any]] = {
        "grade": scores,
        "masked": [False] * n if masked is None else masked,
        "rater": [""] * n if rater is None else rater,
        "said": [""] * n if than_last is None else than_last,
        "late": [False] * n if late is None else late,
    }
    for name, values in columns.items():
        if len(values) != n:
            raise ValueError(f"{len(values)} of {name} for {n} dates")
    days = [_day(day) for day in dates]
    columns["grade"] = pd.to_numeric(pd.Series([*scores])).astype("float64").tolist()
    rows = zip(days, *columns.values(), strict=True)
    return _worst_of_each([_look(scale, *row) for row in rows if not math.isnan(row[1])])


def _look(scale: str, day: dt.date, grade: float, masked: Any, rater: Any, said: Any, late: Any) -> OneLook:
    if not 0 <= grade <= _TOP[scale]:
        raise ValueError(f"{grade:g} is not on the scale {scale}")
    return OneLook(
        day=day,
        grade=grade * 5 / _TOP[scale],
        masked=_flag(masked),
        rater=rater if isinstance(rater, str) else "",
        said=_SAID.get(said, math.nan) if isinstance(said, str) else math.nan,
        late=_flag(late),
    )


def _worst_of_each(looks: Iterable[OneLook]) -> list[OneLook]:
    """The looks in order, the worst of each person and day."""
    worst: dict[tuple[dt.date, str], OneLook] = {}
    for look in sorted(looks, key=attrgetter("day", "grade")):
        worst.pop((look.day, look.rater), None)  # the later one does not take the place of the earlier
        worst[look.day, look.rater] = look
    return [*worst.values()]


def _spells(looks: Sequence[OneLook]) -> list[Sequence[OneLook]]:
    """Part the looks where there was silence for too long."""
    gaps = [
        place
        for place, (before, after) in enumerate(pairwise(looks), 1)
        if (after.day - before.day).days > LONGEST_SILENCE
    ]
    parts = pairwise([0, *gaps, len(looks)])
    return [looks[first:end] for first, end in parts if end > first]


def last_spell(looks: Sequence[OneLook]) -> Sequence[OneLook]:
    """The looks since the last silence of half a year."""
    return _spells(looks)[-1]


def _spell(
    looks: Sequence[OneLook], trims: Sequence[dt.date], further: set[dt.date], unit: float, limbs: int
) -> list[WatchedDay]:
    """One spell of looks, a day at a time."""
    first = looks[0].day
    told = sorted({look.day for look in looks} | further)
    at = np.array([(day - first).days for day in told])
    watched = watch_many(diary_of(looks, trims, told[-1]))
    evidence = watched.evidence[0, at]
    columns = (
        watched.severity[0, at] * unit,
        watched.low[0, at] * unit,
        watched.high[0, at] * unit,
        watched.p_worse[0, at],
        watched.p_any[0, at],
        evidence,
        np.where(at < LEARNING, "none", levels.signal(evidence, limbs)),
    )
    return [*map(WatchedDay, told, *(column.tolist() for column in columns))]


def diary_of(looks: Sequence[OneLook], trims: Iterable[dt.date], last: dt.date | None = None) -> Diaries:
    """The looks of one horse as a diary up to the day `last`, with as many looks a day as its fullest has."""
    first = looks[0].day
    length = ((last or looks[-1].day) - first).days + 1
    turns: Counter[int] = Counter()
    at = []
    for day in ((look.day - first).days for look in looks):
        at.append((0, day, turns[day]))
        turns[day] += 1
    places = tuple(np.array(at).T)
    shape = (1, length, max(turns.values()))

    def laid(values: Iterable[Any], out: Any) -> Any:
        out[places] = [*values]
        return out

    cut = np.zeros((1, length), dtype=np.bool_)
    cut[0, [(one - first).days for one in trims if 0 <= (one - first).days < length]] = True
    return Diaries(
        scores=laid((look.grade for look in looks), np.full(shape, np.nan)),
        masked=laid((look.masked for look in looks), np.zeros(shape, dtype=np.bool_)),
        rater=laid(_people(look.rater for look in looks), np.zeros(shape, dtype=np.int64)),
        trims=cut,
        than_last=laid((look.said for look in looks), np.full(shape, np.nan)),
        late=laid((look.late for look in looks), np.zeros(shape, dtype=np.bool_)),
    )


def _people(names: Iterable[str]) -> list[int]:
    """0 for the first to score and for who is not named, then by first mention."""
    known = {"": 0}
    numbers = []
    for place, name in enumerate(names):
        numbers.append(known.setdefault(name, 0 if place == 0 else max(known.values()) + 1))
    return numbers
