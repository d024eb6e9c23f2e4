"""Work in words: the vet's plan beside what was noted, the days after, and never a cause, a programme or comfort."""

from __future__ import annotations

import datetime as dt
import json
import re
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from tables import table
from test_derive_work import ON, PLANNED, WEEK, WORKED, day, diary, fortnights

from tracker.derive.statistics.interval import Estimate
from tracker.derive.work.horse import Caution, WorkRecord, work_record
from tracker.derive.work.response import response
from tracker.derive.worsening.record import ACT, WATCH
from tracker.sheets import CHANGES, PLAN, WORK
from tracker.show.work import RESPONSE_NOTE, work_view
from tracker.show.work_json import changes_data, work_data
from tracker.show.work_text import work_lines

STEP = "2 | 2026-05-04 | | walk in hand | 15 | Ruth"


def of(*worked: str, planned: str = "", changed: str = "", on: dt.date = ON) -> WorkRecord:
    tables = {
        WORK.name: table(WORK, "\n".join((WORKED, *worked))),
        PLAN.name: table(PLAN, f"{PLANNED}\n{planned}"),
        CHANGES.name: table(CHANGES, f"date | kind | what\n{changed}"),
    }
    return work_record("Juno", tables, (), on)


def test_a_step_says_how_its_days_came_out() -> None:
    (step,) = work_view(of(*WEEK, planned=STEP, on=day("2026-05-10"))).steps
    assert (step.name, step.when, step.was_set) == (
        "Step 2", "since 4 May 2026", "walk in hand, 15 minutes a day, set by Ruth",
    )  # fmt: skip
    assert step.told == (
        "Of 7 days: as set 1, more than set 2, nothing noted 4. At most 15 minutes more than set. "
        "On 2 days with trot and ridden walk, which the step does not name."
    )


@pytest.mark.parametrize(
    ("typed", "shown"), [("2", "Step 2"), ("week 2", "Week 2"), ("Step 2", "Step 2"), ("2b", "2b")]
)
def test_a_step_is_called_as_it_was_named(typed: str, shown: str) -> None:
    (step,) = work_view(of(planned=f"{typed} | 2026-05-04 | | walk | 15 |")).steps
    assert step.name == shown


def test_days_with_nothing_noted_stand_together() -> None:
    (step,) = work_view(of(*WEEK, planned=STEP, on=day("2026-05-10"))).steps
    assert [(one.day, one.minutes, one.outcome) for one in step.daily] == [
        ("10 May 2026", "30 minutes", "more than set; ridden walk is not in the step"),
        ("7 May 2026 to 9 May 2026", "–", "nothing noted"),
        ("6 May 2026", "20 minutes", "more than set"),
        ("5 May 2026", "–", "nothing noted"),
        ("4 May 2026", "15 minutes", "as set; trot is not in the step"),
    ]


def test_a_step_without_days_is_not_compared() -> None:
    (step,) = work_view(of(planned="1 | | | walk | 15 |")).steps
    assert (step.when, step.told) == (
        "no first day given", "Not compared: its days are not known, or not there yet.",
    )  # fmt: skip


def test_a_week_by_kind_and_ground() -> None:
    _, week = work_view(of(*WEEK)).weeks
    assert (week.week, week.days, week.minutes) == ("4 May 2026 to 10 May 2026", "3 days", "65 minutes")
    assert (week.kinds, week.grounds, week.turnout) == (
        "hand-walk 30, ridden walk 30, trot 5", "ground not given 30, hard 20, soft 15", "10 hours",
    )  # fmt: skip


def after(value: float, low: float, high: float) -> WorkRecord:
    grades, noted = fortnights([(1, 2)] * 10)
    found = response(diary(grades), noted, dt.date.max)
    assert found is not None
    return replace(of(*WEEK), response=replace(found, difference=Estimate(value, low, high, 10)))


