"""Readings of the body with their hours: which is the latest, and how far two lie apart."""

from __future__ import annotations

import pytest
from books import checked, told
from firings import daily, notes, rules, warnings

LAME = notes(*daily(1))
TWICE, AGAIN = "temperature-above-38-6-twice", "vital-sign-to-take-again"


def body(*lines: str) -> str:
    return "\n".join(["Date | Time | Temperature | Heart rate", *lines])


@pytest.mark.parametrize(
    ("one", "other", "fires"),
    [
        ("@2026-06-09 | 10:00 | 38.7", "@2026-06-09 | 11:00 | 38.7", True),
        ("@2026-06-09 | 10:00 | 38.7", "@2026-06-09 | 10:59 | 38.7", False),
        ("@2026-06-08 | 23:30 | 38.7", "@2026-06-09 | 0:20 | 38.7", False),
        ("@2026-06-08 | 23:30 | 38.7", "@2026-06-09 | 0:30 | 38.7", True),
        ("@2026-06-09 | 10:00 | 38.7", "@2026-06-09 | | 38.7", True),
        ("@2026-06-09 | 10:00 | 38.7", "@2026-06-09 | evening | 38.7", True),
        ("@2026-06-08 | 8:00 | 38.7", "@2026-06-09 | 20:00 | 38.7", True),
        ("@2026-06-07 | 23:00 | 38.7", "@2026-06-09 | 1:00 | 38.7", False),
    ],
)
def test_two_temperatures_an_hour_apart_bear_each_other_out(one: str, other: str, fires: bool) -> None:
    """The hour is common practice; where it is not written the two may lie so far apart."""
    found = rules(Body=body(one, other), Soundness=LAME)
    assert (TWICE in found) is fires
    assert TWICE in found or AGAIN in found


def test_a_pulse_that_is_counted_again_within_minutes_counts_twice() -> None:
    assert "heart-rate-60-twice" in rules(
        Body=body("@2026-06-09 | 10:00 | | 60", "@2026-06-09 | 10:10 | | 60")
    )


@pytest.mark.parametrize("order", [1, -1])
def test_of_one_day_the_later_hour_is_the_latest(order: int) -> None:
    high_first = ["@2026-06-09 | 8:00 | 38.7", "@2026-06-09 | 18:00 | 37.9"][::order]
    low_first = ["@2026-06-09 | 8:00 | 37.9", "@2026-06-09 | 18:00 | 38.7"][::order]
    assert AGAIN not in rules(Body=body(*high_first))
    assert AGAIN in rules(Body=body(*low_first))
    without = ["@2026-06-09 | | 38.7", "@2026-06-09 | 18:00 | 37.9"][::order]
    assert AGAIN in rules(Body=body(*without))


def test_the_hour_stands_in_the_reason() -> None:
    (one,) = warnings(Body=body("@2026-06-09 | 14:30 | 39.4"))
    assert "temperature 39.4 °C at 14:30" in one.because


def test_an_hour_that_cannot_be_read_is_told_and_the_reading_is_used() -> None:
    sheet = body("@2026-06-09 | evening | 39.4")
    assert told(checked(Horses="Horse\nBramble", Body=sheet)) == [("Body!B2", "time-unreadable")]
    assert "temperature-above-38-9" in rules(Body=sheet)
