"""What stays in the barn: names, numbers, remarks, photographs' places; and what hostile words can do."""

from __future__ import annotations

import io
import re
import socket
from pathlib import Path

import pytest
from letters import YEAR, everything, of, of_year, part, told
from PIL import Image
from pypdf import PdfReader

from tracker.show.letter.blocks import Photo
from tracker.show.letter.choice import Choice
from tracker.show.letter.message import message
from tracker.show.letter.page import page
from tracker.show.letter.paper import paper

HORSE: dict[str, object] = {
    "Horse": "Bramble", "Vet": "Dr Aldous", "Vet phone": "01632 960 001", "Trimmer": "Ned Holm", "Known conditions": "ring Ned on 01632 960 147",
    "Remarks": "bought from the fair",
}  # fmt: skip
NOTE: dict[str, object] = {
    "Date": "28 Jun 2026",
    "Seen by": "Wilma",
    "Limb": "LF",
    "Scale": "0-5",
    "Score": 2,
    "Signs": "points a foot",
    "Remarks": "gate code 4711",
}
VISIT: dict[str, object] = {
    "Date": "20 Jun 2026",
    "Name": "Ned Holm",
    "Role": "trimmer",
    "Purpose": "trim",
    "Feet": "all",
    "Findings": "Ned found the heels low on 3 May; Wilma agreed",
}
SHEETS: dict[str, list[dict[str, object]]] = {"Horses": [HORSE], "Soundness": [NOTE], "Visits": [VISIT]}

HOSTILE = {
    "markup": "<script>alert(1)</script><b>bold</b> & &amp;",
    "typst": '#panic("no") $x^2$ @ref <label> = Heading #let a = 1 \\ `raw` #image("/etc/passwd")',
    "template": "{{ title }} {% for a in b %} {# gone #}",
    "from the right": "\u202egnorw yaw\u202c \u05e9\u05dc\u05d5\u05dd \u2067x",
    "emoji": "🐴 ❤️ 👩\u200d⚕️ 🇬🇧",
    "other letters": "лошадь 馬 ίππος حصان",
    "ten thousand": "x" * 10_000,
    "many words": "hoof " * 2_000,
    "lines": "one\ntwo\nthree\ttabbed",
}


def test_people_are_left_out_unless_the_sender_puts_them_in(tmp_path: Path) -> None:
    said = everything(of(tmp_path, **SHEETS))
    for private in ("Ned", "Holm", "Aldous", "Wilma", "01632", "4711", "bought from the fair"):
        assert private not in said
    assert "[name left out] found the heels low on 3 May; [name left out] agreed" in said
    assert "ring [name left out] on [number left out]" in said
    assert "Left out by the sender: remarks, names of people, phone numbers, photographs." in said


def test_what_the_sender_puts_in_is_there(tmp_path: Path) -> None:
    said = everything(of(tmp_path, choice=Choice(extras=frozenset({"names", "phones", "remarks"})), **SHEETS))
    for wished in (
        "Ned Holm",
        "Dr Aldous",
        "01632 960 001",
        "gate code 4711",
        "bought from the fair",
        "Ned found the heels",
    ):
        assert wished in said


@pytest.mark.parametrize("kept", ["3 May 2026", "2026-05-03", "03.05.2026", "12 mm, 14 mm, 16 mm"])
def test_a_date_or_a_measure_is_no_phone_number(tmp_path: Path, kept: str) -> None:
    letter = of(tmp_path, Horses=[{**HORSE, "Known conditions": f"seen {kept}"}], Soundness=[NOTE])
    assert f"seen {kept}" in everything(letter)


def test_no_path_computer_or_user_is_in_any_of_the_three() -> None:
    letter = of_year()
    pdf = PdfReader(io.BytesIO(paper(letter)))
    said = "\n".join(
        [
            message(letter),
            page(letter),
            *(sheet.extract_text() for sheet in pdf.pages),
            str(pdf.metadata),
            str(pdf.xmp_metadata),
        ]
    )
    for private in (str(YEAR.parent), YEAR.name, str(Path.home()), socket.gethostname()):
        assert private not in said


def test_a_photograph_that_goes_along_is_small_and_says_nothing_of_its_place() -> None:
    letter = of_year(extras=frozenset({"photos"}))
    shown = [block for block in part(letter, "photos").blocks if isinstance(block, Photo)]
    assert [one.told for one in shown] == ["Left front, 17 Oct 2026"]
    for one in shown:
        with Image.open(io.BytesIO(one.jpeg)) as image:
            assert max(image.size) <= 900
            assert not image.getexif()
            assert not {"exif", "comment", "icc_profile", "xmp", "photoshop"} & image.info.keys()
    reader = PdfReader(io.BytesIO(paper(letter)))
    assert sum(len(sheet.images) for sheet in reader.pages) == 1


