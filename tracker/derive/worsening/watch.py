"""One horse's scores, as they were typed → how likely it is that it is getting worse, day by day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

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
    if on is not None:
        looks = looks[looks["day"] <= _day(on)]
    asked = {_day(day) for day in days if on is None or _day(day) <= _day(on)}
    cut = sorted({_day(day) for day in trims or ()})
    unit = _TOP[scale] / 5
    rows = []
    for spell, until in _spells(looks):
        further = sorted(day for day in asked if spell["day"].iloc[0] <= day < until)
        rows.append(_spell(spell, cut, further, unit, limbs))
    return pd.concat(rows, ignore_index=True) if rows else _nothing()


def _nothing() -> pd.DataFrame:
    empty = pd.DataFrame({name: pd.Series(dtype="float64") for name in COLUMNS})
    return empty.astype({"date": "datetime64[us]", "signal": "str"})


def _day(value: Any) -> dt.date:
    day = pd.Timestamp(value)
    if pd.isna(day):
        raise ValueError(f"{value!r} is no day")
    return day.date()


def looks_of(
    dates: Sequence[Any],
    scores: Sequence[Any],
    *,
    scale: str,
    masked: Sequence[bool] | None,
    rater: Sequence[str] | None,
    than_last: Sequence[str] | None,
    late: Sequence[bool] | None,
) -> pd.DataFrame:
    """A row a look, by day, the worst where one person looked more than once: day, grade, masked, rater, said, late."""
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
    frame = pd.DataFrame({"day": [_day(day) for day in dates]} | {k: list(v) for k, v in columns.items()})
    frame["grade"] = pd.to_numeric(frame["grade"]).astype("float64")
    for name in ("masked", "late"):
        frame[name] = [not pd.isna(flag) and bool(flag) for flag in frame[name]]
    frame = frame[frame["grade"].notna()]
    off = frame[(frame["grade"] < 0) | (frame["grade"] > _TOP[scale])]
    if len(off):
        raise ValueError(f"{off['grade'].iloc[0]:g} is not on the scale {scale}")
    frame["grade"] = frame["grade"] * 5 / _TOP[scale]
    frame["rater"] = frame["rater"].map(lambda name: name if isinstance(name, str) else "")
    frame = frame.sort_values(["day", "grade"], kind="stable")
    return frame.drop_duplicates(["day", "rater"], keep="last").reset_index(drop=True)


def _spells(looks: pd.DataFrame) -> list[tuple[pd.DataFrame, dt.date]]:
    """Part the looks where there was silence for too long; each with the day from which it tells no more."""
    if looks.empty:
        return []
    days = list(looks["day"])
    gaps = [
        row
        for row, (before, after) in enumerate(pairwise(days), 1)
        if (after - before).days > LONGEST_SILENCE
    ]
    ends = [*gaps, len(looks)]
    spells = [looks.iloc[first:end] for first, end in zip([0, *gaps], ends, strict=True)]
    until = [
        min(spell["day"].iloc[-1] + dt.timedelta(days=LONGEST_SILENCE + 1), dt.date.max) for spell in spells
    ]
    return list(zip(spells, until, strict=True))


def last_spell(looks: pd.DataFrame) -> pd.DataFrame:
    """The looks since the last silence of half a year."""
    return _spells(looks)[-1][0]


def _spell(
    looks: pd.DataFrame, trims: list[dt.date], further: list[dt.date], unit: float, limbs: int
) -> pd.DataFrame:
    """The rows of one spell of looks."""
    first = looks["day"].iloc[0]
    told = sorted({*looks["day"], *further})
    diaries = diary_of(looks, trims, told[-1])
    at = [(day - first).days for day in told]
    watched = watch_many(diaries)
    severity = {
        "severity": watched.severity,
        "severity_low": watched.low,
        "severity_high": watched.high,
    }
    evidence = watched.evidence[0, at]
    frame = pd.DataFrame(
        {"date": pd.to_datetime(told).as_unit("us")}
        | {name: values[0, at] * unit for name, values in severity.items()}
        | {"p_worse": watched.p_worse[0, at], "p_any": watched.p_any[0, at], "evidence": evidence}
    )
    learning = np.array(at) < LEARNING
    frame["signal"] = np.where(learning, "none", levels.signal(evidence, limbs))
    return frame.astype({"signal": "str"})


def diary_of(looks: pd.DataFrame, trims: list[dt.date], last: dt.date | None = None) -> Diaries:
    """The looks of one horse as a diary up to the day `last`, with as many looks a day as its fullest has."""
    first = looks["day"].iloc[0]
    length = ((last or looks["day"].iloc[-1]) - first).days + 1
    day = np.array([(one - first).days for one in looks["day"]])
    turn = looks.groupby("day").cumcount().to_numpy()
    shape = (1, length, int(turn.max()) + 1)

    def laid(values: Any, empty: float) -> Any:
        out = np.full(shape, empty)
        out[0, day, turn] = values
        return out

    cut = np.zeros((1, length), dtype=np.bool_)
    cut[0, [(one - first).days for one in trims if 0 <= (one - first).days < length]] = True
    said = looks["said"].map(lambda word: _SAID.get(word, np.nan) if isinstance(word, str) else np.nan)
    return Diaries(
        scores=laid(looks["grade"], np.nan),
        masked=laid(looks["masked"].astype(float), 0.0) > 0,
        rater=laid(_people(looks["rater"]), 0.0).astype(np.int64),
        trims=cut,
        than_last=laid(said, np.nan),
        late=laid(looks["late"].astype(float), 0.0) > 0,
    )


def _people(names: pd.Series) -> list[int]:
    """0 for the first to score and for who is not named, then by first mention."""
    known = {"": 0}
    for place, name in enumerate(names):
        known.setdefault(name, 0 if place == 0 else max(known.values()) + 1)
    return [known[name] for name in names]
