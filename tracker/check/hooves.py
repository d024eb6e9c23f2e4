"""What the measurements of one foot say against each other."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np
import pandas as pd

from tracker.cells.text import fold
from tracker.check.columns import Note, TypedColumn
from tracker.reference.measuring import COVERAGE, detectable, reading_sd
from tracker.sheets import ANGLE, HOOVES, LENGTH

_ONE = ["horse", "date", "foot", "stage", "measured_with"]
_MARK = "growth_mark_below_hairline"
_MEASURES = tuple(column.key for column in HOOVES.columns if column.holds in (ANGLE, LENGTH))


def note_hooves(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Doubt a heel higher than it is long, a mark that goes up, and readings of one measure too far apart."""
    _note_heel_height(columns, frame)
    known = frame[frame["date"].notna() & (frame["foot"] != "")]
    if _MARK in columns:
        _note_upward(columns[_MARK], frame, known[known[_MARK].notna()])
    twice = known[known.duplicated(_ONE, keep=False)]
    if twice.empty:
        return
    for key in (key for key in _MEASURES if key in columns):
        _note_apart(columns[key], frame, twice[twice[key].notna()])


def _note_apart(column: TypedColumn, frame: pd.DataFrame, readings: pd.DataFrame) -> None:
    """Compare each reading with the first of its foot, day, stage and way; a growth mark only with itself."""
    key = column.column.key
    by = [*_ONE, "growth_mark"] if key == _MARK else _ONE
    first = readings.groupby(by, sort=False)[key].transform("first")
    error = readings["measured_with"].map(lambda way: detectable(key, way).value).astype("float64")
    apart = readings[(readings[key] - first).abs() > error + 1e-9]
    if apart.empty:
        return
    rows = readings.index.to_series().groupby([readings[name] for name in by], sort=False).transform("first")
    for row, at in zip(apart.index, np.flatnonzero(frame.index.isin(apart.index)).tolist(), strict=True):
        words = {"row": str(rows[row]), "other": f"{first[row]:.4g}"}
        column.notes.append(Note(at, "measured-twice", "one value, or values close to each other", words))


def _note_upward(column: TypedColumn, frame: pd.DataFrame, readings: pd.DataFrame) -> None:
    """A growth mark only grows down: doubt a reading above an earlier day's, by more than the error of both."""
    lowest: dict[tuple[str, str, str], Any] = {}
    rows: Iterable[Any] = readings.sort_values("date", kind="stable").itertuples()
    for row in rows:
        below, key = getattr(row, _MARK), (row.horse, row.foot, fold(row.growth_mark))
        before = lowest.setdefault(key, row)
        was = getattr(before, _MARK)
        error = COVERAGE * math.hypot(*(reading_sd(_MARK, at.measured_with) for at in (row, before)))
        if row.date > before.date and was - below > error + 1e-9:
            words = {"row": str(before.Index), "other": f"{was:.4g} mm", "mark": _named(row.growth_mark)}
            at = int(np.flatnonzero(frame.index == row.Index)[0])
            column.notes.append(Note(at, "mark-went-up", f"{was:.4g} mm or more", words))
        if below > was:
            lowest[key] = row


def _named(mark: str) -> str:
    return f"“{mark.strip()}” " if mark.strip() else ""


def _note_heel_height(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    if not {"heel_height", "heel_length"} <= columns.keys():
        return
    length = frame["heel_length"].to_numpy()
    for at in np.flatnonzero(frame["heel_height"].to_numpy() > length + 1e-9).tolist():
        words = {"length": f"{length[at]:.4g} mm"}
        column = columns["heel_height"]
        column.notes.append(Note(at, "heel-height-greater", "a height up to the heel length", words))
