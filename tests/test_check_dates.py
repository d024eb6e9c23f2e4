"""Dates of a column together: order, missing years, sane range."""

from __future__ import annotations

import datetime as dt

import pytest
from books import checked, told

from tracker.check import dates as check_dates


def days(text: str, **options: object) -> tuple[list[str], list[tuple[str, str]]]:
    """The dates of a Soundness sheet with these dates, one a line, and the problems told."""
    lines = "\n".join(f"{line.strip()} | 1/5" for line in text.strip().splitlines())
    result = checked(Horses="Horse\nBramble", Soundness=f"Date | Score\n{lines}", **options)  # type: ignore[arg-type]
    read = result.tables["Soundness"].frame["date"]
    return ["" if day is None else day.isoformat() for day in read.dt.date.where(read.notna(), None)], told(
        result
    )


def test_one_date_that_fits_one_order_settles_the_column() -> None:
    assert days("4/3/26\n25/3/26") == (["2026-03-04", "2026-03-25"], [])
    assert days("4/3/26\n4/25/26") == (["2026-04-03", "2026-04-25"], [])


@pytest.mark.parametrize(("habit", "read"), [(True, "2026-03-04"), (False, "2026-04-03")])
def test_an_undecided_column_follows_the_machine_and_says_so_once(
    monkeypatch: pytest.MonkeyPatch, habit: bool, read: str
) -> None:
    monkeypatch.setattr(check_dates, "machine_day_first", lambda: habit)
    assert days("4/3/26\n5/3/26\n6/3/26")[0][0] == read
    assert days("4/3/26\n5/3/26\n6/3/26")[1] == [("Soundness!A2", "date-order-unclear")]


def test_what_is_asked_for_wins_over_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check_dates, "machine_day_first", lambda: True)
    assert days("4/3/26", day_first=False)[0] == ["2026-04-03"]


def test_what_the_column_shows_wins_over_what_is_asked_for() -> None:
    assert days("4/3/26\n25/3/26", day_first=False)[0][0] == "2026-03-04"


def test_two_orders_in_one_column_are_not_settled_silently() -> None:
    read, problems = days("25/3/26\n3/26/26\n4/3/26", day_first=True)
    assert read == ["2026-03-25", "2026-03-26", "2026-03-04"]
    assert problems == [("Soundness!A4", "date-order-unclear")]


def test_the_same_day_and_month_is_in_no_doubt() -> None:
    assert days("3/3/26") == (["2026-03-03"], [])


def test_another_column_of_the_workbook_can_show_the_order(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check_dates, "machine_day_first", lambda: True)
    result = checked(
        Horses="Horse\nBramble",
        Soundness="Date | Score\n4/3/26 | 1/5",
        Visits="Date | Purpose\n2/25/26 | trim",
    )
    assert str(result.tables["Soundness"].frame["date"].iloc[0].date()) == "2026-04-03"
    assert told(result) == [("Soundness!A2", "date-order-unclear")]


def test_a_missing_year_is_the_one_that_fits_its_neighbours() -> None:
    assert days("20 Dec 2025\n28 Dec\n3 Jan\n10 Jan 2026") == (
        ["2025-12-20", "2025-12-28", "2026-01-03", "2026-01-10"],
        [],
    )


def test_the_newest_may_stand_on_top() -> None:
    assert days("10 Jan 2026\n3 Jan\n28 Dec\n20 Dec 2025")[0] == [
        "2026-01-10",
        "2026-01-03",
        "2025-12-28",
        "2025-12-20",
    ]


def test_todays_note_without_a_year_follows_the_row_above() -> None:
    assert days("1 Jun 2026\n4 Jun") == (["2026-06-01", "2026-06-04"], [])


def test_a_missing_year_far_from_its_neighbours_is_doubted() -> None:
    assert days("1 Jun 2026\n4 Dec") == (
        ["2026-06-01", "2025-12-04"],
        [("Soundness!A3", "date-year-missing")],
    )


def test_no_year_anywhere_is_doubted() -> None:
    assert days("4 Mar") == (["2026-03-04"], [("Soundness!A2", "date-year-missing")])


def test_the_29th_of_february_finds_its_leap_year() -> None:
    assert days("28 Feb 2024\n29 Feb\n1 Mar 2024") == (["2024-02-28", "2024-02-29", "2024-03-01"], [])


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("31 Feb 2026", "date-no-such-day"),
        ("soon", "date-unreadable"),
        ("4 Mar 1026", "date-out-of-range"),
        ("4 Mar 2206", "date-out-of-range"),
    ],
)
def test_a_row_without_its_date_is_set_aside(typed: str, kind: str) -> None:
    result = checked(Horses="Horse\nBramble", Soundness=f"Date | Score\n{typed} | 1/5")
    assert told(result) == [("Soundness!A2", kind)]
    assert (result.problems[0].severity, result.rows["Soundness"]) == ("error", (1, 1))


def test_a_date_to_come_is_doubted_and_kept_but_not_where_it_belongs() -> None:
    assert days("1 Jul 2026", today=dt.date(2026, 6, 30)) == (
        ["2026-07-01"],
        [("Soundness!A2", "date-in-future")],
    )
    assert days("30 Jun 2026", today=dt.date(2026, 6, 30))[1] == []
    due = checked(
        Horses="Horse\nBramble", Visits="Date | Purpose | Next due\n@2026-06-01 | trim | @2026-08-01"
    )
    assert told(due) == []


def test_the_1904_system_holds_for_bare_day_numbers() -> None:
    assert days("44623", date1904=True)[0] == ["2026-03-04"]
    assert days("46085")[0] == ["2026-03-04"]


