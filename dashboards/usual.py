"""What a form is filled with before anybody touches it: only where the owner's sheet has a column for it."""

from __future__ import annotations

from collections.abc import Mapping

from tracker import Book, form_defaults, form_of

FIRST_SCALE = "0-5"


def filled_in(book: Book, sheet: str, horse: str = "") -> dict[str, str]:
    """The values by key; a sheet that is not there yet would be added with all its columns."""
    usual, columns = form_defaults(book, sheet, horse=horse), book.tables[sheet].letters
    return {key: text for key, text in usual.items() if key in columns or not columns}


def units_of(book: Book, sheet: str) -> tuple[Mapping[str, str], str]:
    """The units of bare numbers by key, as the owner's headings name them, and the length unit to offer first."""
    named = book.tables[sheet].units
    lengths = [named[field.key] for field in form_of(sheet) if field.kind == "length" and field.key in named]
    return named, lengths[0] if lengths else ""


def scale_of(book: Book, sheet: str, horse: str = "") -> str:
    """The scale whose grades are offered, whether the sheet has a column for it or not."""
    return form_defaults(book, sheet, horse=horse).get("scale", FIRST_SCALE)
