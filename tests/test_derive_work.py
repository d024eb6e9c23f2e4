"""Work by day and week, the plan beside what was done, and the grades of the days after."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from dateutil.relativedelta import MO, relativedelta
from tables import table

from tracker.derive.soundness import Point, Series
from tracker.derive.work.horse import work_record
from tracker.derive.work.plan import AS_SET, EXCEEDED, MISSED, NOTED, SHORTER, UNKNOWN, steps_of
from tracker.derive.work.response import FORTNIGHT, LEAST_SESSIONS, response
from tracker.derive.work.sessions import by_day, sessions_of, weeks
from tracker.derive.worsening.record import ACT, NONE, WATCH
from tracker.sheets import CHANGES, PLAN, WORK

ON = dt.date(2026, 6, 30)
WORKED = "date | what | minutes | ground"
PLANNED = "step | from | until | what | minutes_a_day | set_by"


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def work(*lines: str):
    return table(WORK, "\n".join((WORKED, *lines)))


def plan(*lines: str):
    return table(PLAN, "\n".join((PLANNED, *lines)))


def sessions(*lines: str, on: dt.date = ON):
    return sessions_of("Juno", work(*lines), on)


def steps(planned: tuple[str, ...], worked: tuple[str, ...] = (), on: dt.date = ON):
    return steps_of("Juno", plan(*planned), by_day(sessions(*worked, on=on)), on)


# Minutes by kind and ground, by day and week

WEEK = (
    "2026-05-04 | hand-walk | 10 | soft", "2026-05-04 | trot | 5 | soft", "2026-05-06 | hand-walk | 20 | hard",
    "2026-05-10 | ridden walk | 30 |", "2026-05-10 | turnout | 600 |", "2026-05-11 | hand-walk | 15 | hard",
)  # fmt: skip


def test_a_week_runs_from_monday_and_keeps_kinds_grounds_and_turnout_apart():
    later, first = weeks(sessions(*WEEK))
    assert (first.first, later.first) == (day("2026-05-04"), day("2026-05-11"))
    assert (first.days, first.minutes, first.turnout) == (3, 65, 600)
    assert first.kinds == {"hand-walk": 30, "ridden walk": 30, "trot": 5}
    assert first.grounds == {"": 30, "hard": 20, "soft": 15}


def test_weeks_agree_with_dateutil_and_pandas_over_leap_day_and_new_year():
    days = pd.date_range("2023-12-20", "2024-03-10", freq="3D")
    found = weeks(sessions(*(f"{one:%Y-%m-%d} | trot | {10 + at} |" for at, one in enumerate(days))))
    mondays = [(one + relativedelta(weekday=MO(-1))).date() for one in days]
    sums = pd.Series(range(10, 10 + len(days))).groupby(mondays).sum()
    assert {one.first: one.minutes for one in found} == sums.to_dict()


def test_minutes_that_are_not_known_are_counted_and_not_taken_for_none():
    (week,) = weeks(sessions("2026-05-04 | trot | |", "2026-05-05 | trot | 10 |"))
    assert (week.days, week.minutes, week.unsaid) == (2, 10, 1)


def test_a_day_that_cannot_be_adds_nothing():
    (week,) = weeks(
        sessions("2026-05-04 | trot | 1200 |", "2026-05-04 | trot | 800 |", "2026-05-05 | trot | 10 |")
    )
    assert (week.minutes, week.unsaid) == (10, 2)


def test_what_comes_after_the_day_is_not_there_yet():
    assert sessions(*WEEK, on=day("2026-05-05"))[-1].row == 3


# The plan, as the vet set it

FIRST = "1 | 2026-05-01 | 2026-05-05 | walk in hand | 15 | Ruth"


def test_each_day_of_a_step_came_out_one_way():
    worked = (
        "2026-05-01 | hand-walk | 15 |", "2026-05-02 | hand-walk | 10 |", "2026-05-02 | hand-walk | 10 |",
        "2026-05-03 | hand-walk | 10 |", "2026-05-04 | hand-walk | |", "2026-05-05 | turnout | 600 |",
    )  # fmt: skip
    (step,) = steps((FIRST,), worked)
    assert [one.outcome for one in step.days] == [AS_SET, EXCEEDED, SHORTER, UNKNOWN, MISSED]
    assert [one.minutes for one in step.days] == [15, 20, 10, None, 0]


def test_a_step_without_an_end_goes_on_until_the_next_and_the_last_one_goes_on():
    one, two = steps(("1 | 2026-05-01 | | walk | 15 |", "2 | 2026-05-11 | | walk | 20 |"))
    assert (one.last, two.last) == (day("2026-05-10"), None)
    assert (len(one.days), one.runs_on(ON), two.runs_on(ON)) == (10, False, True)


def test_a_day_that_is_not_over_is_not_missed_but_may_be_exceeded():
    (begun,) = steps((FIRST,), ("2026-05-03 | hand-walk | 5 |",), on=day("2026-05-03"))
    (over,) = steps((FIRST,), ("2026-05-03 | hand-walk | 25 |",), on=day("2026-05-03"))
    assert [one.outcome for one in begun.days] == [MISSED, MISSED]
    assert [one.outcome for one in over.days] == [MISSED, MISSED, EXCEEDED]


@pytest.mark.parametrize(
    "line", ["1 | | 2026-05-05 | walk | 15 |", "1 | 2026-05-05 | 2026-05-01 | walk | 15 |", "1 | 2026-09-01 | | walk | 15 |"]
)  # fmt: skip
def test_a_step_whose_days_are_not_known_or_not_there_yet_has_none(line: str):
    (step,) = steps((line,), ("2026-05-03 | trot | 15 |",))
    assert step.days == ()


def test_rest_is_exceeded_by_any_work_and_a_step_without_minutes_compares_none():
    worked = ("2026-05-01 | hand-walk | 5 |",)
    (rest,) = steps(("1 | 2026-05-01 | 2026-05-02 | box rest | 0 |",), worked)
    (free,) = steps(("1 | 2026-05-01 | 2026-05-02 | walk in hand | |",), worked)
    assert [one.outcome for one in rest.days] == [EXCEEDED, AS_SET]
    assert [one.outcome for one in free.days] == [NOTED, MISSED]


def test_turnout_counts_only_for_a_step_of_turnout():
    worked = ("2026-05-01 | turnout | 60 |", "2026-05-01 | trot | 10 |")
    (step,) = steps(("1 | 2026-05-01 | 2026-05-01 | turnout, small paddock | 60 |",), worked)
    assert [one.outcome for one in step.days] == [AS_SET]


@pytest.mark.parametrize(
    ("what", "kind", "faster"),
    [
        ("walk in hand", "trot", ("trot",)), ("walk in hand", "ridden walk", ("ridden walk",)),
        ("walk in hand", "hand-walk", ()), ("walk", "ridden walk", ()), ("walk, ridden", "canter", ("canter",)),
        ("walk, and trot on soft ground", "trot", ()), ("walk, no trot yet", "trot", ()),
        ("as Ruth said", "canter", ()), ("walk in hand", "other", ()),
    ],
)  # fmt: skip
def test_a_kind_faster_than_the_step_names_is_told_and_nothing_on_a_guess(what, kind, faster):
    (step,) = steps((f"1 | 2026-05-01 | 2026-05-01 | {what} | 15 |",), (f"2026-05-01 | {kind} | 15 |",))
    assert step.days[0].faster == faster


# The days after


def diary(grades: dict[dt.date, float], masked: frozenset[dt.date] = frozenset()) -> list[Series]:
    points = tuple(
        Point(when, grade, when in masked, "owner", row)
        for row, (when, grade) in enumerate(sorted(grades.items()), 2)
    )
    return [Series("Juno", "0-5", "trot", "hard", "LF", points, "straight")]


def fortnights(pairs: list[tuple[float, float]]) -> tuple[dict[dt.date, float], dict[Any, Any]]:
    """Ten minutes and two days of the first grade, then thirty and two days of the second, in each fortnight."""
    grades, lines = {}, []
    start = dt.date.fromordinal(52_800 * FORTNIGHT)
    for number, (short, long) in enumerate(pairs):
        monday = start + dt.timedelta(days=FORTNIGHT * number)
        for at, minutes, grade in ((1, 10, short), (6, 30, long)):
            lines.append(f"{monday + dt.timedelta(days=at)} | trot | {minutes} |")
            grades |= {monday + dt.timedelta(days=at + after): grade for after in (1, 2)}
    return grades, by_day(sessions(*lines, on=dt.date.max))


def test_the_interval_is_students_own_of_his_sleep_data():
    """Student 1908, Biometrika 6:20, Table: mean 1.58; 0.7001 to 2.4599 as in the help page of R's t.test."""
    first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
    second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
    grades, noted = fortnights([*zip(first, second, strict=True)])
    found = response(diary(grades), noted, dt.date.max)
    assert found is not None
    told = found.difference
    assert (told.value, told.low, told.high) == pytest.approx((1.58, 0.7001142, 2.4598858), abs=2e-3)
    assert (found.longer, found.shorter, found.sessions, found.fortnights) == (20, 20, 20, 10)


