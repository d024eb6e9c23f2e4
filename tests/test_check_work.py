"""Steps of a plan that overlap, and days with more minutes than a day has."""

from __future__ import annotations

import pytest
from books import checked, told

NAMED = "Horse | Usual scale\nBramble | 0-5"
TWO = f"{NAMED}\nMoss | 0-5"


def plan(*lines: str, horses: str = NAMED, headings: str = "Step | From | Until"):
    return told(checked(Horses=horses, Plan="\n".join((headings, *lines))))


def work(*lines: str, headings: str = "Date | What | Minutes"):
    return told(checked(Horses=NAMED, Work="\n".join((headings, *lines))))


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (("1 | @2026-03-04 | @2026-03-10", "2 | @2026-03-11 | @2026-03-20"), []),
        (("1 | @2026-03-04 | @2026-03-10", "2 | @2026-03-10 | @2026-03-20"), ["Plan!B3"]),
        (("2 | @2026-03-10 | @2026-03-20", "1 | @2026-03-04 | @2026-03-10"), ["Plan!B2"]),
        (("1 | @2026-03-04 | ", "2 | @2026-03-10 | "), []),
        (("1 | @2026-03-04 | ", "2 | @2026-03-04 | "), ["Plan!B3"]),
        (("1 | @2026-03-04 | @2026-03-30", "2 | @2026-03-06 | @2026-03-08", "3 | @2026-03-20 | "), ["Plan!B3", "Plan!B4"]),
        (("1 | | @2026-03-30", "2 | @2026-03-06 | "), []),
    ],
)  # fmt: skip
def test_steps_that_overlap_are_told_at_the_later_ones_first_day(lines, found):
    assert plan(*lines) == [(cell, "plan-steps-overlap") for cell in found]


def test_the_words_name_the_other_step():
    result = checked(
        Horses=NAMED, Plan="Step | From | Until\nA | @2026-03-04 | @2026-03-10\nB | @2026-03-08 |"
    )
    assert result.problems[0].message.startswith("Step A of row 2 lasts until 10 Mar 2026,")
    assert len(result.tables["Plan"].kept) == 2


def test_two_horses_have_two_plans():
    headings = "Horse | Step | From"
    assert plan("Bramble | 1 | @2026-03-04", "Moss | 1 | @2026-03-04", horses=TWO, headings=headings) == []


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (("@2026-03-04 | trot | 2000",), [("Work!C2", "out-of-range")]),
        (("@2026-03-04 | trot | 1200", "@2026-03-04 | walk | 800"), [("Work!C3", "work-day-too-long")]),
        (("@2026-03-04 | turnout | 1440", "@2026-03-04 | trot | 20"), []),
        (("@2026-03-04 | turnout | 1440", "@2026-03-04 | turnout | 20"), [("Work!C3", "work-day-too-long")]),
        (("@2026-03-04 | trot | 1200", "@2026-03-05 | trot | 800"), []),
    ],
)
def test_a_day_holds_24_hours(lines, found):
    assert [problem for problem in work(*lines) if problem[1] != "choice-unknown"] == found
