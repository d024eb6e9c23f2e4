"""A trim should say which feet were trimmed."""

from __future__ import annotations

import pytest
from books import checked, told


@pytest.mark.parametrize(
    ("visit", "doubted"),
    [
        ("@2026-03-01 | trimmer | trim | all", False),
        ("@2026-03-01 | trimmer | trim |", True),
        ("@2026-03-01 | | trim | n/a", True),
        ("@2026-03-01 | trimmer | |", True),
        ("@2026-03-01 | trimmer | check |", False),
        ("@2026-03-01 | vet | vet examination |", False),
    ],
)
def test_a_trim_with_no_feet_is_doubted_at_its_cell(visit: str, doubted: bool) -> None:
    result = checked(Horses="Horse\nBramble", Visits=f"Date | Role | Purpose | Feet\n{visit}")
    assert told(result) == ([("Visits!D2", "trim-no-feet")] if doubted else [])
    assert len(result.tables["Visits"].kept) == 1


def test_feet_that_cannot_be_read_are_told_once() -> None:
    result = checked(Horses="Horse\nBramble", Visits="Date | Purpose | Feet\n@2026-03-01 | trim | tail")
    assert told(result) == [("Visits!C2", "limb-unknown")]


def test_a_sheet_without_a_column_for_them_is_left_alone() -> None:
    assert told(checked(Horses="Horse\nBramble", Visits="Date | Purpose\n@2026-03-01 | trim")) == []
