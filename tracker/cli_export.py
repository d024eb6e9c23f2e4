"""The commands that give things out for other programs: everything as plain tables, the days to come as a calendar."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli_asked import day_asked
from tracker.cli_note import DAY_FIRST, stop, tell_waiting
from tracker.problem import NotWritten, Unreadable

FORMATS = ("csv", "parquet")

Workbook = Annotated[
    Path, typer.Argument(metavar="FILE", help="Your workbook, or any file that can be read.")
]
On = Annotated[
    str | None,
    typer.Option(
        metavar="DATE", help="As of this day, such as 2026-03-04; today if left out.", show_default=False
    ),
]
Order = Annotated[bool | None, typer.Option("--day-first/--month-first", help=DAY_FIRST)]


def export(
    file: Workbook,
    to: Annotated[Path, typer.Option(metavar="FOLDER", help="The folder to make.")],
    on: On = None,
    format: Annotated[str, typer.Option(metavar="csv|parquet", help="Parquet cannot be read back.")] = "csv",  # noqa: A002
    day_first: Order = None,
) -> None:
    """Write everything out as plain tables.

    The sheets as they were read, what was set aside, what was worked out: CSV files with a description of every
    column. The folder can be opened, reviewed and copied like the workbook itself.
    """
    from tracker.show.export.save import export_book
    from tracker.show.export.told import exported_text

    if format not in FORMATS:
        stop(f"--format {format} is not known. It is csv or parquet.")
    day = day_asked(on)
    try:
        rows = export_book(file, to, on=day, day_first=day_first, format=format)
    except (NotWritten, Unreadable) as failure:
        stop(str(failure))
    typer.echo(exported_text(file.name, to, rows, day or dt.date.today(), format))
    tell_waiting(file)


def calendar(
    file: Workbook,
    out: Annotated[
        Path, typer.Option(metavar="FILE.ics", help="The calendar to make, or to bring up to date.")
    ],
    horse: Annotated[str | None, typer.Option(help="Only this horse.", show_default=False)] = None,
    details: Annotated[
        bool,
        typer.Option("--details", help="Put in who set or advised it and what; think who sees the calendar."),
    ] = False,
    on: On = None,
    day_first: Order = None,
) -> None:
    """Write the days to come as a calendar (.ics).

    The next trim, the days that a visit named, the steps of a plan, a note that would help, the end of a quiet. No
    warnings, and without --details nothing that was typed beside them. Taken in again, it changes what is there.
    """
    from tracker.book import open_book, require_records
    from tracker.show.calendar.save import write_calendar
    from tracker.show.shapes import shown_name

    if out.suffix.lower() != ".ics":
        stop(f"A calendar's name ends in .ics: try {out.with_suffix('.ics')}.")
    day = day_asked(on)
    try:
        book = open_book(file, on=day, day_first=day_first)
        require_records(book, file)
        if horse is not None and book.horse(horse) is None:
            names = ", ".join(shown_name(one.name) for one in book.horses)
            stop(f"There is no horse {horse} in {file.name}. Its horses: {names}.")
        count = write_calendar(book, out, horse, details=details)
    except (NotWritten, Unreadable) as failure:
        stop(str(failure))
    days = "1 event" if count == 1 else f"{count} events"
    typer.echo(
        f"Written into {out}: {days}. Take the file into your calendar program again after each change."
    )
    tell_waiting(file)
