"""The page For the vet: what it offers, what it answers, and what never leaves by it unasked."""

from __future__ import annotations

import datetime as dt
import io
import json
import zipfile
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from dash import no_update
from entries import HORSE, barn
from pypdf import PdfReader
from test_dashboards_pages import SAMPLES, kinds, text, walk
from werkzeug.http import parse_options_header

from dashboards.app import make_app, shown
from dashboards.desk import Desk
from dashboards.frame import above, find_page, framed, page_in_frame
from dashboards.guard import MOST_BYTES
from dashboards.library import Library
from dashboards.made import BESIDE, EVERYTHING, LETTER
from dashboards.parts import share_href
from tracker import open_book
from tracker.show import words
from tracker.show.letter.choice import ALWAYS, EXTRAS, PARTS, Choice
from tracker.show.letter.letter import letter_of
from tracker.show.letter.message import message
from tracker.show.letter.page import page
from tracker.show.pdf import PAPERS
from tracker.show.shapes import shown_name

TODAY = dt.date.today()
PRIVATE: dict[str, object] = {
    **HORSE, "Trimmer": "Tamsin Oakley", "Vet": "Dr Aldous", "Vet phone": "01632 960 001", "Remarks": "bites when girthed",
}  # fmt: skip
LAME: dict[str, object] = {"Date": TODAY, "Gait": "walk", "Limb": "LF", "Scale": "0-5", "Score": 4}
CHOSEN: dict[str, Any] = {
    "horse": "Bramble", "question": "", "without": [], "extras": [], "since": "", "until": "", "paper": "a4",
}  # fmt: skip


class Barn:
    """One workbook's server, asked as its own page asks."""

    def __init__(self, folder: Path, **sheets: Any) -> None:
        self.file = barn(folder, **(sheets or {"Horses": [PRIVATE], "Soundness": [LAME]}))
        self.client = make_app(self.file).server.test_client()

    def post(self, path: str, origin: str = "http://localhost", **chosen: Any) -> Any:
        """The answer to a page of that origin."""
        return self.client.post(path, data=json.dumps(CHOSEN | chosen), content_type="application/json", headers={"Origin": origin})  # fmt: skip

    def letter(self, **chosen: Any) -> Any:
        """What is told of the letter as it stands chosen."""
        return self.post("/letter", **chosen).get_json()


@pytest.fixture
def place(tmp_path: Path) -> Barn:
    return Barn(tmp_path)


def body(file: Path, path: str = "/share") -> Any:
    return find_page(path, open_book(file), narrow=False).body


def boxes(parts: Any, name: str) -> dict[str, bool]:
    """The tick boxes and buttons of a name, and whether each is ticked."""
    return {
        one.attributes["value"]: bool(one.attributes["defaultChecked"])
        for one in kinds(parts, "Typed")
        if one.attributes.get("name") == name
    }


def hrefs(parts: Any) -> list[str]:
    return [part.href for part in walk(parts) if getattr(part, "href", None)]


# The page


def test_every_part_but_those_that_always_go_can_be_left_out(place: Barn) -> None:
    offered = boxes(body(place.file), "parts")
    assert offered == dict.fromkeys([key for key in PARTS if key not in ALWAYS], True)
    assert "Always in it: who the horse is, and your question." in text(body(place.file))


def test_what_is_private_is_offered_and_not_ticked(place: Barn) -> None:
    assert boxes(body(place.file), "extras") == dict.fromkeys(EXTRAS, False)
    assert boxes(body(place.file), "paper") == {paper: paper == PAPERS[0] for paper in PAPERS}


def test_the_page_says_once_to_read_it_first(place: Barn) -> None:
    assert text(body(place.file)).count("Read it before you send it.") == 1


def test_the_frame_of_the_letter_can_run_nothing(place: Barn) -> None:
    (frame,) = kinds(body(place.file), "Iframe")
    assert frame.sandbox == "allow-same-origin"
    assert frame.title


def test_of_several_horses_one_is_asked_for(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[{"Horse": "Bramble"}, {"Horse": "Nøkk/hest"}])
    shown_page = body(file)
    assert "Which horse" in text(shown_page)
    assert hrefs(shown_page) == ["/share/Bramble", "/share/N%C3%B8kk%2Fhest"]
    assert [form.to_plotly_json()["props"]["data-horse"] for form in kinds(body(file, "/share/N%C3%B8kk%2Fhest"), "Form")] == ["Nøkk/hest"]  # fmt: skip


