"""A girth in another unit than the others of the horse is told at its cell, and never read wrongly."""

from __future__ import annotations

import math

import pytest
from books import checked, told

NAMED = "Horse | Usual scale\nBramble | 0-5"


def girths(heading: str, *cells: str):
    rows = "\n".join(f"@2026-0{month}-04 | {cell}" for month, cell in enumerate(cells, start=1))
    result = checked(Horses=NAMED, Body=f"Date | {heading}\n{rows}")
    return told(result), [
        round(value) if not math.isnan(value) else None for value in result.tables["Body"].frame["girth"]
    ]


@pytest.mark.parametrize(
    ("heading", "cells", "found", "values"),
    [
        ("Girth (cm)", ("186", "73", "185"), [("Body!B3", "size-unlike-others")], [1860, None, 1850]),
        ("Girth (cm)", ("186", "73 in", "185"), [], [1860, 1854, 1850]),
        ("Girth (cm)", ("186", "73 cm", "185"), [], [1860, 730, 1850]),
        ("Girth (cm)", ("186", "150", "185"), [], [1860, 1500, 1850]),
        ("Girth (cm)", ("73", "186"), [("Body!B2", "size-unusual")], [None, 1860]),
        ("Girth (cm)", ("71",), [("Body!B2", "size-unusual")], [None]),
        ("Girth (cm)", ("71 cm",), [], [710]),
        ("Girth (cm)", ("72 cm", "71"), [], [720, 710]),
        ("Girth (cm)", ("99", "186"), [("Body!B2", "size-unusual")], [None, 1860]),
        ("Girth (cm)", ("105",), [], [1050]),
        ("Girth (in)", ("110",), [("Body!B2", "size-unusual")], [None]),
        ("Girth (mm)", ("710",), [], [710]),
        ("Girth (cm)", ("73", "74", "75"), [], [730, 740, 750]),
        ("Girth (in)", ("44", "110", "43.5"), [("Body!B3", "size-unlike-others")], [1118, None, 1105]),
        ("Girth (in)", ("73", "186", "72"), [("Body!B3", "out-of-range")], [1854, None, 1829]),
    ],
)
def test_inches_among_centimetres(heading: str, cells: tuple[str, ...], found: list, values: list) -> None:
    assert girths(heading, *cells) == (found, values)


def test_without_a_unit_in_the_heading_they_are_known_by_their_size() -> None:
    found, values = girths("Girth", "186", "73", "185")
    assert found == [("Body!B2", "unit-by-size"), ("Body!B3", "unit-by-size")]
    assert values == [1860, 1854, 1850]


def test_each_horse_is_compared_with_itself() -> None:
    rows = "\n".join(
        f"@2026-0{m}-04 | {name} | {girth}"
        for m in (1, 2, 3)
        for name, girth in (("Bramble", 186), ("Foal", 73))
    )
    result = checked(Horses=f"{NAMED}\nFoal | 0-5", Body=f"Date | Horse | Girth (cm)\n{rows}")
    assert told(result) == []
