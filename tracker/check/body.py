"""A girth or a body length that was typed in another unit than its heading names: inches among centimetres."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tracker.check.columns import Note, TypedColumn, allowed_in
from tracker.check.quantities import as_typed, heading_unit

_TAPED = ("girth", "body_length")
LEAST_OTHERS = 2
# How far a horse's own readings may lie from each other and still show the unit: our own choice.
_NEAR = 0.15
_OTHER_UNIT = {2.54: "two fifths", 1 / 2.54: "two and a half times"}


def note_other_unit(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Leave out a bare number that is 2.54 times less, or more, than the same horse's others in that column.

    Only under a heading that names a unit: without one such a number is recognised by its size. A unit typed
    into the cell is believed.
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
        if len(own) <= LEAST_OTHERS:
            continue
        usual = float(own.median())
        for at in np.flatnonzero(frame.index.isin(own.index) & is_bare).tolist():
            told = _unlike(float(read.iloc[at]), usual)
            if told:
                frame.loc[frame.index[at], key] = np.nan
                words = {"part": told, "other": f"about {usual / 10:.0f} cm"}
                column.notes.append(Note(at, "size-unlike-others", allowed_in(column.column), words))


def _unlike(value: float, usual: float) -> str:
    for factor, words in _OTHER_UNIT.items():
        if abs(value * factor / usual - 1) <= _NEAR:
            return words
    return ""