def test_no_photograph_goes_along_unasked() -> None:
    assert "photos" not in [one.key for one in of_year().parts]


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_words_are_shown_as_words_and_break_nothing(tmp_path: Path, kind: str) -> None:
    hostile = HOSTILE[kind]
    sheets = {
        "Horses": [{"Horse": hostile[:60], "Known conditions": hostile}],
        "Soundness": [{**NOTE, "Horse": hostile[:60], "Remarks": hostile}],
        "Visits": [{**VISIT, "Horse": hostile[:60], "Findings": hostile}],
        "Changes": [{"Date": "1 Jun 2026", "Horse": hostile[:60], "Kind": "feed", "What": hostile}],
        "Pain relief": [
            {
                "Horse": hostile[:60],
                "Product": hostile,
                "First given": "1 Jun 2026",
                "Last given": "2 Jun 2026",
            }
        ],
    }
    letter = of(tmp_path, choice=Choice(question=hostile, extras=frozenset({"remarks", "names"})), **sheets)  # type: ignore[arg-type]
    first = re.split(r"[\s\u202a-\u202e\u2066-\u2069]+", hostile.strip())[0][:20]
    html = page(letter)
    assert "<script" not in html
    assert "<b>bold" not in html
    pages = PdfReader(io.BytesIO(paper(letter))).pages
    if first.isascii():
        assert first in "".join(sheet.extract_text() for sheet in pages)
    assert first in message(letter)
    assert "Traceback" not in message(letter)


def test_a_sign_that_no_typeface_has_is_written_by_its_name(tmp_path: Path) -> None:
    letter = of(
        tmp_path, Horses=[{"Horse": "Bramble", "Known conditions": "\U0001f9ff\U00012345"}], Soundness=[NOTE]
    )
    said = "".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(paper(letter))).pages)
    assert "cuneiform" in said.replace("\u200b", "").replace("\n", "") or "\U00012345" in said


def test_what_turns_the_order_round_ends_with_its_own_words(tmp_path: Path) -> None:
    """Unicode Standard Annex 9: an isolate's controls end at its PDI."""
    letter = of(
        tmp_path,
        Horses=[{"Horse": "Bramble", "Known conditions": "\u202eevil"}],
        Soundness=[NOTE],
        choice=Choice(question="\u202eevil"),
    )
    said = message(letter)
    for start in (found.start() for found in re.finditer("\u202e", said)):
        assert "\u2068" in said[:start]
        assert "\u2069" in said[start:]
    assert said.count("\u2068") == said.count("\u2069")


def test_known_conditions_are_told(tmp_path: Path) -> None:
    assert "Known conditions: ring [name left out]" in told(part(of(tmp_path, **SHEETS), "who"))


PRIVATE = (
    "Wilma wilma WILMA Wilma's Wilmas Zo\u00eb Zoe\u0308 Zoe \u05d3\u05d5\u05d3 \u738b\u82b3 01632 960147"
)
EVERY_WORD: dict[str, list[dict[str, object]]] = {
    "Horses": [{"Horse": "Bramble", "Trimmer": "wilma holm", "Vet": "Zo\u00eb Aldous", "Usual check": PRIVATE, "Known conditions": PRIVATE, "Remarks": PRIVATE}],
    "Soundness": [
        {**NOTE, "Seen by": "\u05d3\u05d5\u05d3", "Signs": f"points a foot, {PRIVATE}", "Remarks": PRIVATE},
        {**NOTE, "Seen by": "\u738b\u82b3"},
    ],
    "Visits": [
        {**VISIT, "Purpose": f"trim {PRIVATE}", "Findings": PRIVATE, "Advice": PRIVATE},
        {**VISIT, "Role": f"vet {PRIVATE}", "Findings": "\u738b\u82b3\u8bf4\u8e44\u53c9\u6709\u95ee\u9898"},
    ],
    "Abscesses": [{"Foot": "LF", "First seen": "1 Jun 2026", "Where": f"toe {PRIVATE}", "Opened": "3 Jun 2026", "Opened at": PRIVATE, "Care given": PRIVATE}],
    "Hooves": [
        {"Date": day, "Foot": "LF", "Toe angle": 48, "Measured with": "gauge", "Growth mark": PRIVATE, "Growth mark below hairline": far}
        for day, far in (("20 Apr 2026", "12 mm"), ("20 Jun 2026", "30 mm"))
    ],
    "Pain relief": [{"Product": PRIVATE, "First given": "20 Jun 2026", "Given by order of": "Wilma"}],
    "Work": [{"Date": "27 Jun 2026", "What": f"hand-walk with {PRIVATE}", "Minutes": 20}],
    "Plan": [{"Step": 1, "From": "1 Jun 2026", "What": PRIVATE, "Minutes a day": 20, "Move on when": PRIVATE}],
    "Changes": [{"Date": "25 Jun 2026", "Kind": PRIVATE, "What": PRIVATE}],
    "Follow-up": [{"Date": "28 Jun 2026", "Warning": "points-a-foot", "What was done": PRIVATE, "By": "Wilma", "Outcome": PRIVATE}],
}  # fmt: skip


