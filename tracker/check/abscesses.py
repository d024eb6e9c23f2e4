"""What the abscesses of one foot say against each other."""

from __future__ import annotations

import pandas as pd

from tracker.check.columns import Note, TypedColumn


def note_abscesses(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Doubt an abscess that is typed twice, or that began before the one before it in the same foot was over, or while that is open."""
    if "first_seen" not in columns:
        return
    column = columns["first_seen"]
    places = {row: at for at, row in enumerate(frame.index.tolist())}
    known = frame[frame["first_seen"].notna() & (frame["foot"] != "")]
    for _, own in known.groupby(["horse", "foot"], sort=False):
        ordered = own.sort_values("first_seen", kind="stable")
        ends = ordered["comfortable_again"].where(ordered["comfortable_again"] >= ordered["first_seen"])
        longest: tuple[int, pd.Timestamp] | None = None  # of those before: a row, and when it was over
        typed: dict[pd.Timestamp, tuple[int, pd.Timestamp]] = {}  # of each first day: a row, and its end
        for row, first, end in zip(ordered.index.tolist(), ordered["first_seen"], ends, strict=True):
            if first in typed:
                column.notes.append(_typed_twice(places[row], typed[first], end))
            elif longest and (note := _note(places[row], longest, first, pd.isna(end))):
                column.notes.append(note)
            typed.setdefault(first, (row, end))
            if longest is None or (pd.notna(longest[1]) and not end <= longest[1]):
                longest = row, end


def _typed_twice(at: int, before: tuple[int, pd.Timestamp], end: pd.Timestamp) -> Note:
    row, other = before
    how = ", which is still open" if pd.isna(end) != pd.isna(other) else ""
    if pd.notna(end) and pd.notna(other) and end != other:
        how = ", which was over on the later day"
    return Note(at, "abscess-typed-twice", "one row for each abscess", {"row": str(row), "how": how})


def _note(at: int, before: tuple[int, pd.Timestamp], first: pd.Timestamp, is_open: bool) -> Note | None:
    row, end = before
    if pd.isna(end) and is_open:
        return Note(at, "abscess-open-twice", "one open abscess a foot", {"row": str(row)})
    if pd.notna(end) and first >= end:
        return None
    until = "is not over by then" if pd.isna(end) else f"lasted until {end.day} {end:%b %Y}"
    return Note(at, "abscesses-overlap", "one after the other in a foot", {"row": str(row), "until": until})
