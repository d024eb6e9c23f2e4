"""The command that makes paper to write on: the form for the barn door, and the measuring sheet for a trim."""

from __future__ import annotations

import datetime as dt
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cells.text import fold
from tracker.cli_asked import day_asked, write_out
from tracker.cli_note import moment, stop, tell_waiting
from tracker.problem import Unreadable

if TYPE_CHECKING:
    from tracker.show.paper.card import Card

DAYS, LONGEST = 31, 366


class Sheet(StrEnum):
    """The paper in the printer."""

    A4 = "a4"
    US_LETTER = "us-letter"


File = Annotated[
    Path | None,
    typer.Argument(
        metavar="[FILE]", help="Your workbook: the vet's number, usual check and scale are taken from it."
    ),
]
Out = Annotated[
    Path, typer.Option(metavar="PDF", help="The file to make, such as barn.pdf.", show_default=False)
]
Horse = Annotated[
    str | None,
    typer.Option(
        help="The horse; the workbook's only one, or a line to write on, if left out.", show_default=False
    ),
]
Days = Annotated[
    int | None,
    typer.Option(
        min=1, max=LONGEST, help=f"Rows of the form, one a day; {DAYS} if left out.", show_default=False
    ),
]
First = Annotated[
    str | None,
    typer.Option(
        "--from",
        metavar="DATE",
        help="Print the dates from this day on, such as 2026-03-04.",
        show_default=False,
    ),
]
Measuring = Annotated[bool, typer.Option("--measuring", help="Only the measuring sheet.", show_default=False)]
Daily = Annotated[bool, typer.Option("--daily", help="Only the form for the barn door.", show_default=False)]
Paper = Annotated[Sheet, typer.Option("--sheet", help="The paper in your printer.")]


def paper(
    out: Out,
    file: File = None,
    horse: Horse = None,
    days: Days = None,
    first: First = None,
    daily: Daily = False,
    measuring: Measuring = False,
    sheet: Paper = Sheet.A4,
) -> None:
    """Make a form to fill in by pencil, as a PDF.

    A row a day for the barn door, and a measuring sheet for a trim; typed into the workbook later. Never over an
    existing file.
    """
    only_measuring = measuring and not daily
    if only_measuring and (days is not None or first is not None):
        stop("--days and --from belong to the form for the barn door, which --measuring alone leaves out.")
    _refuse_name(out)
    start = _day(first, days or DAYS)
    card = _card(file, horse)
    rows = None if only_measuring else days or DAYS
    from tracker.show.paper.paper import paper_pdf

    both = measuring == daily
    content = paper_pdf(
        card, moment().date(), days=rows, start=start, measuring=both or measuring, paper=sheet.value
    )
    write_out(out, content)
    typer.echo(_made(out, rows, both or measuring))
    if file is not None:
        _tell_lacking(card, file, rows)
        tell_waiting(file)


def _refuse_name(out: Path) -> None:
    if out.suffix.lower() != ".pdf":
        stop(f"The form's name ends in .pdf: try {out.with_suffix('.pdf') if out.name else 'barn.pdf'}.")
    if out.exists() or out.is_symlink():
        stop(f"{out} is there already and was not touched. Choose another name.")


def _day(text: str | None, days: int) -> dt.date | None:
    first = day_asked(text, "--from")
    if first is not None and (dt.date.max - first).days < days - 1:
        stop(f"--from {text} is too late for {days} days: the calendar ends with the year 9999.")
    return first


def _card(file: Path | None, horse: str | None) -> Card:
    """What stands at the head; from the workbook where one is given."""
    from tracker.show.paper.card import Card, card_of, horses_on_paper

    if file is None:
        return Card(horse or "")
    from tracker.book import check_book

    try:
        tables = check_book(file).tables
    except Unreadable as failure:
        tell_waiting(file)
        stop(str(failure))
    known = horses_on_paper(tables)
    if not known:
        return Card(horse or "")
    if horse is None:
        if len(known) > 1:
            stop(f"Say which horse, with --horse. The horses in {file.name}: {', '.join(known)}.")
        return card_of(tables, known[0])
    found = next((name for name in known if fold(name) == fold(horse)), None)
    if found is None:
        stop(f"There is no horse {horse} in {file.name}. Its horses: {', '.join(known)}.")
    return card_of(tables, found)


def _made(out: Path, rows: int | None, measuring: bool) -> str:
    parts = [] if rows is None else [f"a form for {rows} {'day' if rows == 1 else 'days'}"]
    if measuring:
        parts.append("a measuring sheet of two pages, for both sides of one paper")
    return f"Made {out}: {' and '.join(parts)}."


def _tell_lacking(card: Card, file: Path, rows: int | None) -> None:
    """Say where the number to ring has to be written by hand."""
    from tracker.show.paper.card import PHONE_ROOM, whole_or_none

    if rows is not None and not whole_or_none(card.phone, PHONE_ROOM):
        why = "is too long for it" if card.phone else "is empty"
        typer.echo(f"Write the vet's number on the form: Vet phone on the sheet Horses of {file.name} {why}.")
