"""The commands: new, check, review, open, demo. Each loads only what it needs."""

from __future__ import annotations

import datetime as dt
import logging
import sys
import tempfile
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer

from tracker.problem import Unreadable

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Keep a lame horse's record in a plain workbook; see its progress since the shoes came off, with early warnings.",
    epilog="It records and warns. It is no substitute for an examination by a vet.",
)

PROBLEMS, UNREADABLE = 1, 2
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
    from tracker.workbook.blank import write_blank

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
def check(
    file: Workbook,
    json: Json = False,
    show_all: Annotated[bool, typer.Option("--all", help="Show every problem, however many.")] = False,
    day_first: DayFirst = None,
) -> None:
    """List the workbook's problems, cell by cell.

    Ends with 0 where there is none, 1 where there are problems, 2 where the file cannot be read.
    """
    from tracker.book import check_book, require_records

    try:
        checked = check_book(file, day_first=day_first)
        require_records(checked, file)
    except Unreadable as failure:
        _unreadable(failure, file, json)
    if json:
        from tracker.show.as_json import check_data

        _print_json(check_data(file.name, checked.problems, checked.rows))
    else:
        from tracker.show.text import check_text

        typer.echo(check_text(file.name, checked.problems, checked.rows, show_all=show_all))
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

    as_of = _day(on)
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

        _print_json(review_data(book, chosen))
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
    _serve(file, port, browser, day_first)


@app.command()
def demo(port: Port = 0, browser: Browser = True) -> None:
    """Show a sample workbook, copied here.

    An invented horse, a year after its shoes came off; the story ends today.
    """
    from sample_workbooks.build import build_year

    file = _free_name(Path("a-year-barefoot.xlsx"))
    try:
        build_year(file, dt.date.today())
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


def _free_name(wanted: Path) -> Path:
    names = (wanted, *(wanted.with_stem(f"{wanted.stem}-{number}") for number in range(2, 1000)))
    return next(name for name in names if not name.exists())


def _day(text: str | None) -> dt.date | None:
    from tracker.cells.dates import WrittenDate, read_date

    if text is None:
        return None
    found = read_date(text)
    if isinstance(found, WrittenDate) and found.order and found.year is not None:
        found = found.on(found.year, day_first=True)
    if not isinstance(found, dt.datetime):
        _stop(f"--on {text} is not a date that is clear by itself. Write it as 2026-03-04 or 4 Mar 2026.")
    return found.date()


def _print_json(data: dict[str, Any]) -> None:
    import json

    typer.echo(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False))


def _unreadable(failure: Unreadable, file: Path, json: bool) -> NoReturn:
    if json:
        from tracker.show.as_json import check_data

        _print_json(check_data(file.name, [failure.problem], {}))
    _stop(str(failure))


def _stop(sentence: str) -> NoReturn:
    typer.echo(sentence, err=True)
    raise typer.Exit(UNREADABLE)


def main() -> None:
    """Run a command. Whatever goes wrong, the user gets a sentence; the details go to a log file."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        app()
    except BrokenPipeError:
        sys.exit(0)
    except Exception:
        print(
            f"Something went wrong inside the program; your workbook was not changed.{_logged()}",
            file=sys.stderr,
        )
        sys.exit(UNREADABLE)


def _logged() -> str:
    """Write what went wrong to a log file; says where, or nothing where even that fails."""
    log = Path(tempfile.gettempdir()) / "soundness-ledger.log"
    try:
        logging.basicConfig(filename=log, format="%(asctime)s %(message)s")
    except OSError:
        return ""
    logging.exception("unexpected")
    return f" Details are in {log}."
