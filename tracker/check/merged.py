"""Cells merged down over several records: only the first of them has the value, and its owner may not know."""

from __future__ import annotations

import numpy as np

from tracker.check.columns import Note, TypedColumn
from tracker.check.locate import Located


def note_merged(located: Located, columns: list[TypedColumn]) -> None:
    """Tell once, at the merged cell, that the records below it have no value of their own.

    A column that a record cannot do without tells so at each of these records by itself.
    """
    by_index = {column.place.index: column for column in columns if not column.column.required}
    for left, top, _, bottom in located.raw.merged:
        column = by_index.get(left)
        if column is None or top <= located.heading_row:
            continue
        first, below = (np.searchsorted(column.rows, row) for row in (top, bottom + 1))
        alone = first < len(column.rows) and column.rows[first] == top and below - first > 1
        if alone and not column.blank[column.codes[first]]:
            words = {"rows": f"rows {column.rows[first + 1]} to {column.rows[below - 1]}"}
            column.notes.append(Note(int(first), "merged-down", "one cell for each row", words))
