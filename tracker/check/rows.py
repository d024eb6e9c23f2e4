"""One row at a time: what its cells say together."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tracker.check.columns import Note, TypedColumn
from tracker.sheets import ABSCESSES, HOOVES, HORSES, PAIN_RELIEF, PHOTO_POINTS, PLAN, SOUNDNESS, VISITS, WORK
from tracker.terms import FEET

PULSE_KEYS = tuple(f"pulse_{foot.lower()}" for foot in FEET)
OBSERVED = ("score", *PULSE_KEYS, "signs", "than_last_time")

# Several alike rows a day are natural on these sheets.
MAY_REPEAT = {SOUNDNESS.name, HOOVES.name, PHOTO_POINTS.name, WORK.name, HORSES.name}

# Which date of a row cannot come before which.
IN_ORDER = {
    ABSCESSES.name: (
        ("first_seen", "opened"),
        ("first_seen", "comfortable_again"),
        ("first_seen", "vet_seen"),
        ("opened", "comfortable_again"),
    ),
    PAIN_RELIEF.name: (("first_given", "last_given"),),
    PLAN.name: (("from", "until"),),
    VISITS.name: (("date", "next_due"),),
}


def note_nothing_observed(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """A daily note must say something. Where the only thing it said cannot be read, that cell is the error."""
    says = np.zeros(len(frame), dtype=bool)
    for key in ("score", *PULSE_KEYS):
        says |= frame[key].notna().to_numpy()
    says |= (frame["than_last_time"] != "").to_numpy()
    if "signs" in columns:  # a sign not on the list still says something
        signs = columns["signs"]
        says |= ~signs.blank[signs.codes]
    says |= frame["signs"].map(bool).to_numpy(dtype=bool)  # one that stands among the scores, too
    silent = ~says
    if not silent.any():
        return
    tried = np.zeros(len(frame), dtype=bool)
    for key in OBSERVED:
        if key in columns:
            for note in columns[key].notes:
                if silent[note.at]:
                    note.required = tried[note.at] = True
    column = columns.get("score") or next(iter(columns.values()))
    column.notes += [
        Note(int(at), "nothing-observed", "a Score, a Pulse, a Sign or a Than last time")
        for at in np.flatnonzero(silent & ~tried)
    ]


def note_no_feet(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """A trim whose Feet cell is blank. A trimmer who came for no purpose that is written down, trimmed."""
    column = columns.get("feet")
    if column is None:
        return
    trimmed = (frame["purpose"] == "trim") | ((frame["role"] == "trimmer") & (frame["purpose"] == ""))
    blank = column.blank[column.codes]
    column.notes += [
        Note(int(at), "trim-no-feet", "feet, both fronts, both hinds, or all")
        for at in np.flatnonzero(trimmed.to_numpy() & blank)
    ]


def note_date_order(sheet: str, columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Dates that come before one they must follow."""
    for earlier, later in IN_ORDER.get(sheet, ()):
        if earlier in columns and later in columns:
            first, second = frame[earlier], frame[later]
            if earlier == "first_given":
                second = second.where(second != second.dt.normalize(), second + pd.Timedelta(days=1))
            heading = columns[earlier].column.heading
            column = columns[later]
            known = {note.at for note in column.notes if note.slug == "dates-out-of-order"}
            for at in np.flatnonzero((second < first).to_numpy()).tolist():
                if at in known:  # one is enough of a cell that is earlier than two
                    continue
                words = {"earlier": heading}
                column.notes.append(Note(at, "dates-out-of-order", f"{heading}'s day or later", words))


def note_same_rows(sheet: str, columns: list[TypedColumn]) -> None:
    """Rows in which every known cell says the same as in an earlier row."""
    if sheet in MAY_REPEAT or not columns or not len(columns[0].rows):
        return
    codes = pd.DataFrame({column.column.key: column.codes for column in columns})
    repeated = codes.duplicated().to_numpy()
    if not repeated.any():
        return
    first = codes.groupby(list(codes.columns), sort=False).ngroup()
    first_row = dict(reversed(list(zip(first, columns[0].rows, strict=True))))
    for at in np.flatnonzero(repeated).tolist():
        words = {"row": str(first_row[first[at]])}
        columns[0].notes.append(Note(at, "same-row-twice", "one row for each record", words))
