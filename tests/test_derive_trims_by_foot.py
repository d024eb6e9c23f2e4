"""The interval since the last trim, foot by foot, and the cell it counts from."""

from __future__ import annotations

import pytest
from firings import warnings

VISITS = "Date | Role | Purpose | Feet\n"
ALL, FRONTS = "@2026-01-15 | trimmer | trim | all\n", "@2026-06-01 | trimmer | trim | both fronts\n"


def told(on: str = "2026-06-10", **sheets: str) -> list[tuple[str, str, tuple[str, ...]]]:
    return [(one.rule, one.because, one.cells) for one in warnings(on, watched=False, **sheets)]


def test_feet_that_were_left_out_of_the_later_trims_are_past_eight_weeks() -> None:
    assert told(Visits=VISITS + ALL + FRONTS) == [
        (
            "trim-past-8-weeks",
            "Left hind and right hind: last trim 15 Jan 2026, 20 weeks ago.",
            ("Visits!A2",),
        )
    ]


@pytest.mark.parametrize("feet", ["all", "", "both hinds"])
def test_a_later_trim_of_them_ends_it(feet: str) -> None:
    assert told(Visits=f"{VISITS}{ALL}{FRONTS}@2026-06-02 | trimmer | trim | {feet}") == []


def test_feet_of_which_no_trim_is_recorded_are_not_told_of() -> None:
    assert told(Visits=VISITS + FRONTS) == []


@pytest.mark.parametrize(("on", "fires"), [("2026-03-12", False), ("2026-03-13", True)])
def test_feet_are_past_it_on_the_day_after_eight_weeks(on: str, fires: bool) -> None:
    fronts = "@2026-03-01 | trimmer | trim | both fronts\n"
    assert bool(told(on, Visits=VISITS + ALL + fronts)) is fires  # 15 Jan + 56 days = 12 Mar 2026


def test_the_day_that_the_shoes_came_off_is_named_by_its_cell() -> None:
    horses = "Horse | Usual scale | Front shoes off\nBramble | 0-5 | @2026-03-01"
    ((rule, because, cells),) = told(Horses=horses)
    assert (rule, because, cells) == (
        "trim-past-8-weeks", "Shoes off 1 Mar 2026, 14 weeks ago.", ("Horses!C2",),
    )  # fmt: skip
