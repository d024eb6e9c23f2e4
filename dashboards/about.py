"""Whose page an address is, where the page is about something else of one horse."""

from __future__ import annotations

from urllib.parse import unquote

from dashboards.pages import answer, before_after, horse, photos, share, write
from tracker import Book, markings_of


def horse_of(book: Book, path: str) -> str:
    """The horse that a page for writing or for photographs is about; "" where that is none, or several may be."""
    if write.is_write(path):
        return _known(book, write.horse_of(book, unquote(path)))
    if answer.is_answer(path):
        return _known(book, answer.parts_of(unquote(path))[1])
    if share.is_share(path):
        return _known(book, share.horse_of(book, unquote(path)) or "")
    if before_after.is_before_after(path):
        days = before_after.chosen(book, path)
        return _known(book, days[1].marking.horse if days else "")
    if path.startswith(horse.PATH):
        name, part = horse.parts_of(path)
        return _known(book, name) if part else ""  # the first page has them in full
    if photos.is_photos(path):
        name, _ = photos.parts_of(path)
        horses = {marking.horse for marking in markings_of(book) if name and marking.photo == name}
        return _known(book, horses.pop() if len(horses) == 1 else "")
    return ""


def _known(book: Book, name: str) -> str:
    """The horse of that name; the only one, where there is but one."""
    found = book.horse(name) if name else None
    if found:
        return found.name
    return book.horses[0].name if len(book.horses) == 1 else ""
