"""The same record laid out otherwise reads the same: tables and problems differ in nothing but their cells."""

from __future__ import annotations

import dataclasses
import random
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pandas as pd
import pytest
from books import TODAY, rows
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.check.book import Checked, check_workbook
from tracker.check.locate import locate_sheets
from tracker.problem import Problem
from tracker.workbook.read import RawSheet, RawWorkbook, column_letter

Rows = list[list[object]]
Book = dict[str, Rows]
Meaning = tuple[dict[str, object], list[tuple[object, ...]]]

HONEST = {
    "Horses": "Horse | Born | Usual scale | Front shoes off\nBramble | 2012 | 0-5 | @2026-01-10\nMoss | 2015 | 0-10 | ",
    "Soundness": """Date | Horse | Gait | Limb | Score | Pulse LF | Signs | Remarks
        @2026-03-04 | Bramble | walk | LF | 2 | 1 | | wet
        5 Mar | bramble | trot | both fronts | 2½ | raised | points a foot | dry
        06.03.2026 | Moss | | RH | 4 | | |
        7 Mar 2026 | Moss | stand | near fore | 0 | none | off feed, nail in foot | """,
    "Hooves": """Date | Horse | Foot | Stage | Measured with | Toe angle | Toe length (in) | Heel length
        @2026-03-04 | Bramble | LF | after trim | gauge | 48 | 3 1/2 | 38
        @2026-03-04 | Bramble | RF | after trim | gauge | '48,5 | 89 mm | 40
        @2026-04-15 | Bramble | LF | before trim | ruler | | 3.75 | 41""",
    "Body": "Date | Horse | Temperature | Weight | Condition score\n@2026-03-04 | Moss | 37.9 | 1,100 lb | 5/9",
    "Pain relief": "Horse | Product | First given | Last given\nMoss | powder | 4 Mar 2026 19:00 | @2026-03-08",
}
DOUBTFUL = {
    "Horses": "Horse | Usual scale\nBramble | 0-5\nBRAMBLE | 0-5\nMoss | ",
    "Soundness": """Date | Horse | Scale | Score | Limb | Than last time | Pulse RH | Signs
        4/3/26 | Bramble | | slight | LF | same | |
        5/3/26 | Bramle | 0-5 | 4/10 | tail | bettr | 7 | grumpy
        soon | Moss | | 2-3 | LF | | | won't bear weight
        6/3/26 | | | 2 | LF | | |
        7/3/26 | Moss | | 3 | | | | off feeed
        8/3/26 | Bramble | | non weight bearing | LF | | |
        9/3/26 | Bramble | | | | | |
        10/3/26 | Bramble | | @2026-05-02 | RF | worse | |
        Average | | | 2.5 | | | |""",
    "Hooves": """Date | Horse | Foot | Toe angle | Toe length (hands) | Heel length | Heel height
        @2026-03-04 | Bramble | LF | 48 | 3.5 | 2.5 | 1.1
        @2026-03-04 | Bramble | LF | 58 | 89 | 38 | 60
        @2026-03-05 | Bramble | both fronts | 500 | 3-4 | steep | #N/A""",
    "Abscesses": """Horse | Foot | First seen | Opened
        Bramble | LF | @2026-03-04 | @2026-03-01
        Moss | RH | 31 Feb 2026 | soon""",
    "Visits": """Date | Horse | Purpose | Role
        @2026-03-04 | Bramble | trim | trimmer
        @2026-03-04 | Bramble | trim | trimmer
         | Bramble | check | vet""",
}
ONE_HORSE = {
    "Soundness": """Date | Score (0-10) | Limb | Signs
        20 Dec 2025 | 7 | RF |
        28 Dec | 6.5 | RF |
        3 Jan | 4+ | RF | shifting weight
        10 Jan 2026 | 0.0 | |
         | | |
        Last year | | |
        Date | Score (0-10) | Limb | Signs
        @2025-01-04 | 9 | RF | """,
    "Work": "Date | What | Minutes | Boots\n@2026-01-12 | hand walk | 20-30 | ✓\n@2026-01-13 | turnout | half a day | no",
}
BOOKS = {"honest": HONEST, "doubtful": DOUBTFUL, "one horse": ONE_HORSE}


def book(name: str) -> Book:
    """The cells of a book, sheet by sheet."""
    return {sheet: rows(text) for sheet, text in BOOKS[name].items()}


