"""Signs that stand among the remarks of a daily note: they warn as under Signs, with a doubt at their cell."""

from __future__ import annotations

import pandas as pd

from tracker.cells.signs import signs_among
from tracker.cells.text import typed
from tracker.check.columns import Note, TypedColumn
from tracker.terms import SIGNS


def count_signs_in_remarks(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Lay them to those of their rows; `signs_in_remarks` are those that stand nowhere else in the row."""
    column = columns.get("remarks")
    signs: list[tuple[str, ...]] = list(frame["signs"])
    only_here: list[tuple[str, ...]] = [()] * len(signs)
    read = [signs_among(typed(value)) for value in column.uniques] if column else []
    if column is None or not any(read):
        frame["signs_in_remarks"] = pd.Series(only_here, index=frame.index, dtype=object)
        return
    for at, code in enumerate(column.codes):
        new = tuple(sign for sign in read[code] if sign not in signs[at])
        if new:
            only_here[at] = new
            signs[at] = tuple(sign for sign in SIGNS if sign in (*signs[at], *new))
            column.notes.append(Note(at, "sign-in-remarks", ", ".join(SIGNS), {"read": ", ".join(new)}))
    frame["signs"] = pd.Series(signs, index=frame.index, dtype=object)
    frame["signs_in_remarks"] = pd.Series(only_here, index=frame.index, dtype=object)
