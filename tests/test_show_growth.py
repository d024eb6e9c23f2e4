"""Growth in words, lines and JSON: exact, in ranges, silent where nothing is known, never a verdict."""

from __future__ import annotations

import datetime as dt
import json
import re
from dataclasses import astuple

import pytest
from tables import table

from tracker.derive.growth.front_wall import FrontWall
from tracker.derive.growth.horse import Growth, growth
from tracker.derive.hooves import hoof_records
from tracker.derive.uncertainty import Measure
from tracker.sheets import HOOVES
from tracker.show.growth import growth_view, months
from tracker.show.growth_json import growth_data
from tracker.show.growth_text import growth_lines

HEAD = "date | foot | stage | measured_with | growth_mark | growth_mark_below_hairline | toe_length | heel_length"
START = dt.date(2026, 1, 5)
OFF = {"front": START, "hind": None}


def day(number: int) -> dt.date:
    return START + dt.timedelta(days=number)


def mark(foot: str, name: str, *readings: tuple[int, float]) -> list[str]:
    return [f"{day(number)} | {foot} | | ruler | {name} | {below} | |" for number, below in readings]


RING = mark("LF", "ring", (0, 10), (75, 33), (150, 57))
SLOW = mark("RF", "crack", (0, 10), (150, 40))
LENGTHS = [f"{day(0)} | {foot} | after trim | ruler | | | 80 | 38" for foot in ("LF", "RF")]


def of(*lines: str, on: int = 150, walls: tuple[FrontWall, ...] = ()) -> Growth:
    return growth(hoof_records(table(HOOVES, "\n".join((HEAD, *lines)))), OFF, walls, day(on))


def said(*lines: str, **more) -> tuple[str, ...]:
    return growth_view(of(*lines, **more)).rates


def test_a_rate_says_what_it_rests_on_and_its_months():
    assert said(*RING) == (
        "Left front: 9.5 ± 0.6 mm a month, from 3 readings of “ring” over 21 weeks (Jan to Jun 2026).",
    )


def test_feet_that_agree_and_feet_that_do_not():
    assert said(*RING, *mark("RF", "crack", (0, 10), (150, 56)))[-1] == (
        "The feet do not differ by more than the error (Cochran's test, chance 0.64), so together: 9.4 ± 0.4 mm a month."
    )
    assert said(*RING, *SLOW)[-1] == (
        "The feet differ by more than the error (Cochran's test, chance under 0.01), so each keeps its own rate."
    )


def test_until_there_is_a_rate_the_published_one_is_said_with_its_source():
    (told,) = said()
    assert told.startswith(
        "No rate of the horse's own yet; published is 6 to 10 mm a month in grown horses (Devereux,"
    )
    unsure = said(*mark("LF", "ring", (0, 20), (42, 33)))
    assert unsure[-1].startswith(
        "That is no surer than what is published, so this is reckoned with: 6 to 10 mm"
    )


def test_marks_that_give_no_rate_say_why():
    assert said(*mark("LF", "ring", (0, 20), (20, 26)))[0] == (
        "On the left front, “ring” gives no rate yet: it takes two readings six weeks apart."
    )
    up = said(*mark("LF", "", (0, 40), (60, 12)))[0]
    assert up.startswith("On the left front, a mark without a name was read higher than on an earlier day.")


def test_new_horn_in_ranges_with_both_feet_together_where_they_hardly_differ():
    parts = growth_view(of(*LENGTHS, on=100)).parts
    assert [astuple(part)[:5] for part in parts] == [
        ("Both fronts", "Toe", "25 to 40 %", "Aug 2026 to Feb 2027", "wall 78 to 82 mm, published rate"),
        ("Both fronts", "Quarters", "30 to 65 %", "Jun to Dec 2026", "wall 50 to 68 mm, published rate"),
        ("Both fronts", "Heels", "50 to 90 %", "Apr to Jul 2026", "wall 36 to 40 mm, published rate"),
    ]
    assert parts[0].band == pytest.approx((24.1, 42.2), abs=0.1)
    apart = growth_view(of(*RING, *SLOW, *LENGTHS, on=150)).parts
    assert [(part.foot, part.part) for part in apart[:2]] == [("Left front", "Toe"), ("Right front", "Toe")]
    assert apart[0].rests_on == "wall 78 to 82 mm, this foot's rate"


