"""Abscesses in words: exact, with their ranges, never a cause, a normal number or a reassurance."""

from __future__ import annotations

import datetime as dt
import json
import re

import pytest
from test_derive_abscesses import BOOK, HOOVES_OF, ON, of

from tracker.show.abscesses import COMPARED_NOTE, NOTE, OFTEN_NOTE, abscesses_view
from tracker.show.abscesses_json import abscess_rate_data, abscesses_data
from tracker.show.abscesses_text import abscess_lines

ONE = "foot | first_seen | where | opened | opened_at | comfortable_again\n"


def told(**more) -> list[list[str]]:
    return [list(story.told) for story in abscesses_view(of(**more)).stories]


def test_the_newest_comes_first_and_says_what_stands_around_it() -> None:
    third, second, first = told()
    assert third == [
        "The last day written down before it is 30 Apr 2026: it may have begun up to 13 weeks before it was first seen.",
        "The second written down for the left front: the one before, in the same place, was over on 20 Mar 2026, "
        "19 weeks earlier.",
    ]
    assert second == ["It opened 1 day after it was first seen; comfortable again 4 days after that."]
    assert first[:2] == [
        "The last day written down before it is 6 Mar 2026: it may have begun up to 3 days before it was first seen.",
        "It opened 4 days after it was first seen, 7 days after it began at most; comfortable again 6 days after that.",
    ]


def test_beyond_the_fifth_they_are_numbered() -> None:
    rows = "".join(f"LF | 2026-0{at}-02 | toe | | | 2026-0{at}-09\n" for at in range(1, 7))
    newest, before, *_ = told(book=ONE + rows)
    assert newest[1].startswith(
        "Number 6 of those written down for the left front: the one before, in the same place"
    )
    assert before[1].startswith("The fifth written down for the left front: ")


def test_no_note_before_it_says_so() -> None:
    assert (
        told(notes="")[-1][0] == "There is no note before it, so it may have begun earlier than it was seen."
    )


def test_dates_side_by_side() -> None:
    found = told(
        changes="date | kind | what\n 2026-03-09 | weather | first rain\n 2026-03-10 | feed |",
        visits="date | purpose | feet\n 2026-02-20 | trim | LF, RF",
    )
    assert (
        "Written down in the 4 weeks before: 20 Feb 2026, trim, 18 days before; 9 Mar 2026, weather (first rain), "
        "1 day before; 10 Mar 2026, feed, the same day." in found[-1]
    )


START = "It came out at the hairline on 14 Mar 2026, which leaves a crack that grows down with the wall."
RATE = "At 6 to 10 mm a month in grown horses (Devereux, The Veterinary Care of the Horse, p. 196), "


@pytest.mark.parametrize(
    ("on", "where"),
    [
        ("2026-03-14", "it should now lie 0 mm below the hairline, and reach the ground between Jul 2026 and Oct 2026."),
        ("2026-06-14", "it should now lie 18 to 30 mm below the hairline, and reach the ground between Jul 2026 and Oct 2026."),
        ("2026-08-14", "it should now lie 30 mm or more below the hairline, if it is not at the ground, and reach the ground "
                       "between Jul 2026 and Oct 2026."),
        ("2026-12-31", "it should have reached the ground between Jul 2026 and Oct 2026."),
    ],
)  # fmt: skip
def test_where_the_crack_is(on: str, where: str) -> None:
    hooves = HOOVES_OF.format(below=25).replace("2026-06-14 | LF", "2026-02-02 | LF")
    *_, first = told(on=dt.date.fromisoformat(on), hooves=hooves)
    assert f"{START} {RATE}{where}" in first


MONTHS = (
    "The wall there is not measured: the ground is reckoned by the published {} months until such a wall is new (Devereux, "
    "The Veterinary Care of the Horse, p. 196; American Farriers Journal, article 564; Lungwitz and Adams, A Text-Book of "
    "Horseshoeing (their own trials))."
)


