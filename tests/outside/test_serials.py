"""Day numbers of spreadsheets, against the standard and against openpyxl's reading of it.

Source: ISO/IEC 29500-1:2016 §18.17.4.1 (the 1900 and the 1904 date systems, with their first and last days).
"""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import CALENDAR_MAC_1904, from_excel

from tracker.cells.dates import serial_to_datetime


@pytest.mark.parametrize(
    ("serial", "day"),
    [
        (1, dt.date(1900, 1, 1)),
        (59, dt.date(1900, 2, 28)),
        (61, dt.date(1900, 3, 1)),
        (25569, dt.date(1970, 1, 1)),
        (2958465, dt.date(9999, 12, 31)),
    ],
)
def test_the_1900_system(serial: float, day: dt.date) -> None:
    moment = serial_to_datetime(serial)
    assert moment is not None
    assert moment.date() == day


@pytest.mark.parametrize("serial", [60, 60.5])
def test_the_29th_of_february_1900_never_was(serial: float) -> None:
    """Day 60 of the 1900 system: 1900 was no leap year, and the system counts as if it had been."""
    assert serial_to_datetime(serial) is None


@pytest.mark.parametrize(
    ("serial", "day"),
    [
        (0, dt.date(1904, 1, 1)),
        (1, dt.date(1904, 1, 2)),
        (24107, dt.date(1970, 1, 1)),
        (2957003, dt.date(9999, 12, 31)),
    ],
)
def test_the_1904_system(serial: float, day: dt.date) -> None:
    moment = serial_to_datetime(serial, date1904=True)
    assert moment is not None
    assert moment.date() == day


@pytest.mark.parametrize(
    ("serial", "date1904"), [(0, False), (-1, False), (2958466, False), (-1, True), (2957004, True)]
)
def test_beyond_the_calendar_there_is_no_day(serial: float, date1904: bool) -> None:
    assert serial_to_datetime(serial, date1904) is None


@given(st.integers(61, 2958465))
def test_the_two_systems_lie_1462_days_apart(serial: int) -> None:
    """1462 days: from 31 December 1899 to 1 January 1904, with the day that never was."""
    if serial >= 1462:
        assert serial_to_datetime(serial) == serial_to_datetime(serial - 1462, date1904=True)


@given(st.floats(61, 2958465, allow_nan=False))
def test_openpyxl_reads_the_same_moment(serial: float) -> None:
    ours, theirs = serial_to_datetime(serial), from_excel(serial)
    assert ours is not None
    assert abs(ours - theirs) <= dt.timedelta(seconds=1)


@given(st.floats(1, 2957002, allow_nan=False))
def test_openpyxl_reads_the_same_moment_of_1904(serial: float) -> None:
    ours, theirs = serial_to_datetime(serial, date1904=True), from_excel(serial, CALENDAR_MAC_1904)
    assert ours is not None
    assert abs(ours - theirs) <= dt.timedelta(seconds=1)
