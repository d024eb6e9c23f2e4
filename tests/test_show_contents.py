"""The list that leads to the parts of one horse: what each line says, and what it must not claim."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from entries import HORSE, barn

from tracker.book import open_book
from tracker.show.contents import PARTS
from tracker.show.shapes import book_view


def said(file: Path, on: dt.date) -> dict[str, str]:
    book = open_book(file, on=on)
    (view,) = book_view(book).horses
    return {part.slug: part.said(book.horses[0], view) for part in PARTS}


def test_new_horn_is_told_as_reckoned_not_as_seen(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[{**HORSE, "Front shoes off": dt.date(2024, 6, 1)}])
    assert said(file, dt.date(2026, 6, 30))["growth"] == "Both fronts, toe: all new, as reckoned."


def test_a_horse_without_records_has_a_line_for_each_part(tmp_path: Path) -> None:
    lines = said(barn(tmp_path, Horses=[HORSE]), dt.date(2026, 6, 30))
    assert all(line.endswith(".") for line in lines.values())
