"""Warnings from cells that are typed loosely: nothing urgent is lost to a range, a lost point or the wrong column."""

from __future__ import annotations

import pytest
from books import checked, told
from firings import HORSES, notes, rules, warnings

BODY = "Date | Temperature | Heart rate | Breathing rate"


@pytest.mark.parametrize(
    ("cells", "rule"),
    [
        ("'38.5-39.2", "temperature-above-38-9"),
        ("'101.5 to 102.5 F", "temperature-above-38-9"),
        (" | '50-62", "heart-rate-60-once"),
    ],
)
def test_a_range_of_a_vital_sign_warns_by_its_worse_end(cells: str, rule: str) -> None:
    (first, *_) = warnings(watched=False, Body=f"{BODY}\n@2026-06-09 | {cells}")
    assert first.rule == rule
    assert " up to " in first.because


def test_a_range_that_ends_at_the_limit_is_not_above_it() -> None:
    assert "temperature-above-38-9" not in rules(watched=False, Body=f"{BODY}\n@2026-06-09 | '38.1-38.9")


@pytest.mark.parametrize("typed", ["391", "1025"])
def test_a_temperature_without_its_point_warns_by_what_it_may_have_been(typed: str) -> None:
    (first, *_) = warnings(watched=False, Body=f"{BODY}\n@2026-06-09 | {typed}")
    assert first.rule == "temperature-above-38-9"
    assert "cannot be used as it is typed, perhaps 39.1" in first.because


def test_a_temperature_just_above_a_limit_is_not_told_as_the_limit() -> None:
    (first, *_) = warnings(watched=False, Body=f"{BODY}\n@2026-06-09 | 102.1 F")
    assert "temperature 38.94 °C" in first.because  # (102.1 - 32) / 1.8


def test_a_month_keeps_its_capital_in_the_reason_of_a_loss() -> None:
    body = "Date | Weight\n@2026-05-01 | 500\n@2026-06-09 | 475"
    (found,) = warnings(watched=False, Body=body)
    assert found.because == "Weight as written 475 kg on 9 Jun 2026, 500 kg on 1 May 2026."


REMARKS = "Date | Limb | Score | Remarks"


@pytest.mark.parametrize(
    ("remark", "rule"),
    [
        ("won't bear weight", "not-bearing-weight"),
        ("Wont put weight on it. Rang Ann", "not-bearing-weight"),
        ("wet field, stepped on a nail", "object-or-hole-in-foot"),
    ],
)
@pytest.mark.parametrize("score", ["", "'1/5"])
def test_a_sign_among_the_remarks_warns_and_is_doubted_at_its_cell(
    remark: str, rule: str, score: str
) -> None:
    soundness = f"{REMARKS}\n@2026-06-09 | LF | {score} | {remark}"
    first = next(one for one in warnings(watched=False, Soundness=soundness) if one.rule == rule)
    assert first.cells == ("Soundness!D2",)
    assert told(checked(Horses=HORSES, Soundness=soundness)) == [("Soundness!D2", "sign-in-remarks")]


@pytest.mark.parametrize(
    "remark",
    [
        "no longer sweating",
        "won't bear weight, yesterday",
        "saw the object lesson",
        "two points better",
        "a bit lame",
    ],
)
def test_other_remarks_are_no_sign(remark: str) -> None:
    soundness = f"{REMARKS}\n@2026-06-09 | LF | '1/5 | {remark}"
    assert rules(watched=False, Soundness=soundness) == []
    assert told(checked(Horses=HORSES, Soundness=soundness)) == []


def test_a_sign_that_stands_under_signs_too_is_not_doubted_among_the_remarks() -> None:
    soundness = "Date | Signs | Remarks\n@2026-06-09 | won't bear weight | won't bear weight"
    assert told(checked(Horses=HORSES, Soundness=soundness)) == []


@pytest.mark.parametrize("elsewhere", ["Remarks", "Score"])
def test_a_sign_that_stands_elsewhere_is_named_where_another_note_denies_it(elsewhere: str) -> None:
    soundness = f"Date | Signs | Pulse LF | {elsewhere}\n@2026-06-09 | none | 1 |\n@2026-06-09 | | 1 | won't bear weight"
    (found,) = (
        one for one in checked(Horses=HORSES, Soundness=soundness).problems if one.cell == "Soundness!B2"
    )
    assert (found.kind, "won't bear weight" in found.message) == ("notes-contradict", True)


def test_notes_are_still_a_sheet_of_signs() -> None:
    assert (
        rules(watched=False, Soundness=notes("@2026-06-09 | | LF | | | | | | sweating"))[0]
        == "not-bearing-weight"
    )
