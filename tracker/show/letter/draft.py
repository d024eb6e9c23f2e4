"""What the parts of a letter are drawn up from: the record, the days it tells of, and what is private in it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from tracker.book import Book, HorseRecord
from tracker.cells.text import fold
from tracker.derive.rows import each
from tracker.derive.soundness import Series
from tracker.derive.worsening.record import NONE
from tracker.sheets import HORSES
from tracker.show import words
from tracker.show.charts.time_axis import first_off
from tracker.show.letter.choice import Choice
from tracker.show.letter.isolate import isolated
from tracker.show.letter.private import names_in, without_names, without_numbers
from tracker.show.shapes import HorseView

BREVITIES = range(4)  # from everything that a letter tells to the least
_SIGNS = (400, 400, 240, 160)  # of one cell; a letter that is not read helps nobody
# Signs that turn the order of others round, and are not seen: they would reach beyond what was typed (Unicode UAX 9).
_TURNS = dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)))


@dataclass(frozen=True)
class Draft:
    """A book, one horse of it as derived and in words, what the sender has chosen, and how briefly it is told."""

    book: Book
    horse: HorseRecord
    view: HorseView
    choice: Choice
    brevity: int = BREVITIES[0]

    def most(self, *of_each: int) -> int:
        """How many are told: the first figure where there is room, the next ones where the letter must be shorter."""
        return of_each[min(self.brevity, len(of_each) - 1)]

    @cached_property
    def day_0(self) -> dt.date | None:
        """The day the first shoes came off."""
        return first_off(self.horse.shoes_off, self.book.as_of)

    @cached_property
    def _suspect(self) -> frozenset[int]:
        return frozenset(row for one in self.horse.watches if one.signal != NONE for row in one.rows)

    def may_be_worse(self, *series: Series) -> bool:
        """Whether a signal rests on these grades: they are told however short the letter."""
        return any(point.row in self._suspect for one in series for point in one.points)

    @cached_property
    def until(self) -> dt.date:
        """The last day that is told of."""
        return min(self.choice.until or self.book.as_of, self.book.as_of)

    def tells_of(self, first: dt.date, last: dt.date | None = None) -> bool:
        """Whether something of these days belongs into the letter; it goes on where it has no last day."""
        begins = self.choice.since or dt.date.min
        return first <= self.until and (last or first if last else dt.date.max) >= begins

    def on(self, day: dt.date) -> bool:
        """Whether the letter tells of that day."""
        return self.tells_of(day, day)

    def rows(self, sheet: str) -> Iterator[Any]:
        """The horse's rows of a dated sheet, by date."""
        kept = self.book.tables[sheet].kept
        own = kept[kept["horse"] == self.horse.name]
        yield from (row for row in each(own.sort_values("date", kind="stable")) if self.on(row.date.date()))

    def set_aside(self, sheet: str) -> int:
        """How many rows of a sheet could not be used, the horse's own and those that name none of the book's."""
        table = self.book.tables[sheet]
        others = {horse.name for horse in self.book.horses} - {self.horse.name}
        aside = table.frame.loc[sorted(table.set_aside), "horse"]
        return int((~aside.isin(others)).sum())

    @cached_property
    def sheet_row(self) -> Any | None:
        """The horse's row of the sheet Horses; None where it has none."""
        known = self.book.tables[HORSES.name].frame
        mine = known[known["horse"].map(fold) == fold(self.horse.name)]
        return mine.iloc[-1] if len(mine) else None

    def with_(self, extra: str) -> bool:
        """Whether the sender puts that extra in."""
        return extra in self.choice.extras

    def typed(self, text: object) -> str:
        """What somebody typed, in one line that stays within its own words, without what is private in it."""
        line = self.private(" ".join(words.value(text).split()))
        most = self.most(*_SIGNS)
        return isolated(line if len(line) <= most else f"{line[:most].rstrip()} … [cut here]")

    def private(self, text: str) -> str:
        """The text without names and numbers of people, unless these are put in, and without what turns it round."""
        text = self.nameless(text.translate(_TURNS))
        return text if self.with_("phones") else without_numbers(text)

    def nameless(self, text: str) -> str:
        """The text without names of people, unless these are put in."""
        return text if self.with_("names") else without_names(text, self._people)

    @cached_property
    def _people(self) -> re.Pattern[str] | None:
        return names_in(self.book)
