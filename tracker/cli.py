"""The commands: new, copy, check, review, open, demo; note and undo come from cli_note, answer from cli_answer, letter from cli_letter, paper from cli_paper, export and calendar from cli_export. Each loads only what it needs."""

from __future__ import annotations

import datetime as dt
import gc
import logging
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer

from tracker.cli_answer import answer
from tracker.cli_asked import day_asked
from tracker.cli_export import calendar, export
from tracker.cli_letter import letter
from tracker.cli_note import note, tell_waiting, tell_written, undo, with_waiting
from tracker.cli_paper import paper
from tracker.problem import NotWritten, Problem, Unreadable

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Keep a lame horse's record in a plain workbook; see its progress since the shoes came off, with early warnings.",
    epilog="It records and warns. It is no substitute for an examination by a vet.",
)

PROBLEMS, UNREADABLE = 1, 2
COLLECT_AFTER = 10_000  # a book is many small objects that stay: to look for garbage after every 700 is slow
Workbook = Annotated[Path, typer.Argument(metavar="FILE", help="Your workbook (.xlsx).")]
Json = Annotated[bool, typer.Option("--json", help="Print the same as JSON, for other programs.")]
DayFirst = Annotated[
    bool | None,
    typer.Option(
        "--day-first/--month-first",
        help="How to read dates such as 4/3/26 where the workbook does not show it.",
    ),
]
Browser = Annotated[
    bool, typer.Option("--browser/--no-browser", help="Open the browser, or only print the address.")
]
Port = Annotated[int, typer.Option(min=0, max=65535, help="Port on this computer; 0 takes any free one.")]


@app.command()
def new(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The workbook to make, such as my-horse.xlsx.")
    ],
) -> None:
    """Make a blank workbook."""
    from tracker.workbook.new.blank import write_blank

    if file.suffix.lower() != ".xlsx":
        _stop(f"A workbook's name ends in .xlsx: try {file.with_suffix('.xlsx')}.")
    try:
        write_blank(file)
    except FileExistsError:
        _stop(f"{file} is there already and was not touched. Choose another name.")
    except OSError as failure:
        _stop(f"{file} could not be written: {failure.strerror}. Look at the folder and your rights in it.")
    typer.echo(f"Made {file}. Open it in your spreadsheet program; its first sheet says how to fill it in.")


@app.command()
def copy(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="What to copy: any file that can be read.")],
    new_file: Annotated[Path, typer.Argument(metavar="NEW", help="The .xlsx file to make.")],
) -> None:
    """Make an .xlsx copy of a workbook kept in another format.

    Copies the cells of .xls, .xlsb, .xlsm, .ods or a folder of CSV files; never over an existing file.
    """
    from tracker.show.copied import copied_text
    from tracker.workbook.new.copy import copy_workbook
    from tracker.workbook.read import read_workbook

    if new_file.suffix.lower() != ".xlsx":
        _stop(f"The copy's name ends in .xlsx: try {file.stem}-copy.xlsx.")
    try:
        copied = copy_workbook(read_workbook(file), new_file)
    except (Unreadable, NotWritten) as failure:
        _stop(str(failure))
    except FileExistsError:
        _stop(f"{new_file} is there already and was not touched. Choose another name.")
    except OSError as failure:
        _stop(
            f"{new_file} could not be written: {failure.strerror}. Look at the folder and your rights in it."
        )
    typer.echo(copied_text(copied, file.name, new_file.name))


@app.command()
def check(
    file: Workbook,
    json: Json = False,
    show_all: Annotated[bool, typer.Option("--all", help="Show every problem, however many.")] = False,
    mark: Annotated[
        Path | None,
        typer.Option(metavar="COPY", help="Make an .xlsx copy in which the cells are coloured and noted."),
    ] = None,
    day_first: DayFirst = None,
) -> None:
    """List the workbook's problems, cell by cell.

    Ends with 0 where there is none, 1 where there are problems, 2 where the file cannot be read.
    """
    from tracker.book import check_book, require_records

    if mark:
        _refuse_name(file, mark)
    try:
        checked = check_book(file, day_first=day_first)
        require_records(checked, file)
    except Unreadable as failure:
        _unreadable(failure, file, json)
    if json:
        from tracker.show.as_json import check_data

        _print_json(with_waiting(file, check_data(file.name, checked.problems, checked.rows)))
    else:
        from tracker.show.text import check_text

        typer.echo(check_text(file.name, checked.problems, checked.rows, show_all=show_all))
    tell_waiting(file, aside=json)
    if mark:
        _mark(file, mark, checked.problems, aside=json)
    raise typer.Exit(PROBLEMS if checked.problems else 0)


@app.command()
def review(
    file: Workbook,
    horse: Annotated[str | None, typer.Option(help="Only this horse.")] = None,
    on: Annotated[
        str | None,
        typer.Option(metavar="DATE", help="As of this day, such as 2026-03-04; today if left out."),
    ] = None,
    json: Json = False,
    day_first: DayFirst = None,
) -> None:
    """Print the state of each horse.

    Warnings first, then soundness notes, feet, abscesses, pain relief; as of today or of any day.
    """
    from tracker.book import open_book, require_records

    as_of = day_asked(on)
    try:
        book = open_book(file, on=as_of, day_first=day_first)
        require_records(book, file)
    except Unreadable as failure:
        _unreadable(failure, file, json)
    chosen = list(book.horses)
    if horse is not None:
        found = book.horse(horse)
        if found is None:
            _stop(
                f"There is no horse {horse} in {file.name}. Its horses: {', '.join(h.name for h in book.horses)}."
            )
        chosen = [found]
    if json:
        from tracker.show.as_json import review_data

        _print_json(with_waiting(file, review_data(book, chosen)))
    else:
        import dataclasses

        from tracker.show.shapes import book_view, shown_name
        from tracker.show.text import review_text

        typer.echo(review_text(book_view(dataclasses.replace(book, horses=tuple(chosen)))))
        others = [
            other
            for other in book.horses
            if other not in chosen and any(w.urgency == "now" for w in other.warnings)
        ]
        if others:
            names = ", ".join(shown_name(other.name) for other in others)
            typer.echo(f"\nA warning to act on now stands for another horse of this workbook: {names}.")
    tell_waiting(file, aside=json)