def test_an_unknown_horse_leads_to_the_known_ones(place: Barn) -> None:
    shown_page = body(place.file, "/share/Nobody")
    assert "barn.xlsx has no horse named Nobody" in text(shown_page)
    assert hrefs(shown_page) == ["/share/Bramble"]


def test_a_blank_workbook_says_what_to_do_first(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[])
    assert "no horse yet" in text(body(file))


def test_it_is_reached_from_the_header_and_from_the_warnings(place: Barn) -> None:
    head, shown_page, _ = page_in_frame("/", Library(place.file).read(), narrow=False)
    assert "/share" in hrefs(head)
    assert "/share/Bramble" in hrefs(shown_page)


def test_urgent_warnings_stand_above_the_page_with_the_vets_number(place: Barn) -> None:
    reading = Library(place.file).read()
    told = above("/share/Bramble", reading, Desk(place.file, Library(place.file)).waits())
    assert "lame at walk" in text(told)
    assert "tel:01632960001" in hrefs(told)
    assert "lame at walk" not in text(framed("/share/Bramble", reading, narrow=False)[1])


def test_what_is_typed_stays_while_warnings_and_troubles_above_it_are_kept_true(place: Barn) -> None:
    desk = Desk(place.file, Library(place.file))
    _, told, page_part, _, held = shown(desk, "/share", False, "")
    assert held == "/share"
    assert "lame at walk" in text(told)
    place.file.write_bytes(b"no workbook")
    _, told, page_part, _, _ = shown(desk, "/share", False, "/share")
    assert page_part is no_update
    assert "cannot be read now" in text(told)
    assert "lame at walk" in text(told)


# The letter


def test_the_letter_that_is_shown_is_the_one_that_is_sent(place: Barn) -> None:
    told = place.letter(question="May she go out?", without=["visits"])
    book = open_book(place.file)
    letter = letter_of(book, book.horses[0], Choice("May she go out?", frozenset({"visits"})))
    assert told == {"page": page(letter), "text": message(letter)}
    assert place.post("/make", what="page", question="May she go out?", without=["visits"]).get_data(as_text=True) == told["page"]  # fmt: skip
    assert place.post("/make", what="message", question="May she go out?", without=["visits"]).get_data(as_text=True) == told["text"]  # fmt: skip


def test_names_numbers_and_remarks_stay_out_unless_they_are_put_in(place: Barn) -> None:
    private = ("Aldous", "01632 960 001", "bites when girthed")
    without = place.letter()
    assert not [said for said in private if said in without["page"] + without["text"]]
    put_in = place.letter(extras=["names", "phones", "remarks"])
    assert [said for said in private if said in put_in["page"]] == [*private]


@pytest.mark.parametrize(
    ("chosen", "said", "fields"),
    [
        (
            {"since": "2026-05-02", "until": "2026-05-01"},
            "From, 2 May 2026, is a later day than To, 1 May 2026. Put the earlier day under From.",
            ["since", "until"],
        ),
        ({"since": "not whole"}, "From is not a whole day. Choose one, or empty it.", ["since"]),
        ({"until": "2026-02-30"}, "To is not a whole day. Choose one, or empty it.", ["until"]),
        (
            {"without": ["teeth"]},
            f"Not known: teeth: one of {', '.join(key for key in PARTS if key not in ALWAYS)}.",
            [],
        ),
        (
            {"without": ["question"]},
            f"Not known: question: one of {', '.join(key for key in PARTS if key not in ALWAYS)}.",
            [],
        ),
        ({"extras": ["everything"]}, f"Not known: everything: one of {', '.join(EXTRAS)}.", []),
        ({"paper": "a3"}, f"Not known: a3: one of {', '.join(PAPERS)}.", []),
        ({"horse": "Willow"}, "barn.xlsx has no horse named Willow now.", []),
        (
            {"since": "9999-12-31"},
            f"From, 31 Dec 9999, is later than the record's last day, {words.day(dt.date.today())}. Put an earlier day there.",
            ["since"],
        ),
    ],
)
def test_what_cannot_be_meant_so_is_told_in_a_sentence(
    place: Barn, chosen: dict[str, Any], said: str, fields: list[str]
) -> None:
    assert place.letter(**chosen) == {"message": said, "fields": fields}
    assert place.post("/make", what="pdf", **chosen).get_json() == {"message": said}


