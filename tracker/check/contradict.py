"""Daily notes of one horse and one day that cannot both be as they are written. All are kept; the more careful warns."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import pandas as pd

from tracker.cells.text import fold, typed
from tracker.check.columns import Note, TypedColumn
from tracker.check.rows import PULSE_KEYS
from tracker.terms import NO

# How far two of a day must lie apart, our own choice: what two people may differ by is less.
_GRADES_OF_FIVE, _GRADES_OF_TEN = 2.0, 4.0
_PULSES = 2.0
_NONE = frozenset({*NO, "none", "nil"})  # in a cell of warm feet or signs it says that there was nothing
_LOOK = ("horse", "date", "scale", "gait", "ground", "line", "limb")
Keyed = dict[str, TypedColumn]


def note_contradictions(columns: Keyed, frame: pd.DataFrame) -> None:
    """Doubt the milder of two notes of one day: grades, pulses, warm feet and signs against none.

    Better and worse of one day are no contradiction: each is said of the look before it.
    """
    if "date" not in columns or len(frame) < 2:
        return
    look = _numbered(frame, _LOOK)
    day = _numbered(frame, ("horse", "date"))
    dated = frame["date"].notna().to_numpy()
    if "score" in columns:
        apart = np.where(frame["scale"] == "0-10", _GRADES_OF_TEN, _GRADES_OF_FIVE)
        _note_milder(columns["score"], frame["score"], look, dated, apart, "grade ")
    for key in PULSE_KEYS:
        if key in columns:
            _note_milder(
                columns[key], frame[key], day, dated, np.full(len(frame), _PULSES, dtype=np.float64), "step "
            )
    for key in ("warm", "signs"):
        if key in columns:
            _note_none(columns[key], frame[key], day, dated)


def _numbered(frame: pd.DataFrame, keys: Sequence[str]) -> npt.NDArray[np.int64]:
    """A number for each row, the same for rows that agree in all of these."""
    number = np.zeros(len(frame), dtype=np.int64)
    for key in keys:
        codes, found = pd.factorize(frame[key].to_numpy(), use_na_sentinel=False)
        number = pd.factorize(number * len(found) + codes)[0].astype(np.int64)
    return number


def _note_milder(
    column: TypedColumn,
    values: pd.Series,
    alike: npt.NDArray[np.int64],
    dated: npt.NDArray[np.bool_],
    apart: npt.NDArray[np.float64],
    before: str,
) -> None:
    """Each value that lies so far below the highest of its like, with that one's row."""
    numbers = values.to_numpy(dtype=float)
    known = pd.Series(numbers, index=range(len(numbers)))[dated & ~np.isnan(numbers)]
    groups = known.groupby(alike[known.index])
    highest = groups.transform("max")
    milder = highest - known >= apart[known.index] - 1e-9
    if not milder.any():
        return
    where = groups.idxmax()
    for at in known.index[milder].tolist():
        other = int(where[alike[at]])
        _note(column, at, other, f"{before}{typed(column.uniques[column.codes[other]])}")


def _note_none(
    column: TypedColumn, values: pd.Series, day: npt.NDArray[np.int64], dated: npt.NDArray[np.bool_]
) -> None:
    """Each cell that says there was nothing, on a day on which another note says there was."""
    denied = np.array([fold(typed(value)) in _NONE for value in column.uniques], dtype=bool)[column.codes]
    if not denied.any():
        return
    found: dict[int, int] = {}
    for at in np.flatnonzero(values.map(bool).to_numpy(dtype=bool) & dated).tolist():
        found.setdefault(int(day[at]), at)
    for at in np.flatnonzero(denied & dated).tolist():
        if (other := found.get(int(day[at]))) is not None:
            own = typed(column.uniques[column.codes[other]]).strip()
            _note(column, at, other, own or ", ".join(values.iloc[other]))  # it may stand among the remarks


def _note(column: TypedColumn, at: int, other: int, said: str) -> None:
    words = {"row": str(column.rows[other]), "other": said}
    column.notes.append(Note(at, "notes-contradict", "what fits the other notes of the day", words))
