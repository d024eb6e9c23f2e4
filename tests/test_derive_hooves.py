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
        2026-03-01 | LF   | gauge         | 40
        2026-03-01 | LF   | gauge         | 43
        2026-03-01 | LF   | gauge         | 46
    """)
    angle = record.measures["heel_angle"]

    assert angle.value == 43
    # The averaging of k readings divides their spread by √k: standard statistics.
    assert angle.sd == pytest.approx(reading_sd("heel_angle", "gauge") / math.sqrt(3))
    assert angle.how == "mean of 3 by gauge"


_TWO_PHOTOS = """
    date       | foot | measured_with | photo | heel_angle | toe_angle | heel_length
    2026-03-01 | LF   | photo         | a.jpg | 44         | 50        | 40
    2026-03-01 | LF   | photo         | b.jpg | 46         | 51        | 42
"""


def test_photographs_whose_own_error_is_not_known_are_no_surer_for_being_several():
    (record,) = records(_TWO_PHOTOS)
    angle = record.measures["heel_angle"]

    assert (angle.value, angle.how) == (45, "mean of 2 by photo")
    assert angle.sd == reading_sd("heel_angle", "photo")


def test_a_photographs_own_error_stands_where_it_is_larger_than_that_of_its_kind():
    _, one, _ = _TWO_PHOTOS.strip().splitlines()
    text = f"date | foot | measured_with | photo | heel_angle | toe_angle | heel_length\n{one}"
    (record,) = hoof_records(table(HOOVES, text), {2: {"heel_angle": 4.0, "toe_angle": 0.2}})

    assert record.measures["heel_angle"].sd == 4
    assert record.measures["toe_angle"].sd == reading_sd("toe_angle", "photo")
    assert record.measures["heel_length"].sd == reading_sd("heel_length", "photo")
    assert record.measures["heel_angle"].how == "photo"


def test_two_photographs_average_their_own_errors():
    """Toe and heel by GUM (JCGM 100:2008): equal weights, so that u² = (u1² + u2²)/4."""
    own = {2: {"heel_angle": 4.0, "toe_angle": 3.0}, 3: {"heel_angle": 4.0, "toe_angle": 3.0}}
    (record,) = hoof_records(table(HOOVES, _TWO_PHOTOS), own)

    assert record.measures["heel_angle"].sd == pytest.approx(math.sqrt(4**2 + 4**2) / 2)
    assert record.measures["toe_angle"].sd == pytest.approx(math.sqrt(3**2 + 3**2) / 2)
    assert record.measures["heel_lag"].sd == pytest.approx(math.sqrt((16 + 9) / 2))


def test_what_is_worked_out_is_no_surer_than_the_photograph_has_it():
    own = {2: {"heel_angle": 4.0, "heel_lag": 7.0}, 3: {"heel_angle": 4.0, "heel_lag": 7.0}}
    (record,) = hoof_records(table(HOOVES, _TWO_PHOTOS), own)

    assert record.measures["heel_lag"].sd == pytest.approx(7 / math.sqrt(2))  # standard statistics
    assert record.measures["heel_lag"].value == -5 + 10.5
    (half,) = hoof_records(table(HOOVES, _TWO_PHOTOS), {2: own[2]})
    assert half.measures["heel_lag"].sd < 7 / math.sqrt(2)


def test_a_gauge_beside_a_photograph_keeps_its_own_error():
    (record,) = hoof_records(
        table(HOOVES, _TWO_PHOTOS + "2026-03-01 | LF | gauge | | 45 | |"), {2: {"heel_angle": 9.0}}
    )
    assert record.measures["heel_angle"].sd == reading_sd("heel_angle", "gauge")


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


def test_what_was_checked_on_the_live_horse_counts_before_the_same_photograph_marked_again():
    found = records("""
        date       | foot | measured_with | toe_angle | heel_angle | photo   | checked_on_the_live_horse
        2026-03-01 | LF   | photo         | 50        |            | lf1.jpg | Ada
        2026-03-01 | LF   | photo         | 54        |            | LF1.jpg | no
        2026-03-01 | RF   | photo         | 50        |            | rf1.jpg | Ada
        2026-03-01 | RF   | photo         | 54        | 45         | rf1.jpg | no
        2026-03-01 | LH   | photo         | 50        |            | lh1.jpg | Ada
        2026-03-01 | LH   | photo         | 54        |            | lh2.jpg | no
    """)

    assert [record.measures["toe_angle"].value for record in found] == [50, 50, pytest.approx(52)]
    assert [record.checked for record in found] == ["Ada", "no", "no"]
    assert found[1].measures["heel_angle"].value == 45
    assert found[0].measures["toe_angle"].how == "photo"


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