@pytest.mark.parametrize(
    ("place", "on", "where", "months"),
    [
        ("inner heel", "2026-05-14", "it should now lie 12 to 20 mm below the hairline, and reach the ground between Jun 2026 "
                                     "and Sep 2026.", "3 to 6"),
        ("inner quarter", "2026-05-14", "it should now lie 12 to 20 mm below the hairline, and reach the ground between Sep "
                                        "2026 and Nov 2026.", "6 to 8"),
        ("toe", "2026-12-31", "it should now lie 58 mm or more below the hairline, if it is not at the ground, and reach the "
                              "ground between Dec 2026 and Apr 2027.", "9 to 13"),
        ("", "2028-12-31", "it should have reached the ground between Jun 2026 and Apr 2027.", "3 to 13"),
    ],
)  # fmt: skip
def test_without_a_measured_wall_the_published_months_tell_when_it_reaches_the_ground(
    place: str, on: str, where: str, months: str
) -> None:
    book = f"{ONE} LF | 2026-03-10 | {place} | 2026-03-14 | hairline | 2026-03-20"
    ((*_, crack),) = told(book=book, on=dt.date.fromisoformat(on))
    assert crack == f"{START} {RATE}{where} {MONTHS.format(months)}"


@pytest.mark.parametrize(
    ("opened", "why"),
    [("", "the day it opened is not written"), ("2026-03-04", "the day it opened lies before the day it was first seen")],
)  # fmt: skip
def test_an_exit_whose_day_is_not_known_says_why_it_is_not_followed(opened: str, why: str) -> None:
    ((*_, last),) = told(book=f"{ONE} LF | 2026-03-10 | toe | {opened} | hairline | 2026-03-20")
    assert (
        last == f"It came out at the hairline, but {why}, so the crack is not followed down. Look at Opened."
    )


def test_a_mark_beside_it() -> None:
    *_, fits = told(hooves=HOOVES_OF.format(below=25))
    *_, not_so = told(hooves=HOOVES_OF.format(below=5))
    assert fits[-1] == (
        "The mark “abscess exit” lay 25 mm below the hairline on 14 Jun 2026, which fits it: 16 to 32 mm were to be expected."
    )
    assert not_so[-1] == (
        "The mark “abscess exit” lay 5 mm below the hairline on 14 Jun 2026, which does not fit it: 16 to 32 mm were to be "
        "expected. Look at the day it opened, the reading, and which mark it is."
    )


def test_how_often() -> None:
    view = abscesses_view(of())
    assert list(view.often) == [
        "3 abscesses began in the 51 weeks since 2 Jan 2026, when the record begins: 0.8 for each 100 days (0.2 to 2.4), or "
        "3.0 a year (0.6 to 8.8).",
        "Of these 2 in the first half of that time and 1 in the second, from 2 Jul 2026: too few to tell whether they come "
        "more or less often (the later rate is 0.008 to 9.6 times the earlier).",
    ]


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("LF | 2026-01-03 | | | | 2026-01-09\n", "1 was"),
        ("LF | 2026-01-03 | | | | 2026-01-09\n RF | 2026-02-03 | | | | 2026-02-09\n", "2 were"),
        ("LF | 2025-12-03 | | | | 2025-12-09\n", ""),  # before the shoes came off
    ],
)
def test_what_came_before_the_record_begins_is_told_and_not_counted(rows: str, said: str) -> None:
    notes = "date | score | scale\n 2026-03-06 | 2 | 0-5"
    (often,) = abscesses_view(of(book=ONE + rows, notes=notes)).often
    told = f" {said} first seen before that; not counted, since others of that time may not have been written down."
    assert often.startswith(
        "0 abscesses began in the 42 weeks since 6 Mar 2026, when the record begins: 0.0 "
    )
    assert often.endswith(told if said else "a year (0.0 to 4.5).")