def test_too_few_sessions_or_fortnights_are_silent():
    grades, noted = fortnights([(1, 2)] * (LEAST_SESSIONS // 2 - 1))
    assert response(diary(grades), noted, dt.date.max) is None
    daily = {ON - dt.timedelta(days=back): 1.0 for back in range(40)}
    many = by_day(sessions(*(f"{when} | trot | {10 + when.day % 2} |" for when in daily)))
    assert len(many) > LEAST_SESSIONS
    assert response(diary(daily), many, ON) is None


def test_grades_under_pain_relief_and_days_after_unknown_minutes_are_left_out():
    grades, noted = fortnights([(1, 2)] * 12)
    first, *_ = noted
    flattered = frozenset(when for when in grades if when < first + dt.timedelta(days=FORTNIGHT))
    masked = response(diary(grades, flattered), noted, dt.date.max)
    assert masked is not None
    assert masked.fortnights == 11
    unsaid = noted | {first: by_day(sessions(f"{first} | trot | |", on=dt.date.max))[first]}
    left = response(diary(grades), unsaid, dt.date.max)
    assert left is not None
    assert left.fortnights == 11


def test_a_note_counts_once_by_the_longer_of_the_two_days_before_it():
    grades, noted = fortnights([(1, 2)] * 10)
    for when in list(
        noted
    ):  # each long day now follows a short one: its notes still count as after long work
        noted |= by_day(sessions(f"{when - dt.timedelta(days=1)} | trot | 5 |", on=dt.date.max))
    found = response(diary(grades), noted, dt.date.max)
    assert found is not None
    assert found.longer + found.shorter == len(grades)
    assert found.difference.value == pytest.approx(1)


def test_without_any_effect_the_interval_leaves_out_nothing_about_19_times_in_20():
    """Simulated: grades that resemble those of the day before (r 0.6) and drift, work that owes them nothing."""
    dice, held, told = np.random.default_rng(6), 0, 0
    for _ in range(120):
        level, grades, lines = 0.0, {}, []
        for back in range(280, 0, -1):
            when = ON - dt.timedelta(days=back)
            level = 0.6 * level + dice.normal(0, 0.4)
            if dice.random() < 0.7:
                grades[when] = float(np.clip(round(1.5 + level + back / 280), 0, 5))
            if dice.random() < 0.55:
                lines.append(
                    f"{when} | hand-walk | {5 * round((10 + (280 - back) / 8 + dice.normal(0, 6)) / 5)} |"
                )
        found = response(diary(grades), by_day(sessions(*lines)), ON)
        if found:
            told += 1
            held += found.difference.low <= 0 <= found.difference.high
    assert told > 100
    assert 0.9 <= held / told <= 0.99


# A step that goes on though the record has worsened


def watched(signal: str, since: str, p_worse: float = 0.9) -> Any:
    began = SimpleNamespace(likely=day(since)) if signal != NONE else None
    return SimpleNamespace(signal=signal, since=began, p_worse=p_worse)


def cautions(*watches: Any, line: str = "2 | 2026-06-01 | | trot | 20 | Ruth"):
    tables = {WORK.name: work(), PLAN.name: plan(line), CHANGES.name: table(CHANGES, "date | kind | what")}
    return work_record("Juno", tables, watches, ON).cautions


@pytest.mark.parametrize(
    ("signal", "since", "warned"),
    [(ACT, "2026-06-01", True), (WATCH, "2026-06-20", True), (ACT, "2026-05-31", False), (NONE, "", False)],
)
def test_a_running_step_is_cautioned_only_for_a_worsening_since_it_began(signal, since, warned):
    assert bool(cautions(watched(signal, since))) is warned


def test_a_step_that_is_over_or_without_days_is_not_cautioned():
    for line in (
        "1 | 2026-06-01 | 2026-06-29 | trot | 20 |",
        "1 | | | trot | 20 |",
        "1 | 2026-07-01 | | trot | 20 |",
    ):
        assert cautions(watched(ACT, "2026-06-20"), line=line) == ()


def test_the_watch_that_says_most_is_named():
    likely, perhaps = watched(ACT, "2026-06-20", 0.6), watched(WATCH, "2026-06-20", 0.9)
    (found,) = cautions(perhaps, likely)
    assert found.watch is likely


def test_changes_stand_by_date_and_none_is_of_no_kind():
    lines = (
        "date | kind | what\n2026-05-02 | | new rug\n2026-05-01 | feed | less hay\n2026-08-01 | feed | more"
    )
    tables = {WORK.name: work(), PLAN.name: plan(), CHANGES.name: table(CHANGES, lines)}
    found = work_record("Juno", tables, (), ON)
    assert [(one.kind, one.row) for one in found.changes] == [("feed", 3), ("other", 2)]
    assert not found
