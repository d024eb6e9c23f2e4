"""What is printed to be filled in by pencil, read back by other programs: words, order, sizes, structure.

The structure of the PDF: ISO 14289-1 (PDF/UA-1), by pypdf and by pdfua, which checks 16 of its 106 rules by program.
"""

from __future__ import annotations

import datetime as dt
import io
import json
import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pdfua
import pytest
import typst
from printed import elements
from pypdf import PageObject, PdfReader

from tracker.cells.choices import read_choice
from tracker.cells.limbs import read_limbs
from tracker.entry.at_once import urgent_alone
from tracker.reference.grades import GRADES
from tracker.sheets import HOOVES, QUANTITIES, SOUNDNESS
from tracker.show import words
from tracker.show.paper.card import Card, fitting, whole_or_none
from tracker.show.paper.daily import short_pairs, shortened
from tracker.show.paper.measuring import drawings
from tracker.show.paper.paper import paper_pdf
from tracker.show.paper.urgent import numbered, ring_now
from tracker.show.pdf import PAPERS
from tracker.terms import FEET, PAIRS, SCALES, SIGNS

MADE = dt.date(2026, 3, 1)
FIRST = dt.date(2026, 3, 2)
BRAMBLE = Card("Bramble", "trot, hard, straight", "0-5", "Marsh Lane practice", "01632 960 001")
BLANK = Card()
MM = 72 / 25.4
LEAST_ROW, LEAST_REMARKS = 6.0, 30.0
INSET, HEAD, DAY = 0.4, 8 / MM, 8.5 / MM  # of the boxes, and of the sizes of their words
HOSTILE = {
    "code": "#panic()",
    "markup": "*Bramble* _b_ $x$ <l> @l `r` \\ // [",
    "right to left": "שלום \u202eelbmarB",
    "long": "B" * 10_000,
    "long words": "Bramble of the Long Meadow " * 400,
    "emoji": "Bramble 🐴",
    "east asian": "馬" * 60,
    "controls": "Bram\x00\x07ble\r\nFlash",
    "nothing to see": "\u200b\u202e",
}


@cache
def made(
    card: Card = BRAMBLE,
    days: int | None = 31,
    start: dt.date | None = FIRST,
    measuring: bool = True,
    paper: str = "a4",
) -> PdfReader:
    content = paper_pdf(card, MADE, days=days, start=start, measuring=measuring, paper=paper)
    return PdfReader(io.BytesIO(content))


def text(page: PageObject) -> str:
    """The words of a page, without regard to where lines end."""
    return " ".join(page.extract_text().replace("\u200b", "").split())


def rules(page: PageObject, *, upright: bool = False) -> list[tuple[float, float, float]]:
    """The level or upright lines of a page: how far from its lower or left edge, from where to where, in mm."""
    across = 1 if upright else 0
    found: set[tuple[float, float, float]] = set()
    start: list[tuple[float, float]] = []

    def look(operator: bytes, operands: list[float], matrix: list[float], _: object) -> None:
        a, b, c, d, e, f = matrix
        if operator in (b"m", b"l"):
            x, y = (float(value) for value in operands)
            at = ((a * x + c * y + e) / MM, (b * x + d * y + f) / MM)
            if operator == b"l" and abs(at[1 - across] - start[-1][1 - across]) < 0.01:
                left, right = sorted((start[-1][across], at[across]))
                found.add((round(at[1 - across], 2), round(left, 1), round(right, 1)))
            start.append(at)

    page.extract_text(visitor_operand_before=look)
    return sorted(found)


def rows(page: PageObject) -> list[float]:
    """The heights of the rows of a form, the lowest first, from the lines that begin at its left edge."""
    levels = sorted({y for y, left, right in rules(page) if left < 7.5 and right > 20})
    heights = [round(upper - lower, 2) for lower, upper in pairwise(levels)]
    return [height for height in heights if height > 0.5]


def test_a_month_is_one_page_and_the_measuring_sheet_two() -> None:
    assert len(made().pages) == 3
    assert len(made(measuring=False).pages) == 1
    assert len(made(days=None).pages) == 2