def test_half_a_sign_in_the_question_spoils_no_file(place: Barn) -> None:
    """A browser may send a lone surrogate, which UTF-8 has no way to write (RFC 3629, 3)."""
    for what in LETTER:
        assert place.post("/make", what=what, question="Why \ud83d?").mimetype != "application/json"
    assert "Why ??" in place.letter(question="Why \ud83d?")["page"]


@pytest.mark.parametrize("chosen", [{"without": "visits"}, {"extras": [1]}, {"question": None}, {"horse": 7}])
def test_what_no_page_of_ours_sends_is_refused(place: Barn, chosen: dict[str, Any]) -> None:
    for path in ("/letter", "/make"):
        assert place.post(path, what="pdf", **chosen).status_code == 400


@pytest.mark.parametrize("path", ["/letter", "/make", "/look"])
def test_a_body_that_is_nested_without_end_is_refused_and_logged_by_nobody(
    place: Barn, path: str, caplog: pytest.LogCaptureFixture
) -> None:
    origin = {"Origin": "http://localhost"}
    answer = place.client.post(path, data="[" * 60_000, content_type="application/json", headers=origin)
    assert answer.status_code == 400
    assert not caplog.records


def test_an_unknown_kind_of_file_is_refused(place: Barn) -> None:
    assert place.post("/make", what="exe").status_code == 400


@pytest.mark.parametrize("path", ["/letter", "/make"])
def test_only_our_own_pages_are_answered_and_the_headers_stay_strict(place: Barn, path: str) -> None:
    assert place.post(path, "http://barn.example", what="pdf").status_code == 403
    assert place.post(path, what="pdf", question="x" * MOST_BYTES).status_code == 413
    headers = place.post(path, what="pdf").headers
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Cache-Control"] == "no-store"


def test_a_workbook_that_was_never_read_is_told_of(tmp_path: Path) -> None:
    place = Barn(tmp_path)
    place.file.unlink()
    place.client = make_app(place.file).server.test_client()
    told = place.letter()["message"]
    assert "barn.xlsx" in told
    assert str(tmp_path) not in told


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.stem)
def test_every_horse_of_every_sample_has_its_page_and_its_letter(sample: Path) -> None:
    client = make_app(sample).server.test_client()
    reading = Library(sample).read()
    assert reading.book
    for horse in reading.book.horses:
        _, shown_page, title = page_in_frame(share_href(horse.name), reading, narrow=False)
        assert title == f"For the vet: {shown_name(horse.name)} – {sample.name}"
        (form,) = kinds(shown_page, "Form")
        asked = CHOSEN | {"horse": form.to_plotly_json()["props"]["data-horse"], "extras": [*EXTRAS]}
        told = client.post("/letter", json=asked, headers={"Origin": "http://localhost"}).get_json()
        assert f"{shown_name(horse.name)}: a record for the vet" in told["text"]


# Files


def name_of(answer: Any) -> str:
    """The name of a download, as another reader takes it from the header."""
    kind, told = parse_options_header(answer.headers["Content-Disposition"])
    assert kind == "attachment"
    return told["filename"]


@pytest.mark.parametrize("what", EVERYTHING)
def test_every_file_is_made_with_its_name_and_kind(place: Barn, what: str) -> None:
    answer = place.post("/make", what=what)
    made = EVERYTHING[what]
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == made.kind
    assert name_of(answer) == made.name.format(horse="Bramble", day=TODAY.isoformat())
    assert len(answer.get_data()) > 100


@pytest.mark.parametrize("paper", PAPERS)
def test_the_pdf_is_one_of_at_most_two_pages(place: Barn, paper: str) -> None:
    read = PdfReader(io.BytesIO(place.post("/make", what="pdf", paper=paper, question="Why?").get_data()))
    assert 1 <= len(read.pages) <= 2
    assert "Why?" in read.pages[0].extract_text()
    assert "Aldous" not in "".join(sheet.extract_text() for sheet in read.pages)


