"""Which notes were written on their day."""

from __future__ import annotations

import datetime as dt

import pytest
from tables import table

from tracker.derive.written import LATE, LEAST_NOTES, NOT_KNOWN, ON_ITS_DAY, when_written, written_shares
from tracker.sheets import SOUNDNESS

ON = dt.date(2026, 12, 31)


def marks(text: str, **more) -> list[str]:
    return list(when_written(table(SOUNDNESS, "date | written\n" + text, **more)).values())


@pytest.mark.parametrize(
    ("written", "mark"),
    [
        ("2026-03-01 19:00", ON_ITS_DAY),
        ("2026-03-01", ON_ITS_DAY),
        ("2026-03-03 23:59", ON_ITS_DAY),  # two days
        ("2026-03-04 00:01", LATE),
        ("2036-03-01 19:00", LATE),
        ("2026-02-28 19:00", NOT_KNOWN),  # before its day
        ("", NOT_KNOWN),
    ],
)
def test_a_note_alone(written, mark):
    assert marks(f"2026-03-01 | {written}") == [mark]


def test_three_days_written_in_one_sitting_are_late_save_the_day_itself():
    text = """
      2026-03-03 | 2026-03-03 20:40
      2026-03-01 | 2026-03-03 20:00
      2026-03-02 | 2026-03-03 20:20
    """
    assert marks(text) == [ON_ITS_DAY, LATE, LATE]


@pytest.mark.parametrize(
    ("why", "text"),
    [
        ("two days", "2026-03-01 | 2026-03-02 20:00\n2026-03-02 | 2026-03-02 20:10"),
        ("an hour is over", "2026-03-01 | 2026-03-03 20:00\n2026-03-02 | 2026-03-03 20:30\n2026-03-03 | 2026-03-03 21:01"),
        ("no time of day", "2026-03-01 | 2026-03-03\n2026-03-02 | 2026-03-03\n2026-03-03 | 2026-03-03"),
        ("several notes of one day", "2026-03-01 | 2026-03-01 20:00\n2026-03-01 | 2026-03-01 20:01\n2026-03-01 | 2026-03-01 20:02"),
    ],
)  # fmt: skip
def test_what_is_no_sitting(why, text):
    assert set(marks(text)) == {ON_ITS_DAY}, why


def test_a_sitting_of_any_hour_of_a_longer_evening():
    """The second, third and fourth lie within an hour, the first does not."""
    text = """
      2026-03-01 | 2026-03-03 19:30
      2026-03-01 | 2026-03-03 20:00
      2026-03-02 | 2026-03-03 20:30
      2026-03-03 | 2026-03-03 21:00
    """
    assert marks(text) == [ON_ITS_DAY, LATE, LATE, ON_ITS_DAY]


def test_no_note_and_a_row_that_was_set_aside():
    assert marks("") == []
    assert marks("2026-03-01 | 2026-03-01 20:00", set_aside=[2]) == []


def notes(*written: int | None, horse: str = "Juno") -> str:
    """One note a day, written so many days after it; None where it is not said."""
    first = dt.date(2026, 3, 1)
    return "\n".join(
        f"{first + dt.timedelta(days=n)} | {horse} | "
        + ("" if after is None else f"{first + dt.timedelta(days=n + after)} 20:00")
        for n, after in enumerate(written)
    )


def share(text: str, on: dt.date = ON):
    return written_shares(table(SOUNDNESS, "date | horse | written\n" + text), on).get("Juno")


def test_the_share_of_the_notes_that_say_when_they_were_written():
    found = share(notes(*[0] * 9, *[4] * 3, None, None))
    assert (found.on_its_day, found.late, found.not_known, found.share) == (9, 3, 2, 0.75)


@pytest.mark.parametrize("written", [[], [0], [0] * (LEAST_NOTES - 1), [None] * 40])
def test_it_is_silent_below_ten_notes(written):
    assert share(notes(*written)) is None


def test_all_late_and_all_on_their_day():
    assert share(notes(*[0] * 12)).share == 1
    assert share(notes(*[400] * 12)).share == 0


def test_only_this_horse_and_only_until_that_day_and_in_any_order():
    text = notes(*[0] * 12) + "\n" + notes(*[9] * 12, horse="Flint")
    assert share(text).late == 0
    assert share(text, on=dt.date(2026, 3, 5)) is None
    assert share("\n".join(reversed(text.splitlines()))) == share(text)
