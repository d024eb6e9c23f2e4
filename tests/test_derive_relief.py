"""Courses of pain relief and the days they mark."""

from __future__ import annotations

import datetime as dt

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tables import table

from tracker.derive.relief import courses, masking, overlaps
from tracker.sheets import PAIN_RELIEF

LATER = dt.date(2027, 1, 1)


def given_(text, on=LATER):
    return courses(table(PAIN_RELIEF, text), on)


def one(product, first, last=""):
    return given_(f"product | first_given | last_given\n {product} | {first} | {last}")


def marks(found, *days, horse="Juno"):
    return [masking(found, horse, dt.date.fromisoformat(day)) for day in days]


@pytest.mark.parametrize(
    ("typed", "product_class"),
    [
        ("bute", "phenylbutazone"),
        ("Bute sachet, 1 g", "phenylbutazone"),
        ("Phenylbutazone paste", "phenylbutazone"),
        ("FLUNIXIN meglumine", "flunixin"),
        ("meloxicam oral", "meloxicam"),
        ("firocoxib 57 mg", "firocoxib"),
        ("willow bark", None),
        ("distributed by the vet", None),
    ],
)
def test_a_product_is_known_by_its_generic_name(typed, product_class):
    (course,) = one(typed, "2026-03-01")

    assert (course.product, course.product_class) == (typed, product_class)


def test_hours_count_from_the_last_dose():
    (course,) = one("bute", "2026-03-01 07:30", "2026-03-03 19:00")

    assert course.masked_until == dt.datetime(2026, 3, 4, 19)
    assert course.residual_until == dt.datetime(2026, 3, 10, 19)


def test_a_last_dose_without_a_time_may_have_been_given_at_midnight():
    (course,) = one("bute", "2026-03-01", "2026-03-03")

    assert course.masked_until == dt.datetime(2026, 3, 5)
    assert course.residual_until == dt.datetime(2026, 3, 11)


def test_the_days_before_during_and_after_a_course():
    found = one("bute", "2026-03-01", "2026-03-03")
    days = ("2026-02-28", "2026-03-01", "2026-03-03", "2026-03-04", "2026-03-05", "2026-03-10", "2026-03-11")

    assert marks(found, *days) == ["", "masked", "masked", "masked", "residual", "residual", ""]


def test_any_part_of_a_day_marks_it():
    found = one("bute", "2026-03-01 18:00", "2026-03-02 18:00")

    assert marks(found, "2026-03-01", "2026-03-03", "2026-03-04") == ["masked", "masked", "residual"]


def test_a_moment_is_looked_at_by_itself():
    found = one("bute", "2026-03-01 18:00", "2026-03-02 18:00")

    assert masking(found, "Juno", dt.datetime(2026, 3, 1, 17, 59)) == ""
    assert masking(found, "Juno", dt.datetime(2026, 3, 1, 18, 0)) == "masked"
    assert masking(found, "Juno", dt.datetime(2026, 3, 3, 17, 59)) == "masked"
    assert masking(found, "Juno", dt.datetime(2026, 3, 3, 18, 0)) == "residual"


def test_a_moment_at_midnight_is_a_day():
    found = one("bute", "2026-03-01 18:00", "2026-03-02 18:00")

    assert masking(found, "Juno", pd.Timestamp("2026-03-01")) == "masked"


def test_a_course_with_no_end_is_still_being_given():
    found = one("meloxicam", "2026-03-01")

    assert found[0].last is found[0].masked_until is found[0].residual_until is None
    assert marks(found, "2026-02-28", "2026-03-01", "2036-03-01") == ["", "masked", "masked"]


def test_an_unknown_product_is_masked_to_the_end_of_its_last_day_then_marked_for_the_longest_time():
    (course,) = found = one("willow bark", "2026-03-01", "2026-03-03 08:00")

    assert course.masked_until == dt.datetime(2026, 3, 4)
    assert marks(found, "2026-03-03", "2026-03-04", "2026-03-17", "2026-03-18") == [
        "masked",
        "residual",
        "residual",
        "",
    ]


