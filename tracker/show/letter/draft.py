"""What the parts of a letter are drawn up from: the record, the days it tells of, and what is private in it."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from tracker.book import Book, HorseRecord
from tracker.cells.text import fold
from tracker.derive.rows import each
from tracker.sheets import FOLLOW_UP, HORSES, PAIN_RELIEF, PLAN, SOUNDNESS, VISITS
from tracker.show import words
from tracker.show.charts.time_axis import first_off
from tracker.show.letter.choice import Choice
from tracker.show.shapes import HorseView

_PEOPLE = (
    (HORSES, "trimmer"), (HORSES, "vet"), (SOUNDNESS, "seen_by"), (VISITS, "name"),
    (PAIN_RELIEF, "given_by_order_of"), (PLAN, "set_by"), (FOLLOW_UP, "by"),
)  # fmt: skip
_MOST = 400  # signs of one cell; a letter that is not read helps nobody
_NAME, _NUMBER = "[name left out]", "[number left out]"
_PHONE = re.compile(r"\+?\(?\d(?:[\s()/.-]{0,3}\d){6,}")
_DATE = re.compile(r"\d{4}-\d\d-\d\d|\d{1,2}[./]\d{1,2}[./]\d{2,4}")
_CALENDAR = {*calendar.month_name, *calendar.month_abbr, *calendar.day_name, *calendar.day_abbr}
_ROLES = SOUNDNESS.by_key["seen_by"].choices


@dataclass(frozen=True)
class Draft:
    """A book, one horse of it as derived and in words, and what the sender has chosen."""

    book: Book
    horse: HorseRecord
    view: HorseView
    choice: Choice

    @cached_property
    def day_0(self) -> dt.date | None:
        """The day the first shoes came off."""
        return first_off(self.horse.shoes_off, self.book.as_of)

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
        """What somebody typed, in one line, without names and numbers of people unless these are put in."""
        line = self.nameless(" ".join(words.value(text).split()))
        line = line if len(line) <= _MOST else f"{line[:_MOST].rstrip()} … [cut here]"
        if not self.with_("phones"):
            line = _PHONE.sub(lambda found: found[0] if _DATE.search(found[0]) else _NUMBER, line)
        return line

    def nameless(self, text: str) -> str:
        """The text without names of people, unless these are put in."""
        return text if self.with_("names") or not self._people else self._people.sub(_NAME, text)

    @cached_property
    def _people(self) -> re.Pattern[str] | None:
        """Every person whom the workbook names, by the whole name or by one of its capitalised words."""
        typed = {
            name
            for sheet, key in _PEOPLE
            for name in self.book.tables[sheet.name].frame[key].unique()
            if str(name)[:1].isupper() and str(name).casefold() not in _ROLES
        }
        parts = {part for name in typed for part in re.findall(r"\w{2,}", name) if part[:1].isupper()}
        horses = {part for horse in self.book.horses for part in horse.name.split()}
        names = sorted(typed | (parts - horses - _CALENDAR), key=len, reverse=True)
        return re.compile(rf"\b(?:{'|'.join(map(re.escape, names))})\b") if names else None
