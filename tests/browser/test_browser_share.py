"""Giving a record to the vet with a thumb and with the keyboard: what is shown is what goes, and nothing else."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import NARROW, WIDE, Watched, served, stop
from playwright.sync_api import Browser, FrameLocator, Page, expect
from pypdf import PdfReader
from test_browser_write import RULES, THUMB

from tracker.workbook.new.blank import write_workbook

pytestmark = pytest.mark.browser

Look = Callable[..., Watched]
TODAY = dt.date.today()
LAME = {
    "Date": TODAY,
    "Gait": "walk",
    "Limb": "LF",
    "Scale": "0-5",
    "Score": 4,
    "Remarks": "since the farrier",
}
SIZES = pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
SHARES = """
  navigator.canShare = (what) => what.files.length === 1;
  navigator.share = async (what) => {
    window.given = [...(window.given || []), [what.files[0].name, what.files[0].type, what.files[0].size]];
    if (window.given.length <= (window.refusals || 0)) throw new DOMException("tap again", "NotAllowedError");
  };
"""


@pytest.fixture(autouse=True)
def _often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dashboards.frame.EVERY_MS", 400)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "barn.xlsx"
    horse = {
        "Horse": "Bramble",
        "Vet": "Dr Aldous",
        "Vet phone": "01632 960 001",
        "Remarks": "bites when girthed",
    }
    visit = {
        "Date": TODAY - dt.timedelta(days=60),
        "Name": "Dr Aldous",
        "Role": "vet",
        "Findings": "sore left front",
    }
    write_workbook(path, {"Horses": [horse], "Soundness": [LAME], "Visits": [visit]})
    return path


def letter(page: Page) -> FrameLocator:
    """The letter as it is shown."""
    return page.frame_locator("#share-letter")


def ready(watched: Watched) -> Page:
    """The page, once its letter is shown."""
    expect(letter(watched.page).locator("h1")).to_have_text("Bramble: a record for the vet")
    return watched.page


def opened(look: Look, file: Path, size: tuple[int, int] = NARROW, **context: Any) -> Page:
    watched = look(file, size, **{**(THUMB if size == NARROW else {}), **context})
    watched.open("/share")
    return ready(watched)


def downloaded(page: Page, button: str) -> tuple[str, bytes]:
    """What a button gives: the file's name and what is in it."""
    with page.expect_download() as waiting:
        page.get_by_role("button", name=button, exact=True).click()
    return waiting.value.suggested_filename, Path(waiting.value.path()).read_bytes()


@SIZES
def test_the_letter_follows_the_choices(look: Look, file: Path, size: tuple[int, int]) -> None:
    page = opened(look, file, size)
    shown = letter(page).locator("main")
    expect(shown).to_contain_text("The sender has written no question.")
    expect(shown).to_contain_text("sore left front")
    page.get_by_label("Your question").fill("May she go out?")
    expect(shown).to_contain_text("May she go out?")
    page.get_by_label("Visits").uncheck()
    expect(shown).not_to_contain_text("sore left front")
    expect(letter(page).locator("footer")).to_contain_text("Left out by the sender: visits")
    page.get_by_label("From").fill((TODAY - dt.timedelta(days=2)).isoformat())
    expect(letter(page).locator(".dated").first).to_contain_text("it tells of the time from")
    page.get_by_label("From").fill("")
    expect(letter(page).locator(".dated").first).not_to_contain_text("it tells of the time")


@SIZES
def test_what_is_private_goes_in_only_when_it_is_ticked(
    look: Look, file: Path, size: tuple[int, int]
) -> None:
    page = opened(look, file, size)
    shown = letter(page).locator("body")
    for private in ("Aldous", "01632 960 001", "bites when girthed"):
        expect(shown).not_to_contain_text(private)
    page.get_by_label("Names of people").check()
    expect(shown).to_contain_text("Dr Aldous")
    expect(shown).not_to_contain_text("01632 960 001")
    page.get_by_label("Phone numbers").check()
    page.get_by_label("Remarks, in your own words").check()
    expect(shown).to_contain_text("01632 960 001")
    expect(shown).to_contain_text("bites when girthed")
    page.get_by_label("Names of people").uncheck()
    expect(shown).not_to_contain_text("Dr Aldous")


