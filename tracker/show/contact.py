"""The vet whom a horse's owner would ring, as the Horses sheet names them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tracker.book import Book
from tracker.cells.text import fold
from tracker.sheets import HORSES

_FEWEST_FIGURES = 3  # 112 and 999 are numbers too


@dataclass(frozen=True, slots=True)
class Contact:
    """The vet's name and number as typed; `dial` is the number as a telephone wants it, "" where it is none."""

    name: str
    phone: str
    dial: str


def vet_of(book: Book, horse: str) -> Contact:
    """The vet of that horse; empty words where the sheet names none."""
    known = book.tables[HORSES.name].frame
    mine = known[known["horse"].map(fold) == fold(horse)]
    if not len(mine):
        return Contact("", "", "")
    row = mine.iloc[-1]
    return Contact(str(row["vet"]), str(row["vet_phone"]), dialled(str(row["vet_phone"])))


def dialled(phone: str) -> str:
    """The number in the form of a tel link: "+44 (0)1632 960 001" gives "+441632960001"."""
    first = re.split(r"[a-z;,]| / ", phone.strip().casefold().removeprefix("tel").lstrip(".: "))[0]
    plus = "+" if first.lstrip(" (").startswith("+") else ""
    figures = re.sub(r"\D", "", first.replace("(0)", "") if plus else first)
    return plus + figures if len(figures) >= _FEWEST_FIGURES else ""
