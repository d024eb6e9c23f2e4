"""What a form is filled with before anybody touches it: only where the owner's sheet has a column for it."""

from __future__ import annotations

from tracker import Book, form_defaults

FIRST_SCALE = "0-5"


def filled_in(book: Book, sheet: str, horse: str = "") -> dict[str, str]:
    """The values by key; a sheet that is not there yet would be added with all its columns."""
    usual, columns = form_defaults(book, sheet, horse=horse), book.tables[sheet].letters
    return {key: text for key, text in usual.items() if key in columns or not columns}


def scale_of(book: Book, sheet: str, horse: str = "") -> str:
    """The scale whose grades are offered, whether the sheet has a column for it or not."""
    return form_defaults(book, sheet, horse=horse).get("scale", FIRST_SCALE)