@SIZES
def test_the_letter_is_as_high_as_it_is_long_and_nothing_is_wider_than_the_window(
    look: Look, file: Path, size: tuple[int, int]
) -> None:
    page = opened(look, file, size)
    page.get_by_label("Your question").fill("word " * 400)
    expect(letter(page).locator("main")).to_contain_text("word word")
    page.wait_for_function(
        """() => { const frame = document.querySelector("#share-letter"), all = frame.contentDocument.scrollingElement;
        const page = document.documentElement;
        return all.scrollHeight <= frame.clientHeight && all.scrollWidth <= frame.clientWidth
          && page.scrollWidth <= page.clientWidth; }"""
    )


def test_a_choice_keeps_the_readers_place(look: Look, file: Path) -> None:
    page = opened(look, file, WIDE)
    tick = page.get_by_label("Visits")
    tick.scroll_into_view_if_needed()
    page.evaluate("window.scrollTo(0, 500)")
    page.wait_for_function("window.scrollY === 500")  # the letter may still be growing below
    page.evaluate("document.querySelector('#share-letter').contentWindow.stays = 'here'")
    tick.uncheck()
    expect(letter(page).locator("footer")).to_contain_text("Left out by the sender: visits")
    assert page.evaluate("window.scrollY") == 500
    assert page.evaluate("document.querySelector('#share-letter').contentWindow.stays") == "here"


@SIZES
def test_the_files_are_what_was_shown(look: Look, file: Path, size: tuple[int, int]) -> None:
    page = opened(look, file, size)
    page.get_by_label("Your question").fill("May she go out?")
    page.get_by_label("Phone numbers").check()
    expect(letter(page).locator("body")).to_contain_text("01632 960 001")
    name, pdf = downloaded(page, "PDF")
    assert name == f"Bramble for the vet {TODAY}.pdf"
    read = PdfReader(io.BytesIO(pdf))
    told = "".join(sheet.extract_text() for sheet in read.pages)
    assert 1 <= len(read.pages) <= 2
    assert "May she go out?" in told
    assert "Aldous" not in told
    expect(page.locator("#share-made a")).to_have_text(name)
    name, html = downloaded(page, "Page (.html)")
    assert name.endswith(".html")
    words = _words_of(page, html)
    expect(letter(page).locator("main")).to_have_text(" ".join(words), use_inner_text=True)
    name, text = downloaded(page, "Message (.txt)")
    assert name.endswith(".txt")
    page.locator("#share-message summary").click()
    expect(page.get_by_label("The message", exact=True)).to_have_value(text.decode().replace("\r\n", "\n"))


def _words_of(page: Page, html: bytes) -> list[str]:
    """The words of a page of its own, as the browser shows them."""
    other = page.context.new_page()
    other.set_viewport_size({"width": 700, "height": 900})
    other.set_content(html.decode())
    words = other.locator("main").inner_text().split()
    other.close()
    return words


def test_what_was_made_can_be_taken_once_more(look: Look, file: Path) -> None:
    page = opened(look, file)
    downloaded(page, "PDF")
    with page.expect_download() as waiting:
        page.locator("#share-made a").tap()
    assert Path(waiting.value.path()).read_bytes().startswith(b"%PDF")


def test_the_calendar_the_paper_and_the_tables_are_given_out_too(look: Look, file: Path) -> None:
    page = opened(look, file)
    name, calendar = downloaded(page, "Calendar (.ics)")
    assert name == f"Bramble days {TODAY}.ics"
    assert calendar.startswith(b"BEGIN:VCALENDAR")
    expect(page.locator("#share-made-calendar a")).to_have_text(name)
    for button, named in (("Form for the barn door", "barn door"), ("Measuring sheet", "measuring sheet")):
        name, paper = downloaded(page, f"{button} (PDF)")
        assert name == f"Bramble {named} {TODAY}.pdf"
        assert 1 <= len(PdfReader(io.BytesIO(paper)).pages) <= 2
    name, packed = downloaded(page, "Plain tables (.zip)")
    assert name == f"Record {TODAY}.zip"
    assert packed.startswith(b"PK")
    expect(page.locator("#share-made-tables a")).to_have_text(name)


def test_the_message_is_copied(look: Look, file: Path) -> None:
    page = opened(look, file, permissions=["clipboard-read", "clipboard-write"])
    page.get_by_label("Your question").fill("May she go out?")
    page.locator("#share-message summary").tap()
    page.get_by_role("button", name="Copy the message").tap()
    expect(page.locator("#share-copied")).to_have_text("Copied.")
    assert "May she go out?" in page.evaluate("navigator.clipboard.readText()")


