"""The letter on paper and as a page, read back by other programs.

The structure of the PDF: ISO 14289-1 (PDF/UA-1), by pypdf and by pdfua, which checks 16 of its 106 rules by program.
"""

from __future__ import annotations

import datetime as dt
import re
from html.parser import HTMLParser
from pathlib import Path

import pdfua
import pypdfium2
import pytest
from letters import ON, of, of_year
from PIL import Image, ImageChops
from printed import elements, read

from tracker.show.letter.choice import Choice
from tracker.show.letter.page import page
from tracker.show.letter.paper import paper
from tracker.show.pdf import PAPERS, pdf_of

KEPT = Path(__file__).with_name("kept_pages")
DPI = 40
MOST_BYTES = 500_000
# Two renderers, or two releases of one, differ at the edges of letters.
MOST_DIFFERENT = 0.02


def test_it_is_tagged_and_says_its_title_and_language() -> None:
    root = read(paper(of_year())).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert read(paper(of_year())).metadata.title == "Hazel: a record for the vet"  # type: ignore[union-attr]


def test_the_standards_mark_is_in_it() -> None:
    """ISO 14289-1, 5: the document names its part of PDF/UA in its XMP metadata."""
    assert b"pdfuaid" in read(paper(of_year())).trailer["/Root"]["/Metadata"].get_data()


@pytest.mark.parametrize("size", PAPERS)
def test_another_checker_finds_nothing(size: str, tmp_path: Path) -> None:
    file = tmp_path / "letter.pdf"
    file.write_bytes(paper(of_year(paper=size, extras=frozenset({"photos"}))))
    assert list(pdfua.validate(file).findings) == []


def test_headings_tables_and_pictures_are_told_to_a_screen_reader() -> None:
    tags = elements(read(paper(of_year(extras=frozenset({"photos"})))))
    names = [tag["/S"] for tag in tags]
    assert names.index("/H1") < names.index("/H2")
    assert names.count("/H1") == 1
    assert names.count("/Table") == 3
    assert names.count("/TH") >= 6 + 7 + 5
    figures = [tag["/Alt"] for tag in tags if tag["/S"] == "/Figure"]
    assert len(figures) == 2
    assert figures[0].startswith(
        "Grades, abscesses, pain relief, trims and visits on one time axis up to 20 Nov 2026: "
    )
    assert figures[1] == "Photograph of a foot: Left front, 17 Oct 2026"


@pytest.mark.parametrize("size", PAPERS)
def test_a_year_takes_two_pages_each_with_its_number_the_date_and_the_caution(size: str) -> None:
    content = paper(of_year(paper=size, question="Is it the old abscess again?"))
    pages = read(content).pages
    assert len(pages) == 2
    for number, sheet in enumerate(pages, start=1):
        said = " ".join(sheet.extract_text().split())
        assert f"page {number} of 2" in said
        assert "Record as of 20 Nov 2026" in said
        assert "no substitute for an examination by a vet" in said
    assert len(content) < MOST_BYTES


def test_the_paper_is_that_which_was_chosen() -> None:
    """ISO 216: A4 is 210 mm by 297 mm. ANSI/ASME Y14.1: A is 8.5 in by 11 in."""
    for size, width, height in (("a4", 210 / 25.4 * 72, 297 / 25.4 * 72), ("us-letter", 612, 792)):
        box = read(paper(of_year(paper=size))).pages[0].mediabox
        assert float(box.width) == pytest.approx(width, abs=0.1)
        assert float(box.height) == pytest.approx(height, abs=0.1)


def test_every_typeface_is_in_the_file() -> None:
    fonts = [
        font.get_object()
        for sheet in read(paper(of_year())).pages
        for font in sheet["/Resources"]["/Font"].get_object().values()
    ]
    assert fonts
    for font in fonts:
        below = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & below.keys(), font["/BaseFont"]


def test_the_same_record_gives_the_same_bytes() -> None:
    assert paper(of_year()) == paper(of_year())


def test_an_unknown_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="a4, us-letter"):
        pdf_of("letter/letter.typ", {}, ON, paper="a5")


def test_a_long_record_is_set_whole(tmp_path: Path) -> None:
    """A note a day for three years with signs, and an abscess a month: tables are cut with a word that says so."""
    begin = dt.date(2023, 7, 1)
    notes = [
        {
            "Date": begin + dt.timedelta(days=day),
            "Gait": "trot",
            "Limb": ("LF", "RF", "LH", "RH")[day % 4],
            "Scale": "0-5",
            "Score": day % 5,
            "Signs": "points a foot",
        }
        for day in range(1095)
    ]
    abscesses = [
        {
            "Foot": "LF",
            "First seen": begin + dt.timedelta(days=30 * n),
            "Comfortable again": begin + dt.timedelta(days=30 * n + 9),
        }
        for n in range(36)
    ]
    letter = of(
        tmp_path,
        Horses=[{"Horse": "Bramble"}],
        Soundness=notes,
        Abscesses=abscesses,
        choice=Choice(question="?"),
    )
    pages = read(paper(letter)).pages
    assert len(pages) == 2
    assert "28 earlier not shown, the first of 1 Jul 2023: left front 28." in "".join(
        sheet.extract_text() for sheet in pages
    )


@pytest.mark.parametrize("number", [1, 2])
def test_the_pages_look_as_they_were_looked_at(number: int) -> None:
    """Drawn by PDFium in grey, as on a black and white printer, and compared with the pages somebody has looked at."""
    drawn = grey_page(paper(of_year(question="Is it the old abscess again?")), number)
    kept = Image.open(KEPT / f"letter-{number}.png")
    assert drawn.size == kept.size
    far = ImageChops.difference(drawn, kept).point(lambda value: 255 if value > 96 else 0)
    assert far.histogram()[255] / (far.width * far.height) < MOST_DIFFERENT


def grey_page(content: bytes, number: int) -> Image.Image:
    """One page of a PDF as a grey picture."""
    page_of = pypdfium2.PdfDocument(content)[number - 1]
    return page_of.render(scale=DPI / 72, grayscale=True).to_pil().convert("L")


class Seen(HTMLParser):
    """The tags of a page, with what they would fetch."""

    def __init__(self) -> None:
        """Begin with nothing seen."""
        super().__init__()
        self.tags: list[str] = []
        self.fetched: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag and its addresses."""
        self.tags.append(tag)
        self.fetched += [
            f"{tag} {value}" for name, value in attrs if name in ("src", "href", "action", "data", "srcset")
        ]


def test_the_page_has_no_script_and_fetches_nothing() -> None:
    said = page(of_year(extras=frozenset({"photos"})))
    seen = Seen()
    seen.feed(said)
    assert not {"script", "link", "iframe", "object", "form"} & set(seen.tags)
    assert [address[:26] for address in seen.fetched] == ["img data:image/jpeg;base64"]
    assert not re.search(r"url\(|@import|\son\w+=", said)


def test_the_page_says_what_the_paper_says() -> None:
    letter = of_year()
    text = re.sub(r"\s+", "", "".join(sheet.extract_text() for sheet in read(paper(letter)).pages))
    said = page(letter)
    for one in letter.parts:
        assert re.sub(r"\s+", "", one.title) in text
        assert one.title.replace("'", "&#39;") in said


if __name__ == "__main__":
    KEPT.mkdir(exist_ok=True)
    looked_at = paper(of_year(question="Is it the old abscess again?"))
    for each in (1, 2):
        grey_page(looked_at, each).save(KEPT / f"letter-{each}.png", optimize=True)
