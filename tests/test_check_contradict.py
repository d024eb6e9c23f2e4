"""Notes of one day that contradict each other: the milder one is doubted, and the more careful one warns."""

from __future__ import annotations

import pytest
from books import checked, told
from firings import rules

NAMED = "Horse | Usual scale\nBramble | 0-5\nMoss | 0-5"
HEAD = "Date | Horse | Gait | Limb | Scale | Score | Than last time | Pulse LF | Pulse RF | Warm | Signs"
DOUBT = "notes-contradict"


def doubts(*lines: str) -> list[str]:
    """The cells that are doubted, of notes of 9 June where no day is written."""
    rows = [line if line.startswith("@") else f"@2026-06-09 | {line}" for line in lines]
    found = told(checked(Horses=NAMED, Soundness="\n".join([HEAD, *rows])))
    assert {kind for _, kind in found} <= {DOUBT}, found
    return [cell for cell, _ in found]


@pytest.mark.parametrize(
    ("one", "other", "cells"),
    [
        ("Moss | trot | LF | 0-5 | 4", "Moss | trot | LF | 0-5 | 1", ["Soundness!F3"]),
        ("Moss | trot | LF | 0-5 | 1", "Moss | trot | left front | 0-5 | 4", ["Soundness!F2"]),
        ("Moss | trot | LF | 0-5 | 3", "Moss | trot | LF | 0-5 | 1", ["Soundness!F3"]),
        ("Moss | trot | LF | 0-5 | 3", "Moss | trot | LF | 0-5 | 1.5", []),
        ("Moss | trot | LF | 0-10 | 6", "Moss | trot | LF | 0-10 | 2", ["Soundness!F3"]),
        ("Moss | trot | LF | 0-10 | 5", "Moss | trot | LF | 0-10 | 2", []),
        ("Moss | trot | LF | 0-10 | 7", "Moss | trot | LF | 0-5 | 1", []),
        ("Moss | trot | LF | 0-5 | 4", "Moss | walk | LF | 0-5 | 1", []),
        ("Moss | trot | LF | 0-5 | 4", "Moss | trot | RF | 0-5 | 1", []),
        ("Moss | trot | LF | 0-5 | 4", "Bramble | trot | LF | 0-5 | 1", []),
        ("Moss | trot | LF | 0-5 | 4", "@2026-06-08 | Moss | trot | LF | 0-5 | 1", []),
        ("Moss | trot | LF | | | better", "Moss | trot | LF | | | worse", []),
        ("Moss | | | | | | 2 | 0", "Moss | | | | | | 0 | 0", ["Soundness!H3"]),
        ("Moss | | | | | | 2 | 0", "Moss | | | | | | 1 | 1", []),
        ("Moss | | | | | same | | | LF", "Moss | | | | | same | | | none", ["Soundness!J3"]),
        ("Moss | | | | | same | | | no", "Moss | | | | | same | | | both fronts", ["Soundness!J2"]),
        ("Moss | | | | | same | | | LF", "Moss | | | | | same | | |", []),
        ("Moss | | | | | same | | | LF", "Moss | | | | | same | | | -", []),
        ("Moss | | | | | same | | | | off feed", "Moss | | | | | same | | | | none", ["Soundness!K3"]),
        ("Moss | | | | | same | | | | off feed", "Bramble | | | | | same | | | | none", []),
    ],
)
def test_only_what_cannot_both_be_is_doubted_at_the_milder_cell(
    one: str, other: str, cells: list[str]
) -> None:
    assert doubts(one, other) == cells


def test_the_doubt_names_the_row_that_counts() -> None:
    rows = ["@2026-06-09 | Moss | trot | LF | 0-5 | 4", "@2026-06-09 | Moss | trot | LF | 0-5 | 1"]
    (problem,) = checked(Horses=NAMED, Soundness="\n".join([HEAD, *rows])).problems
    assert problem.severity == "doubt"
    assert problem.message.startswith("Row 2 says grade 4 of the same day")


def test_rows_without_a_clear_day_contradict_nothing() -> None:
    rows = ["soon | Moss | trot | LF | 0-5 | 4", "soon | Moss | trot | LF | 0-5 | 1"]
    assert DOUBT not in {kind for _, kind in told(checked(Horses=NAMED, Soundness="\n".join([HEAD, *rows])))}


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_rows_of_one_abscess_the_open_one_warns(order: int) -> None:
    rows = ["LF | @2026-06-01 | @2026-06-04", "LF | @2026-06-01 |"][::order]
    sheet = "\n".join(["Foot | First seen | Comfortable again", *rows])
    assert "abscess-suspected" in rules(Abscesses=sheet)
    found = told(checked(Horses="Horse\nBramble", Abscesses=sheet))
    assert found == [("Abscesses!B3", "abscess-typed-twice")]


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_ends_the_later_counts(order: int) -> None:
    """Pus fifteen days after the one end, fourteen after the other."""
    rows = ["LF | @2026-05-20 | @2026-05-25", "LF | @2026-05-20 | @2026-05-26"][::order]
    sheet = "\n".join(["Foot | First seen | Comfortable again", *rows])
    pus = "Date | Limb | Signs\n@2026-06-09 | LF | pus or discharge"
    assert "abscess-back" in rules(Abscesses=sheet, Soundness=pus)
    once = "Foot | First seen | Comfortable again\nLF | @2026-05-20 | @2026-05-25"
    assert "abscess-back" not in rules(Abscesses=once, Soundness=pus)


def test_what_only_the_row_that_does_not_count_says_is_not_lost() -> None:
    """The opening at the hairline stands in the row that is over; the vet who saw it too."""
    rows = "LF | @2026-06-01 |  |  |\nLF | @2026-06-01 | @2026-06-05 | hairline | @2026-06-08"
    found = rules(Abscesses=f"Foot | First seen | Opened | Opened at | Comfortable again\n{rows}")
    assert {"abscess-opened-high", "abscess-suspected"} <= set(found)
    seen = "Foot | First seen | Vet seen\nLF | @2026-06-09 |\nLF | @2026-06-09 | @2026-06-10"
    assert "abscess-suspected" not in rules(Abscesses=seen)


@pytest.mark.parametrize("order", [1, -1])
def test_better_and_worse_of_one_day_do_not_end_a_new_lameness(order: int) -> None:
    days = [f"@2026-06-0{day} | trot | LF | 0-5 | 2 | " for day in (6, 7, 8)]
    last = [f"@2026-06-09 | trot | LF | 0-5 | 2 | {said}" for said in ("better", "worse")][::order]
    notes = "\n".join(["Date | Gait | Limb | Scale | Score | Than last time", *days, *last])
    assert "new-lameness-not-better" in rules(Soundness=notes)
