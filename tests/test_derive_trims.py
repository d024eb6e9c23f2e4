"""Trims done, and the next one due by the horse's own interval."""

from __future__ import annotations

import datetime as dt

import pytest
from tables import table

from tracker.derive.trims import days_since_trim, intervals, trims
from tracker.sheets import HORSES, VISITS

BOOK = """
    date       | horse | purpose         | feet
    2026-02-10 | Juno  | trim            | both fronts
    2026-01-05 | Juno  | trim            |
    2026-02-20 | Juno  | check           | LF
    2026-02-25 | Juno  | vet examination |
    2026-03-20 | Juno  | trim            |
    2026-03-01 | Wren  | trim            |
"""


def on(day):
    return trims(table(VISITS, BOOK), dt.date.fromisoformat(day))


def test_only_trims_that_were_done():
    found = on("2026-03-01")

    assert [(trim.horse, trim.date, trim.feet, trim.row) for trim in found] == [
        ("Juno", dt.date(2026, 1, 5), (), 3),
        ("Juno", dt.date(2026, 2, 10), ("LF", "RF"), 2),
        ("Wren", dt.date(2026, 3, 1), (), 7),
    ]


@pytest.mark.parametrize(("weeks", "days"), [("5", 35), ("4.5", 32), ("", None)])
def test_the_interval_in_days(weeks, days):
    assert intervals(table(HORSES, f"horse | trim_every\n Juno | {weeks}")) == {"Juno": days}


def test_a_horse_listed_twice_keeps_the_first_interval_given():
    assert intervals(table(HORSES, "horse | trim_every\n Juno |\n Juno | 6\n Juno | 5")) == {"Juno": 42}


def test_empty_sheets():
    assert trims(table(VISITS), dt.date(2026, 1, 1)) == []
    assert intervals(table(HORSES)) == {}


@pytest.mark.parametrize(
    ("foot", "day", "days"),
    [("LF", "2026-02-20", 10), ("LH", "2026-02-20", 46), ("LF", "2026-02-10", 0), ("LF", "2026-01-04", None)],
)
def test_days_since_the_foots_own_last_trim(foot, day, days):
    on = dt.date.fromisoformat(day)
    own = [trim for trim in trims(table(VISITS, BOOK), on) if trim.horse == "Juno"]
    assert days_since_trim(foot, on, own) == days
