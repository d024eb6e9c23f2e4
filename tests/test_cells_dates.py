"""Dates as typed, one cell at a time."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.cells.dates import WrittenDate, born_year, heading_order, read_date, run_together

FOURTH_OF_MARCH = dt.datetime(2026, 3, 4)


@pytest.mark.parametrize(
    "typed",
    [
        "04.03.2026", "4.3.26", "4-Mar-26", "4 Mar 2026", "4th March 2026", "4th of March, 2026", "Mar 4, 2026",
        "March 4th 2026", "march 4 '26", "2026-03-04", "2026/3/4", "20260304", "Wed 4 Mar 2026", "Wednesday, 4 March 2026",
        "4\u00a0Mar\u00a02026", "４ Mar 2026",
    ],
)  # fmt: skip
def test_a_date_with_its_month_shown_is_read_whatever_the_order(typed: str) -> None:
    written = read_date(typed)
    assert isinstance(written, WrittenDate)
    assert written.on(2026, day_first=True) == written.on(2026, day_first=False) == FOURTH_OF_MARCH


@pytest.mark.parametrize(
    ("typed", "order", "tells"), [("4/3/26", "", False), ("25/3/26", "day", True), ("3/25/26", "month", True)]
)
def test_figures_show_their_order_only_where_one_is_no_month(typed: str, order: str, tells: bool) -> None:
    written = read_date(typed)
    assert isinstance(written, WrittenDate)
    assert (written.order, written.tells) == (order, tells)


@pytest.mark.parametrize("typed", ["4 Mar", "March 4th", "4/3", "4.3.", "4-mar"])
def test_a_year_left_out_stays_open(typed: str) -> None:
    written = read_date(typed)
    assert isinstance(written, WrittenDate)
    assert written.year is None


@pytest.mark.parametrize(
    ("typed", "time"),
    [("4 Mar 2026 19:30", dt.time(19, 30)), ("2026-03-04T07:05:09", dt.time(7, 5)), ("4/3/26 7pm", dt.time(19)),
     ("4 mar 2026 19.30", dt.time(19, 30)), ("4.3.26 19.30", dt.time(19, 30)), ("4 Mar 2026 19h30", dt.time(19, 30)), ("4 Mar 2026 12.30h", dt.time(12, 30)), ("4 Mar 2026 7.30pm", dt.time(19, 30)),
     ("4 March 2026, 12:15 am", dt.time(0, 15)), ("Mar 4 2026 at 6:30 PM", dt.time(18, 30))],
)  # fmt: skip
def test_a_time_of_day_is_kept(typed: str, time: dt.time) -> None:
    written = read_date(typed)
    assert isinstance(written, WrittenDate)
    assert written.time == time


@pytest.mark.parametrize(
    "typed",
    [
        "yesterday",
        "today",
        "soon",
        "Mar 2026",
        "March",
        "4 Foo 2026",
        "12",
        "",
        "0",
        "4/3/2026/1",
        "4 Mar 2026 25:00",
        "26-3-4-1",
    ],
)
def test_what_is_no_date_is_not_read_as_one(typed: str) -> None:
    assert read_date(typed) is None


@pytest.mark.parametrize(
    ("typed", "year"), [("31 Feb 2026", 2026), ("29 Feb 2027", 2027), ("31/4/26", 2026), ("0/3/26", 2026)]
)
def test_a_day_that_the_calendar_does_not_have_gives_none(typed: str, year: int) -> None:
    written = read_date(typed)
    assert isinstance(written, WrittenDate)
    assert written.on(year, day_first=True) is None


@pytest.mark.parametrize("typed", ["4. 3.26", "4 3.26", "4 Mar 2026 25.00", "4 Mar 2026 19.75"])
def test_a_time_with_a_point_takes_nothing_from_a_date(typed: str) -> None:
    written = read_date(typed)
    assert written is None or (
        isinstance(written, WrittenDate) and (written.year, written.time) == (2026, dt.time())
    )
    assert (written is None) == ("Mar" in typed)


def test_the_weekday_that_was_typed_is_kept() -> None:
    written = {typed: read_date(typed) for typed in ("Sun 4 Mar 2026", "Sunday, 4/3/26", "4 Mar 2026")}
    assert [date.weekday for date in written.values() if isinstance(date, WrittenDate)] == [6, 6, None]


@pytest.mark.parametrize(
    ("typed", "other"),
    [("26-06-01", "2026-06-01"), ("26/06/01", "2026-06-01"), ("04-03-26", "2004-03-26"), ("4-03-26", None), ("26-06-2001", None),
     ("26-13-01", None), ("00-06-01", "2000-06-01"), ("26-06-99", None), ("26-06-31", None)],
)  # fmt: skip
def test_two_figures_each_may_have_the_year_first(typed: str, other: str | None) -> None:
    written = read_date(typed)
    assert isinstance(written, WrittenDate)
    found = written.year_first()
    assert (found and str(found.on(found.year or 0, day_first=True).date())) == other  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("typed", "days"),
    [
        (40326.0, ["2026-03-04", "2026-04-03"]), ("40326", ["2026-03-04", "2026-04-03"]), (30626.0, ["2026-06-03", "2026-03-06"]),
        (42026.0, ["2026-04-20"]), (46085.0, []), ("46085", []), (40326.5, []), ("4 Mar 2026", []), (31326.0, ["2026-03-31", "2026-03-13"]),
    ],
)  # fmt: skip
def test_five_figures_may_be_a_day_a_month_and_a_year_run_together(typed: object, days: list[str]) -> None:
    found = {day.isoformat() for day in run_together(typed)}
    assert set(days) <= found if days else not found


def test_two_figure_years_turn_at_69_as_posix_has_it() -> None:
    """POSIX.1-2017 strptime, %y: 69-99 mean 1969-1999, 00-68 mean 2000-2068."""
    years = {typed: read_date(f"4 Mar {typed}") for typed in ("68", "69", "00", "99")}
    assert {typed: written.year for typed, written in years.items() if isinstance(written, WrittenDate)} == {
        "68": 2068, "69": 1969, "00": 2000, "99": 1999,
    }  # fmt: skip


def test_a_true_date_with_a_zone_loses_the_zone_and_keeps_its_clock() -> None:
    assert read_date(dt.datetime(2026, 3, 4, 9, tzinfo=dt.UTC)) == dt.datetime(2026, 3, 4, 9)


def test_a_bare_day_number_counts_where_it_is_a_sane_date() -> None:
    assert read_date(46085.0) == read_date("46085") == FOURTH_OF_MARCH
    assert read_date(2.0) is None
    assert read_date(44623.0, date1904=True) == FOURTH_OF_MARCH


@given(st.dates(dt.date(1980, 1, 1), dt.date(2068, 12, 31)))
def test_every_way_to_write_a_day_gives_that_day(day: dt.date) -> None:
    for text in (
        day.isoformat(),
        f"{day:%d %B %Y}",
        f"{day:%B %d, %Y}",
        f"{day:%d.%m.%Y}",
        f"{day:%d-%b-%y}",
        f"{day:%Y%m%d}",
    ):
        written = read_date(text)
        assert isinstance(written, WrittenDate)
        assert written.year == day.year
        assert written.on(day.year, day_first=False) == dt.datetime.combine(day, dt.time())


@given(st.text(max_size=20))
def test_no_text_makes_the_reader_fail(text: str) -> None:
    assert read_date(text) is None or isinstance(read_date(text), WrittenDate | dt.datetime)


@pytest.mark.parametrize(
    ("typed", "year"),
    [
        ("2012", 2012),
        (2012.0, 2012),
        ("4 Mar 2012", 2012),
        (dt.datetime(2012, 3, 4), 2012),
        ("old", None),
        ("4 Mar", None),
    ],
)
def test_a_birth_is_a_year_or_a_date(typed: object, year: int | None) -> None:
    assert born_year(typed) == year


@pytest.mark.parametrize(
    ("unit", "order"),
    [
        ("dd/mm/yyyy", "day"),
        ("d.m.yy", "day"),
        ("mm/dd/yy", "month"),
        ("m-d", "month"),
        ("yyyy-mm-dd", ""),
        ("of the visit", ""),
        ("", ""),
    ],
)
def test_a_heading_may_name_the_order(unit: str, order: str) -> None:
    assert heading_order(unit) == order