@pytest.mark.parametrize(
    ("horse", "plain", "named"),
    [
        ("Bramble", "Bramble-for-the-vet", "Bramble for the vet"),
        ("Nøkk/hest", "Nkk-hest-for-the-vet", "Nøkk-hest for the vet"),
        ('Do "It" <all>', "Do-It-all-for-the-vet", "Do -It- -all for the vet"),
        ("雪", "for-the-vet", "雪 for the vet"),
        ("Señora\u202efdp", "Senorafdp-for-the-vet", "Señorafdp for the vet"),
        ("../../etc", "etc-for-the-vet", "etc for the vet"),
        ("100%; x=1", "100-x-1-for-the-vet", "100%; x=1 for the vet"),
    ],
)
def test_a_files_name_can_stand_on_any_disk_and_keeps_the_horses_name(
    tmp_path: Path, horse: str, plain: str, named: str
) -> None:
    place = Barn(tmp_path, Horses=[{"Horse": horse}])
    told = place.post("/make", what="message", horse=horse).headers["Content-Disposition"]
    assert told == (
        f"attachment; filename=\"{plain}-{TODAY}.txt\"; filename*=UTF-8''{quote(f'{named} {TODAY}.txt', safe='')}"
    )
    assert told.isascii()


def test_the_tables_hold_the_whole_record_and_no_place_on_this_computer(place: Barn, tmp_path: Path) -> None:
    answer = place.post("/make", what="tables")
    with zipfile.ZipFile(io.BytesIO(answer.get_data())) as packed:
        assert packed.testzip() is None
        whole = b"".join(packed.read(name) for name in packed.namelist())
    assert b"Tamsin Oakley" in whole
    assert str(tmp_path).encode() not in whole
    assert str(tmp_path) not in str(answer.headers)


def test_the_page_says_that_the_tables_tell_everything(place: Barn) -> None:
    said = text(body(place.file))
    assert "every horse in it" in said
    assert "Remarks, names and numbers are in it too" in said
    for made in (LETTER | BESIDE).values():
        assert made.said in said


@pytest.mark.parametrize("what", BESIDE)
def test_what_is_no_letter_asks_for_no_days(place: Barn, what: str) -> None:
    assert (
        place.post("/make", what=what, since="2026-05-02", until="2026-05-01").mimetype != "application/json"
    )


@pytest.mark.parametrize("what", ["door", "measuring"])
def test_the_paper_is_of_the_horse_or_has_a_line_to_write_its_name_on(tmp_path: Path, what: str) -> None:
    named = Barn(tmp_path, Horses=[{**HORSE, "Vet phone": "01632 960 001"}], Soundness=[LAME])
    told = PdfReader(io.BytesIO(named.post("/make", what=what, horse="bramble").get_data()))
    assert "Bramble" in told.pages[0].extract_text()
    named.file.unlink()
    unnamed = Barn(tmp_path, Soundness=[LAME])
    told = PdfReader(io.BytesIO(unnamed.post("/make", what=what, horse="the horse").get_data()))
    assert "the horse:" not in told.pages[0].extract_text().lower()


def test_the_size_of_the_paper_is_the_one_that_was_chosen(place: Barn) -> None:
    """A4 is 210 mm by 297 mm (ISO 216); US Letter 8.5 in by 11 in (ANSI/ASME Y14.1, size A); a point is 1/72 in."""
    for what in ("pdf", "door", "measuring"):
        for paper, sides in (("a4", (210 / 25.4 * 72, 297 / 25.4 * 72)), ("us-letter", (612, 792))):
            box = (
                PdfReader(io.BytesIO(place.post("/make", what=what, paper=paper).get_data()))
                .pages[0]
                .mediabox
            )
            assert sorted((float(box.width), float(box.height))) == pytest.approx(sides, abs=0.5)


def test_a_workbook_that_is_gone_meanwhile_is_told_of_without_its_place(place: Barn, tmp_path: Path) -> None:
    place.letter()
    place.file.unlink()
    assert place.post("/make", what="pdf").get_data().startswith(b"%PDF")  # as it was last read
    told = place.post("/make", what="tables").get_json()["message"]
    assert "barn.xlsx" in told
    assert str(tmp_path) not in told


@pytest.mark.parametrize("path", ["/letter", "/make"])
def test_a_fault_of_our_own_is_a_sentence_and_no_traceback(
    place: Barn, path: str, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fault(*_: object) -> None:
        raise ZeroDivisionError("secret details")

    monkeypatch.setattr("dashboards.share_post.letter_of", fault)
    monkeypatch.setattr("dashboards.made.letter_of", fault)
    answer = place.post(path, what="pdf")
    assert "Something went wrong inside the program" in answer.get_json()["message"]
    assert "secret" not in answer.get_data(as_text=True)
    assert "secret details" in caplog.text
