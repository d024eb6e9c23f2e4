"""A horse that stays as it is hears little: at most two messages below `same day` in a year, and none more urgent.

Not every such horse does: chance alone makes some that stay the same look worse for a week. Looked at weekly, of 300
fresh horses graded 0 to 0.5 eleven had three messages or four (seven of 100, four of 200), nearly all of them
`grades-perhaps-worse` months apart, whose level is set to about two false alarms a year. A look each day sees more: of these
alarms every third comes back within a week.
Of 100 graded 1 to 2 six had three or more, nearly all after a grade 4 that noise had made,
which has to warn. `python -m tests.bench.calm_year 200 31337` counts them.
"""

from __future__ import annotations

import datetime as dt

import pytest
from bench.calm_year import FIRST, LEVELS, back_of, years
from bench.worlds import draw
from firings import daily, notes, warnings

from tracker.derive.worsening.record import WATCH


@pytest.mark.parametrize("world", LEVELS)
def test_a_calm_year_gives_at_most_two_messages_and_none_that_is_urgent(world: str) -> None:
    for found in years(world, 3):
        assert found.told <= 2, found.messages
        assert [(rule, grade) for rule, grade in found.urgent if grade < 4] == []


@pytest.mark.parametrize("world", ["step +1", "drift", "sparse step"])
def test_in_a_horse_that_gets_worse_each_signal_is_told_on_its_own_day(world: str) -> None:
    """So nothing that keeps a message standing lets another wait; what stands longer is never less urgent."""
    found = draw(world, 3, 5)
    checked_days = 0
    for horse in range(3):
        back = back_of(found, horse)
        onset = int(found.onset[horse])
        for day in sorted(back.signalled):
            if onset <= day <= onset + 28:
                told = {one.rule for one in back.facts_on(FIRST + dt.timedelta(days=day))}
                wanted = {"grades-likely-worse"} | (
                    {"grades-perhaps-worse"} if back.signalled[day] == WATCH else set()
                )
                assert told & wanted, (horse, day)
                checked_days += 1
    assert checked_days > 10


def test_grades_that_stood_still_are_told_for_eight_weeks_more_and_not_each_week_anew() -> None:
    """What was said of the sixty days up to a Monday stays true, and is for the next visit."""
    stood = daily(*[2, 2.5, 1.5] * 27, last="2026-03-16")
    better = daily(*[0.5] * 20, last="2026-04-05")
    found = {
        on: [one.because for one in warnings(on, Soundness=notes(*stood, *better)) if one.rule == "no-progress-60-days"]
        for on in ("2026-03-16", "2026-04-05", "2026-05-03", "2026-06-29")
    }  # fmt: skip
    assert found["2026-03-16"] == [
        "Grades of left front, trot: a clear improvement in the last 60 days can be ruled out."
    ]
    (later,) = found["2026-04-05"]
    assert "in the 60 days up to " in later
    assert found["2026-06-29"] == []
    last = dt.datetime.strptime(later.rpartition("up to ")[2].partition(" can")[0], "%d %b %Y")
    assert last.weekday() == 0
