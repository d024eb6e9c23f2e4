"""Abscesses of one foot that cannot both be as written, and dates in an order that cannot be."""

from __future__ import annotations

import pytest
from books import checked, told

NAMED = "Horse | Usual scale\nBramble | 0-5"


def problems(
    rows: str, horses: str = NAMED, headings: str = "Foot | First seen | Opened | Comfortable again"
):
    return told(checked(Horses=horses, Abscesses=f"{headings}\n{rows}"))


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("LF | @2026-03-04 | | @2026-03-10\nLF | @2026-03-10 | | ", []),
        ("LF | @2026-03-04 | | \nRF | @2026-03-10 | | ", []),
        ("LF | @2026-03-04 | | \nLF | @2026-03-10 | | ", [("Abscesses!B3", "abscess-open-twice")]),
        ("LF | @2026-03-10 | | \nLF | @2026-03-04 | | ", [("Abscesses!B2", "abscess-open-twice")]),
        ("LF | @2026-03-04 | | @2026-03-20\nLF | @2026-03-10 | | ", [("Abscesses!B3", "abscesses-overlap")]),
        ("LF | @2026-03-04 | | \nLF | @2026-03-10 | | @2026-03-12", [("Abscesses!B3", "abscesses-overlap")]),
        (
            "LF | @2026-03-04 | | \nLF | @2026-03-10 | | @2026-03-12\nLF | @2026-04-01 | | ",
            [("Abscesses!B3", "abscesses-overlap"), ("Abscesses!B4", "abscess-open-twice")],
        ),
        (
            "LF | @2026-03-01 | | @2026-03-30\nLF | @2026-03-05 | | @2026-03-06\nLF | @2026-03-20 | | @2026-03-25",
            [("Abscesses!B3", "abscesses-overlap"), ("Abscesses!B4", "abscesses-overlap")],
        ),
        ("LF | @2026-03-04 | @2026-03-10 | @2026-03-08", [("Abscesses!D2", "dates-out-of-order")]),
        ("LF | @2026-03-04 | @2026-03-10 | @2026-03-02", [("Abscesses!D2", "dates-out-of-order")]),
        ("LF | @2026-03-04 | @2026-03-02 | @2026-03-08", [("Abscesses!C2", "dates-out-of-order")]),
    ],
)
def test_each_is_told_at_its_cell(rows: str, found: list[tuple[str, str]]) -> None:
    assert problems(rows) == found


def test_one_foot_of_two_horses_is_two_feet() -> None:
    rows = "Bramble | LF | @2026-03-04\nMoss | LF | @2026-03-10"
    assert problems(rows, f"{NAMED}\nMoss | 0-5", "Horse | Foot | First seen") == []


def test_the_rows_are_all_used() -> None:
    result = checked(Horses=NAMED, Abscesses="Foot | First seen\nLF | @2026-03-04\nLF | @2026-03-10")
    assert len(result.tables["Abscesses"].kept) == 2
