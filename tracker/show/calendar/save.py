"""A book's calendar as bytes, and as a file of its own."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from tracker.book import Book
from tracker.problem import NotWritten
from tracker.show.calendar.events import Event, events_of
from tracker.show.calendar.ics import calendar_file, is_ours
from tracker.show.letter.private import names_in, without_people
from tracker.workbook.exported.save import older_file, write_over


def calendar_bytes(
    book: Book, horse: str | None = None, *, details: bool = False, before: bytes = b""
) -> bytes:
    """The calendar of all horses, or of one, as an iCalendar file; see `tracker.show.calendar.ics`.

    It is empty for a name that no horse has. `details` puts in what was typed beside an event, and people's names; `before` is an older
    calendar of ours, whose events are brought up to date.
    """
    known = frozenset(event.uid for event in _events(book, None))
    given = _given(book, horse) if details else _nameless(_given(book, horse), book)
    return calendar_file(given, book.as_of, details=details, before=before, known=known)


def write_calendar(
    book: Book, path: str | os.PathLike[str], horse: str | None = None, *, details: bool = False
) -> int:
    """Write the calendar, over an older one of ours only; how many events it has. Raises NotWritten."""
    target = Path(path)
    before = older_file(target)
    if before is not None and not is_ours(before):
        raise NotWritten("write-not-our-calendar", path=target.name)
    content = calendar_bytes(book, horse, details=details, before=before or b"")
    write_over(target, before, content)
    return len(_given(book, horse))


def _nameless(events: Sequence[Event], book: Book) -> list[Event]:
    """The events without people's names and numbers, which the words of a plan's step may hold."""
    return [replace(event, title=without_people(event.title, names_in(book))) for event in events]


def _given(book: Book, horse: str | None) -> list[Event]:
    return [event for event in _events(book, horse) if event.is_recent(book.as_of)]


def _events(book: Book, horse: str | None) -> list[Event]:
    chosen = book.horse(horse) if horse is not None else None
    own = book.horses if horse is None else (chosen,) if chosen else ()
    return [event for one in own for event in events_of(book, one)]
