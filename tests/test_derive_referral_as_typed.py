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


UNDECLARED = (
    "score_high",
    "score_left_out",
    "left_out_scale",
    "scale_assumed",
    "signs_in_score",
    "signs_in_remarks",
)


@pytest.mark.parametrize(
    "soundness",
    ["Date | Limb | Score\n@2026-06-09 | LF | 2", "Date | Limb | Signs\n@2026-06-09 | LF | sweating"],
)
def test_what_a_warning_must_not_miss_stands_beside_every_note(soundness: str) -> None:
    frame = checked(Horses=HORSES, Soundness=soundness).tables["Soundness"].frame
    assert {*UNDECLARED} <= {*frame.columns}
    assert rules(watched=False, Soundness=soundness) == (
        ["not-bearing-weight"] if "sweating" in soundness else []
    )


@pytest.mark.parametrize("scale", ["ten", "0-4", "#N/A"])
@pytest.mark.parametrize("usual", ["0-5", "0-10", ""])
@pytest.mark.parametrize(
    ("score", "rule"), [("5", "not-bearing-weight"), ("4", "lame-at-walk"), ("'5?", "not-bearing-weight")]
)
def test_under_a_scale_that_cannot_be_read_the_more_careful_reading_warns(
    usual: str, scale: str, score: str, rule: str
) -> None:
    horses = f"Horse | Usual scale\nBramble | {usual}"
    soundness = f"Date | Gait | Limb | Scale | Score\n@2026-06-09 | trot | LF | {scale} | {score}"
    (found,) = warnings(watched=False, Horses=horses, Soundness=soundness)
    assert (found.rule, found.cells) == (rule, ("Soundness!E2",))
    assert (
        "though the scale is only a guess" in found.because
        or "cannot be used as it is typed" in found.because
    )


@pytest.mark.parametrize("usual", ["0-5", "0-10", ""])
def test_a_scale_that_cannot_be_read_is_doubted_at_its_score(usual: str) -> None:
    """Once for each such cell: what it was read as instead."""
    horses = f"Horse | Usual scale\nBramble | {usual}"
    soundness = "Date | Limb | Scale | Score\n@2026-06-09 | LF | obel | 2\n@2026-06-10 | LF | obel | 2/5"
    found = checked(Horses=horses, Soundness=soundness)
    assert told(found) == [
        ("Soundness!C2", "choice-unknown"), ("Soundness!D2", "scale-unread"), ("Soundness!C3", "choice-unknown"),
    ]  # fmt: skip
    (doubt,) = (one for one in found.problems if one.kind == "scale-unread")
    assert f"the scale {usual or '0-5'}" in doubt.message


def test_a_heading_does_not_stand_for_a_scale_cell_that_cannot_be_read() -> None:
    soundness = "Date | Limb | Scale | Score (0-10)\n@2026-06-09 | LF | obel | 5"
    assert rules(watched=False, Horses="Horse\nBramble", Soundness=soundness) == ["not-bearing-weight"]


def test_a_swollen_leg_and_a_score_of_no_known_scale_count_by_the_more_careful() -> None:
    soundness = "Date | Limb | Score | Signs\n@2026-06-09 | LF | 3ish of something | swelling up the leg"
    horses = "Horse\nBramble"
    assert "tendon-or-badly-swollen-leg" in rules(watched=False, Horses=horses, Soundness=soundness)
    assert "tendon-or-badly-swollen-leg" not in rules(
        watched=False, Horses=horses, Soundness=soundness.replace("3ish", "2ish")
    )


def test_notes_are_still_a_sheet_of_signs() -> None:
    assert (
        rules(watched=False, Soundness=notes("@2026-06-09 | | LF | | | | | | sweating"))[0]
        == "not-bearing-weight"
    )