@pytest.mark.parametrize(
    ("days", "pages"), [(1, 1), (14, 1), (15, 1), (31, 1), (32, 2), (62, 2), (63, 3), (366, 12)]
)
def test_the_form_takes_the_fewest_pages_and_each_day_has_its_row(days: int, pages: int) -> None:
    form = made(days=days, measuring=False)
    assert len(form.pages) == pages
    dates = re.findall(
        r"(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d+ [A-Z][a-z]{2})\b", " ".join(map(text, form.pages))
    )
    expected = (FIRST + dt.timedelta(days=number) for number in range(days))
    assert dates == [f"{day.day} {day:%b}" for day in expected]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("days", [1, 14, 31, 45])
@pytest.mark.parametrize("start", [FIRST, None], ids=["dated", "undated"])
def test_every_row_is_high_enough_for_a_pencil(paper: str, days: int, start: dt.date | None) -> None:
    form = made(BLANK, days=days, start=start, measuring=False, paper=paper)
    for page in form.pages:
        assert min(rows(page)[: days // len(form.pages)]) >= LEAST_ROW


@pytest.mark.parametrize("days", [14, 31])
@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("us-letter", (215.9, 279.4))])
def test_the_paper_has_its_size_and_up_to_a_fortnight_lies_across(
    paper: str, size: tuple[float, float], days: int
) -> None:
    box = made(days=days, measuring=False, paper=paper).pages[0].mediabox
    found = (float(box.width) / MM, float(box.height) / MM)
    assert found == pytest.approx(size if days == 31 else size[::-1], abs=0.1)


def test_the_columns_are_those_of_the_sheet_in_its_order() -> None:
    """The horse stands at the head."""
    headings = [column.heading for column in SOUNDNESS.columns if column.heading != "Horse"]
    assert " ".join(headings) in text(made().pages[0])
    heads = [tag for tag in elements(made(measuring=False)) if tag["/S"] == "/TH"]
    assert len(heads) == len(headings) + 31  # a day is the head of its row


@pytest.mark.parametrize("days", [14, 31])
@pytest.mark.parametrize("paper", PAPERS)
def test_the_remarks_have_room_for_a_pencil_and_no_heading_or_day_is_broken(paper: str, days: int) -> None:
    edges = uprights(made(days=days, measuring=False, paper=paper).pages[0])
    boxes = [right - left for left, right in pairwise(edges)]
    assert len(boxes) == len(SOUNDNESS.columns) - 1
    assert boxes[-1] >= LEAST_REMARKS
    longest = [
        max(column.heading.split(), key=len) for column in SOUNDNESS.columns if column.heading != "Horse"
    ]
    for box, wide, word in zip(boxes, widths(longest, HEAD, "bold"), longest, strict=True):
        assert wide + 2 * INSET <= box + 0.05, word
    year = (dt.date(2026, 1, 1) + dt.timedelta(days=day) for day in range(365))
    assert max(widths([f"{day:%a} {day.day} {day:%b}" for day in year], DAY)) + 2 * INSET <= boxes[0] + 0.05


def uprights(page: PageObject) -> list[float]:
    """Where the upright lines of a page's table stand, in mm from its left edge."""
    return sorted({round(x, 1) for x, low, high in rules(page, upright=True) if high - low > 5})


def test_the_allowed_words_and_grades_stand_on_each_page() -> None:
    for page in made(days=45, measuring=False).pages:
        told = text(page)
        for key in ("seen_by", "gait", "ground", "line", "than_last_time"):
            column = SOUNDNESS.by_key[key]
            assert f"{column.heading}: {', '.join(column.choices)}." in told
        assert all(
            f"{grade} {meaning}" in told for grades in GRADES.values() for grade, meaning in grades.items()
        )
        assert "Pulse: at the fetlock: 0 none, 1 just felt, 2 raised, 3 bounding." in told
        assert all(numbered(sign) in told for sign in SIGNS)
        assert all(choice in told for choice in SOUNDNESS.by_key["limb"].choices)


