"""The letter as a page of its own: for everybody to read, at the width of a telephone, asking nothing of the network."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import NARROW, WIDE
from playwright.sync_api import Browser, expect

from tracker.book import open_book
from tracker.show.letter.choice import Choice
from tracker.show.letter.letter import letter_of
from tracker.show.letter.page import page as letter_page

pytestmark = pytest.mark.browser

YEAR = Path(__file__).parents[2] / "sample_workbooks" / "a-year-barefoot.xlsx"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The letter about the sample year, with a photograph and a question that would like to be markup."""
    book = open_book(YEAR, on=dt.date(2026, 11, 20))
    choice = Choice(
        "<img src=x onerror=alert(1)> \u202eis she worse?", extras=frozenset({"photos", "remarks"})
    )
    path = tmp_path_factory.mktemp("letter") / "letter.html"
    path.write_text(letter_page(letter_of(book, book.horses[0], choice)), "utf-8")
    return path


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_everybody_can_read_it_and_it_asks_nothing_of_anybody(
    browser: Browser, file: Path, size: tuple[int, int]
) -> None:
    place = browser.new_context(viewport={"width": size[0], "height": size[1]})
    page = place.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(file.as_uri())
    expect(page.locator("h1")).to_have_text("Hazel: a record for the vet")
    page.wait_for_function("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    expect(page.locator("#question ~ p")).to_have_text("<img src=x onerror=alert(1)> \u202eis she worse?")
    page.wait_for_load_state("networkidle")
    assert [address for address in asked if not address.startswith("data:")] == [file.as_uri()]
    assert said == []
    place.close()


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_axe_finds_nothing(browser: Browser, file: Path, size: tuple[int, int]) -> None:
    # the checker is a script, which the letter's own policy would keep out
    place = browser.new_context(viewport={"width": size[0], "height": size[1]}, bypass_csp=True)
    page = place.new_page()
    page.goto(file.as_uri())
    found = Axe().run(page, options={"runOnly": RULES})
    assert found.response["violations"] == []
    place.close()