@pytest.mark.parametrize("kind", ["letter", "page", "message"])
def test_no_name_or_number_leaves_from_any_cell_in_any_case_or_script(tmp_path: Path, kind: str) -> None:
    letter = of(tmp_path, **EVERY_WORD)
    said = {"letter": everything, "page": page, "message": message}[kind](letter)
    left = r"wilma|holm|zo[e\u00eb]\b|zoe\u0308|aldous|\u05d3\u05d5\u05d3|\u738b\u82b3|01632|960147"
    assert re.findall(left, said, re.IGNORECASE) == []
    assert said.count("[name left out]") > 8


def test_a_word_of_the_day_is_no_name_because_somebody_is_called_so(tmp_path: Path) -> None:
    known = "will not stand at the gate, nor at the practice; rose early; Will saw it; MAY be sore; hard left front since May"
    sheets = {
        **SHEETS,
        "Horses": [
            {
                **HORSE,
                "Vet": "Will May, Moor Equine Practice by the gate",
                "Trimmer": "the vet",
                "Known conditions": known,
            }
        ],
    }
    said = told(part(of(tmp_path, **sheets), "who"))
    assert (
        "will not stand at the gate, nor at the practice; rose early; [name left out] saw it; MAY be sore; hard left front since May"
        in said
    )


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("ring 01632 960147 12.05.2026", "ring [number left out] 12.05.2026"),
        ("01.23.45.67.89 at noon", "[number left out] at noon"),
        ("on 2026-05-03 call 01632-96-0147", "on 2026-05-03 call [number left out]"),
        ("+44 (0)1632 960 147", "[number left out]"),
        ("grades 2 2 3 3 2 2 1", "grades 2 2 3 3 2 2 1"),
        (f"{'x' * 392} 01632 960147", f"{'x' * 392} [number … [cut here]"),
    ],
)
def test_a_number_is_left_out_beside_a_date_too_and_a_row_of_grades_is_none(
    tmp_path: Path, typed: str, shown: str
) -> None:
    sheets = {**SHEETS, "Horses": [{**HORSE, "Known conditions": typed}]}
    assert f"Known conditions: {shown}" in told(part(of(tmp_path, **sheets), "who"))


def test_words_that_turn_the_order_round_do_not_reach_beyond_themselves(tmp_path: Path) -> None:
    """An override that is not closed would print "last given 13 May" as "yaM 31 nevig tsal" (Unicode UAX 9)."""
    given = {"Product": "\u202epowder \u2067", "First given": "12 May 2026", "Last given": "13 May 2026"}
    hebrew = {**given, "Product": "\u05d0\u05d1\u05e7\u05d4"}
    letter = of(tmp_path, Horses=[HORSE], Pain_relief=[given, hebrew])
    said = everything(letter)
    assert not set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067") & set(said)
    assert "powder : first given 12 May 2026; last given 13 May 2026." in said
    assert "\u2068\u05d0\u05d1\u05e7\u05d4\u2069: first given" in said
    assert "last given 13 May 2026" in "".join(
        sheet.extract_text() for sheet in PdfReader(io.BytesIO(paper(letter))).pages
    )


@pytest.mark.parametrize(
    "seen_by", ["vet 12 May 2026", "12", "Box 12", "2026", "unknown", "me", "LF", "wall"]
)
def test_figures_limbs_and_words_in_a_column_for_people_are_nobodys_name(
    tmp_path: Path, seen_by: str
) -> None:
    known = "12 mm of wall gone on LF since 12 May 2026, cause unknown, told me"
    sheets = {
        **SHEETS,
        "Horses": [{**HORSE, "Known conditions": known}],
        "Soundness": [{**NOTE, "Seen by": seen_by}],
    }
    letter = of(tmp_path, **sheets)
    assert f"Known conditions: {known}" in told(part(letter, "who"))
    assert "Record as of 30 Jun 2026" in letter.dated
    assert "28 Jun 2026" in told(part(letter, "signs"))


def test_a_name_with_a_title_is_left_out_though_no_column_has_it_unless_a_horse_is_called_so(
    tmp_path: Path,
) -> None:
    known = "asked Dr. Quill and Mrs Fen-Marsh; the dr said rest"
    row = {**HORSE, "Known conditions": known}
    said = told(part(of(tmp_path, **{**SHEETS, "Horses": [row]}), "who"))
    assert "asked [name left out] and [name left out]; the dr said rest" in said


def test_a_horse_that_is_called_like_a_person_keeps_its_name(tmp_path: Path) -> None:
    row = {**HORSE, "Horse": "Mr Quill", "Known conditions": "Mr Quill kicks"}
    letter = of(tmp_path, Horses=[row], Soundness=[{**NOTE, "Horse": "Mr Quill"}])
    assert "Mr Quill kicks" in told(part(letter, "who"))
    assert letter.title.startswith("Mr Quill: ")
