"""A letter of any record takes two pages at most, on both papers, and says of each part what is not told."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import long_records
import pytest
from letters import everything, of, of_year, part, told
from printed import read

from tracker.book import Book, open_book
from tracker.derive.soundness import Point
from tracker.show.growth import listed_marks
from tracker.show.letter import chart_crowded
from tracker.show.letter.blocks import Letter, Picture
from tracker.show.letter.chart_crowded import Middle, middles
from tracker.show.letter.choice import Choice
from tracker.show.letter.letter import letter_of
from tracker.show.letter.paper import pages, paper
from tracker.show.pdf import PAPERS
from tracker.show.shapes import HorseView, horse_view
from tracker.workbook.new.blank import write_workbook

# How many days, abscesses, and days from a note to the next.
LENGTHS = {"month": (30, 1, 1), "year": (365, 6, 1), "five years": (1826, 30, 1), "ten years": (3652, 60, 3)}
QUESTION = "Is the left front getting worse again, and what would a radiograph tell?"


@pytest.fixture(scope="module", params=LENGTHS)
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Book:
    file = tmp_path_factory.mktemp("long") / "bramble.xlsx"
    write_workbook(file, long_records.record(*LENGTHS[request.param]), first_sheet=False)
    return open_book(file, on=long_records.END)


def letter_about(book: Book, **choice: object) -> Letter:
    return letter_of(book, book.horses[0], Choice(question=QUESTION, **choice))  # type: ignore[arg-type]


@pytest.mark.parametrize("size", PAPERS)
def test_two_pages_hold_a_record_of_any_length_and_all_its_parts(book: Book, size: str) -> None:
    letter = letter_about(book, paper=size)
    printed = read(paper(letter))
    assert len(printed.pages) == pages(letter) <= 2
    said = re.sub(r"\s+", "", "".join(sheet.extract_text() for sheet in printed.pages))
    assert len(letter.parts) >= 14
    assert all(re.sub(r"\s+", "", one.title) in said for one in letter.parts)


def test_what_is_cut_is_counted_in_its_part(book: Book) -> None:
    """What is told and what is said to be left out are together all that the record holds."""
    letter, horse = letter_about(book, paper="us-letter"), book.horses[0]
    sore = told(part(letter, "abscesses"))
    assert sore.count("poultice until it burst") + _left(r"(\d+) earlier not shown", sore) == len(
        horse.episodes
    )
    given = told(part(letter, "relief"))
    assert given.count("last given") + _left(r"Courses not told here: (\d+)", given) == len(horse.courses)
    came = told(part(letter, "visits"))
    visits = book.tables["Visits"].kept
    assert came.count("Found: ") + _left(r"(\d+) other visits? not shown", came) == len(visits)
    work = told(part(letter, "work"))
    weeks = letter_view(book).work.weeks
    assert len(re.findall(r"^Week ", work, re.M)) + _left(r"(\d+) earlier weeks? not shown", work) == len(
        weeks
    )
    rates = told(part(letter, "growth"))
    lines = letter_view(book).growth.rates
    assert sum(line in rates for line in lines) + _left(r"(\d+) lines? about single feet", rates) == len(
        lines
    )
    made = told(part(letter, "course"))
    ways = letter_view(book).progress.ways
    shown = sum(f"{way.looked}: {' '.join(way.told[:2])}" in made for way in ways)
    assert shown + _left(r"(\d+) more ways? month by month", made) == len(ways)


def letter_view(book: Book) -> HorseView:
    return horse_view(book.horses[0], book.as_of)


def _left(pattern: str, said: str) -> int:
    found = re.search(pattern, said)
    return int(found[1]) if found else 0


def test_a_letter_that_had_to_be_shortened_says_so_and_no_other(book: Book) -> None:
    letter = letter_about(book, paper="us-letter")
    shortened = "To keep the letter short, less is told of what is older" in letter.left_out
    assert shortened == (len(book.horses[0].episodes) > 1)
    assert "To keep the letter short" not in of_year().left_out


def test_earlier_abscesses_are_counted_foot_by_foot(tmp_path: Path) -> None:
    sore = [
        {"Foot": foot, "First seen": day, "Comfortable again": day + dt.timedelta(days=3)}
        for number in range(10)
        for foot, day in ((("LF", "RH")[number % 2], dt.date(2026, 1, 1) + dt.timedelta(days=10 * number)),)
    ]
    letter = of(tmp_path, Horses=[{"Horse": "Hazel"}], Soundness=[], Abscesses=sore)
    assert "2 earlier not shown, the first of 1 Jan 2026: left front 1, right hind 1." in everything(letter)


def test_long_texts_are_cut_with_a_mark_before_the_letter_grows_longer(tmp_path: Path) -> None:
    """Every visit, course and abscess with as many words as a cell of the letter takes."""
    long = "Sore to the testers at the inner heel. " * 20
    days = [dt.date(2026, 6, 1) + dt.timedelta(days=day) for day in range(20)]
    letter = of(
        tmp_path,
        Horses=[{"Horse": "Hazel", "Known conditions": long, "Front shoes off": "1 Jun 2025"}],
        Soundness=[{"Date": day, "Scale": "0-5", "Score": 2, "Limb": "LF", "Gait": "trot"} for day in days],
        Visits=[{"Date": day, "Role": "vet", "Findings": long, "Advice": long} for day in days],
        Changes=[{"Date": day, "Kind": "feed", "What": long} for day in days],
        Abscesses=[{"Foot": "LF", "First seen": day, "Comfortable again": day, "Care given": long} for day in days],
        choice=Choice(paper="us-letter"),
    )  # fmt: skip
    assert pages(letter) <= 2
    assert "[cut here]" in told(part(letter, "visits"))


def test_photographs_come_on_top_and_shorten_nothing() -> None:
    assert of_year(extras=frozenset({"photos"})).parts[:-1] == of_year().parts


POINTS = [
    Point(dt.date(2026, 1, day), score, day > 20, "", day)
    for day, score in ((3, 1), (9, 3), (15, 2), (25, 0))
]


def test_of_many_grades_the_middle_of_each_month_is_drawn_and_its_range() -> None:
    """Worked by hand: 1, 3 and 2 outside pain relief, 0 under it."""
    plain, masked = middles(POINTS, 1)
    assert plain == Middle(dt.date(2026, 1, 16), 2, 1, 3, masked=False)
    assert masked == Middle(dt.date(2026, 1, 16), 0, 0, 0, masked=True)
    assert [one.day for one in middles(POINTS, 3)] == [dt.date(2026, 2, 16)] * 2
    assert [one.day for one in middles(POINTS, 12)] == [dt.date(2026, 7, 1)] * 2


@pytest.mark.parametrize("many", [True, False])
def test_a_crowded_limb_is_drawn_month_by_month_but_what_a_vet_graded_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, many: bool
) -> None:
    monkeypatch.setattr(chart_crowded, "MOST", 10 if many else 100)
    notes = [
        {"Date": dt.date(2026, 3, 1) + dt.timedelta(days=day), "Scale": "0-5", "Score": day % 4, "Limb": "LF", "Gait": "trot",
         "Seen by": "vet" if day == 40 else "owner"}
        for day in range(90)
    ]  # fmt: skip
    shown = part(of(tmp_path, Horses=[{"Horse": "Hazel"}], Soundness=notes), "course").blocks[0]
    assert isinstance(shown, Picture)
    assert shown.svg.count("<circle") == (3 + 1 if many else 90)
    assert shown.svg.count(">V</text>") == 1
    assert ("has one mark for each month and each way of looking" in shown.note) == many


def test_of_many_growth_marks_the_letter_says_how_many() -> None:
    assert listed_marks(["“a”", "“b”", "“c”"]) == "“a” and “b” and “c”"
    assert listed_marks(["“a”"] * 9) == "9 marks"
