"""What the pages say, and in which order."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from dash import dcc
from dash.development.base_component import Component

from dashboards.frame import find_page, page_in_frame, shell
from dashboards.library import Library
from dashboards.parts import horse_href
from tracker import Book, open_book, write_blank
from tracker.derive.referral.rules import RULES
from tracker.problem import make
from tracker.show import words
from tracker.show.charts import GRAPH_CONFIG
from tracker.show.contents import PARTS
from tracker.show.shapes import shown_name
from tracker.workbook.new.blank import write_workbook

SAMPLES = sorted((Path(__file__).parents[1] / "sample_workbooks").glob("*.xlsx"))
TODAY = dt.date.today()
NOTE = {"Date": TODAY, "Gait": "trot", "Limb": "LF", "Scale": "0-5", "Score": 1}


def walk(parts: Any) -> Iterator[Any]:
    """Every element and every text of a page."""
    if isinstance(parts, list | tuple):
        for part in parts:
            yield from walk(part)
        return
    yield parts
    if isinstance(parts, Component):
        yield from walk(getattr(parts, "children", None))


def text(parts: Any) -> str:
    return " ".join(" ".join(str(part) for part in walk(parts) if isinstance(part, str | int)).split())


def kinds(parts: Any, kind: str) -> list[Any]:
    return [part for part in walk(parts) if type(part).__name__ == kind]


def workbook(tmp_path: Path, **sheets: list[dict[str, object]]) -> Path:
    file = tmp_path / "barn.xlsx"
    write_workbook(file, {name.replace("_", " "): rows for name, rows in sheets.items()})
    return file


def addresses(book: Book) -> list[str]:
    return [
        "/",
        "/problems",
        "/warnings",
        "/write",
        "/write/hoof",
        "/no-such-page",
        *(horse_href(horse.name) for horse in book.horses),
        *(horse_href(horse.name, part.slug) for horse in book.horses for part in PARTS),
    ]


@pytest.mark.parametrize("narrow", [False, True])
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.stem)
def test_every_page_of_every_sample(sample: Path, narrow: bool) -> None:
    reading = Library(sample).read()
    assert reading.book is not None
    for address in addresses(reading.book):
        head, page, title = page_in_frame(address, reading, narrow=narrow)
        headings = kinds(page, "H1")
        assert len(headings) == 1
        assert title == f"{text(headings)} – {sample.name}"
        assert sample.name in text(head)
        assert f"as of {words.day(reading.book.as_of)}" in text(head)
        graphs = [part for part in walk(page) if isinstance(part, dcc.Graph)]
        assert all(graph.config == GRAPH_CONFIG for graph in graphs)
        assert len({graph.id for graph in graphs}) == len(graphs)
        shown = json.dumps([*head, *page], default=_plain)
        assert str(sample.parent) not in shown
        for link in (part for part in walk([head, page]) if isinstance(part, dcc.Link)):
            assert link.href.startswith("/")


def _plain(value: Any) -> Any:
    return value.to_plotly_json() if hasattr(value, "to_plotly_json") else str(value)


def test_there_are_samples() -> None:
    assert len(SAMPLES) >= 4


def test_graphs_are_drawn_where_there_is_something_to_draw() -> None:
    year = next(sample for sample in SAMPLES if sample.stem == "a-year-barefoot")
    book = open_book(year)
    drawn = {}
    for part in ("", *(part.slug for part in PARTS)):
        page = find_page(horse_href(book.horses[0].name, part), book, narrow=False)
        drawn[part] = [graph.id for graph in kinds(page.body, "Graph")]
        figures = kinds(page.body, "Figure")
        assert all(kinds(figure, "Figcaption") for figure in figures)
        named = [part for part in walk(page.body) if getattr(part, "role", "") == "img"]
        assert len(named) == len(figures)
        assert all(len(getattr(part, "aria-label")) > 40 for part in named)
    assert {part: ids for part, ids in drawn.items() if ids} == {
        "": ["time-chart"],
        "feet": ["feet-chart"],
        "trims": ["cycle-toe-length", "cycle-toe-angle", "cycle-grades"],
        "growth": ["marks-chart"],
        "abscesses": ["abscess-chart"],
        "work": ["work-chart"],
        "body": ["body-chart"],
    }


def test_the_caution_stands_in_the_frame_of_every_page() -> None:
    assert words.CAUTION in text(shell("stamp"))


def test_what_needs_doing_comes_first_then_what_happened() -> None:
    year = next(sample for sample in SAMPLES if sample.stem == "a-year-barefoot")
    book = open_book(year)
    found = {part: pages_headings(book, part) for part in ("", *(part.slug for part in PARTS))}
    if "Is it getting worse?" in found["soundness"]:  # it depends on the day
        assert found["soundness"].pop(0) == "Is it getting worse?"
    assert found == {
        "": ["What needs doing now", "What happened"],
        "soundness": ["Progress", "Soundness notes", "Pain relief"],
        "feet": ["The four feet", "Toe and heel angles"],
        "trims": ["Trims"],
        "growth": ["Growth"],
        "abscesses": ["Abscesses"],
        "work": ["Work"],
        "body": ["Body"],
        "answers": ["Answers to warnings"],
    }
    headings = kinds(find_page(horse_href("Hazel", "feet"), book, narrow=False).body, "H3")
    feet = [text(heading)[:10].strip() for heading in headings]
    assert feet[:4] == ["Left front", "Right fron", "Left hind", "Right hind"]


def pages_headings(book: Book, part: str) -> list[str]:
    page = find_page(horse_href(book.horses[0].name, part), book, narrow=False)
    return [text(heading) for heading in kinds(page.body, "H2")]


def test_the_first_page_leads_to_every_part_with_a_line_on_each() -> None:
    book = open_book(next(sample for sample in SAMPLES if sample.stem == "a-year-barefoot"))
    (contents,) = kinds(find_page("/", book, narrow=False).body, "Nav")
    lines = kinds(contents, "Li")
    assert [kinds(line, "Link")[0].href for line in lines] == [
        horse_href("Hazel", part.slug) for part in PARTS
    ]
    said = [text(line) for line in lines]
    assert all(len(line) > 12 and line.endswith(".") for line in said)
    ids = {part.id for part in walk(contents) if getattr(part, "id", None)}
    assert {"feet", "trims", "growth", "abscesses", "work", "body", "progress", "notes"} <= ids


@pytest.mark.parametrize("part", [part.slug for part in PARTS])
def test_every_page_of_a_horse_begins_with_its_warnings_and_leads_to_the_others(
    tmp_path: Path, part: str
) -> None:
    sign = NOTE | {"Signs": "won't bear weight"}
    file = workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[sign])
    _, body, title = page_in_frame(horse_href("Bramble", part), Library(file).read(), narrow=True)
    assert type(body[0]).__name__ == "Aside"
    assert "Ring the vet now" in text(body[0])
    (pages,) = kinds(body, "Nav")
    links = kinds(pages, "Link")
    assert links[0].href == "/horse/Bramble"
    assert [link.href for link in links if link.className == "here"] == [horse_href("Bramble", part)]
    assert title.startswith("Bramble: ")
    assert len(text(body)) > len(text([body[0], pages])) + 20  # a page without records says so


def test_a_warning_leads_to_the_pages_that_tell_of_it(tmp_path: Path) -> None:
    sign = NOTE | {"Signs": "won't bear weight"}
    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[sign]))
    (shown, *_) = kinds(find_page("/", book, narrow=False).body, "Article")
    assert "/horse/Bramble/soundness" in [link.href for link in kinds(shown, "Link")]


def test_rows_without_a_horse_have_one_page_and_that_warns(tmp_path: Path) -> None:
    sign = NOTE | {"Signs": "won't bear weight"}
    horses = [{"Horse": "Bramble"}, {"Horse": "Willow"}]
    book = open_book(workbook(tmp_path, Horses=horses, Soundness=[sign, NOTE | {"Horse": "Willow"}]))
    for address in (horse_href(""), horse_href("", "feet")):
        page = find_page(address, book, narrow=False)
        assert page.title == shown_name("")
        assert "Ring the vet now" in text(page.body)
        assert not kinds(page.body, "Nav")


def test_a_horse_may_have_the_name_of_a_part(tmp_path: Path) -> None:
    horses = [{"Horse": "feet"}, {"Horse": "a/feet"}]
    notes = [NOTE | {"Horse": "feet"}, NOTE | {"Horse": "a/feet"}]
    book = open_book(workbook(tmp_path, Horses=horses, Soundness=notes))
    for name in ("feet", "a/feet"):
        assert find_page(horse_href(name), book, narrow=False).title == name
        assert find_page(horse_href(name, "feet"), book, narrow=False).title == f"{name}: feet"


def test_a_warning_says_how_urgent_why_what_since_when_where_and_who_says_so(tmp_path: Path) -> None:
    sign = NOTE | {"Signs": "won't bear weight"}
    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[sign]))
    (shown,) = kinds(find_page("/", book, narrow=False).body, "Article")[:1]
    (firing,) = [found for found in book.horses[0].warnings if found.rule == "not-bearing-weight"]
    for said in (
        "▲", words.URGENCY_WORDS["now"], "not bearing weight", firing.because, firing.words, firing.cells[0],
        f"Since {words.day(TODAY)}", firing.source, firing.sure,
    ):  # fmt: skip
        assert said in text(shown)


def test_where_no_rule_fires_nobody_is_reassured(tmp_path: Path) -> None:
    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[NOTE]))
    assert not book.horses[0].warnings
    said = text(find_page("/", book, narrow=False).body)
    assert "No rule fires on what is recorded. That does not mean that nothing is wrong" in said


def test_one_horse_is_the_first_page_and_several_are_a_yard(tmp_path: Path) -> None:
    one = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[NOTE]))
    assert find_page("/", one, narrow=False).title == "Bramble"
    (tmp_path / "barn.xlsx").unlink()
    several = open_book(
        workbook(
            tmp_path,
            Horses=[
                {"Horse": "Bramble"},
                {"Horse": "Willow", "Front shoes off": TODAY - dt.timedelta(days=90)},
            ],
            Soundness=[
                NOTE | {"Horse": "Bramble", "Pulse LF": 3},
                NOTE | {"Horse": "Willow", "Signs": "won't bear weight", "Score": None},
            ],
        )
    )
    page = find_page("/", several, narrow=False)
    rows = [text(row) for row in kinds(kinds(page.body, "Tbody"), "Tr")]
    assert [link.href for link in kinds(page.body, "Link")] == ["/horse/Willow", "/horse/Bramble"]
    assert "Ring the vet now" in rows[0]
    assert "12 weeks (front, " in rows[0]
    assert "won't bear weight" in rows[0]
    assert "1 on 0-5 (left front, trot); raised pulse LF" in rows[1]
    assert "No day given." in rows[1]
    assert "does not mean that nothing is wrong" in text(page.body)


@pytest.mark.parametrize(
    "name", ["Bramble", "Ælfgifu von Höhenflug", "茶々", "a/b?c#d", "50 % Arab", "Bob & Co", "<b>Jo</b>"]
)
def test_any_name_has_its_own_address(tmp_path: Path, name: str) -> None:
    book = open_book(
        workbook(
            tmp_path,
            Horses=[{"Horse": name}, {"Horse": "Willow"}],
            Soundness=[NOTE | {"Horse": name}, NOTE | {"Horse": "Willow"}],
        )
    )
    href = horse_href(name)
    assert href.isascii()
    assert href.count("/") == 2
    assert find_page(href, book, narrow=False).title == name


def test_an_unknown_horse_is_told_which_there_are(tmp_path: Path) -> None:
    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[NOTE]))
    page = find_page("/horse/Nobody", book, narrow=False)
    assert page.title == "There is no such horse"
    assert "barn.xlsx has no horse named Nobody" in text(page.body)
    assert [link.href for link in kinds(page.body, "Link")] == ["/horse/Bramble"]


def test_a_blank_workbook_says_what_to_do_first(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    write_blank(file)
    book = open_book(file)
    first = find_page("/", book, narrow=False)
    assert first.title == "Nothing is written down yet"
    assert "On the Horses sheet" in text(first.body)
    assert "Save." in text(first.body)
    assert "nothing to look over" in text(find_page("/problems", book, narrow=False).body)


def test_a_horse_without_notes_says_how_to_start(tmp_path: Path) -> None:
    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[]))
    said = text(find_page("/", book, narrow=False).body)
    assert "The first note on the Soundness sheet starts the chart" in said
    feet = text(find_page(horse_href("Bramble", "feet"), book, narrow=False).body)
    assert "One row a foot on the Hooves sheet" in feet


def test_problems_name_cells_and_say_what_to_do() -> None:
    sample = next(sample for sample in SAMPLES if sample.stem == "thirty-mistakes")
    book = open_book(sample)
    page = find_page("/problems", book, narrow=False)
    rows = kinds(kinds(page.body, "Tbody"), "Tr")
    assert len(rows) == len(book.problems) == 30
    for row, problem in zip(rows, book.problems, strict=True):
        said = text(row)
        for part in (
            problem.cell,
            problem.column,
            problem.allowed,
            problem.message,
            problem.hint,
            problem.severity,
        ):
            assert " ".join((part or "").split()) in said
        assert ("■" if problem.severity == "error" else "◇") in said
    head, _, _ = page_in_frame("/problems", Library(sample).read(), narrow=False)
    assert "Problems (30)" in text(head)


def test_the_display_of_problems_is_cut_and_says_by_how_much(tmp_path: Path) -> None:
    from dataclasses import replace

    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[NOTE]))
    many = tuple(
        make("score-unreadable", sheet="Soundness", ref=f"I{row}", column="Score", words={"why": ""})
        for row in range(2, 233)
    )
    body = find_page("/problems", replace(book, problems=many, path=Path("my barn.xlsx")), narrow=False).body
    assert len(kinds(kinds(body, "Tbody"), "Tr")) == 200
    assert "and 31 more" in text(body)
    assert "soundness check 'my barn.xlsx' --all" in text(body)


def test_no_problem_is_no_word_about_the_horse(tmp_path: Path) -> None:
    book = open_book(workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[NOTE]))
    said = text(find_page("/problems", book, narrow=False).body)
    assert "Nothing that is typed is in doubt" in said
    assert "says nothing about the horse" in said


def test_every_rule_is_on_the_page_of_what_is_watched() -> None:
    body = find_page("/warnings", open_book(SAMPLES[0]), narrow=False).body
    rows = [text(row) for row in kinds(kinds(body, "Tbody"), "Tr")]
    assert len(rows) == len(RULES)
    for rule in RULES:
        (row,) = [row for row in rows if row.startswith(words.warning_name(rule.slug) + " ")]
        said = (rule.threshold, rule.words, rule.waiting, rule.speaks_to, rule.source, rule.sure)
        for part in (words.URGENCY_WORDS[rule.urgency], *said):
            assert part in row


@pytest.mark.parametrize("address", ["/", "/problems", "/warnings", "/horse/Bramble"])
def test_a_broken_workbook_shows_the_trouble_above_the_last_good_book(tmp_path: Path, address: str) -> None:
    file = workbook(tmp_path, Horses=[{"Horse": "Bramble"}], Soundness=[NOTE])
    library = Library(file)
    _, good, _ = page_in_frame(address, library.read(), narrow=False)
    file.write_bytes(b"not a workbook")
    _, broken, _ = page_in_frame(address, library.read(), narrow=False)
    trouble, *rest = broken
    assert "The workbook cannot be read now" in text(trouble)
    assert "barn.xlsx" in text(trouble)
    assert "To do:" in text(trouble)
    assert text(rest) == text(good)


@pytest.mark.parametrize("address", ["/", "/problems", "/warnings", "/horse/Bramble"])
def test_without_any_good_book_every_page_says_why_and_what_to_do(tmp_path: Path, address: str) -> None:
    _, page, title = page_in_frame(address, Library(tmp_path / "barn.xlsx").read(), narrow=False)
    assert title == "The workbook cannot be read – barn.xlsx"
    assert "There is no file barn.xlsx" in text(page)
    assert "soundness new barn.xlsx" in text(page)
    assert str(tmp_path) not in text(page)
