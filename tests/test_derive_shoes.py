"""Days since the shoes came off, for each pair of feet."""

from __future__ import annotations

import datetime as dt

import pytest
from tables import table

from tracker.derive.shoes import days_since, shoes_off
from tracker.sheets import HORSES

OFF = dt.date(2026, 1, 15)


def test_each_pair_has_its_own_day():
    found = shoes_off(
        table(
            HORSES,
            """
            horse | front_shoes_off | hind_shoes_off
            Juno  | 2026-01-15      |
            Wren  |                 |
            """,
        )
    )

    assert found == {"Juno": {"front": OFF, "hind": None}, "Wren": {"front": None, "hind": None}}


def test_a_horse_listed_twice_keeps_the_first_day_given():
    found = shoes_off(
        table(
            HORSES,
            """
            horse | front_shoes_off | hind_shoes_off
            Juno  | 2026-01-15      |
            Juno  | 2026-02-01      | 2026-02-01
            """,
        )
    )

    assert found == {"Juno": {"front": OFF, "hind": dt.date(2026, 2, 1)}}


@pytest.mark.parametrize(
    ("on", "days"),
    [
        ("2026-01-15", 0),
        ("2026-01-21", 6),
        ("2026-01-22", 7),
        ("2027-01-15", 365),
        ("2026-01-14", None),
    ],
)
def test_days_since(on, days):
    on = dt.date.fromisoformat(on)

    assert days_since(OFF, on) == days


def test_never_shod_has_no_days():
    assert days_since(None, OFF) is None


def test_an_empty_sheet():
    assert shoes_off(table(HORSES)) == {}