def test_two_products_in_one_cell_are_two_courses_of_one_row():
    found = one("bute and firocoxib", "2026-03-01", "2026-03-01")

    assert [(course.product_class, course.row) for course in found] == [
        ("phenylbutazone", 2),
        ("firocoxib", 2),
    ]
    assert marks(found, "2026-03-14") == ["residual"]


def test_what_comes_after_the_day_of_looking_has_not_happened():
    text = """
        product | first_given | last_given
        bute    | 2026-03-01  | 2026-03-05
        bute    | 2026-03-10  |
    """

    assert given_(text, dt.date(2026, 2, 28)) == []
    (running,) = given_(text, dt.date(2026, 3, 4))
    assert running.last is None
    (ended,) = given_(text, dt.date(2026, 3, 5))
    assert ended.last == dt.datetime(2026, 3, 5)
    assert len(given_(text, dt.date(2026, 3, 10))) == 2


def test_days_out_of_order_still_mark_the_later_one():
    found = one("bute", "2026-03-05", "2026-03-01")

    assert marks(found, "2026-03-05", "2026-03-06", "2026-03-07") == ["masked", "masked", "residual"]


def test_only_the_horse_that_was_given_it_is_marked():
    assert marks(one("bute", "2026-03-01"), "2026-03-02", horse="Wren") == [""]


def test_no_sheet_no_courses():
    assert given_("") == []


@given(
    st.datetimes(dt.datetime(2026, 1, 1), dt.datetime(2026, 3, 1)),
    st.timedeltas(dt.timedelta(0), dt.timedelta(days=20)),
    st.dates(dt.date(2025, 12, 1), dt.date(2026, 5, 1)),
    st.sampled_from(["bute", "flunixin", "meloxicam", "firocoxib", "willow bark"]),
)
def test_a_day_is_masked_first_then_residual_then_free(first, length, day, product):
    found = one(product, first.isoformat(" "), (first + length).isoformat(" "))
    order = ["masked", "residual", ""]
    answers = marks(found, *((day + dt.timedelta(days=n)).isoformat() for n in range(40)))
    begun = answers[next((at for at, answer in enumerate(answers) if answer), 0) :]

    assert begun == sorted(begun, key=order.index)


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("bute | 2026-03-01 | 2026-03-05\n meloxicam | 2026-03-04 | ", [("bute", "meloxicam", "03-04", "03-05")]),
        ("bute | 2026-03-01 | 2026-03-05\n meloxicam | 2026-03-05 | 2026-03-09", [("bute", "meloxicam", "03-05", "03-05")]),
        ("bute | 2026-03-01 | \n willow bark | 2026-03-04 | ", [("bute", "willow bark", "03-04", None)]),
        ("bute + meloxicam | 2026-03-01 | 2026-03-05", [("bute + meloxicam", "bute + meloxicam", "03-01", "03-05")]),
        ("bute | 2026-03-01 | 2026-03-05\n meloxicam | 2026-03-06 | ", []),
        ("bute | 2026-03-01 | 2026-03-05\n Bute paste | 2026-03-04 | ", []),
        ("willow bark | 2026-03-01 | \n Willow  bark | 2026-03-04 | ", []),
        (
            "bute | 2026-03-01 | 2026-03-05\n meloxicam | 2026-03-04 | 2026-03-04\n bute | 2026-05-01 | 2026-05-05\n"
            " meloxicam | 2026-05-02 | 2026-05-03",
            [("meloxicam", "bute", "05-02", "05-03")],
        ),
    ],
)  # fmt: skip
def test_products_given_on_the_same_days(rows, found):
    """A caution for the owner; of each two products the latest days."""
    told = overlaps(given_(f"product | first_given | last_given\n {rows}"))
    ends = [(one.first, one.last) for one in told]
    pairs = [frozenset((one.product, one.other)) for one in told]
    assert pairs == [frozenset(pair[:2]) for pair in found]
    assert [(f"{first:%m-%d}", last and f"{last:%m-%d}") for first, last in ends] == [
        pair[2:] for pair in found
    ]
