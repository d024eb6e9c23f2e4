"""The commands that write: note and undo. The options and the questions come from the Soundness sheet's declaration."""

from __future__ import annotations

import contextlib
import datetime as dt
import inspect
import sys
import uuid
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer

from tracker.cells.text import fold, listed
from tracker.entry.form import Field, form_of
from tracker.problem import ERROR, KINDS, NotWritten, Problem, Unreadable
from tracker.sheets import SOUNDNESS
from tracker.terms import YES

NOT_WRITTEN, IMPOSSIBLE = 1, 2

NOTHING_GIVEN = (
    "Say what to note, such as: soundness note {file} --limb LF --score 2 --gait trot. "
    "In a terminal, soundness note {file} alone asks for each in turn."
)
DAY_FIRST = "How to read dates such as 4/3/26 where the workbook does not show it."
ADD, REMARKS, LEAVE_OUT = "a", "r", "-"
HOW_TO_ANSWER = "Enter leaves a question out, or takes what stands in brackets; - leaves that out too."


def note(
    file: Path,
    add_column: bool,
    to_remarks: bool,
    add_sheet: bool,
    day_first: bool | None,
    **given: str | None,
) -> None:
    """Write a daily note into the workbook.

    Without any option it asks. Ends with 0 where the note is in the workbook, 1 where it was refused or is
    only kept beside it, 2 where nothing can be written.
    """
    from tracker.entry.enter import enter, may_enter

    try:
        may_enter(file)
        tell_written(file)
        typed = {key: text for key, text in given.items() if text is not None}
        if not typed:
            if not can_ask():
                stop(NOTHING_GIVEN.format(file=file.name))
            typed, choice = _asked(file, ask_all=add_column or to_remarks or add_sheet)
            add_column, to_remarks = add_column or choice == ADD, to_remarks or choice == REMARKS
        name = uuid.uuid4().hex
        with fate_told(file, name):
            entered = enter(
                file,
                SOUNDNESS.name,
                typed,
                add_column=add_column,
                to_remarks=to_remarks,
                add_sheet=add_sheet,
                day_first=day_first,
                now=moment(),
                id=name,
            )
    except (NotWritten, Unreadable) as failure:
        stop(str(failure))
    from tracker.cli_entered import entered_text

    typer.echo(entered_text(file.name, entered))
    raise typer.Exit(0 if entered.state == "in the workbook" else NOT_WRITTEN)


@contextlib.contextmanager
def fate_told(file: Path, name: str) -> Iterator[None]:
    """Where an entry is broken off in the middle, say what has become of it."""
    try:
        yield
    except (NotWritten, Unreadable):
        raise
    except (Exception, KeyboardInterrupt) as failure:
        from tracker.cli_entered import fate_text
        from tracker.entry.pending import state_of

        typer.echo(fate_text(file.name, state_of(file, name)), err=True)
        if isinstance(failure, KeyboardInterrupt):
            raise typer.Exit(NOT_WRITTEN) from failure
        raise


def option_of(field: Field) -> str:
    """The option of a field: --than-last-time."""
    return f"--{field.key.replace('_', '-')}"


def _parameters() -> Iterator[inspect.Parameter]:
    def parameter(name: str, annotation: object, default: object) -> inspect.Parameter:
        return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, annotation=annotation, default=default)

    workbook = typer.Argument(metavar="FILE", help="Your workbook (.xlsx).")
    yield parameter("file", Annotated[Path, workbook], inspect.Parameter.empty)
    for field in form_of(SOUNDNESS.name):
        option = typer.Option(option_of(field), help=field.hint, metavar="WORDS", show_default=False)
        yield parameter(field.key, Annotated[str | None, option], None)
    for name, words in _FLAGS.items():
        option = typer.Option(f"--{name.replace('_', '-')}", help=words, show_default=False)
        yield parameter(name, Annotated[bool, option], False)
    order = typer.Option("--day-first/--month-first", help=DAY_FIRST)
    yield parameter("day_first", Annotated[bool | None, order], None)


_FLAGS = {
    "add_column": "Add the columns that the sheet lacks for this note.",
    "to_remarks": "Put what has no column into Remarks.",
    "add_sheet": "Add the Soundness sheet where the workbook has none.",
}
note.__signature__ = inspect.Signature(list(_parameters()))  # type: ignore[attr-defined]
note.__annotations__ = {}


def undo(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Your workbook (.xlsx).")],
    waiting: Annotated[
        bool, typer.Option("--waiting", help="Drop the last entry that still waits to be written.")
    ] = False,
) -> None:
    """Take the last entry back.

    Only as long as its cells hold what was entered. Ends with 1 where it cannot be taken back.
    """
    from tracker.cli_entered import taken_back_text
    from tracker.entry.undo import undo as take_back

    try:
        result = take_back(file, waiting=waiting)
    except (NotWritten, Unreadable) as failure:
        stop(str(failure))
    typer.echo(taken_back_text(file.name, result))
    raise typer.Exit(NOT_WRITTEN if result.reason else 0)