def test_each_scale_has_words_for_its_ends() -> None:
    assert {scale: (min(grades), float(max(grades))) for scale, grades in GRADES.items()} == {
        scale: (0, top) for scale, top in SCALES.items()
    }
    assert [*GRADES["0-5"]] == [0, 1, 2, 3, 4, 5]  # the AAEP scale has whole grades, each with a definition


def test_each_sign_has_one_number() -> None:
    """A number that stands for two signs could not be typed in."""
    numbers = dict(re.findall(r"([a-z' ]+?) \((\d+)\)", "; ".join(numbered(sign) for sign in SIGNS)))
    assert sorted(map(int, numbers.values())) == list(range(1, len(SIGNS) + 1))


def test_what_is_written_short_is_read() -> None:
    for heading, short in shortened().items():
        choices = next(column.choices for column in SOUNDNESS.columns if column.heading == heading)
        assert [read_choice(word, choices).value for word in short] == [*choices]
    assert [read_limbs(word) for word in short_pairs()] == [PAIRS["front"], PAIRS["hind"]]


def test_what_calls_for_a_vet_at_once_is_what_the_rules_say() -> None:
    """The same question put to the check of an entry, note by note."""
    urgent = [(typed, firing) for typed, firing in urgent_alone() if firing.urgency == "now"]
    common, found = ring_now()
    assert common == "Ring the vet now, day or night."
    said = {thing: f"{common} {now.to_do}" for now in found for thing in now.things}
    signs = {typed["signs"]: firing.words for typed, firing in urgent if set(typed) == {"signs"}}
    assert {sign: said.get(numbered(sign)) for sign in SIGNS} == {sign: signs.get(sign) for sign in SIGNS}
    grades = {
        (typed["score"], typed["scale"]): firing.words
        for typed, firing in urgent
        if set(typed) == {"score", "scale"}
    }
    assert {(grade, scale): said[f"grade {grade} on {scale}"] for grade, scale in grades} == grades
    assert len([thing for thing in said if thing.startswith("grade ")]) == len(grades) == len(SCALES)
    (pulses,) = (thing for thing in said if thing.startswith("pulse"))
    with_pulses = {typed.get("signs", "") for typed, _ in urgent if "pulse_lf" in typed}
    assert {sign for sign in SIGNS if numbered(sign) in pulses} == with_pulses - {"", *signs}
    assert "lame in both fronts" in pulses


def test_signs_that_need_a_grade_to_be_urgent_stand_with_the_lowest_such_grade() -> None:
    """As the table of the warnings has it: a swollen joint with any lameness, a swollen leg from grade 3 of 5."""
    things = {thing for now in ring_now()[1] for thing in now.things}
    assert "joint swollen (11) with any lameness" in things
    assert "swelling up the leg (10) with grade 3 of 5 or more" in things


def test_the_urgent_box_comes_before_the_form_with_the_number_to_ring() -> None:
    told = text(made().pages[0])
    assert told.index("Ring the vet now") < told.index("01632 960 001") < told.index("Remarks")
    assert "Marsh Lane practice" in told
    assert "won't bear weight (1)" in told[: told.index("Remarks")]


def test_without_a_workbook_there_are_lines_to_write_on() -> None:
    filled = {
        y
        for y, left, right in rules(made(BRAMBLE, measuring=False, start=None).pages[0])
        if right - left > 25
    }
    blank = {
        y for y, left, right in rules(made(BLANK, measuring=False, start=None).pages[0]) if right - left > 25
    }
    assert len(blank) > len(filled)
    assert "0-5 0-10" in text(made(BLANK, measuring=False, start=None).pages[0])


def test_the_usual_check_and_scale_are_printed() -> None:
    told = text(made().pages[0])
    assert "Usual check trot, hard, straight Scale 0-5" in told
    assert "ring one" not in told


