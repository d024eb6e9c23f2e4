"""However long the record and however short its letter: what is open or still given is told whole."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import long_records
import pytest
from letters import of, part, told, year

from tracker.book import open_book
from tracker.derive.worsening.record import ACT
from tracker.show import words
from tracker.show.letter.blocks import Letter, Picture, Rows
from tracker.show.letter.choice import Choice
from tracker.show.letter.course import course
from tracker.show.letter.draft import BREVITIES, Draft
from tracker.show.letter.letter import letter_of
from tracker.show.letter.message import message
from tracker.show.shapes import horse_view, limb_words
from tracker.workbook.new.blank import write_workbook

OPEN = ("1 Jul 2025", "31 Aug 2025")
FEET = ("LF", "RF", "LH", "RH")


@pytest.fixture(scope="module")
def letter(tmp_path_factory: pytest.TempPathFactory) -> Letter:
    """A year that leaves no room; its first two abscesses never ended, and all its products are still given."""
    record = long_records.record(365, 6)
    for row in record["Abscesses"][:2]:
        row["Comfortable again"] = None
    for row in record["Pain relief"]:
        row |= {"Last given": None, "Product": f"{row['Product']} of {row['First given']:%B}"}
    file = tmp_path_factory.mktemp("open") / "bramble.xlsx"
    write_workbook(file, record, first_sheet=False)
    book = open_book(file, on=long_records.END)
    return letter_of(book, book.horses[0], Choice(paper="us-letter"))


def test_every_open_abscess_is_told_before_those_that_are_over(letter: Letter) -> None:
    rows = told(part(letter, "abscesses")).splitlines()[2:]
    assert [row.split(" | ")[1] for row in rows[:2]] == [*reversed(OPEN)]
    assert all(f"first seen {day}" in message(letter) for day in OPEN)


def test_everything_still_given_is_told(letter: Letter) -> None:
    lines = part(letter, "relief").brief, told(part(letter, "relief")).splitlines()
    assert [sum("taken as still given" in line for line in each) for each in lines] == [6, 6]
    assert "Courses not told here" not in told(part(letter, "relief"))


def test_known_conditions_are_told_as_far_in_a_short_letter_as_in_a_long_one(tmp_path: Path) -> None:
    known = "Thin soles by a vet's radiographs of both fronts. " * 7 + "Reacts badly to flunixin."
    record = long_records.record(1826, 30)
    record["Horses"][0]["Known conditions"] = known
    file = tmp_path / "bramble.xlsx"
    write_workbook(file, record, first_sheet=False)
    book = open_book(file, on=long_records.END)
    short = letter_of(book, book.horses[0])
    assert "To keep the letter short" in short.left_out
    assert known in told(part(short, "who"))


def test_the_warnings_of_an_abscess_in_each_foot_are_told_foot_by_foot(tmp_path: Path) -> None:
    sore = [{"Foot": foot, "First seen": f"{day} May 2026"} for day, foot in enumerate(FEET, 1)]
    long = [{"Date": "1 Jun 2026", "Role": "vet", "Findings": "Sore at the heel. " * 40}] * 9
    letter = of(tmp_path, Horses=[{"Horse": "Hazel"}], Soundness=[], Abscesses=sore, Visits=long)
    said = [line for line in told(part(letter, "warnings")).splitlines() if "Abscess open 14 days" in line]
    assert [re.findall(r"(Left|Right) (front|hind)", line) for line in said] == [
        [("Left", "front")], [("Right", "front")], [("Left", "hind")], [("Right", "hind")],
    ]  # fmt: skip


def test_products_given_together_now_come_before_those_of_the_past(tmp_path: Path) -> None:
    both = [
        {"Product": product, "First given": f"{day} 2026", "Last given": last}
        for product, day, last in (
            ("gel", "1 Jan", None), *((f"powder {month}", f"2 {month}", f"4 {month} 2026") for month in
            ("Jan", "Feb", "Mar", "Apr", "May")), ("paste", "1 Jun", None), ("drops", "2 Jun", "3 Jun 2026"),
        )
    ]  # fmt: skip
    letter = of(tmp_path, Horses=[{"Horse": "Hazel"}], Soundness=[], Pain_relief=both)
    said = [line for line in told(part(letter, "relief")).splitlines() if "on the same days:" in line]
    assert said[0] == "gel and paste on the same days: 1 Jun 2026 to now."
    assert "2 Jun 2026 to 3 Jun 2026" in said[1]


def test_pain_relief_that_is_dated_after_the_record_is_not_silently_missing(tmp_path: Path) -> None:
    given = [{"Product": "gel", "First given": "1 Jul 2026"}]
    letter = of(tmp_path, Horses=[{"Horse": "Hazel"}], Soundness=[], Pain_relief=given)
    said = "1 row about pain relief is dated after 30 Jun 2026 and is not told here."
    assert said in told(part(letter, "relief"))
    assert said in message(letter)


def test_a_letter_says_nothing_of_its_length_that_is_not_so(letter: Letter) -> None:
    assert "two pages" not in letter.left_out
    assert "less is told of what is older; each part says how much" in letter.left_out


def test_the_limb_that_may_be_getting_worse_is_told_and_drawn_however_old_its_grades() -> None:
    book = year()
    (horse, *_) = book.horses
    oldest = min((one for one in horse.series if one.limb), key=lambda one: one.points[-1].date)
    for limb in FEET:
        own = replace(oldest, limb=limb, points=tuple(point._replace(row=-1) for point in oldest.points))
        others = (replace(oldest, limb=other) for other in FEET if other != limb)
        suspected = replace(horse.watches[0], signal=ACT, rows=(-1,))
        made = replace(horse, series=(own, *others, *horse.series), watches=(suspected,))
        found = course(Draft(book, made, horse_view(horse, book.as_of), Choice(), brevity=BREVITIES[-1]))
        assert found
        picture, table, *_ = found.blocks
        assert isinstance(picture, Picture)
        assert isinstance(table, Rows)
        assert (limb_words(limb).capitalize(), words.day(own.points[-1].date)) in {
            (row[0], row[5]) for row in table.rows
        }
        assert limb_words(limb).capitalize() in picture.svg
