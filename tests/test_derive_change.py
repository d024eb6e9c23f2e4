"""Change since the last and the first time, left less right, and what measuring error can explain."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from tables import table

from tracker.derive.change import changes, left_right
from tracker.derive.hooves import hoof_records
from tracker.reference.measuring import reading_sd
from tracker.sheets import HOOVES


def records(text):
    return hoof_records(table(HOOVES, text))


def last_of(text):
    found = records(text)
    return changes(found[-1], found)


def test_since_the_last_and_since_the_first_time():
    found = last_of("""
        date       | foot | stage      | measured_with | toe_angle
        2026-01-01 | LF   | after trim | gauge         | 48
        2026-02-01 | LF   | after trim | gauge         | 50
        2026-03-01 | LF   | after trim | gauge         | 51.5
    """)["toe_angle"]

    assert (found["since_last"].since, found["since_last"].value) == (dt.date(2026, 2, 1), 1.5)
    assert (found["since_first"].since, found["since_first"].value) == (dt.date(2026, 1, 1), 3.5)
    assert found["since_last"].unit == "deg"


@pytest.mark.parametrize(
    ("off", "first"),
    [
        (None, "2026-01-01"),
        ("2026-01-10", "2026-02-01"),
        ("2026-02-01", "2026-02-01"),  # measured on the very day
        ("2026-02-15", None),  # the record is the first since
        ("2026-04-01", "2026-01-01"),  # still shod: the first of all
    ],
)
def test_the_first_is_the_first_since_the_shoes_came_off(off, first):
    found = records("""
        date       | foot | stage      | measured_with | toe_angle
        2026-01-01 | LF   | after trim | gauge         | 48
        2026-02-01 | LF   | after trim | gauge         | 50
        2026-03-01 | LF   | after trim | gauge         | 51.5
    """)
    told = changes(found[-1], found, off and dt.date.fromisoformat(off))["toe_angle"]
    assert told["since_last"].since == dt.date(2026, 2, 1)
    assert ("since_first" in told) == bool(first)
    if first:
        assert told["since_first"].since == dt.date.fromisoformat(first)


def test_only_the_same_stage_is_compared():
    assert (
        last_of("""
        date       | foot | stage       | measured_with | toe_angle
        2026-01-01 | LF   | before trim | gauge         | 47
        2026-01-01 | LF   |             | gauge         | 49
        2026-02-01 | LF   | after trim  | gauge         | 50
    """)
        == {}
    )


def test_another_foot_or_another_horse_is_not_compared():
    found = records("""
        date       | horse | foot | measured_with | toe_angle
        2026-01-01 | Juno  | RF   | gauge         | 47
        2026-01-01 | Wren  | LF   | gauge         | 47
        2026-02-01 | Juno  | LF   | gauge         | 50
    """)
    (record,) = (one for one in found if one.foot == "LF" and one.horse == "Juno")

    assert changes(record, found) == {}


def test_the_last_time_is_the_last_that_holds_this_measure():
    found = last_of("""
        date       | foot | measured_with | toe_angle | heel_angle
        2026-01-01 | LF   | gauge         | 48        | 40
        2026-02-01 | LF   | gauge         | 50        |
        2026-03-01 | LF   | gauge         | 51        | 44
    """)

    assert found["toe_angle"]["since_last"].since == dt.date(2026, 2, 1)
    assert found["heel_angle"]["since_last"].since == dt.date(2026, 1, 1)
    assert found["heel_lag"]["since_last"].since == dt.date(2026, 1, 1)


@pytest.mark.parametrize(
    ("before", "now", "beyond"),
    [
        (50.3, 51.3, True),
        (51.3, 50.3, True),
        (50.3, 51.2, False),
        (50.0, 50.9, False),
        (50, 50, False),
        (50, 54, True),
    ],
)
def test_one_degree_by_gauge_is_just_beyond_error(before, now, beyond):
    change = last_of(f"""
        date       | foot | measured_with | toe_angle
        2026-02-01 | LF   | gauge         | {before}
        2026-03-01 | LF   | gauge         | {now}
    """)["toe_angle"]["since_last"]

    assert change.beyond_error is beyond
    assert change.detectable == pytest.approx(1.0)  # the provisional figure for a gauge


def test_errors_of_two_ways_are_joined():
    change = last_of("""
        date       | foot | measured_with | heel_angle
        2026-02-01 | LF   | photo         | 40
        2026-03-01 | LF   | gauge         | 44
    """)["heel_angle"]["since_last"]

    assert change.sd == pytest.approx(
        math.hypot(reading_sd("heel_angle", "photo"), reading_sd("heel_angle", "gauge"))
    )
    assert change.detectable == pytest.approx(1.96 * change.sd)
    assert not change.beyond_error


def test_left_less_right_of_each_pair_on_the_same_day_and_stage():
    found = left_right(
        records("""
        date       | foot | stage      | measured_with | toe_angle
        2026-03-01 | LF   | after trim | gauge         | 52
        2026-03-01 | RF   | after trim | gauge         | 50
        2026-03-01 | LH   | after trim | gauge         | 54
        2026-03-01 | RH   |            | gauge         | 50
        2026-04-01 | LF   |            | gauge         | 52
        2026-05-01 | RF   |            | gauge         | 50
    """)
    )

    (difference,) = found
    assert (difference.pair, difference.horse, difference.name) == ("front", "Juno", "toe_angle")
    assert (difference.date, difference.stage) == (dt.date(2026, 3, 1), "after trim")
    assert difference.measure.value == 2
    assert difference.measure.how == "left less right (gauge)"
    assert difference.beyond_error


def test_a_pair_within_error_is_said_to_be_so():
    found = left_right(
        records("""
        date       | foot | measured_with | toe_angle | toe_length
        2026-03-01 | LH   | photo         | 50        | 84
        2026-03-01 | RH   | photo         | 52.5      |
    """)
    )

    (difference,) = found
    assert (difference.pair, difference.measure.value, difference.beyond_error) == ("hind", -2.5, False)
