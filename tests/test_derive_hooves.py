"""One record a foot, a day and a stage, from rows measured in different ways."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tables import table

from tracker.derive.hooves import MEASURED, UNITS, hoof_records
from tracker.reference.measuring import NOT_SAID, reading_sd
from tracker.sheets import ANGLE, HOOVES, LENGTH


def records(text, **more):
    return hoof_records(table(HOOVES, text, **more))


def test_gauge_and_ruler_rows_of_one_foot_are_one_record():
    (record,) = records("""
        date       | foot | stage       | measured_with | toe_angle | heel_angle | toe_length | heel_length
        2026-03-01 | LF   | before trim | gauge         | 50        | 45         |            |
        2026-03-01 | LF   | before trim | ruler         |           |            | 85         | 40
    """)

    assert (record.horse, record.foot, record.date, record.stage) == (
        "Juno",
        "LF",
        dt.date(2026, 3, 1),
        "before trim",
    )
    assert record.rows == (2, 3)
    assert record.way == "gauge, ruler"
    assert record.measures["toe_angle"].how == "gauge"
    assert record.measures["toe_length"].how == "ruler"
    assert record.measures["heel_height"].value == pytest.approx(28.28, abs=0.005)
    assert record.measures["heel_height"].how == "from heel length and heel angle (gauge, ruler)"


def test_feet_days_and_stages_are_kept_apart_and_in_order():
    found = records("""
        date       | foot | stage       | toe_angle
        2026-03-08 | RF   |             | 51
        2026-03-01 | RF   | after trim  | 52
        2026-03-01 | RF   | before trim | 50
        2026-03-01 | LH   |             | 53
        2026-03-01 | LF   |             | 49
    """)

    assert [record.rows for record in found] == [(6,), (4,), (3,), (2,), (5,)]


def test_repeats_in_one_way_are_their_mean_with_a_smaller_error():
    (record,) = records("""
        date       | foot | measured_with | heel_angle
        2026-03-01 | LF   | photo         | 40
        2026-03-01 | LF   | photo         | 43
        2026-03-01 | LF   | photo         | 46
    """)
    angle = record.measures["heel_angle"]

    assert angle.value == 43
    # The averaging of k readings divides their spread by √k: standard statistics.
    assert angle.sd == pytest.approx(reading_sd("heel_angle", "photo") / math.sqrt(3))
    assert angle.how == "mean of 3 by photo"


def test_a_row_typed_twice_is_one_reading():
    (record,) = records("""
        date       | foot | measured_with | toe_angle
        2026-03-01 | LF   | gauge         | 50
        2026-03-01 | LF   | gauge         | 50
    """)

    assert record.rows == (2,)
    assert record.measures["toe_angle"].sd == reading_sd("toe_angle", "gauge")


def test_of_two_ways_the_surer_is_taken():
    (record,) = records("""
        date       | foot | measured_with | toe_angle
        2026-03-01 | LF   | photo         | 53
        2026-03-01 | LF   | gauge         | 50
    """)

    assert record.measures["toe_angle"].value == 50
    assert record.measures["toe_angle"].how == "gauge"


def test_a_way_not_said_is_said_to_be_so_and_has_the_largest_error():
    (record,) = records("""
        date       | foot | toe_angle | heel_angle
        2026-03-01 | LF   | 50        | 45
    """)

    assert record.way == ""
    assert record.measures["toe_angle"].how == NOT_SAID
    assert record.measures["toe_angle"].sd == reading_sd("toe_angle", "photo")
    assert record.measures["heel_lag"].how == "from toe angle and heel angle (not said)"


def test_one_no_leaves_the_record_unchecked():
    found = records("""
        date       | foot | measured_with | toe_angle | photo   | checked_on_the_live_horse
        2026-03-01 | LF   | photo         | 50        | lf1.jpg | no
        2026-03-01 | LF   | gauge         | 51        |         | Ada
        2026-03-01 | RF   | photo         | 50        | rf1.jpg |
        2026-03-01 | RF   | photo         | 51        | rf2.jpg | Ada
        2026-03-01 | LH   | photo         | 51        |         |
    """)

    assert [record.checked for record in found] == ["no", "Ada", ""]
    assert [record.photo for record in found] == ["lf1.jpg", "rf1.jpg, rf2.jpg", ""]


def test_growth_marks_go_by_their_names():
    (record,) = records("""
        date       | foot | measured_with | growth_mark | growth_mark_below_hairline
        2026-03-01 | LF   | ruler         | dot         | 12
        2026-03-01 | LF   | ruler         | Ring        | 30
        2026-03-01 | LF   | ruler         | ring        | 32
    """)

    assert {name: mark.value for name, mark in record.marks.items()} == {"dot": 12, "Ring": 31}
    assert record.measures == {}


def test_rows_set_aside_are_left_out():
    assert records("date | foot | toe_angle\n 2026-03-01 | LF | 50", set_aside=[2]) == []


def test_an_empty_sheet_has_no_records():
    assert records("") == []


def test_every_measuring_column_is_read_in_its_unit():
    columns = {column.key: column for column in HOOVES.columns if column.holds in (LENGTH, ANGLE)}

    assert set(MEASURED) | {"growth_mark_below_hairline"} == set(columns)
    for key, unit in UNITS.items():
        assert unit == {"mm": "mm", "°": "deg"}[columns[key].unit]


@given(st.lists(st.floats(20, 70), min_size=1, max_size=6, unique=True))
def test_a_mean_lies_among_its_readings_and_never_has_more_error_than_one(readings):
    lines = [f"2026-03-01 | LF | gauge | {value!r}" for value in readings]
    (record,) = records("\n".join(["date | foot | measured_with | toe_angle", *lines]))
    angle = record.measures["toe_angle"]

    assert min(readings) - 1e-9 <= angle.value <= max(readings) + 1e-9
    assert angle.sd <= reading_sd("toe_angle", "gauge")