def test_the_message_that_is_copied_holds_what_was_typed_a_moment_ago(look: Look, file: Path) -> None:
    page = opened(look, file, permissions=["clipboard-read", "clipboard-write"])
    page.locator("#share-message summary").tap()
    page.evaluate(
        """() => {
          const box = document.querySelector("form.share textarea");
          box.value = "May she go out?";
          box.dispatchEvent(new Event("input", { bubbles: true }));
          document.querySelector("[data-copy]").click();
        }"""
    )
    expect(page.locator("#share-copied")).to_have_text("Copied.")
    assert "May she go out?" in page.evaluate("navigator.clipboard.readText()")


def test_a_link_leads_past_the_long_letter(look: Look, file: Path) -> None:
    page = opened(look, file)
    page.get_by_role("link", name="Past the letter, to sending it").tap()
    expect(page.get_by_text("Read it before you send it.")).to_be_in_viewport()
    expect(letter(page).locator("h1")).to_have_count(1)


def test_where_the_browser_does_not_copy_the_message_is_marked(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.page.add_init_script("navigator.clipboard.writeText = async () => { throw new Error('no') }")
    watched.open("/share")
    page = ready(watched)
    page.locator("#share-message summary").tap()
    page.get_by_role("button", name="Copy the message").tap()
    expect(page.locator("#share-copied")).to_contain_text("copy it by hand")
    expect(page.locator("#share-text")).to_be_focused()
    page.wait_for_function(
        """() => { const box = document.querySelector("#share-text");
        return box.value && box.selectionEnd - box.selectionStart === box.value.length; }"""
    )


@pytest.mark.parametrize("refusals", [0, 1])
def test_a_telephone_sends_the_pdf_itself(look: Look, file: Path, refusals: int) -> None:
    """Stood in for: the browser under test has no way to send. A telephone may ask for a tap of its own."""
    watched = look(file, NARROW, **THUMB)
    watched.page.add_init_script(f"window.refusals = {refusals};{SHARES}")
    watched.open("/share")
    page = ready(watched)
    send = page.get_by_role("button", name="Send the PDF …")
    send.tap()
    if refusals:
        expect(page.locator("#share-made")).to_have_text("It is ready: tap Send the PDF once more.")
        send.tap()
    expect(page.locator("#share-made")).to_have_text("Given to what you chose.")
    assert len(page.evaluate("window.given")) == refusals + 1
    given = page.evaluate("window.given")[-1]
    assert given[:2] == [f"Bramble for the vet {TODAY}.pdf", "application/pdf"]
    assert given[2] > 1000


def test_where_the_browser_cannot_send_no_button_says_so(look: Look, file: Path) -> None:
    page = opened(look, file)
    expect(page.locator("#share-send")).to_be_hidden()


def test_a_day_that_cannot_be_is_told_and_no_letter_is_shown(look: Look, file: Path) -> None:
    page = opened(look, file)
    page.get_by_label("From").fill("2026-05-02")
    page.get_by_label("To", exact=True).fill("2026-05-01")
    expect(page.locator("#share-said")).to_contain_text("is a later day than To")
    expect(page.locator("#share-letter")).to_be_hidden()
    expect(page.get_by_label("From")).to_have_attribute("aria-invalid", "true")
    page.get_by_role("button", name="PDF", exact=True).tap()
    expect(page.locator("#share-made")).to_contain_text("is a later day than To")
    page.get_by_label("To", exact=True).fill("")
    expect(letter(page).locator("h1")).to_be_visible()
    expect(page.locator("#share-said")).to_be_empty()


def test_a_day_typed_in_part_does_not_pass_for_an_empty_field(look: Look, file: Path) -> None:
    page = opened(look, file, WIDE)
    page.get_by_label("From").focus()
    page.keyboard.type("05")
    page.get_by_label("Visits").uncheck()
    expect(page.locator("#share-said")).to_have_text("From is not a whole day. Choose one, or empty it.")


def test_the_question_stays_while_the_workbook_changes_and_the_letter_follows_it(
    look: Look, file: Path
) -> None:
    page = opened(look, file)
    question = page.get_by_label("Your question")
    question.tap()
    page.keyboard.type("May she")
    expect(letter(page).locator("main")).to_contain_text("May she")
    book = openpyxl.load_workbook(file)
    sheet = book["Soundness"]
    heads = [cell.value for cell in sheet[1]]
    sheet.cell(3, heads.index("Date") + 1, dt.datetime.combine(TODAY, dt.time()))
    sheet.cell(3, heads.index("Signs") + 1, "won't bear weight")
    book.save(file)
    expect(letter(page).locator("main")).to_contain_text("Not bearing weight")
    above = page.locator("#waiting")
    expect(above).to_contain_text("not bearing weight")
    expect(above.locator("a.ring")).to_have_attribute("href", "tel:01632960001")
    page.keyboard.type(" go out?")
    expect(question).to_have_value("May she go out?")
    expect(letter(page).locator("main")).to_contain_text("May she go out?")


def test_what_was_chosen_stays_in_this_tab(look: Look, file: Path) -> None:
    page = opened(look, file)
    page.get_by_label("Your question").fill("May she go out?")
    page.get_by_label("Trims").uncheck()
    page.locator("header").get_by_role("link", name="Problems").tap()
    expect(page.locator("main h1")).to_have_text("Problems in the workbook")
    page.locator("header").get_by_role("link", name="For the vet").tap()
    expect(page.get_by_label("Your question")).to_have_value("May she go out?")
    expect(page.get_by_label("Trims")).not_to_be_checked()
    expect(letter(page).locator("main")).to_contain_text("May she go out?")
    assert "May" not in page.url


def test_urgent_warnings_lead_here_and_stand_above_the_page(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/")
    page = watched.page
    page.get_by_role("link", name="Make a letter for the vet").tap()
    ready(watched)
    expect(page).to_have_url(f"{watched.origin}/share/Bramble")
    ring = page.locator("#waiting a.ring")
    expect(ring).to_have_attribute("href", "tel:01632960001")
    expect(ring).to_be_in_viewport()


def test_it_works_by_keyboard_alone(look: Look, file: Path) -> None:
    page = opened(look, file, WIDE)
    page.locator("main").focus()
    page.keyboard.press("Tab")
    expect(page.get_by_label("Your question")).to_be_focused()
    page.keyboard.type("May she go out?")
    page.keyboard.press("Tab")
    expect(page.get_by_label("Open warnings")).to_be_focused()
    page.keyboard.press("Space")
    expect(letter(page).locator("footer")).to_contain_text("Left out by the sender: open warnings")
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement?.dataset?.make") == "pdf":
            break
    expect(page.get_by_role("button", name="PDF", exact=True)).to_be_focused()
    with page.expect_download() as waiting:
        page.keyboard.press("Enter")
    assert waiting.value.suggested_filename.endswith(".pdf")
    expect(page.get_by_role("button", name="PDF", exact=True)).to_be_focused()


@SIZES
@pytest.mark.parametrize("side", ["light", "dark"])
def test_the_page_holds_the_rules_of_access(look: Look, file: Path, size: tuple[int, int], side: str) -> None:
    page = opened(look, file, size, color_scheme=side)
    page.locator("#share-message summary").click()
    downloaded(page, "PDF")
    found = Axe().run(page, options={"runOnly": RULES})
    assert found.violations_count == 0, found.generate_report()
    small = [
        (part.inner_text(), box)
        for part in page.locator("main :is(button, a, summary, .tick, .choice):visible").all()
        if (box := part.bounding_box()) and (box["height"] < 44 or box["width"] < 40)
    ]
    assert small == []


def test_a_program_that_has_stopped_is_told_of_and_nothing_typed_is_lost(
    browser: Browser, file: Path
) -> None:
    with served(file) as (origin, server):
        page = browser.new_context(viewport={"width": NARROW[0], "height": NARROW[1]}).new_page()
        page.goto(f"{origin}/share")
        expect(letter(page).locator("h1")).to_be_visible()
        stop(server)
        page.get_by_label("Your question").fill("May she go out?")
        said = page.locator("#share-said")
        expect(said).to_contain_text("The program does not answer. What you chose stays here.")
        expect(said).to_contain_text("soundness open barn.xlsx --port")
        expect(said).to_contain_text("The letter below may not be as you chose.")
        page.get_by_role("button", name="PDF", exact=True).click()
        expect(page.locator("#share-made")).to_contain_text("The program does not answer.")
        expect(page.get_by_label("Your question")).to_have_value("May she go out?")
        page.context.close()
