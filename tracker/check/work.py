"""Days of work that hold more minutes than a day has, and steps of a plan that overlap."""

from __future__ import annotations

import pandas as pd

from tracker.check.columns import Note, TypedColumn

_MOST = 24 * 60
_TURNOUT = "turnout"


def note_long_days(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Doubt the row with which the work, or the turnout, of one day adds up to more than 24 hours.

    One row of more is told by its own bounds. Turnout is no work, and a horse may be out all day and ridden.
    """
    if "minutes" not in columns or "date" not in columns:
        return
    column = columns["minutes"]
    places = {row: at for at, row in enumerate(frame.index.tolist())}
    known = frame[frame["date"].notna() & frame["minutes"].notna()]
    is_turnout = (known["what"] == _TURNOUT).rename("turnout")
    for (_, _, turnout), own in known.groupby(["horse", "date", is_turnout], sort=False):
        sums = own["minutes"].cumsum()
        if sums.iloc[-1] > _MOST:
            row = sums.index[sums > _MOST][0]
            words = {"what": _TURNOUT if turnout else "work", "minutes": f"{sums.iloc[-1]:,.0f}"}
            column.notes.append(Note(places[row], "work-day-too-long", "at most 1,440 minutes a day", words))


def note_plan(columns: dict[str, TypedColumn], frame: pd.DataFrame) -> None:
    """Doubt a step that begins before one that began earlier is over, or on the same day.

    A step without Until is over when the next begins.
    """
    if "from" not in columns:
        return
    column = columns["from"]
    places = {row: at for at, row in enumerate(frame.index.tolist())}
    for _, own in frame[frame["from"].notna()].groupby("horse", sort=False):
        ordered = own.sort_values("from", kind="stable")
        longest: tuple[int, pd.Timestamp] | None = None  # of those before: a row, and its last day
        for row, first, until in zip(ordered.index.tolist(), ordered["from"], ordered["until"], strict=True):
            if longest and first <= longest[1]:
                column.notes.append(_note(places[row], longest, str(frame.at[longest[0], "step"]), first))
            last = first if pd.isna(until) else max(first, until)
            if longest is None or last > longest[1]:
                longest = row, last


def _note(at: int, before: tuple[int, pd.Timestamp], step: str, first: pd.Timestamp) -> Note:
    row, last = before
    until = "begins on the same day" if last == first else f"lasts until {last.day} {last:%b %Y}"
    words = {"row": str(row), "step": step, "until": until}
    return Note(at, "plan-steps-overlap", "one step after the other", words)