@app.command()
def warnings(
    list_: Annotated[bool, typer.Option("--list", help="Print every rule (it does so anyway).")] = True,
    json: Json = False,
) -> None:
    """List what the program watches.

    Every rule of the warnings, the most urgent first: when it fires, what to do, who says so and how sure that is.
    """
    from tracker.show.rules import rules_data, rules_text

    if json:
        _print_json(rules_data())
    else:
        typer.echo(rules_text())


app.command()(note)
app.command()(answer)
app.command()(undo)
app.command()(letter)
app.command()(paper)
app.command()(export)
app.command()(calendar)


@app.command("open")
def open_(file: Workbook, port: Port = 0, browser: Browser = True, day_first: DayFirst = None) -> None:
    """Show the workbook in your browser.

    Only this computer can see it. The page follows the file when you save it. Ctrl-C stops it.
    """
    from tracker.book import open_book

    try:
        open_book(file, day_first=day_first)
    except Unreadable as failure:
        _unreadable(failure, file, json=False)
    tell_written(file)
    _serve(file, port, browser, day_first)


@app.command()
def demo(port: Port = 0, browser: Browser = True) -> None:
    """Show a sample workbook, copied here.

    An invented horse, a year after its shoes came off; the story ends today.
    """
    from sample_workbooks.build import build_demo

    file = _free_name(Path("a-year-barefoot.xlsx"))
    try:
        build_demo(file, dt.date.today())
    except NotWritten as failure:
        _stop(str(failure))
    except OSError as failure:
        _stop(f"{file} could not be written: {failure.strerror}. Go to a folder where you may write.")
    typer.echo(f"Made {file}: an invented horse, a year after its shoes came off.")
    _serve(file, port, browser, None)


def _serve(file: Path, port: int, browser: bool, day_first: bool | None) -> None:
    from dashboards.serve import serve

    try:
        serve(file, port=port, browser=browser, day_first=day_first)
    except OSError as failure:
        _stop(f"Port {port} cannot be used: {failure.strerror}. Leave --port out to take a free one.")


def _refuse_name(file: Path, copy: Path) -> None:
    """Stop where a marked copy may not have this name."""
    if copy.suffix.lower() != ".xlsx":
        _stop(f"The copy's name ends in .xlsx: try {file.stem}-marked.xlsx.")
    if file.resolve() == copy.resolve():
        _stop(f"{copy} is the workbook itself, which is never marked: try {file.stem}-marked.xlsx.")
    if copy.exists() or copy.is_symlink():
        _stop(f"{copy} is there already and was not touched. Choose another name.")


def _mark(file: Path, copy: Path, problems: Sequence[Problem], *, aside: bool) -> None:
    """Make the marked copy and say so; `aside` keeps it out of what other programs read."""
    from tracker.show.marked import marked_text
    from tracker.workbook.mark.save import write_marked

    try:
        made = write_marked(file, copy, problems)
    except NotWritten as failure:
        _stop(str(failure))
    except FileExistsError:
        _stop(f"{copy} is there already and was not touched. Choose another name.")
    except OSError as failure:
        _stop(f"{copy} could not be written: {failure.strerror}. Look at the folder and your rights in it.")
    typer.echo(("" if aside else "\n") + marked_text(made, file.name, copy.name), err=aside)


def _free_name(wanted: Path) -> Path:
    names = (wanted, *(wanted.with_stem(f"{wanted.stem}-{number}") for number in range(2, 1000)))
    return next(name for name in names if not name.exists())


def _print_json(data: dict[str, Any]) -> None:
    import json

    typer.echo(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False))


def _unreadable(failure: Unreadable, file: Path, json: bool) -> NoReturn:
    if json:
        from tracker.show.as_json import check_data

        _print_json(with_waiting(file, check_data(file.name, [failure.problem], {})))
    tell_waiting(file, aside=json)
    _stop(str(failure))


def _stop(sentence: str) -> NoReturn:
    typer.echo(sentence, err=True)
    raise typer.Exit(UNREADABLE)


def main() -> None:
    """Run a command. Whatever goes wrong, the user gets a sentence; the details go to a log file."""
    gc.set_threshold(COLLECT_AFTER)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    log = _log_file()
    try:
        app()
    except BrokenPipeError:
        sys.exit(0)
    except Exception:
        logging.getLogger("tracker").exception("unexpected")
        details = f" Details are in {log}." if log else ""
        print(
            f"Something went wrong inside the program; your workbook is whole, with all of an entry in it or none.{details}",
            file=sys.stderr,
        )
        sys.exit(UNREADABLE)


def _log_file() -> Path | None:
    """Have what goes wrong inside written to a log file, never to the user's screen; None where that fails."""
    log: Path | None = Path(tempfile.gettempdir()) / "soundness-ledger.log"
    handler: logging.Handler = logging.NullHandler()
    try:
        handler = logging.FileHandler(str(log), encoding="utf-8")
    except OSError:
        log = None
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    logger = logging.getLogger("tracker")
    logger.addHandler(handler)
    logger.propagate = False
    return log
