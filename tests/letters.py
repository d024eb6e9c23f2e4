"""Books and letters for the tests of what leaves the barn."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

from entries import barn

from tracker.book import Book, open_book
from tracker.show.letter.blocks import Facts, Letter, Lines, Part, Photo, Picture, Points, Rows
from tracker.show.letter.choice import Choice
from tracker.show.letter.letter import letter_of

ON = dt.date(2026, 11, 20)
SAMPLES = Path(__file__).parents[1] / "sample_workbooks"
YEAR = SAMPLES / "a-year-barefoot.xlsx"


@cache
def year() -> Book:
    """The sample year, as of its last day."""
    return open_book(YEAR, on=ON)


def of_year(**choice: object) -> Letter:
    """The letter about the horse of the sample year."""
    book = year()
    return letter_of(book, book.horses[0], Choice(**choice))  # type: ignore[arg-type]


def of(
    folder: Path,
    *,
    on: dt.date = dt.date(2026, 6, 30),
    choice: Choice | None = None,
    **sheets: list[dict[str, object]],
) -> Letter:
    """The letter about the first horse of a workbook that is written for it."""
    book = open_book(
        barn(
            folder,
            **{
                name.replace("Follow_up", "Follow-up").replace("_", " "): rows
                for name, rows in sheets.items()
            },
        ),
        on=on,
    )
    return letter_of(book, book.horses[0], choice)


def part(letter: Letter, key: str) -> Part:
    """The part of that name."""
    return next(one for one in letter.parts if one.key == key)


def told(one: Part | None) -> str:
    """Everything that a part says, one thing a line."""
    said: list[str] = []
    for block in one.blocks if one else ():
        match block:
            case Facts():
                said += [f"{name}: {text}" for name, text in block.facts]
            case Lines():
                said += block.lines
            case Points():
                said += [" | ".join(point) for point in block.points]
            case Rows():
                said += [" | ".join(row) for row in (block.heads, *block.rows)] + [block.note]
            case Picture():
                said += [block.told, block.note]
            case Photo():
                said.append(block.told)
    return "\n".join(said)


def everything(letter: Letter) -> str:
    """All words of a letter."""
    return "\n".join(
        [
            letter.title,
            letter.dated,
            *(f"{one.title}\n{told(one)}\n" + "\n".join(one.brief) for one in letter.parts),
            letter.left_out,
            letter.caution,
        ]
    )
