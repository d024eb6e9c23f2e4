"""Episodes as they stood on one day."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tables import table

from tracker.derive.abscess import episodes
from tracker.sheets import ABSCESSES

BOOK = """
    foot | first_seen | where | opened     | opened_at | comfortable_again | vet_seen
    RF   | 2026-03-20 | sole  |            |           |                   |
    LF   | 2026-03-01 | toe   | 2026-03-04 | hairline  | 2026-03-10        | 2026-03-02
"""


def on(day, text=BOOK):
    return episodes(table(ABSCESSES, text), dt.date.fromisoformat(day))


def test_an_episode_that_is_over():
    first, second = on("2026-03-25")

    assert (first.foot, first.where, first.opened_at, first.row) == ("LF", "toe", "hairline", 3)
    assert (first.days, first.days_to_open, first.is_open) == (9, 3, False)
    assert (second.days, second.days_to_open, second.is_open) == (5, None, True)


@pytest.mark.parametrize(
    ("day", "days", "days_to_open", "opened_at", "is_open"),
    [
        ("2026-03-01", 0, None, "", True),
        ("2026-03-03", 2, None, "", True),
        ("2026-03-04", 3, 3, "hairline", True),
        ("2026-03-10", 9, 3, "hairline", False),
        ("2027-03-10", 9, 3, "hairline", False),
    ],
)
def test_what_comes_later_has_not_happened_yet(day, days, days_to_open, opened_at, is_open):
    (episode, *_) = on(day)

    assert (episode.days, episode.days_to_open, episode.opened_at, episode.is_open) == (
        days, days_to_open, opened_at, is_open,
    )  # fmt: skip


def test_an_episode_not_yet_seen_is_left_out():
    assert on("2026-02-28") == []


def test_the_vet_has_not_been_before_the_vet_came():
    assert on("2026-03-01")[0].vet_seen is None
    assert on("2026-03-02")[0].vet_seen == dt.date(2026, 3, 2)


def test_the_place_is_kept_where_only_the_day_of_opening_is_empty():
    (episode,) = on("2026-03-02", "foot | first_seen | opened_at\n LF | 2026-03-01 | sole")

    assert (episode.opened, episode.opened_at) == (None, "sole")


def test_a_comfortable_day_before_the_first_ends_nothing():
    (episode,) = on(
        "2026-03-25",
        """
        foot | first_seen | opened     | comfortable_again
        LF   | 2026-03-10 | 2026-03-08 | 2026-03-05
        """,
    )

    assert (episode.days, episode.days_to_open, episode.is_open) == (15, None, True)
    assert episode.comfortable is None


def test_rows_set_aside_and_empty_sheets():
    assert episodes(table(ABSCESSES, BOOK, set_aside=[2, 3]), dt.date(2026, 4, 1)) == []
    assert episodes(table(ABSCESSES), dt.date(2026, 4, 1)) == []


@given(st.dates(dt.date(2026, 2, 1), dt.date(2026, 5, 1)))
def test_an_open_episode_lasts_until_the_day_of_looking_and_a_closed_one_stays(day):
    for episode in episodes(table(ABSCESSES, BOOK), day):
        end = day if episode.is_open else episode.comfortable
        assert episode.first_seen <= day
        assert episode.days == (end - episode.first_seen).days