def test_a_date_with_a_time_is_its_day_and_a_moment_keeps_it() -> None:
    result = checked(
        Horses="Horse\nBramble",
        Soundness="Date | Score | Written\n@2026-03-04T07:30 | 1/5 | 4 Mar 2026 19:05",
    )
    row = result.tables["Soundness"].frame.iloc[0]
    assert (str(row["date"]), str(row["written"])) == ("2026-03-04 00:00:00", "2026-03-04 19:05:00")


def test_a_date_at_the_end_of_the_calendar_is_no_neighbour() -> None:
    read, problems = days("@9999-12-31\n4 Mar\n1 Mar 2026")
    assert read == ["", "2026-03-04", "2026-03-01"]
    assert problems == [("Soundness!A2", "date-out-of-range")]


@pytest.mark.parametrize(
    ("text", "doubted"),
    [
        # 11 and 12 March typed day first where the month is expected first: 3 November and 3 December
        ("@2025-11-03\n@2025-12-03\n13/3/2025\n14/3/2025", True),
        (
            "@2026-04-03\n@2026-05-03\n3/13/2026\n3/14/2026",
            True,
        ),  # and month first where the day is expected first
        ("@2026-03-04\n@2026-03-05\n3/13/2026\n3/14/2026", False),
        ("@2026-03-04\n@2026-03-05\n13/3/2026\n14/3/2026", False),  # honest, and mixed
        ("@2025-11-03\n@2025-12-03\n13/3/2025\n4/3/2025", False),  # 4/3 stayed text, so nothing was turned
        ("@2025-11-03\n@2025-12-13\n13/3/2025\n14/3/2025", False),  # no spreadsheet turns a 13th
        ("@2025-03-03\n13/3/2025", False),
        ("@2025-11-03\n@2025-12-03\n13 March 2025", False),
    ],
)
def test_true_dates_that_were_turned_as_they_were_typed_are_doubted_once(text: str, doubted: bool) -> None:
    read, problems = days(text, day_first=True)
    assert problems == ([("Soundness!A2", "dates-turned")] if doubted else [])
    assert read[0] == text[1:11]


@pytest.mark.parametrize(
    ("text", "read", "problems"),
    [
        ("26-06-01", "2026-06-01", [("Soundness!A2", "date-year-first")]),
        ("26-06-01\n@2026-05-28\n@2026-06-03", "2026-06-01", []),
        ("26-06-01\n@2001-06-20\n@2001-06-28", "2001-06-26", []),
        ("26/06/01\n4 Jun 2026", "2026-06-01", []),
        ("26-06-01\n@2001-06-20\n@2026-05-28", "2026-06-01", [("Soundness!A2", "date-year-first")]),
        ("22-06-20", "2020-06-22", [("Soundness!A2", "date-year-first")]),
        ("22/06/20", "2020-06-22", []),
        ("25-03-26", "2026-03-25", [("Soundness!A2", "date-year-first")]),
        ("25-03-26\n26-03-26\n28-03-26", "2026-03-25", []),
        ("26-03-25\n26-03-26\n26-04-02", "2026-03-25", []),
        ("20-06-24\n20-07-24", "2024-06-20", [("Soundness!A2", "date-year-first")]),
        ("04-03-26", "2026-03-04", [("Soundness!A2", "date-order-unclear")]),
        ("9-12-25\n12-12-25", "2025-12-09", [("Soundness!A2", "date-order-unclear")]),
        ("25-03-26\n@2026-03-27", "2026-03-25", []),
        ("24-01-98", "1998-01-24", []),
    ],
)
def test_figures_that_may_have_the_year_first_are_settled_by_the_column_or_doubted(
    text: str, read: str, problems: list[tuple[str, str]]
) -> None:
    found, said = days(text, day_first=True)
    assert (found[0], said) == (read, problems)


def test_a_date_with_its_year_first_shows_no_order_of_day_and_month() -> None:
    assert days("26-06-01\n@2026-06-03\n4/3/26", day_first=False)[0] == [
        "2026-06-01",
        "2026-06-03",
        "2026-04-03",
    ]


@pytest.mark.parametrize("cell", ["40326", "'40326", "30626"])
def test_five_figures_that_may_be_a_date_run_together_are_left_out(cell: str) -> None:
    assert days(cell)[1] == [("Soundness!A2", "date-run-together")]
    assert days(f"{cell}\n@2026-03-01")[0] == ["", "2026-03-01"]
    assert days(f"{cell}\n@2026-03-01")[1] == [("Soundness!A2", "date-run-together")]


def test_a_day_number_among_its_like_is_in_no_doubt() -> None:
    """42736 is 1 January 2017; 42726, ten days earlier, might be 27 April 2026."""
    assert days("42726\n42736\n42746") == (["2016-12-22", "2017-01-01", "2017-01-11"], [])
    assert days("42726")[1] == [("Soundness!A2", "date-run-together")]


@pytest.mark.parametrize(
    ("text", "doubted"),
    [
        ("Sunday 4 March 2026", True),
        ("Wednesday 4 March 2026", False),
        ("Wed 4/3/26", False),
        ("Thu 4 Mar 2026", True),
        ("@2026-03-01\nWed 4 Mar", False),
    ],
)
def test_a_weekday_that_does_not_fit_is_doubted_and_the_date_kept(text: str, doubted: bool) -> None:
    """4 March 2026 is a Wednesday: the proleptic Gregorian calendar of Python's datetime."""
    read, problems = days(text, day_first=True)
    assert (read[-1], [kind for _, kind in problems if kind == "date-weekday"]) == (
        "2026-03-04",
        ["date-weekday"] * doubted,
    )
