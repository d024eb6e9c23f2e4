"""Cycles between trims, what a trim changed, what changes between them, and when the next is due."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from dateutil.rrule import WEEKLY, rrule
from hypothesis import given, settings
from hypothesis import strategies as st
from tables import table

from tracker.derive.hooves import hoof_records
from tracker.derive.trimming.at_trim import at_trims
from tracker.derive.trimming.between import between_trims
from tracker.derive.trimming.cycles import cycles, placed
from tracker.derive.trimming.due import EIGHT_WEEKS, LIMIT, OWN, TRIMMER, next_due
from tracker.derive.trimming.horse import trimming
from tracker.derive.trims import trims
from tracker.sheets import HOOVES, VISITS

VISIT = "date | purpose | feet | next_due"
HOOF = "date | foot | stage | measured_with | toe_angle | toe_length"
GAUGE_SD, RULER_SD = 1 / 2.7719, 3 / 2.7719
FAR = dt.date(2027, 1, 1)


def visits(*lines: str):
    return table(VISITS, "\n".join((VISIT, *lines)))


def done(*lines: str):
    return trims(visits(*lines), FAR)


def records(*lines: str):
    return hoof_records(table(HOOVES, "\n".join((HOOF, *lines))))


FIRST, SECOND = "2026-01-05 | trim | all |", "2026-02-09 | trim | both fronts |"
MEASURED = (
    "2026-01-05 | LF | before trim | gauge | 48 |",
    "2026-01-05 | LF | before trim | ruler |    | 86",
    "2026-01-05 | LF | after trim  | gauge | 50 |",
    "2026-01-05 | LF | after trim  | ruler |    | 80",
    "2026-02-09 | LF | before trim | gauge | 48.5 |",
    "2026-02-09 | LF | before trim | ruler |    | 85",
)


def on(day: str) -> dt.date:
    return dt.date.fromisoformat(day)


def test_each_foot_has_its_own_cycles():
    found = [(one.foot, one.days, one.last) for one in cycles(done(FIRST, SECOND), on("2026-03-01"))]
    assert found == [
        ("LF", 35, on("2026-02-09")), ("LF", 20, None), ("RF", 35, on("2026-02-09")), ("RF", 20, None),
        ("LH", 55, None), ("RH", 55, None),
    ]  # fmt: skip


def test_two_trims_of_one_day_are_one_and_later_ones_are_not_there_yet():
    twice = done(FIRST, "2026-01-05 | trim | LF |", SECOND)
    assert [one.days for one in cycles(twice, on("2026-01-20")) if one.foot == "LF"] == [15]


def test_what_is_measured_before_a_trim_ends_the_cycle_before_it():
    found = placed("toe_length", records(*MEASURED), done(FIRST, SECOND))
    assert [(str(one.first), one.days, one.measure.value) for one in found] == [
        ("2026-01-05", 0, 80), ("2026-01-05", 35, 85),
    ]  # fmt: skip


def test_a_trim_changed_the_foot_by_after_less_before():
    (found,) = at_trims(records(*MEASURED))
    angle, length = found.changes["toe_angle"], found.changes["toe_length"]
    assert (found.foot, found.date) == ("LF", on("2026-01-05"))
    assert (angle.value, length.value) == (2, -6)
    assert angle.sd == pytest.approx(math.sqrt(2) * GAUGE_SD, rel=1e-3)
    assert length.sd == pytest.approx(math.sqrt(2) * RULER_SD, rel=1e-3)
    assert angle.beyond_error
    assert length.beyond_error


def test_a_day_with_one_of_both_only_is_no_comparison():
    assert at_trims(records(MEASURED[0], MEASURED[3])) == ()
    assert at_trims([]) == ()


def test_one_cycle_by_hand():
    """5 mm longer and 1.5° flatter in five weeks: 1 mm and 0.3° a week; the error of both ends over five."""
    weekly = {one.name: one for one in between_trims(records(*MEASURED), done(FIRST, SECOND))}
    length, angle = weekly["toe_length"], weekly["toe_angle"]
    assert length.value == pytest.approx(1.0)
    assert length.sd == pytest.approx(math.sqrt(2) * RULER_SD / 5, rel=1e-3)
    assert angle.value == pytest.approx(-0.3)
    assert angle.sd == pytest.approx(math.sqrt(2) * GAUGE_SD / 5, rel=1e-3)
    assert (length.cycles, length.readings, str(length.first)) == (1, 2, "2026-01-05")
    assert length.beyond_error


def test_what_the_trimmer_took_away_is_not_in_it():
    later = (
        "2026-02-09 | LF | after trim  | ruler |  | 70",
        "2026-03-16 | LF | before trim | ruler |  | 75",
    )
    (length,) = (
        one
        for one in between_trims(records(*MEASURED, *later), done(FIRST, SECOND, "2026-03-16 | trim | all |"))
        if one.name == "toe_length"
    )
    assert length.value == pytest.approx(1.0)
    assert (length.cycles, length.readings) == (2, 4)


def test_a_gauge_and_a_photograph_are_never_joined():
    mixed = (
        "2026-01-05 | LF | after trim | gauge | 50 |",
        "2026-01-26 | LF | between | photo | 44 |",
        "2026-02-09 | LF | before trim | gauge | 48 |",
    )
    (angle,) = between_trims(records(*mixed), done(FIRST, SECOND))
    assert angle.value == pytest.approx(-2 / 5)


def test_readings_less_than_two_weeks_apart_say_nothing():
    close = ("2026-01-05 | LF | after trim | gauge | 50 |", "2026-01-18 | LF | between | gauge | 48 |")
    assert between_trims(records(*close), done(FIRST)) == ()


def due(
    *lines: str, every: int | None = None, off: str = "", today: str = "2026-03-01", limit: int | None = None
):
    sheet = visits(*lines)
    shoes = {"front": on(off) if off else None, "hind": None}
    return next_due(sheet, trims(sheet, on(today)), every, shoes, on(today), limit)


def test_the_trimmers_day_comes_first_then_the_horses_own_then_eight_weeks():
    named = due("2026-01-05 | trim | all | 2026-02-20", every=35)
    assert (named.why, named.day, named.overdue) == (TRIMMER, on("2026-02-20"), 9)
    assert dict(named.days) == {
        TRIMMER: on("2026-02-20"), OWN: on("2026-02-09"), EIGHT_WEEKS: on("2026-03-02"),
    }  # fmt: skip
    own = due(FIRST, every=35)
    assert (own.why, own.day, own.overdue) == (OWN, on("2026-02-09"), 20)
    neither = due(FIRST)
    assert (neither.why, neither.day, neither.overdue) == (EIGHT_WEEKS, on("2026-03-02"), 0)


@pytest.mark.parametrize(
    ("named", "every", "why", "day"),
    [
        ("", None, LIMIT, "2026-02-16"),
        ("", 49, LIMIT, "2026-02-16"),
        ("2026-02-20", None, LIMIT, "2026-02-16"),
        ("", 42, OWN, "2026-02-16"),
        ("2026-02-13", None, TRIMMER, "2026-02-13"),
    ],
)
def test_the_horses_own_limit_moves_the_day_to_sooner_never_to_later(named, every, why, day):
    """Six weeks from 5 January 2026 are 16 February."""
    found = due(f"2026-01-05 | trim | all | {named}", every=every, limit=42)
    assert (found.why, found.day) == (why, on(day))
    assert EIGHT_WEEKS not in found.days
    assert due(FIRST, limit=None).why == EIGHT_WEEKS


def test_a_day_named_at_an_older_trim_or_not_after_the_trim_does_not_hold():
    assert due("2026-01-05 | trim | all | 2026-04-01", SECOND).why == EIGHT_WEEKS
    assert due("2026-02-09 | trim | all | 2026-02-09").why == EIGHT_WEEKS


def test_shoes_that_came_off_after_the_last_trim_begin_anew():
    found = due("2026-01-05 | trim | all | 2026-04-01", off="2026-02-01", every=28)
    assert (found.from_shoes, found.counted_from, found.day) == (True, on("2026-02-01"), on("2026-03-01"))
    assert due("2026-02-01 | trim | all | 2026-04-01", off="2026-02-01").why == TRIMMER


def test_without_a_trim_or_shoes_off_nothing_is_due():
    assert due() is None
    assert due(off="2026-02-01").day == on("2026-03-29")


@settings(deadline=None)
@given(st.dates(dt.date(2019, 1, 1), dt.date(2033, 1, 1)))
def test_eight_weeks_are_those_of_the_calendar_rules(begun):
    """Month ends, leap days and the hours of daylight saving: the eighth weekly recurrence of dateutil's rrule."""
    sheet = visits(f"{begun} | trim | all |")
    found = next_due(sheet, trims(sheet, begun), None, {}, begun)
    weekly = rrule(WEEKLY, dtstart=dt.datetime.combine(begun, dt.time()), count=9)
    assert found.day == weekly[8].date()


def test_all_of_it_as_of_a_day():
    sheet = visits(FIRST, SECOND)
    found = trimming(trims(sheet, FAR), records(*MEASURED), sheet, None, {"front": None}, on("2026-02-01"))
    assert [trim.date for trim in found.trims] == [on("2026-01-05")]
    assert (len(found.at_trims), found.between) == (1, ())
    assert found.closed("LF") == ()
    later = trimming(trims(sheet, FAR), records(*MEASURED), sheet, None, {"front": None}, FAR)
    assert (later.closed("LF"), later.middle("LF"), later.middle("LH")) == ((35,), 35, None)