def test_a_short_time_has_no_rate_and_half_a_year_none_for_a_year() -> None:
    assert abscesses_view(of(on=dt.date(2026, 2, 20), book=ONE + "LF | 2026-02-01 | | | |")).often == ()
    (often,) = abscesses_view(of(on=dt.date(2026, 4, 20), book=ONE + "LF | 2026-02-01 | | | |")).often
    assert often == (
        "1 abscess began in the 15 weeks since 2 Jan 2026, when the record begins: 0.9 for each 100 days (0.02 to 5.2)."
    )


def test_many_more_later_are_more_than_chance() -> None:
    many = ONE + "".join(
        f"LF | 2026-0{7 + at // 4}-{2 + at % 4 * 7:02} | toe | | | 2026-12-30\n" for at in range(8)
    )
    often = abscesses_view(of(book=many + "RF | 2026-02-01 | | | |")).often
    assert often[1].endswith(
        "more often later than chance explains (the later rate is 1.1 to 353 times the earlier)."
    )


def test_before_and_after_a_change() -> None:
    (one,) = abscesses_view(of(changes="date | kind | what\n 2026-06-02 | boots | boots in front")).compared
    assert (one.what, one.before, one.after) == (
        "2 Jun 2026, boots: boots in front",
        "2 in 21 weeks",
        "1 in 30 weeks",
    )
    assert one.ratio == "0.006 to 6.8 times"


def test_lines_for_the_terminal() -> None:
    lines = abscess_lines(abscesses_view(of(changes="date | kind | what\n 2026-06-02 | boots |")), 92)
    assert lines[:3] == [
        "",
        "Abscesses",
        "  left front: first seen 1 Aug 2026, opened –, comfortable again –; 21 weeks so far",
    ]
    assert "  Before and after one day with a change: on the horse's page, and in --json." in lines
    assert abscess_lines(abscesses_view(of(book="")), 92) == []


def test_nothing_it_says_reassures_or_names_a_cause() -> None:
    view = abscesses_view(
        of(changes="date | kind | what\n 2026-06-02 | boots |", hooves=HOOVES_OF.format(below=25))
    )
    said = " ".join(
        [
            *(text for story in view.stories for text in story.told),
            *view.often,
            NOTE,
            OFTEN_NOTE,
            COMPARED_NOTE,
        ]
    )
    assert not re.search(
        r"\b(normal|healthy|sound|because|caused|due to|detox|good news|safe)\b", said, re.IGNORECASE
    )
    assert "not make it the cause" in said


def test_the_same_as_json() -> None:
    record = of(
        hooves=HOOVES_OF.format(below=25), changes="date | kind | what\n 2026-06-02 | boots | front boots"
    )
    data = json.loads(json.dumps(abscesses_data(record), allow_nan=False))
    assert [
        (one["foot"], one["first_seen"], one["opened"], one["comfortable"], one["days"]) for one in data
    ] == [
        ("LF", "2026-03-10", "2026-03-14", "2026-03-20", 10),
        ("RF", "2026-05-01", "2026-05-02", "2026-05-06", 5),
        ("LF", "2026-08-01", None, None, (ON - dt.date(2026, 8, 1)).days),
    ]
    assert data[0]["days_to_open"] == {"least": 4, "most": 7}
    assert data[0]["crack"]["at_ground"] == {"first": "2026-07-07", "last": "2026-10-13"}
    assert data[0]["crack"]["published_months"] is None
    assert data[0]["crack"]["should_be_at_ground"] is True
    assert data[0]["crack"]["mark"]["fits"] is True
    assert data[2]["again"] == {"number": 2, "before": "2026-03-10", "free_days": 134, "same_place": True}
    rate = json.loads(json.dumps(abscess_rate_data(record), allow_nan=False))
    assert rate["per_100_days"]["value"] == pytest.approx(300 / 363, abs=1e-6)
    assert [one["what"] for one in rate["before_and_after"]] == ["halves", "boots"]
    none_before = of(book=BOOK.splitlines()[1] + "\n LF | 2026-08-01 | | | |")
    halves = abscess_rate_data(none_before)["before_and_after"][0]  # type: ignore[index]
    assert halves["rate_ratio"]["high"] is None
