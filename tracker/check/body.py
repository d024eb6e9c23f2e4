"""A girth or a body length that was typed in another unit than its heading names: inches among centimetres."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tracker.check.columns import Note, TypedColumn, allowed_in
from tracker.check.quantities import as_typed, heading_unit

_TAPED = ("girth", "body_length")
LEAST_OTHERS = 2
# How far a horse's own readings may lie from each other and still show the unit: our own choice.
_NEAR = 0.15
_OTHER_UNIT = {2.54: "two fifths", 1 / 2.54: "two and a half times"}
_OTHER_WAY = {"cm": ("centimetres", "inches", 2.54), "in": ("inches", "centimetres", 1 / 2.54)}


def note_other_unit(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Leave out a bare number that is 2.54 times less, or more, than the same horse's others in that column.

    Where others are too few, also one that is of no usual size in the heading's unit, but would be in the other.
    Only under a heading that names a unit: without one such a number is recognised by its size. A unit typed
    into the cell is believed, and so is what agrees with it.
    """
    for key in _TAPED:
        if key in columns and heading_unit(columns[key].place):
            _note(columns[key], frame, key)


def _note(column: TypedColumn, frame: pd.DataFrame, key: str) -> None:
    quantities, _ = as_typed(column)
    bare = {code for code, quantity in quantities.items() if not quantity.unit}
    is_bare = np.isin(column.codes, list(bare))
    read = frame[key].copy()
    for _, own in read.dropna().groupby(frame["horse"], sort=False):
        usual = float(own.median()) if len(own) > LEAST_OTHERS else None
        believed = own[~is_bare[frame.index.isin(own.index)]].tolist() + ([usual] if usual else [])
        for at in np.flatnonzero(frame.index.isin(own.index) & is_bare).tolist():
            if note := _doubt(at, float(read.iloc[at]), usual, believed, column):
                frame.loc[frame.index[at], key] = np.nan
                column.notes.append(note)


def _doubt(
    at: int, value: float, usual: float | None, believed: Sequence[float], column: TypedColumn
) -> Note | None:
    """What is doubted of one size; `usual` is the middle of enough of the horse's own, `believed` what is like one."""
    allowed = allowed_in(column.column)
    if usual and (told := _unlike(value, usual)):
        words = {"part": told, "other": f"about {usual / 10:.0f} cm"}
        return Note(at, "size-unlike-others", allowed, words)
    near = any(abs(value / one - 1) <= _NEAR for one in believed)
    unit = {} if near else _unusual(value, column)
    return Note(at, "size-unusual", allowed, unit) if unit else None


def _unusual(value: float, column: TypedColumn) -> dict[str, str]:
    """The words for a size that is usual only in the unit that the heading does not name; none for any other."""
    low, high = column.column.usual or (0.0, np.inf)
    unit, other, factor = _OTHER_WAY.get(heading_unit(column.place), ("", "", 1.0))
    if not unit or low <= value <= high or not low <= value * factor <= high:
        return {}
    return {"unit": unit, "other": other}


def _unlike(value: float, usual: float) -> str:
    for factor, words in _OTHER_UNIT.items():
        if abs(value * factor / usual - 1) <= _NEAR:
            return words
    return ""
