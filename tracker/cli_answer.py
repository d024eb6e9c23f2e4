"""The command that answers a warning: what was done about it, on which day, and until when it may be quiet."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cells.text import fold
from tracker.cli_note import (
    DAY_FIRST,
    HOW_TO_ANSWER,
    NOT_WRITTEN,
    ask,
    can_ask,
    fate_told,
    moment,
    stop,
    tell_written,
)
from tracker.entry.form import Field, form_of
from tracker.problem import NotWritten, Unreadable
from tracker.sheets import FOLLOW_UP
from tracker.terms import VET_CALLED, VET_SEEN, WAYS_ANSWERED

if TYPE_CHECKING:
    from tracker.book import Book
    from tracker.derive.referral.firing import Firing

SAY_WHICH = (
    "Say which warning and what was done, such as: "
    "soundness answer {file} --warning lame-at-walk --vet-called 2026-03-04. {stands}"
)
ONE_DAY = "--vet-called, --vet-seen and --date name different days. Give one answer for each day, the earlier first."
_MAY_BE_QUIET = "quiet_until"
_NOW = "now"

Workbook = Annotated[Path, typer.Argument(metavar="FILE", help="Your workbook (.xlsx).")]
Horse = Annotated[str | None, typer.Option(help="The horse; the only one if left out.", show_default=False)]
Warned = Annotated[
    str | None,
    typer.Option(
        "--warning", metavar="NAME", help="The warning's name, such as lame-at-walk.", show_default=False
    ),
]
Called = Annotated[
    str | None, typer.Option(metavar="DATE", help="The day the vet was called.", show_default=False)
]
Seen = Annotated[
    str | None, typer.Option(metavar="DATE", help="The day the vet saw the horse.", show_default=False)
]
Done = Annotated[str | None, typer.Option(metavar="WORDS", help="What else was done.", show_default=False)]
Day = Annotated[
    str | None,
    typer.Option("--date", metavar="DATE", help="The day of it; today if left out.", show_default=False),
]
By = Annotated[str | None, typer.Option(metavar="WORDS", help="Who did it.", show_default=False)]
Outcome = Annotated[str | None, typer.Option(metavar="WORDS", help="What came of it.", show_default=False)]
Quiet = Annotated[
    str | None,
    typer.Option(
        metavar="DATE",
        help="Fold the warning away up to this day; not one that calls for a vet now.",
        show_default=False,
    ),
]
AddSheet = Annotated[
    bool,
    typer.Option(
        "--add-sheet", help="Add the Follow-up sheet where the workbook has none.", show_default=False
    ),
]
AddColumn = Annotated[
    bool, typer.Option("--add-column", help="Add the columns that the sheet lacks.", show_default=False)
]
Order = Annotated[bool | None, typer.Option("--day-first/--month-first", help=DAY_FIRST)]


def answer(
    file: Workbook,
    horse: Horse = None,
    warning: Warned = None,
    vet_called: Called = None,
    vet_seen: Seen = None,
    done: Done = None,
    day: Day = None,
    by: By = None,
    outcome: Outcome = None,
    quiet_until: Quiet = None,
    add_sheet: AddSheet = False,
    add_column: AddColumn = False,
    day_first: Order = None,
) -> None:
    """Write down what was done about a warning.

    Asks for what is left out. Ends with 0 where the answer is in the workbook, 1 where it was refused or is only
    kept beside it, 2 where nothing can be written.
    """
    from tracker.entry.enter import enter, may_enter

    given = {
        "date": _one_day(vet_called, vet_seen, day),
        "horse": horse,
        "warning": warning,
        "what_was_done": _what(vet_called, vet_seen, done),
        "by": by,
        "outcome": outcome,
        "quiet_until": quiet_until,
    }
    typed = {key: text for key, text in given.items() if text}
    try:
        may_enter(file)
        tell_written(file)
        if not {"warning", "what_was_done"} <= typed.keys():
            typed = _asked(file, typed, day_first)
        name = uuid.uuid4().hex
        with fate_told(file, name):
            entered = enter(
                file, FOLLOW_UP.name, typed, add_column=add_column, add_sheet=add_sheet, day_first=day_first,
                now=moment(), id=name,
            )  # fmt: skip
    except (NotWritten, Unreadable) as failure:
        stop(str(failure))
    from tracker.cli_entered import entered_text

    typer.echo(entered_text(file.name, entered))
    raise typer.Exit(0 if entered.state == "in the workbook" else NOT_WRITTEN)


def _what(called: str | None, seen: str | None, done: str | None) -> str:
    """What was done, in one cell: "vet called, vet seen"."""
    told = (VET_CALLED if called else "", VET_SEEN if seen else "", done or "")
    return ", ".join(part for part in told if part)


def _one_day(*days: str | None) -> str | None:
    """The day of the answer; one row has but one."""
    named = {day.strip() for day in days if day and day.strip()}
    if len(named) > 1:
        stop(ONE_DAY)
    return named.pop() if named else None


def _asked(file: Path, typed: dict[str, str], day_first: bool | None) -> dict[str, str]:
    """Ask for what is left out, in the order of the form; what was given is not asked again."""
    from tracker.book import open_book
    from tracker.entry.usual import horses_of
    from tracker.workbook.read import read_workbook

    book = open_book(file, on=moment().date(), day_first=day_first)
    if not can_ask():
        stop(SAY_WHICH.format(file=file.name, stands=_standing(_warnings(book, typed))))
    typer.echo(HOW_TO_ANSWER)
    raw, horses = read_workbook(file), horses_of(book)
    fields = {field.key: field for field in form_of(FOLLOW_UP.name)}
    usual = {"date": moment().date().isoformat()}
    told = dict(typed)
    if "horse" not in told and len(horses) > 1:
        ask(raw, replace(fields["horse"], choices=horses), told, {}, FOLLOW_UP.name)
    if "warning" not in told:
        told["warning"] = _which(_warnings(book, told))
    for key in ("what_was_done", "date", "by", "outcome", _MAY_BE_QUIET):
        if key not in told and not (key == _MAY_BE_QUIET and _stays(book, told)):
            ask(raw, _suggesting(fields[key]), told, usual, FOLLOW_UP.name)
    return told


def _suggesting(field: Field) -> Field:
    return (
        replace(field, hint=f"{', '.join(WAYS_ANSWERED)}, or your own words")
        if field.key == "what_was_done"
        else field
    )


def _warnings(book: Book, typed: dict[str, str]) -> list[Firing]:
    """The warnings that stand for the horse, or for all where none is named."""
    named = typed.get("horse", "")
    chosen = [horse for horse in book.horses if not named or fold(horse.name) == fold(named)]
    return [firing for horse in chosen for firing in horse.warnings]


def _standing(firings: Sequence[Firing]) -> str:
    names = ", ".join(dict.fromkeys(firing.name for firing in firings))
    return f"What stands now: {names}." if names else "No warning stands now."


def _which(firings: Sequence[Firing]) -> str:
    """Ask which warning is answered, by its number or by its name."""
    names = list(dict.fromkeys(firing.name for firing in firings))
    for number, name in enumerate(names, 1):
        first = next(firing for firing in firings if firing.name == name)
        typer.echo(f"{number}  {name} [{first.urgency}]: {first.because}")
    while True:
        answer = typer.prompt("Warning (its number, or its name)", "", show_default=False).strip()
        if answer.isascii() and answer.isdigit() and 1 <= int(answer) <= len(names):
            return names[int(answer) - 1]
        if answer and not answer.isdigit():
            return str(answer)


def _stays(book: Book, typed: dict[str, str]) -> bool:
    """Whether the warning calls for a vet now, so that it is not asked until when it may be quiet."""
    return any(
        firing.urgency == _NOW and fold(firing.name) == fold(typed["warning"])
        for firing in _warnings(book, typed)
    )