@dataclasses.dataclass(frozen=True)
class Laid:
    """A book laid out otherwise: its sheets in order under their written names, and where each row came from."""

    sheets: list[tuple[str, Rows]]
    was: dict[str, dict[int, int]] = dataclasses.field(default_factory=dict)


def meaning(laid: Laid) -> Meaning:
    """What the check makes of it, without the places of cells: each row goes by its number in the book it was made from."""
    raws = tuple(RawSheet(name, _square(cells)) for name, cells in laid.sheets)
    workbook = RawWorkbook(Path("barn.xlsx"), raws, False)
    result = check_workbook(workbook, TODAY, day_first=True)
    located = {found.sheet.name: found for found in locate_sheets(workbook)[0]}
    keys = {
        name: {place.letter: place.column.key for place in found.places} for name, found in located.items()
    }
    return _tables(result, laid.was), sorted(
        (
            _told(problem, keys.get(problem.sheet or "", {}), laid.was.get(problem.sheet or "", {}))
            for problem in result.problems
        ),
        key=repr,
    )


def _square(cells: Rows) -> Rows:
    width = max(map(len, cells), default=0)
    return [[*row, *[""] * (width - len(row))] for row in cells]


def _tables(result: Checked, was: dict[str, dict[int, int]]) -> dict[str, object]:
    tables: dict[str, object] = {}
    for name, table in result.tables.items():
        before = was.get(name, {})
        frame = table.frame.rename(index=before)
        aside = sorted(before.get(row, row) for row in table.set_aside)
        tables[name] = (
            aside,
            frame.reset_index().astype(object).where(lambda f: f.notna(), None).to_dict("list"),
        )
    return tables


def _told(problem: Problem, keys: dict[str, str], was: dict[int, int]) -> tuple[object, ...]:
    """A problem by its row's and its column's own names. What is said of a whole row stands in whichever column is first."""
    told = dataclasses.asdict(problem)
    letters, row = re.fullmatch(r"([A-Z]*)(\d*)", (told["cell"] or "").rpartition("!")[2]).groups()  # type: ignore[union-attr]
    message = re.sub(
        r"\b([Rr]ow) (\d+)",
        lambda found: f"{found[1]} {was.get(int(found[2]), int(found[2]))}",
        told["message"],
    )
    at = was.get(int(row), int(row)) if row else 0
    if told["kind"] == "same-row-twice":
        return told["kind"], told["sheet"], at, message
    found = told["found"]
    if told["kind"] == "second-table" or "heading" in told["kind"]:
        found = re.sub(r"[\s\u200b]", "", found).lower()
    if told["kind"] == "second-table":  # told at its first heading, whichever that is
        return told["kind"], told["sheet"], at, message, sorted(found.split(","))
    place = told["severity"], told["sheet"], at, keys.get(letters, "")
    return told["kind"], *place, found, message, told["allowed"], told["hint"]


def as_it_is(cells: Book) -> Laid:
    """The book as it was written."""
    return Laid(list(cells.items()))


def columns_shuffled(cells: Book, dice: random.Random) -> Laid:
    """Every sheet with its columns in another order."""
    laid = []
    for name, table in cells.items():
        order = dice.sample(range(len(table[0])), len(table[0]))
        laid.append((name, [[row[index] for index in order] for row in table]))
    return Laid(laid)


def moved(cells: Book, dice: random.Random) -> Laid:
    """Every table below a title of several rows, and to the right of some empty columns."""
    laid, was = [], {}
    for name, table in cells.items():
        above: Rows = [["Kept by Jo"], [], ["Begun", 2026.0, "in spring"]][: dice.randint(0, 3)]
        right = dice.randint(0, 4)
        laid.append((name, above + [[""] * right + row for row in table]))
        was[name] = {number + len(above): number for number in range(1, len(table) + 1)}
    return Laid(laid, was)


def with_blank_rows(cells: Book, dice: random.Random) -> Laid:
    """Blank rows, and rows of dashes, among the records."""
    laid, was = [], {}
    for name, table in cells.items():
        spread: Rows = []
        where: dict[int, int] = {}
        for number, row in enumerate(table, 1):
            spread += [[dice.choice(["", "-", " "])] for _ in range(dice.choice([0, 0, 1, 3])) if number > 1]
            spread.append(row)
            where[len(spread)] = number
        laid.append((name, spread))
        was[name] = where
    return Laid(laid, was)


