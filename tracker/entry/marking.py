"""The points marked on a workbook's photographs, read back from it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from tracker.book import Book
from tracker.cells.text import fold
from tracker.derive.photo import markings
from tracker.derive.photo.marking import Marking
from tracker.derive.photo.markings import markings_in, names_among, point_rows
from tracker.photos.folder import photos_of
from tracker.sheets import HOOVES, PHOTO_POINTS


def markings_of(book: Book) -> tuple[Marking, ...]:
    """Every view of every photograph that the Photo points sheet holds, in its order; the last of two same points counts.

    A photograph bears the name of its file, however the sheet spells it. Rows without a view are left out.
    """
    return markings_in(rows_of(book), markings.hoof_rows(book.tables[HOOVES.name], file_names(book)))


def rows_of(book: Book) -> Iterable[dict[str, Any]]:
    """The rows that say which point lies where in which view, each with its number and its day ("" where it has none)."""
    return point_rows(book.tables[PHOTO_POINTS.name], file_names(book))


def hoof_rows(book: Book, photo: str, foot: str, horse: str) -> Iterable[dict[str, Any]]:
    """The rows of the Hooves sheet that name that photograph, each with its number."""
    for row in markings.hoof_rows(book.tables[HOOVES.name], file_names(book)):
        if markings.foot_of_row(row) == (photo, foot, fold(horse)):
            yield row


def file_names(book: Book) -> Callable[[str], str]:
    """The name of the file that a name on a sheet means, in whatever capitals, with or without its ending."""
    try:
        return names_among(photos_of(book.path))
    except OSError:
        return names_among(())
