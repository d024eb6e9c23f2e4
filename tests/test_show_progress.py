"""Progress in words: exact, plain, silent where there is nothing to say, and never a verdict."""

from __future__ import annotations

import dataclasses
import json
import re

import pytest
from diaries import DAY_0, day, diary, series

from tracker.derive.progress.horse import Progress, progress
from tracker.derive.statistics.interval import Estimate
from tracker.derive.trims import Trim
from tracker.derive.written import OnItsDay
from tracker.show.progress import progress_view
from tracker.show.progress_json import progress_data
from tracker.show.progress_text import progress_lines

OFF = {"front": DAY_0, "hind": None}
TRIMS = [Trim("Juno", day(number), (), number) for number in (30, 70, 110)]
FALLING = series([(number, 3 - number / 60) for number in range(90)])
STEADY = series([(number, 2 - (number % 3 == 0)) for number in range(120)])


def of(*found, trims=(), written=None, on=119) -> Progress:
    return progress(list(found), OFF, trims, written, day(on))


def told(*found, **more) -> list[str]:
    (way,) = progress_view(of(*found, **more)).ways
    return list(way.told)


def test_a_fall_in_words():
    eased = [(number, max(0, 3 - number // 30)) for number in range(100)]
    assert told(series(eased), on=99) == [
        "Middle grade 3 in month 1 and 0 in month 4 since the shoes came off.",
        "Taken as a whole, the grades from 5 Jan 2026 to 14 Apr 2026 (100 days noted) fell by 0.9 a month (1.2 lower to 0.6 lower): "
        "more than chance.",
    ]


def test_a_standstill_in_words():
    first, second, third = told(STEADY)
    assert (
        first
        == "Middle grade 2 (half of the days 1 to 2) in month 1 and 2 (half of the days 1 to 2) in month 4 since the shoes came off."
    )
    assert second == (
        "Taken as a whole, the grades from 5 Jan 2026 to 4 May 2026 (120 days noted) neither rose nor fell by more than chance: "
        "0.0 a month (0.0 to 0.0)."
    )
    assert third == (
        "No progress shows in the last 12 weeks (0.0 a month): the grades since 3 Feb 2026 are not seen to fall, and the notes "
        "are close enough together to show a clear fall. Worth telling the vet and the trimmer."
    )


def test_trims_in_words():
    better = series([(number, 3 if number < 32 else 2) for number in range(60)])
    assert told(better, trims=TRIMS[:1])[-1] == (
        "Around the trim of 4 Feb 2026: mean grade 3.0 before (14 days), 2.0 after (14 days), 1.0 lower "
        "(1.1 lower to 0.9 lower)."
    )
    assert told(STEADY, trims=TRIMS)[-1].startswith("After 3 trims the grades were on average ")


def test_the_first_month_without_pain_relief_in_words_only_where_there_was_some():
    masked = series([(number, 2) for number in range(90)], masked=range(10))
    said = "Month 2, from 4 Feb 2026, was the first with at least four days graded and no grade under pain relief."
    assert said in told(masked)
    assert not [text for text in told(STEADY) if "pain relief" in text]


def test_a_month_says_what_it_rests_on():
    (way,) = progress_view(of(series([(n, n % 3) for n in range(33)], masked=range(4)))).ways
    assert [dataclasses.astuple(month) for month in way.months] == [
        ("1, from 5 Jan 2026", "1 (half of the days 0 to 2)", "26 days; 4 notes under pain relief left out"),
        ("2, from 4 Feb 2026", "too few notes", "3 days"),
    ]


def test_two_people_in_words():
    own = series([(number, 1) for number in range(6)])
    vet = series([(number, 2) for number in range(6)], seen_by="vet")
    both = dataclasses.replace(own, points=own.points + vet.points)
    view = progress_view(of(both))
    assert view.people == (
        "Owner and vet both graded on 6 days (left front, trot, hard, straight, scale 0-5): "
        "owner 1.0 lower on average (1.2 lower to 0.8 lower).",
    )


def test_how_it_was_written_in_words():
    view = progress_view(of(written=OnItsDay(41, 11, 1)))
    assert view.written == (
        "41 of 52 notes that say when they were written were written on their day or within 2 days of it; 11 later, "
        "or with those of other days (3 or more) in one sitting. 1 note does not say."
    )


@pytest.mark.parametrize("found", [[], [series([])], [series([(1, 2)])]], ids=["none", "no note", "one note"])
def test_it_is_silent_where_there_is_nothing_to_say(found):
    view = progress_view(of(*(one for one in found if one.points)))
    assert not view
    assert view.note == ""
    assert progress_lines(view, 92) == []


def test_only_three_ways_are_shown_and_the_rest_is_counted():
    ways = [
        series([(number, 2) for number in range(9)], limb=limb) for limb in ("LF", "RF", "LH", "RH", "all")
    ]
    view = progress_view(of(*ways))
    assert (len(view.ways), view.more) == (3, 2)
    assert len(progress_data(of(*ways))["ways"]) == 5


@pytest.mark.parametrize("seed", range(6))
def test_no_word_is_a_verdict(seed):
    """Never a word that clears a horse, praises it, or names its state."""
    found = of(diary(seed, 120, 3, seed % 4), trims=TRIMS, written=OnItsDay(20, 3, 0))
    said = " ".join(progress_lines(progress_view(found), 92)).casefold()
    assert said
    banned = (
        "normal|sound|healthy|healed|recovered|recovery|cured|fine|good|safe|improving|diagnos\\w*|on track"
    )
    assert not re.search(rf"\b({banned})\b", said)


def test_lines_fit_the_terminal():
    lines = progress_lines(progress_view(of(STEADY, FALLING, trims=TRIMS, written=OnItsDay(20, 3, 9))), 92)
    assert all(len(line) <= 92 for text in lines for line in text.split("\n"))


def test_json_has_no_number_that_json_does_not_know():
    (way,) = of(STEADY).ways
    assert way.trend is not None
    open_slope = dataclasses.replace(way.trend, rate=Estimate(0.0, float("-inf"), float("inf"), 8))
    data = progress_data(Progress((dataclasses.replace(way, trend=open_slope),), (), None))
    text = json.dumps(data, allow_nan=False)
    assert json.loads(text)["ways"][0]["slope"]["per_month"] == {
        "value": 0.0,
        "low": None,
        "high": None,
        "count": 8,
    }
    assert (
        progress_view(Progress((dataclasses.replace(way, trend=open_slope),), (), None))
        .ways[0]
        .told[1]
        .endswith("0.0 a month, with no range that holds it.")
    )


def test_json_has_its_shape():
    data = progress_data(of(STEADY, trims=TRIMS, written=OnItsDay(20, 3, 0)))
    assert data["written"] == {"on_its_day": 20, "late": 3, "not_known": 0}
    (way,) = data["ways"]
    assert set(way) == {
        "scale", "gait", "ground", "line", "limb", "months_since", "months", "first_month_without_pain_relief",
        "slope", "no_progress", "trims", "trims_together",
    }  # fmt: skip
    assert way["no_progress"]["per_month"]["value"] == 0
    assert len(way["trims"]) == way["trims_together"]["count"] == 3