def test_the_first_days_and_the_last():
    assert growth_view(of(on=2)).parts[0].share == "under 5 %"
    assert {part.share for part in growth_view(of(on=800)).parts} == {"all"}


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("2026-07-03", "2026-07-30", "Jul 2026"),
        ("2026-07-03", "2026-09-01", "Jul to Sep 2026"),
        ("2026-11-30", "2027-02-01", "Nov 2026 to Feb 2027"),
    ],
)
def test_spans_are_said_by_the_month(first, last, words):
    assert months(dt.date.fromisoformat(first), dt.date.fromisoformat(last)) == words


def wall(difference: float, sd: float, at: int = 100) -> FrontWall:
    def deg(value: float, error: float) -> Measure:
        return Measure(value, error, "deg", "photo")

    return FrontWall(
        "Juno", "LF", day(at), "lf.jpg", deg(48 + difference, 3), deg(48, 1.5), deg(difference, sd)
    )


def test_the_newer_wall_against_the_older():
    found = growth_view(of(*RING, *LENGTHS, walls=(wall(9, 4), wall(2, 4, at=40), wall(-9, 4)))).walls
    assert found[0] == (
        "Left front, 15 Apr 2026: upper third 57° ± 6°, below it 48° ± 3°. Upper minus lower +9.0° ± 7.8°: the newer horn "
        "stands steeper, by at least the measuring error. By then the upper third had all grown since the shoes came off."
    )
    assert "within the measuring error. By then 45 to 50 % of the upper third had grown" in found[1]
    assert "the newer horn stands flatter, by at least" in found[2]


def test_nothing_known_is_silence():
    nothing = growth([], {"front": None, "hind": None}, (), day(0))
    assert not growth_view(nothing)
    assert growth_lines(growth_view(nothing), 92) == []


FULL = of(*RING, *SLOW, *LENGTHS, *mark("LH", "ring", (0, 40), (60, 12)), walls=(wall(9, 4),))


def test_lines_fit_the_terminal_and_no_word_is_a_verdict():
    lines = growth_lines(growth_view(FULL), 92)
    assert all(len(line) <= 92 for text in lines for line in text.split("\n"))
    banned = "normal|sound|healthy|good|fine|safe|better|improving|on track|recovered|diagnos\\w*|transition"
    assert not re.search(rf"\b({banned})\b", " ".join(lines).casefold())


def test_json_holds_all_of_it():
    data = json.loads(json.dumps(growth_data(FULL), allow_nan=False))
    assert set(data) == {
        "marks", "feet", "horse", "agreement", "reckoned_with", "new_horn", "front_wall",
    }  # fmt: skip
    assert data["horse"] is None
    assert data["agreement"]["agree"] is False
    assert data["reckoned_with"]["whose"] == "feet"
    assert [one["went_up"] for one in data["marks"]] == [False, False, True]
    assert data["feet"]["LF"]["readings"] == 3
    assert len(data["new_horn"]) == 6
    assert data["front_wall"][0]["beyond_error"] is True


@pytest.mark.parametrize(("below", "way"), [(150, "faster"), (20, "slower"), (50, "")])
def test_a_rate_outside_the_published_range_asks_for_a_look(below: float, way: str) -> None:
    """Published: 6 to 10 mm a month (Devereux, The Veterinary Care of the Horse, p. 196); 150 days are 4.9 months."""
    first = said(*mark("LF", "ring", (0, 10), (75, (10 + below) / 2), (150, below)))[0]
    told = f"That is {way} than is published for grown horses, 6 to 10 mm a month: look at the readings"
    assert (told in first) is bool(way)
    assert ("published" in first) is bool(way)
