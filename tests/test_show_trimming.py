"""Trims in words, lines and JSON."""

from __future__ import annotations

import datetime as dt
import json
import re

from tables import table

from tracker.derive.hooves import hoof_records
from tracker.derive.trimming.horse import Trimming, trimming
from tracker.derive.trims import trims
from tracker.sheets import HOOVES, VISITS
from tracker.show.trimming import trims_view
from tracker.show.trimming_json import trims_data
from tracker.show.trimming_text import trims_lines

MEASURED = """
    date       | foot | stage       | measured_with | toe_angle | toe_length
    2026-01-05 | LF   | before trim | gauge         | 48        |
    2026-01-05 | LF   | before trim | ruler         |           | 86
    2026-01-05 | LF   | after trim  | gauge         | 50        |
    2026-01-05 | LF   | after trim  | ruler         |           | 80
    2026-02-09 | LF   | before trim | gauge         | 49.5      |
    2026-02-09 | LF   | before trim | ruler         |           | 85
    2026-02-09 | LF   | after trim  | ruler         |           | 84
"""
FIRST, SECOND = "2026-01-05 | trim | all |", "2026-02-09 | trim | both fronts | 2026-03-16"


def of(
    *lines: str,
    on: str = "2026-02-20",
    measured: str = MEASURED,
    every: int | None = None,
    limit: int | None = None,
) -> Trimming:
    sheet = table(VISITS, "\n".join(("date | purpose | feet | next_due", *lines)))
    day = dt.date.fromisoformat(on)
    return trimming(
        trims(sheet, day), hoof_records(table(HOOVES, measured)), sheet, every, {"front": None}, day, limit
    )


def test_what_is_due_and_why():
    assert trims_view(of(FIRST, SECOND, every=35)).due == (
        "Next trim due 16 Mar 2026: the day named at the last trim, 9 Feb 2026. For comparison: its own interval ends "
        "16 Mar 2026; eight weeks end 6 Apr 2026."
    )
    assert trims_view(of(FIRST, on="2026-03-04")).due == (
        "Next trim due 2 Mar 2026: eight weeks, since no other day is written down, counted from last trim 5 Jan 2026. "
        "2 days past it."
    )
    assert "the horse's own interval, counted from" in trims_view(of(FIRST, every=42)).due


def test_a_horses_own_limit_is_said_to_move_the_day():
    assert trims_view(of(FIRST, every=49, limit=42)).due == (
        "Next trim due 16 Feb 2026: the horse's own limit on the sheet Limits, counted from last trim 5 Jan 2026. "
        "4 days past it. For comparison: its own interval ends 23 Feb 2026."
    )
    later = trims_view(of("2026-01-05 | trim | all | 2026-02-23", limit=42)).due
    assert later.endswith("For comparison: the day named at the last trim is 23 Feb 2026.")
    named = trims_view(of("2026-01-05 | trim | all | 2026-02-10", limit=42)).due
    assert named.endswith("For comparison: its own limit ends 16 Feb 2026.")


def test_the_intervals_in_weeks_feet_together_where_the_same_is_said():
    assert trims_view(of(FIRST, SECOND)).intervals == (
        "Both fronts: 2 trims, 5 weeks apart; last trim 9 Feb 2026, 11 days ago.",
        "Both hinds: 1 trim; last trim 5 Jan 2026, 6 weeks ago.",
    )
    third = "2026-03-20 | trim | LF, LH |"
    lf, rf, lh, rh = trims_view(of(FIRST, SECOND, third, on="2026-03-20")).intervals
    assert lf == "Left front: 3 trims, 5 to 5.5 weeks apart (middle one 5.5); last trim 20 Mar 2026, today."
    assert lh == "Left hind: 2 trims, 10.5 weeks apart; last trim 20 Mar 2026, today."
    assert (rf[:11], rh[:10]) == ("Right front", "Right hind")


def test_before_and_after_the_latest_first():
    latest, first = trims_view(of(FIRST, SECOND)).at_trims
    assert (latest.day, first.day) == ("9 Feb 2026", "5 Jan 2026")
    length, heel, angle, _ = first.feet[0].steps
    assert (length.values, length.moved, length.beyond_error) == ("86 → 80 mm", "-6.0 mm", True)
    assert (angle.values, angle.moved, angle.beyond_error) == ("48.0 → 50.0°", "+2.0°", True)
    assert heel is None
    assert [step and step.beyond_error for step in latest.feet[0].steps] == [False, None, None, None]


def test_the_change_in_a_week_with_its_error():
    (row,) = trims_view(of(FIRST, SECOND)).weekly
    assert row.foot == "Left front"
    assert row.changes == ("+1.0 mm ± 0.6 mm", "", "-0.1° ± 0.2°", "")
    assert row.rests_on == "1 interval"


def test_nothing_known_is_silence():
    nothing = of(measured="date | foot | toe_angle")
    assert not trims_view(nothing)
    assert trims_lines(trims_view(nothing), 92) == []


def test_lines_fit_the_terminal_and_no_word_is_a_verdict():
    lines = trims_lines(trims_view(of(FIRST, SECOND)), 92)
    assert "    Left front   toe length 85 → 84 mm" in lines
    assert all(len(line) <= 92 for text in lines for line in text.split("\n"))
    banned = "normal|sound|healthy|good|fine|safe|better|improving|on track|diagnos\\w*|transition"
    assert not re.search(rf"\b({banned})\b", " ".join(lines).casefold())


def test_json_holds_all_of_it():
    data = json.loads(json.dumps(trims_data(of(FIRST, SECOND)), allow_nan=False))
    assert set(data) == {"done", "due", "intervals", "before_after", "per_week"}
    assert data["done"][1] == {"date": "2026-02-09", "feet": ["LF", "RF"]}
    assert data["due"]["why"] == "trimmer"
    assert data["due"]["days"] == {"trimmer": "2026-03-16", "8 weeks": "2026-04-06"}
    assert len(data["intervals"]) == 6
    assert data["before_after"][0]["measures"]["toe_length"]["change"] == -6
    assert {one["measure"] for one in data["per_week"]} == {"toe_length", "toe_angle"}
