"""What goes on in a record and waits for its end: abscesses that are open, pain relief still being given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import pandas as pd

from tracker.book import Book, HorseRecord
from tracker.cells.text import says_nothing, typed
from tracker.check.locate import locate_sheets
from tracker.sheets import ABSCESSES, PAIN_RELIEF, Sheet
from tracker.show import words
from tracker.show.shapes import shown_name
from tracker.terms import FOOT_WORDS
from tracker.workbook.read import read_workbook


@dataclass(frozen=True, slots=True)
class OpenRecord:
    """One record that goes on: its sheet and row, what it is in a line, and what it holds, by key.

    Days in `values` are ISO 8601, as a form wants them.
    """

    sheet: str
    row: int
    said: str
    values: Mapping[str, str] = field(default_factory=dict)


def open_records(book: Book) -> tuple[OpenRecord, ...]:
    """Every record that goes on, by horse."""
    many = len(book.horses) > 1
    found: dict[tuple[str, int], OpenRecord] = {}
    for horse in book.horses:
        for sheet, row, said in (*_abscesses(horse), *_courses(horse)):
            who = f"{shown_name(horse.name)}, " if many else ""
            record = OpenRecord(sheet.name, row, f"{who}{said}", _values(book, sheet, row))
            found.setdefault((sheet.name, row), record)
    return tuple(found.values())


def _abscesses(horse: HorseRecord) -> list[tuple[Sheet, int, str]]:
    return [
        (
            ABSCESSES,
            episode.row,
            f"abscess, {FOOT_WORDS[episode.foot]}, since {words.day(episode.first_seen)}",
        )
        for episode in horse.episodes
        if episode.is_open
    ]


def _courses(horse: HorseRecord) -> list[tuple[Sheet, int, str]]:
    return [
        (PAIN_RELIEF, course.row, f"{course.product}, since {words.day(course.first.date())}")
        for course in horse.courses
        if course.last is None
    ]


def as_typed(book: Book, record: OpenRecord) -> dict[str, str]:
    """What the record's cells hold now as their owner typed it, by key; blank ones are left out.

    Raises Unreadable where the workbook cannot be read now.
    """
    for located in locate_sheets(read_workbook(book.path))[0]:
        if located.sheet.name == record.sheet and record.row <= len(located.raw.rows):
            cells = located.raw.rows[record.row - 1]
            known = {
                place.column.key: cells[place.index] for place in located.places if place.index < len(cells)
            }
            return {key: typed(cell) for key, cell in known.items() if not says_nothing(cell)}
    return {}


def _values(book: Book, sheet: Sheet, row: int) -> dict[str, str]:
    frame = book.tables[sheet.name].frame
    return {key: text for key in sheet.by_key if (text := _text(frame[key].loc[row]))}


def _text(value: object) -> str:
    if isinstance(value, pd.Timestamp):
        return value.strftime("%Y-%m-%d" if value == value.normalize() else "%Y-%m-%d %H:%M")
    return value if isinstance(value, str) else ""