@pytest.mark.parametrize("page", range(3))
def test_the_caution_stands_on_every_page(page: int) -> None:
    assert words.CAUTION in text(made().pages[page])


def test_how_written_is_typed_in_is_told() -> None:
    assert "never the day of typing" in text(made().pages[0])


def test_the_measuring_sheet_has_every_column_in_the_sheets_order() -> None:
    """Date and horse stand at the head, foot and stage beside the boxes; the list goes on on the other side."""
    _, front, back = made().pages
    beside = ("Date", "Horse", "Foot", "Stage")
    wanted = [column for column in HOOVES.columns if column.heading not in beside]
    fronts, hinds = (text(front).index(foot) for foot in ("LF left front", "LH left hind"))
    told = text(front)[fronts:hinds] + text(back)[text(back).index("Foot Stage") :]
    places = []
    for column in wanted:
        heading = f"{column.heading} ({column.unit})" if column.unit else column.heading
        places.append(told.index(heading, places[-1] + 1 if places else 0))
    assert places == sorted(places)


def test_four_feet_have_their_usual_places_and_both_stages() -> None:
    """Fronts above hinds, left on the left."""
    places: dict[str, tuple[float, float]] = {}

    def look(said: str, page: list[float], line: list[float], *_: object) -> None:
        if said.strip() in ("LF left front", "RF right front", "LH left hind", "RH right hind"):
            where = (
                page[0] * line[4] + page[2] * line[5] + page[4],
                page[1] * line[4] + page[3] * line[5] + page[5],
            )
            places.setdefault(said.strip()[:2], where)

    made().pages[1].extract_text(visitor_text=look)
    assert sorted(places) == sorted(FEET)
    assert places["LF"][0] < places["RF"][0]
    assert places["LH"][0] < places["RH"][0]
    assert places["LF"][1] == places["RF"][1] > places["LH"][1] == places["RH"][1]
    told = text(made().pages[1])
    assert told.count("before trim") == told.count("after trim") == 8


@pytest.mark.parametrize("paper", PAPERS)
def test_the_boxes_of_the_measuring_sheet_are_high_enough(paper: str) -> None:
    _, front, back = made(paper=paper).pages
    figures = [column for column in HOOVES.columns if column.holds in QUANTITIES]
    assert len([height for height in rows(front) if height >= 8]) >= len(figures) // 2
    assert len([height for height in rows(back) if height >= 7]) >= 8


def test_each_measure_is_named_in_one_drawing() -> None:
    named = [re.sub(r"<[^>]+>", " ", drawing["svg"]) for drawing in drawings()]
    for column in HOOVES.columns:
        if column.holds in QUANTITIES:
            heading = column.heading.split()
            assert sum(" ".join(heading) in " ".join(svg.split()) for svg in named) == 1, column.heading


def test_no_name_in_a_drawing_is_cut_off_at_its_edge() -> None:
    """The widths of the words are measured by the compiler, in the typeface of the page."""
    for drawing in drawings():
        svg = drawing["svg"]
        room = float(re.findall(r'viewBox="0 0 ([\d.]+)', svg)[0])
        (size,) = set(re.findall(r'font-size="([\d.]+)"', svg))
        named = re.findall(r'<text x="([\d.-]+)"[^>]*text-anchor="(\w+)"[^>]*>([^<]*)<', svg)
        wide = widths([said for *_, said in named], float(size))
        assert named
        for (x, anchor, said), width in zip(named, wide, strict=True):
            left = float(x) - {"start": 0, "middle": width / 2, "end": width}[anchor]
            assert 0 <= left <= left + width <= room, said


def widths(said: list[str], size: float, weight: str = "regular") -> list[float]:
    """How wide words are in mm."""
    source = (
        "#context [#metadata(json(bytes(sys.inputs.said)).map(word => "
        f'measure(text(font: "Libertinus Serif", weight: "{weight}", size: {size}mm, word)).width.mm())) <widths>]'
    )
    found = typst.query(
        source.encode(), "<widths>", field="value", one=True, sys_inputs={"said": json.dumps(said)}
    )
    return [float(width) for width in json.loads(found)]


