"""The workbook as it was last read, read again whenever its file changes."""

from __future__ import annotations

import datetime as dt
import hashlib
import logging
import threading
from dataclasses import dataclass
from pathlib import Path

from tracker import Book, Unreadable, open_book, photos_of

_UNEXPECTED = (
    "Something went wrong inside the program while it read the workbook; the workbook was not changed.",
    "Put back what you changed last, if you can, and tell whoever looks after the program.",
)


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why the workbook cannot be read now, and what to do."""

    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class Reading:
    """The last good book, if there was one, and what is wrong with the file now, if anything.

    `stamp` differs whenever there is something else to show.
    """

    workbook: str
    book: Book | None
    trouble: Trouble | None
    stamp: str


class Library:
    """One workbook, for any number of pages at once; only one of them reads it at a time."""

    def __init__(self, file: Path, day_first: bool | None = None) -> None:
        self._file = file
        self._day_first = day_first
        self._lock = threading.Lock()
        self._seen: object = None
        self._reading = Reading(file.name, None, None, "")

    def read(self) -> Reading:
        """What there is to show now. A file that could not be read is tried again each time."""
        with self._lock:
            mark = self._mark()
            if mark != self._seen or self._reading.trouble:
                self._seen = mark
                self._reading = self._read(mark)
            return self._reading

    def _mark(self) -> tuple[object, ...]:
        """What tells that the file, the photographs beside it, or the day, are others."""
        try:
            status = self._file.stat()
        except OSError:
            return ("missing", dt.date.today())
        return (status.st_mtime_ns, status.st_size, dt.date.today(), self._photos())

    def _photos(self) -> str:
        try:
            names = photos_of(self._file)
        except OSError:
            return ""
        return hashlib.sha256("/".join(names).encode(errors="surrogateescape")).hexdigest()[:12]

    def _read(self, mark: tuple[object, ...]) -> Reading:
        name = self._file.name
        stamp = "-".join(map(str, mark))
        try:
            book = open_book(self._file, day_first=self._day_first)
        except Unreadable as failure:
            trouble = Trouble(self.named(failure.problem.message), self.named(failure.problem.hint))
        except Exception:
            logging.getLogger(__name__).exception("reading the workbook")
            trouble = Trouble(*_UNEXPECTED)
        else:
            return Reading(name, book, None, stamp)
        return Reading(name, self._reading.book, trouble, f"{trouble.message} {stamp}")

    def named(self, text: str) -> str:
        """The text with the workbook's name alone: where it lies on this computer is for no page."""
        paths = {str(self._file), str(self._file.absolute()), str(self._file.resolve())}
        for path in sorted(paths, key=len, reverse=True):
            text = text.replace(path, self._file.name)
        return text
