"""What a vital sign may have been whose cell cannot be used: a warning must not be lost to its wording or its unit."""

from __future__ import annotations

import re

import numpy as np
import pandas as pd

from tracker.cells.text import typed
from tracker.check.columns import TypedColumn

HIGHEST = "_highest"
_RANGE = "number-range"
# What the figures in such a cell may be; between the two spans of temperature lies nothing that a horse can have.
_CELSIUS, _FAHRENHEIT = (34.0, 45.0), (93.0, 113.0)
_LOST_POINT = 340.0  # 391 is 39.1 without its point
_POSSIBLE = {"temperature": _CELSIUS, "heart_rate": (20.0, 250.0), "breathing_rate": (4.0, 200.0)}
_FIGURE = re.compile(r"\d+(?:[.,]\d+)?")


def lay_left_out_beside(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Fill `temperature_highest` and its like: the highest figure of a cell that gave no value, or a range; else NaN."""
    for key in _POSSIBLE:
        found = np.full(len(frame), np.nan)
        if key in columns:
            column = columns[key]
            empty = frame[key].isna().to_numpy()
            ranges = {note.at for note in column.notes if note.slug == _RANGE}
            for at in sorted({note.at for note in column.notes}):
                if empty[at] or at in ranges:
                    found[at] = _highest(key, typed(column.uniques[column.codes[at]]))
        frame[key + HIGHEST] = found


def _highest(key: str, text: str) -> float:
    low, high = _POSSIBLE[key]
    figures = [float(figure.replace(",", ".")) for figure in _FIGURE.findall(text)]
    if key == "temperature":
        figures += [figure / 10 for figure in figures if figure >= _LOST_POINT]
        figures += [(figure - 32) / 1.8 for figure in figures if _FAHRENHEIT[0] <= figure <= _FAHRENHEIT[1]]
    return max((figure for figure in figures if low <= figure <= high), default=float("nan"))