def test_it_is_tagged_and_says_its_title_and_language() -> None:
    root = made().trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]
    assert root["/Lang"].startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert made().metadata.title == "Soundness, day by day: Bramble"  # type: ignore[union-attr]
    for card in (BLANK, Card("\u200b")):
        assert made(card, days=None).metadata.title == "Measuring sheet for a trim"  # type: ignore[union-attr]
    assert b"pdfuaid" in root["/Metadata"].get_data()


@pytest.mark.parametrize("paper", PAPERS)
def test_another_checker_finds_nothing(paper: str, tmp_path: Path) -> None:
    file = tmp_path / "barn.pdf"
    file.write_bytes(paper_pdf(BRAMBLE, MADE, start=FIRST, paper=paper))
    assert list(pdfua.validate(file).findings) == []


def test_a_screen_reader_is_told_headings_tables_and_what_the_drawings_show() -> None:
    tags = elements(made())
    assert sum(tag["/S"] == "/H1" for tag in tags) == 3
    told = [str(tag["/Alt"]) for tag in tags if tag["/S"] == "/Figure"]
    assert len(told) == len(drawings())
    measures = [column for column in HOOVES.columns if column.unit]
    assert all(sum(f"{column.heading}: " in alt for alt in told) == 1 for column in measures)
    assert any("Toe length: Down the front wall, hairline to ground." in alt for alt in told)


@pytest.mark.parametrize("field", ["horse", "check", "vet"])
@pytest.mark.parametrize("typed", HOSTILE.values(), ids=HOSTILE)
def test_what_is_typed_is_shown_as_text_and_moves_nothing(field: str, typed: str) -> None:
    card = Card(**{"horse": "B", "check": "", "scale": "", "vet": "", "phone": "01632 960 001", field: typed})
    named = field == "horse"  # which the measuring sheet says too
    form = made(card, paper="us-letter", measuring=named)
    assert len(form.pages) == (3 if named else 1)
    assert min(rows(form.pages[0])[:31]) >= LEAST_ROW
    assert "01632 960 001" in text(form.pages[0])


def test_markup_is_shown_as_it_was_typed() -> None:
    told = text(made(Card(HOSTILE["markup"], vet=HOSTILE["code"])).pages[0])
    assert HOSTILE["markup"] in told
    assert HOSTILE["code"] in told


def test_a_long_name_is_cut_and_a_long_number_never() -> None:
    assert fitting("B" * 100, 10) == "BBBBBBBBB…"
    assert fitting("馬" * 100, 10) == "馬馬馬馬…"
    assert fitting(" a\n b ", 10) == "a b"
    assert (
        fitting("a\u202eb\u200cc\x07", 10) == "ab\u200cc"
    )  # a joiner shapes letters, the others turn or hide them
    assert whole_or_none("01632 960 001", 13) == "01632 960 001"
    assert whole_or_none("01632 960 001", 12) == ""
    told = text(made(Card("B", phone="01632 960 001 " * 5)).pages[0])
    assert "01632" not in told


@pytest.mark.parametrize("scale", ["", "0-8", "#panic()"])
def test_a_scale_that_is_none_is_ringed_by_hand(scale: str) -> None:
    assert "ring one: 0-5 0-10" in text(made(Card("B", scale=scale)).pages[0])


def test_the_same_is_printed_again_byte_by_byte() -> None:
    assert paper_pdf(BRAMBLE, MADE, start=FIRST) == paper_pdf(BRAMBLE, MADE, start=FIRST)


@pytest.mark.parametrize(
    ("days", "measuring", "paper"), [(None, False, "a4"), (0, True, "a4"), (31, True, "a3")]
)
def test_what_cannot_be_printed_is_refused(days: int | None, measuring: bool, paper: str) -> None:
    with pytest.raises(ValueError, match=r"nothing to print|at least one|one of"):
        paper_pdf(BLANK, MADE, days=days, measuring=measuring, paper=paper)
