"""What several commands ask for alike: a day, a horse, a new file's name."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.cli_note import stop

if TYPE_CHECKING:
    from tracker.book import Book, HorseRecord


def day_asked(text: str | None, option: str = "--on") -> dt.date | None:
    """The day of an option, None where it is left out; ends the program where it is not clear by itself."""
    from tracker.cells.dates import WrittenDate, read_date, run_together

    if text is None:
        return None
    found = None if run_together(text) else read_date(text)
    if isinstance(found, WrittenDate) and found.order and found.year is not None and not found.year_first():
        found = found.on(found.year, day_first=True)
    if not isinstance(found, dt.datetime):
        stop(f"{option} {text} is not a date that is clear by itself. Write it as 2026-03-04 or 4 Mar 2026.")
    return found.date()


def horse_asked(book: Book, name: str | None) -> HorseRecord:
    """The horse of that name, or the only one; ends the program where it is not clear which one is meant."""
    named = [horse for horse in book.horses if horse.name]
    horses = ", ".join(horse.name for horse in named)
    if name is None:
        if len(named) != 1:
            stop(f"Say which horse, with --horse. The horses in {book.path.name}: {horses or 'none'}.")
        return named[0]
    found = book.horse(name)
    if found is None:
        stop(f"There is no horse {name} in {book.path.name}. Its horses: {horses or 'none'}.")
    return found


def write_out(path: Path, content: bytes) -> None:
    """Write a new file; ends the program with one sentence where that cannot be."""
    from tracker.whole_file import write_new

    try:
        write_new(path, content)
    except FileExistsError:
        stop(f"{path} is there already and was not touched. Choose another name.")
    except OSError as failure:
        stop(f"{path} could not be written: {failure.strerror}. Look at the folder and your rights in it.")
