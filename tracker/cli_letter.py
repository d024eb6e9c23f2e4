"""The command that writes the letter to the vet: as a PDF, as a page, or as a message."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli_asked import day_asked, horse_asked, write_out
from tracker.cli_note import DAY_FIRST, stop, tell_waiting
from tracker.problem import Unreadable

if TYPE_CHECKING:
    from tracker.book import Book
    from tracker.show.letter.blocks import Letter

KINDS = (".pdf", ".html", ".txt")

Workbook = Annotated[
    Path, typer.Argument(metavar="FILE", help="Your workbook, or any file that can be read.")
]
Horse = Annotated[str | None, typer.Option(help="The horse; the only one if left out.", show_default=False)]
Out = Annotated[
    Path | None,
    typer.Option(
        metavar="NAME", help="The file to make: .pdf, .html or .txt. Left out: it is only shown, as a message.",
        show_default=False,
    ),
]  # fmt: skip
Question = Annotated[str, typer.Option(metavar="TEXT", help="What you ask the vet.", show_default=False)]
On = Annotated[
    str | None, typer.Option(metavar="DATE", help="As of this day; today if left out.", show_default=False)
]
Since = Annotated[
    str | None,
    typer.Option("--from", metavar="DATE", help="Tell of the time since this day.", show_default=False),
]
Until = Annotated[
    str | None,
    typer.Option("--to", metavar="DATE", help="Tell of the time up to this day.", show_default=False),
]
With = Annotated[
    list[str] | None,
    typer.Option(
        "--with",
        metavar="WHAT",
        help="Put in: remarks, names, phones, photos. May be given again.",
        show_default=False,
    ),
]
Without = Annotated[
    list[str] | None,
    typer.Option(
        "--without",
        metavar="PART",
        help="Leave out: warnings, course, work … May be given again.",
        show_default=False,
    ),
]
Paper = Annotated[str, typer.Option(metavar="a4|us-letter", help="The paper of the PDF.")]
Order = Annotated[bool | None, typer.Option("--day-first/--month-first", help=DAY_FIRST)]


def letter(
    file: Workbook,
    horse: Horse = None,
    question: Question = "",
    out: Out = None,
    on: On = None,
    since: Since = None,
    until: Until = None,
    extras: With = None,
    without: Without = None,
    paper: Paper = "a4",
    day_first: Order = None,
) -> None:
    """Write a letter about a horse to the vet.

    Remarks, names, phone numbers and photographs are left out unless you put them in. Read it before you send it.
    """
    from tracker.book import open_book, require_records

    if out is not None and out.suffix.lower() not in KINDS:
        stop(f"The letter's name ends in .pdf, .html or .txt: try {out.with_suffix('.pdf')}.")
    days = {"on": day_asked(on), "since": day_asked(since, "--from"), "until": day_asked(until, "--to")}
    if days["since"] and days["until"] and days["since"] > days["until"]:
        stop("--from is a later day than --to. Give the earlier day to --from.")
    try:
        book = open_book(file, on=days["on"], day_first=day_first)
        require_records(book, file)
    except Unreadable as failure:
        stop(str(failure))
    if days["since"] and days["since"] > book.as_of:
        stop(f"--from is later than the record's last day, {book.as_of}. Give it an earlier day.")
    drawn = _drawn_up(book, horse, question, days, (extras or (), without or ()), paper)
    if out is None:
        from tracker.show.letter.message import message

        typer.echo(message(drawn), nl=False)
    else:
        write_out(out, _set(drawn, out.suffix.lower()))
        typer.echo(f"Made {out}. {drawn.left_out} Read it before you send it.")
    tell_waiting(file, aside=out is None)


def _drawn_up(
    book: Book, horse: str | None, question: str, days: dict[str, dt.date | None],
    chosen: tuple[Sequence[str], Sequence[str]], paper: str,
) -> Letter:  # fmt: skip
    from tracker.show.letter.choice import Choice
    from tracker.show.letter.letter import letter_of

    extras, without = (
        frozenset(word for words in given for word in words.replace(",", " ").split()) for given in chosen
    )
    try:
        choice = Choice(question, without, extras, days["since"], days["until"], paper)
    except ValueError as unknown:
        stop(f"Not known: {unknown}.")
    return letter_of(book, horse_asked(book, horse), choice)


def _set(drawn: Letter, kind: str) -> bytes:
    if kind == ".pdf":
        from tracker.show.letter.paper import paper

        return paper(drawn)
    if kind == ".html":
        from tracker.show.letter.page import page

        return page(drawn).encode("utf-8")
    from tracker.show.letter.message import message

    return message(drawn).encode("utf-8")
