"""Growth and trims from a workbook to what is derived: the sample's story, and mistakes that leave the rest."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from tracker import Book, open_book
from tracker.show.as_json import review_data
from tracker.workbook.new.blank import write_workbook

YEAR = Path(__file__).parents[1] / "sample_workbooks" / "a-year-barefoot.xlsx"
ON = dt.date(2026, 11, 20)


@pytest.fixture(scope="module")
def year() -> Book:
    return open_book(YEAR, on=ON)


def test_the_samples_fronts_grow_as_its_story_has_it(year: Book) -> None:
    """9.2 mm in 30.44 days, as drawn in sample_workbooks/year_feet.py after Kolstrung et al. 2012."""
    (horse,) = year.horses
    told = 9.2 / 30.44 * 30.4
    assert set(horse.growth.feet) == {"LF", "RF"}
    for rate in horse.growth.feet.values():
        assert rate.low < told < rate.high
    assert horse.growth.horse is not None
    assert horse.growth.range.whose == "horse"
    assert horse.growth.horse.low < told < horse.growth.horse.high


def test_the_samples_photographs_show_the_front_wall_in_two_parts(year: Book) -> None:
    (horse,) = year.horses
    early, late = horse.growth.front_walls
    assert (early.foot, late.foot, (late.date - early.date).days) == ("LF", "LF", 316)
    assert early.difference.value > late.difference.value


def test_the_samples_toes_grow_by_the_story_between_trims(year: Book) -> None:
    """5 mm in five weeks, and 1.3° flatter: _BEFORE in sample_workbooks/year_feet.py.

    Three standard deviations, since sixteen are looked at together.
    """
    (horse,) = year.horses
    for weekly in horse.trimming.between:
        per_week = {"toe_length": 5 / 5, "heel_length": 3 / 5, "toe_angle": -1.3 / 5, "heel_angle": -1.6 / 5}
        assert weekly.value == pytest.approx(per_week[weekly.name], abs=3 * weekly.sd)
        assert weekly.cycles == 9


def test_the_samples_next_trim_is_the_trimmers_day(year: Book) -> None:
    (horse,) = year.horses
    assert horse.trimming.due is not None
    assert (horse.trimming.due.why, horse.trimming.due.overdue) == ("trimmer", 13)
    assert [warning.rule for warning in horse.warnings if "trim" in warning.rule] == ["trim-overdue"]


def test_a_mark_that_goes_up_and_a_trim_without_feet_leave_the_rest(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    marks = [("LF", 4, 20), ("LF", 6, 5), ("RF", 4, 20), ("RF", 6, 39)]
    write_workbook(
        file,
        {
            "Horses": [{"Horse": "Bramble", "Front shoes off": dt.date(2026, 3, 4), "Trim every": 6}],
            "Visits": [{"Date": dt.date(2026, 5, 4), "Purpose": "trim"}],
            "Hooves": [
                {"Date": dt.date(2026, month, 4), "Foot": foot, "Measured with": "ruler", "Growth mark": "ring",
                 "Growth mark below hairline": below}
                for foot, month, below in marks
            ],
        },
    )  # fmt: skip
    book = open_book(file, on=dt.date(2026, 6, 20))
    assert {problem.kind for problem in book.problems} == {"mark-went-up", "trim-no-feet"}
    (horse,) = book.horses
    assert set(horse.growth.feet) == {"RF"}
    assert {cycle.foot for cycle in horse.trimming.cycles} == {"LF", "RF", "LH", "RH"}
    data = json.loads(json.dumps(review_data(book), allow_nan=False))["horses"][0]
    assert data["growth"]["marks"][0]["went_up"] is True
    assert data["trims"]["due"]["date"] == "2026-06-15"


def test_a_horses_own_limit_moves_its_next_trim_and_its_warning_alike(tmp_path: Path) -> None:
    book = tmp_path / "own.xlsx"
    given = {
        "Horses": [{"Horse": "Bramble"}],
        "Visits": [{"Date": dt.date(2026, 1, 5), "Purpose": "trim"}],
        "Limits": [{"Warning": "trim-past-8-weeks", "Limit": "6 weeks"}],
    }
    write_workbook(book, given)
    for on, rules in ((dt.date(2026, 2, 16), []), (dt.date(2026, 2, 17), ["trim-past-8-weeks"])):
        (horse,) = open_book(book, on=on).horses
        assert horse.trimming.due is not None
        assert (horse.trimming.due.why, horse.trimming.due.day) == ("own limit", dt.date(2026, 2, 16))
        assert [warning.rule for warning in horse.warnings] == rules