def with_the_owners_own(cells: Book, dice: random.Random) -> Laid:
    """Sheets and columns of the owner's own, before, between and behind."""
    laid = []
    for name, table in cells.items():
        at = dice.randint(0, len(table[0]))
        own = [dice.choice(["rain", 7.0, "", "n/a", TODAY]) for _ in table]
        own[0] = "Weather at noon"
        # beside records alone: a title, a blank row and a second table's headings stay what they are
        beside = [sum(cell != "" for cell in row) > 1 and "Date" not in row for row in table]
        column = [own[0], *[cell if kept else "" for cell, kept in zip(own[1:], beside[1:], strict=True)]]
        laid.append((name, [[*row[:at], cell, *row[at:]] for row, cell in zip(table, column, strict=True)]))
    laid.insert(dice.randint(0, len(laid)), ("Hay", [["Date", "Sum"], ["total", 120.0]]))
    return Laid([("Read me", [["Horse", "Score"], ["what", "ever"]]), *laid])


def sheets_shuffled(cells: Book, dice: random.Random) -> Laid:
    """The sheets in another order."""
    return Laid(dice.sample(list(cells.items()), len(cells)))


def written_otherwise(cells: Book, dice: random.Random) -> Laid:
    """Sheet names and headings in other capitals and with other spaces."""
    laid = []
    for name, table in cells.items():
        heads = {number for number, row in enumerate(table) if "Date" in row or number == 0}
        rewritten: Rows = [
            [_otherwise(cell, dice) if number in heads and isinstance(cell, str) else cell for cell in row]
            for number, row in enumerate(table)
        ]
        laid.append((_otherwise(name, dice), rewritten))
    return Laid(laid)


def _otherwise(text: str, dice: random.Random) -> str:
    spaced = "".join(dice.choice(["", " ", "\u00a0", "  ", "\n"]) if sign == " " else sign for sign in text)
    cased = dice.choice([str.upper, str.lower, str.title, str])(spaced)
    return dice.choice(["", " "]) + cased + dice.choice(["", " ", "\u200b"]) if text else text


LAYOUTS = (columns_shuffled, moved, with_blank_rows, with_the_owners_own, sheets_shuffled, written_otherwise)


@cache
def as_first_written(name: str) -> Meaning:
    """What the book means before it is laid out otherwise."""
    return meaning(as_it_is(book(name)))


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.__name__)
@pytest.mark.parametrize("name", BOOKS)
@settings(max_examples=12, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**32))
def test_the_layout_changes_nothing_but_the_cells(
    name: str, layout: Callable[[Book, random.Random], Laid], seed: int
) -> None:
    tables, problems = as_first_written(name)
    laid_tables, laid_problems = meaning(layout(book(name), random.Random(seed)))
    assert laid_problems == problems
    assert laid_tables == tables


def test_the_books_are_rich_enough_to_be_worth_it() -> None:
    kinds = {name: [told[0] for told in meaning(as_it_is(book(name)))[1]] for name in BOOKS}
    assert kinds["honest"] == []
    assert len(set(kinds["doubtful"])) >= 25
    assert {"second-table", "number-range", "no-horses"} <= set(kinds["one horse"])


def test_a_changed_cell_is_a_changed_meaning() -> None:
    """The comparison is not blind."""
    cells = book("honest")
    before = meaning(as_it_is(cells))
    cells["Soundness"][1][4] = 3.0
    assert meaning(as_it_is(cells))[0] != before[0]
    cells["Soundness"][1][4] = "3+"
    assert meaning(as_it_is(cells))[1] != before[1]


def test_places_follow_the_layout() -> None:
    """What is left out of the comparison, the cells, is right in its own way: the right column, the right row."""
    text = "\n".join(["Our diary | | | ", " | | Signs | Date", " | | grumpy | @2026-03-04"])
    result = check_workbook(
        RawWorkbook(
            Path("barn.xlsx"),
            (RawSheet("Horses", rows("Horse\nMoss")), RawSheet("Soundness", rows(text))),
            False,
        ),
        TODAY,
        True,
    )
    assert [problem.cell for problem in result.problems] == ["Soundness!C3"]
    assert result.tables["Soundness"].cell("date", 3) == f"Soundness!{column_letter(3)}3"
    assert pd.notna(result.tables["Soundness"].frame["date"].iloc[0])
