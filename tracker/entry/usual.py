"""What a form may be filled with: the day, the only horse, and how this person usually looks."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd

from tracker.book import Book
from tracker.cells.choices import read_choice
from tracker.cells.text import fold
from tracker.entry.form import sheet_named
from tracker.sheets import HORSES, Sheet
from tracker.terms import GAITS, GROUNDS, LINES, UNNAMED

# How somebody looks seldom changes; what was seen must never be carried over from last time.
HABITS = ("seen_by", "gait", "ground", "line", "scale", "measured_with")


def horses_of(book: Book) -> tuple[str, ...]:
    """The horses that the workbook names, those of the Horses sheet first."""
    return tuple(horse.name for horse in book.horses if horse.name not in ("", UNNAMED))


def form_defaults(
    book: Book, sheet: str, *, horse: str = "", by: str = "", today: dt.date | None = None
) -> dict[str, str]:
    """What the form may be filled with, by key: the day, the only horse, and how this person usually looks.

    What was seen is never carried over. `horse` and `by` (Seen by) narrow the last record to look at.
    """
    declared = sheet_named(sheet)
    names = horses_of(book)
    chosen = horse or (names[0] if len(names) == 1 else "")
    known = bool(chosen) or not names  # one horse's habits are not another's
    given = _usual(book, chosen) | _last_habits(book, declared, chosen, by) if known else {}
    if chosen:
        given["horse"] = chosen
    if declared.name == HORSES.name:
        given = {}
    given["date"] = (today or book.as_of).isoformat()
    return {column.key: given[column.key] for column in declared.columns if given.get(column.key)}


def _usual(book: Book, horse: str) -> dict[str, str]:
    """The horse's usual check and scale, from the Horses sheet."""
    known = book.tables[HORSES.name].frame
    mine = known[known["horse"].map(fold) == fold(horse)]
    if not len(mine):
        return {}
    row: Any = mine.iloc[0]
    found = {"scale": row["usual_scale"]}
    for part in str(row["usual_check"]).split(","):
        for key, words in (("gait", GAITS), ("ground", GROUNDS), ("line", LINES)):
            if part.strip() and (word := read_choice(part.strip(), words).value):
                found[key] = str(word)
    return found


def _last_habits(book: Book, sheet: Sheet, horse: str, by: str) -> dict[str, str]:
    """The habits that the last record of this horse shows, and of this person where one is named."""
    records = book.tables[sheet.name].kept
    habits = [key for key in HABITS if key in sheet.by_key]
    mine = records[records["horse"].map(fold) == fold(horse)] if horse else records
    if by and "seen_by" in sheet.by_key:
        mine = mine[mine["seen_by"].map(fold) == fold(by)]
    if not habits or not len(mine):
        return {}
    last: Any = _latest(mine)
    return {key: str(last[key]) for key in habits if last[key]}


def _latest(records: pd.DataFrame) -> pd.Series:
    """The latest record by its day; of one day, the lowest in the sheet."""
    return records.sort_values("date", kind="stable").iloc[-1] if "date" in records else records.iloc[-1]
