"""What a lane of the time chart is, and what all lanes are drawn from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from tracker.book import Book, HorseRecord
from tracker.show.charts.style import since_words


@dataclass(frozen=True, slots=True)
class Lane:
    """One lane: its label, its height in pixels, its scale with the ticks' words, its days, what is drawn."""

    label: tuple[str, ...]
    height: int
    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]
    grid: bool
    first: dt.date
    traces: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Scene:
    """What the lanes are drawn from: the horse of a book, the day the shoes came off, a narrow screen or not."""

    book: Book
    horse: HorseRecord
    day_0: dt.date | None
    narrow: bool

    @property
    def as_of(self) -> dt.date:
        """The last day that is drawn."""
        return self.book.as_of

    def rows(self, sheet: str) -> Iterator[Any]:
        """The horse's rows of a sheet up to that day, by date."""
        frame = self.book.tables[sheet].kept
        own = frame[(frame["horse"] == self.horse.name) & (frame["date"].dt.date <= self.as_of)]
        yield from own.sort_values("date", kind="stable").itertuples()

    def cell(self, sheet: str, key: str, row: int) -> str:
        """Where a value stands, such as "Visits!A5"."""
        return self.book.tables[sheet].cell(key, row)

    def when(self, day: dt.date) -> str:
        """A day in words, with its week since the shoes came off."""
        return since_words(day, self.day_0)

    def size(self, wide: float) -> float:
        """A mark's size in pixels: smaller on a narrow screen."""
        return 0.75 * wide if self.narrow else wide
