"""What can be given out of the record, each with the words of its button, its file's name, and the way to make it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from tracker import Book, HorseRecord
from tracker.show.letter.choice import Choice
from tracker.show.letter.letter import letter_of
from tracker.show.letter.message import message
from tracker.show.letter.page import page
from tracker.show.shapes import shown_name

Make = Callable[[Book, HorseRecord, Choice], bytes]
_LONGEST = 80  # signs of a name in a file's name


@dataclass(frozen=True, slots=True)
class Made:
    """One kind of file: `said` on its button, `told` beside it; `name` is the file's, of horse and day."""

    said: str
    name: str
    kind: str
    make: Make
    told: str = ""


def _pdf(book: Book, horse: HorseRecord, choice: Choice) -> bytes:
    from tracker.show.letter.paper import paper

    return paper(letter_of(book, horse, choice))


def _page(book: Book, horse: HorseRecord, choice: Choice) -> bytes:
    return page(letter_of(book, horse, choice)).encode()


def _message(book: Book, horse: HorseRecord, choice: Choice) -> bytes:
    return message(letter_of(book, horse, choice)).encode()


def _calendar(book: Book, horse: HorseRecord, _: Choice) -> bytes:
    from tracker import calendar_bytes

    return calendar_bytes(book, horse.name)


def _tables(book: Book, _horse: HorseRecord, _: Choice) -> bytes:
    from tracker import export_zip

    return export_zip(book)


def _door(book: Book, horse: HorseRecord, choice: Choice) -> bytes:
    return _paper(book, horse, choice, measuring=False)


def _measuring(book: Book, horse: HorseRecord, choice: Choice) -> bytes:
    return _paper(book, horse, choice, days=None)


def _paper(book: Book, horse: HorseRecord, choice: Choice, **more: Any) -> bytes:
    from tracker.show.paper.card import Card, card_of, horses_on_paper
    from tracker.show.paper.paper import paper_pdf

    known = horses_on_paper(book.tables)
    name = next((name for name in known if name.casefold() == horse.name.casefold()), "")
    card = card_of(book.tables, name) if name else Card()
    return paper_pdf(card, book.as_of, paper=choice.paper, **more)


LETTER = {
    "pdf": Made("PDF", "{horse} for the vet {day}.pdf", "application/pdf", _pdf),
    "page": Made("Page (.html)", "{horse} for the vet {day}.html", "text/html; charset=utf-8", _page),
    "message": Made("Message (.txt)", "{horse} for the vet {day}.txt", "text/plain; charset=utf-8", _message),
}
BESIDE = {
    "door": Made(
        "Form for the barn door (PDF)",
        "{horse} barn door {day}.pdf",
        "application/pdf",
        _door,
        "A row a day for a month, to be filled in by pencil. The vet's name and number stand on it.",
    ),
    "measuring": Made(
        "Measuring sheet (PDF)",
        "{horse} measuring sheet {day}.pdf",
        "application/pdf",
        _measuring,
        "For the day of a trim: where to measure, and a place for each figure.",
    ),
    "calendar": Made(
        "Calendar (.ics)",
        "{horse} days {day}.ics",
        "text/calendar; charset=utf-8",
        _calendar,
        "The days of {horse} for your calendar program: the next trim, what a visit named, the steps of the plan. "
        "No warnings, and of what was typed only the steps. Take it in again after changes.",
    ),
    "tables": Made(
        "Plain tables (.zip)",
        "Record {day}.zip",
        "application/zip",
        _tables,
        "The whole record, every horse in it, as plain tables that any program reads. "
        "Remarks, names and numbers are in it too.",
    ),
}
EVERYTHING = LETTER | BESIDE


def named(made: Made, book: Book, horse: HorseRecord) -> str:
    """The name of the file: of the horse as it is written, without signs that a disk or a reader may trip over."""
    name = "".join(sign for sign in shown_name(horse.name) if unicodedata.category(sign)[0] != "C")
    name = " ".join(re.sub(r'[\\/:*?"<>|]', "-", name).split())[:_LONGEST].strip(" .-") or "horse"
    return made.name.format(horse=name, day=book.as_of.isoformat())


def attached(name: str) -> str:
    """The header that gives a download its name: in plain letters, and as it is (RFC 6266, RFC 8187)."""
    stem, _, ending = name.rpartition(".")
    folded = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode()
    plain = re.sub(r"[^A-Za-z0-9]+", "-", folded).strip("-")
    return f"attachment; filename=\"{plain}.{ending}\"; filename*=UTF-8''{quote(name, safe='')}"
