"""A time of day as people and spreadsheets write it; what may be morning or evening is not guessed."""

from __future__ import annotations

import datetime as dt

import pytest

from tracker.cells.times import read_time


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("14:30", "14:30"),
        ("7:05", "07:05"),
        ("14:30:00", "14:30"),
        ("14.30", "14:30"),
        ("14h30", "14:30"),
        ("14 h", "14:00"),
        ("2:30 pm", "14:30"),
        ("2.30 p.m.", "14:30"),
        ("12 am", "00:00"),
        ("12 pm", "12:00"),
        ("7 AM", "07:00"),
        ("at 7 am", "07:00"),
        ("1430", "14:30"),
        ("0830 hrs", "08:30"),
        ("noon", "12:00"),
        ("7 o'clock", "07:00"),
        (dt.time(14, 30), "14:30"),
        (dt.datetime(1899, 12, 31, 14, 30), "14:30"),
        (dt.datetime(2026, 6, 9, 7, 15), "07:15"),
        (0.604166666666667, "14:30"),
    ],
)
def test_a_time_is_read(typed: object, read: str) -> None:
    assert read_time(typed).value == read


@pytest.mark.parametrize(
    "typed",
    ["evening", "7", "25:00", "14:60", "13 pm", "0 am", "7-8", "7:5", 7.0, 1430.0, 0.0, dt.datetime(2026, 6, 9), "14:30 or so"],
)  # fmt: skip
def test_what_is_no_plain_time_is_left_out(typed: object) -> None:
    reading = read_time(typed)
    assert (reading.value, reading.slug) == (None, "time-unreadable")