def tell_written(file: Path) -> None:
    """Write what waits for the workbook, and say so."""
    from tracker.cli_entered import written_text
    from tracker.entry.pending import write_pending

    if text := written_text(file.name, write_pending(file)):
        typer.echo(text)


def tell_waiting(file: Path, *, aside: bool = False) -> None:
    """Say what still waits for the workbook, if anything; `aside` where the output is for other programs."""
    from tracker.cli_entered import waiting_text
    from tracker.entry.pending import pending
    from tracker.entry.urgent import waiting_warnings

    found = pending(file)
    if text := waiting_text(file.name, found, waiting_warnings(file, found.entries)):
        typer.echo(text, err=aside)


def with_waiting(file: Path, data: dict[str, Any]) -> dict[str, Any]:
    """The data with what waits for the workbook beside it, for JSON."""
    from tracker.cli_entered import waiting_data
    from tracker.entry.pending import pending
    from tracker.entry.urgent import waiting_warnings

    found = pending(file)
    return {**data, "waiting": waiting_data(found, waiting_warnings(file, found.entries))}


def moment() -> dt.datetime:
    """Now; an entry is of this moment."""
    return dt.datetime.now()


def can_ask() -> bool:
    """Whether somebody sits at a terminal."""
    return sys.stdin.isatty()


def _asked(file: Path, *, ask_all: bool) -> tuple[dict[str, str], str]:
    """Ask the fields in order, those without a column only when it is wished; and what is to become of these."""
    from tracker.book import open_book
    from tracker.entry.page import page_of
    from tracker.entry.usual import form_defaults, horses_of
    from tracker.workbook.read import read_workbook

    raw = read_workbook(file)
    page = page_of(raw, SOUNDNESS)
    if page.is_new and not ask_all:
        raise NotWritten("entry-no-sheet", sheet=SOUNDNESS.name)
    book = open_book(file)
    usual = form_defaults(book, SOUNDNESS.name, today=moment().date())
    fields = [
        replace(field, choices=horses_of(book)) if field.kind == "horse" else field
        for field in form_of(SOUNDNESS.name)
    ]
    has_place = [field for field in fields if ask_all or field.key in page.places]
    lacking = [field for field in fields if field not in has_place]
    typed: dict[str, str] = {}
    typer.echo(HOW_TO_ANSWER)
    for field in has_place:
        if field.at_once:
            ask(raw, field, typed, usual)
    for question, more, offered in (
        ("More", [field for field in has_place if not field.at_once], usual),
        ("Something for which your sheet has no column", lacking, {}),
    ):
        if more and _wants(question, ", ".join(field.heading for field in more)):
            for field in more:
                ask(raw, field, typed, offered)
    homeless = [field.heading for field in lacking if field.key in typed]
    choice = _place_for(homeless, REMARKS if "remarks" in page.places else "") if homeless else ""
    if choice == LEAVE_OUT:
        typed = {key: text for key, text in typed.items() if key in page.places}
    return typed, choice


def _place_for(headings: list[str], remarks: str) -> str:
    """Ask where the values without a column go."""
    into = f", {remarks} puts it into Remarks" if remarks else ""
    question = f"No column for {listed(headings).replace(' or ', ' and ')}: {ADD} adds it{into}, {LEAVE_OUT} leaves it out"
    while True:
        answer = fold(typer.prompt(question, "", show_default=False))
        if answer in (ADD, remarks or ADD, LEAVE_OUT):
            return answer


def _wants(question: str, headings: str) -> bool:
    return fold(typer.prompt(f"{question} ({headings})? y, or Enter", "", show_default=False)) in YES


def ask(
    raw: Any, field: Field, typed: dict[str, str], usual: dict[str, str], sheet: str = SOUNDNESS.name
) -> None:
    """Ask until the answer can be read; what cannot be is told in the words of the check."""
    from tracker.entry.look import look_over
    from tracker.show.text import problem_text

    while True:
        answer = typer.prompt(
            _question(field, usual.get(field.key, "")), usual.get(field.key, ""), show_default=False
        )
        if not answer.strip() or answer.strip() == "-":
            return
        look = look_over(
            raw, sheet, typed | {field.key: answer}, add_column=True, add_sheet=True, now=moment()
        )
        bad = [problem for problem in look.problems if problem.column == field.heading and _unread(problem)]
        if not bad:
            typed[field.key] = answer
            return
        for problem in bad:
            typer.echo(problem_text(problem))


def _question(field: Field, usual: str) -> str:
    """A field's question, with the words allowed and what Enter takes."""
    asked = f"{field.heading} ({listed(field.choices) if field.choices else field.hint.rstrip('.')})"
    return f"{asked} [{usual}]" if usual else asked


def _unread(problem: Problem) -> bool:
    return problem.severity == ERROR or KINDS[problem.kind].outcome == "cell"


def stop(sentence: str) -> NoReturn:
    """Say why nothing can be written, and end."""
    typer.echo(sentence, err=True)
    raise typer.Exit(IMPOSSIBLE)