@pytest.mark.parametrize(
    ("gap", "said"),
    [
        ((0.5, 0.2, 0.8), "were 0.5 higher, so lamer, than after shorter work or none (95 % interval 0.2 higher to 0.8 higher)"),
        ((-0.5, -0.8, -0.2), "were 0.5 lower than after shorter work or none (95 % interval 0.8 lower to 0.2 lower)"),
        ((0.1, -0.2, 0.4), "did not differ by more than chance from those after shorter work or none (95 % interval 0.2 lower to 0.4 higher)"),
    ],
)  # fmt: skip
def test_the_days_after_with_their_interval_and_counts(gap: tuple[float, float, float], said: str) -> None:
    told = work_view(after(*gap)).response
    assert told.startswith(
        f"Grades in the two days after longer work {said}, compared within the same fortnights: "
    )
    assert (
        "left front, trot, hard, straight, scale 0-5; 20 noted days against 20, 20 days of work, 10 fortnights"
        in told
    )
    assert RESPONSE_NOTE.startswith("That is no proof of a cause, nor that work does no harm:")


def watched(signal: str) -> Any:
    series = SimpleNamespace(limb="LF", gait="trot", ground="hard", line="")
    return SimpleNamespace(
        signal=signal, since=SimpleNamespace(likely=day("2026-06-02")), series=series, p_worse=0.9
    )


@pytest.mark.parametrize(("signal", "how"), [(ACT, "likely"), (WATCH, "perhaps")])
def test_the_caution_defers_to_the_vet_who_set_the_plan(signal: str, how: str) -> None:
    found = of(planned=STEP)
    (told,) = work_view(replace(found, cautions=(Caution(found.steps[0], watched(signal)),))).cautions
    assert told == (
        f"Step 2 of the plan has gone on since 4 May 2026, and the record has {how} got worse since about 2 Jun 2026 "
        "(left front, trot, hard). Tell the vet who set the plan (Ruth) before going on."
    )


def test_a_change_without_words_ends_with_its_kind() -> None:
    view = work_view(of(changed="2026-05-01 | boots |\n2026-05-02 | feed | less hay"))
    assert [one.said for one in view.changes] == ["2 May 2026, feed: less hay", "1 May 2026, boots"]


def test_changes_are_told_latest_first_and_their_kinds_in_the_sheets_order() -> None:
    view = work_view(of(changed="2026-05-02 | weather | rain\n2026-05-09 | feed | less hay"))
    assert [(one.day, one.kind) for one in view.changes] == [
        ("9 May 2026", "feed"),
        ("2 May 2026", "weather"),
    ]
    assert view.change_kinds == ("feed", "weather")
    assert not view


def test_the_text_holds_all_of_it_within_its_width() -> None:
    found = replace(after(0.5, 0.2, 0.8), cautions=())
    lines = work_lines(work_view(found), 92)
    assert lines[:2] == ["", "Work"]
    assert max(len(line) for whole in lines for line in whole.split("\n")) <= 92
    assert work_lines(work_view(of()), 92) == []


def test_json() -> None:
    found = of(*WEEK, planned=STEP, changed="2026-05-02 | feed | less hay", on=day("2026-05-10"))
    told = json.loads(json.dumps(work_data(found)))
    assert set(told) == {"days", "weeks", "plan", "days_after", "cautions"}
    assert told["days"][0]["minutes"] == 15
    assert [one["outcome"] for one in told["plan"][0]["days"]][:2] == ["as set", "missed"]
    assert told["days_after"] is None
    assert changes_data(found) == [{"date": "2026-05-02", "kind": "feed", "what": "less hay", "row": 2}]
    assert work_data(of()) is None
    longer = json.loads(json.dumps(work_data(after(0.5, 0.2, 0.8))))["days_after"]
    assert longer["longer_less_shorter"] == {"value": 0.5, "low": 0.2, "high": 0.8}


def test_no_word_promises_or_prescribes() -> None:
    view = work_view(replace(after(0.1, -0.2, 0.4), cautions=()))
    said = " ".join((view.response, RESPONSE_NOTE, *(step.told for step in view.steps)))
    assert not re.search(r"\b(sound|safe|fine|healthy|should|increase|reduce|caus(ed|es))\b", said)
