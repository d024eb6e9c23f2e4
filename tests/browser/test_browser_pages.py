"""Every page of every sample workbook, in a wide window and on a telephone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import NARROW, WIDE, Watched
from playwright.sync_api import expect

from tracker import write_blank
from tracker.show.contents import PARTS

pytestmark = pytest.mark.browser

SAMPLES = sorted((Path(__file__).parents[2] / "sample_workbooks").glob("*.xlsx"))
# Asked until it is so: a resized window draws its pictures anew, each gone for a moment.
EVERY_PICTURE_IS_DRAWN = """
() => [...document.querySelectorAll(".picture")].every((picture) => {
  const box = picture.querySelector(".main-svg")?.getBoundingClientRect();
  return box && box.width > 300 && box.height > 100;
})
"""
Look = Callable[..., Watched]
SIZES = pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.stem)
def test_every_page_is_whole(look: Look, sample: Path) -> None:
    watched = look(sample)
    watched.open()
    first = _title(watched)
    for width, height in (WIDE, NARROW):
        watched.page.set_viewport_size({"width": width, "height": height})
        visit_all(watched)
        watched.page.locator("header nav a").nth(1).click()
        expect(watched.page.locator("main h1")).to_have_text(first)


def visit_all(watched: Watched) -> None:
    """From the first page by its links to every other."""
    page = watched.page
    check(watched)
    seen = {_title(watched)}
    parts = visit_parts(watched)
    horses = page.locator("main .yard tbody a").count()
    for number in range(horses):
        link = page.locator("main .yard tbody a").nth(number)
        name = link.inner_text()
        link.click()
        expect(page.locator("main h1")).to_have_text(name)
        expect(page.locator("main h2").first).to_have_text("What needs doing now")
        check(watched)
        seen.add(_title(watched))
        if number == 0:
            parts = visit_parts(watched)
        page.locator("header nav a").nth(1).click()
        expect(page.locator("main .yard")).to_be_visible()
    for link_text, heading in (
        ("Write", "Today's note"),
        ("Photos", "Photos of the feet"),
        ("Problems", "Problems in the workbook"),
        ("What is watched", "What the program watches"),
    ):
        page.get_by_role("link", name=link_text).click()
        expect(page.locator("main h1")).to_have_text(heading)
        check(watched)
        seen.add(_title(watched))
    assert len(seen) == 5 + horses
    assert len(parts) == len(PARTS)


def visit_parts(watched: Watched) -> set[str]:
    """From a horse's first page to each part of its record, and back again; nothing where no horse is shown."""
    page, name = watched.page, _title(watched)
    seen = set()
    if page.locator("main .contents").count():
        for part in PARTS:
            page.locator("main .contents, main .parts").get_by_role(
                "link", name=part.title, exact=True
            ).click()
            expect(page.locator("main h1")).to_have_text(f"{name}: {part.title.lower()}")
            check(watched)
            seen.add(_title(watched))
        page.locator("main .parts").get_by_role("link", name="Overview").click()
        expect(page.locator("main h1")).to_have_text(name)
    return seen


def check(watched: Watched) -> None:
    """A page has one first heading, all its pictures, a title, and no more width than the window."""
    watched.settled()
    width = watched.page.viewport_size["width"] if watched.page.viewport_size else 0
    side = 16 if width < 720 else 24
    for picture in watched.page.locator(".picture .main-svg:first-child").all():
        expect(picture).to_have_attribute("width", str(min(1104, width - 2 * side)))
    assert watched.overflow() <= 0
    expect(watched.page).to_have_title(f"{_title(watched)} – {_workbook(watched)}")
    expect(watched.page.locator("footer")).to_contain_text("no substitute for an examination by a vet")
    watched.page.wait_for_function(EVERY_PICTURE_IS_DRAWN)


def _title(watched: Watched) -> str:
    return watched.page.locator("main h1").inner_text()


def _workbook(watched: Watched) -> str:
    return watched.page.locator("header .workbook").inner_text()


@SIZES
def test_a_blank_workbook_says_what_to_do_first(look: Look, tmp_path: Path, size: tuple[int, int]) -> None:
    write_blank(tmp_path / "my-horse.xlsx")
    watched = look(tmp_path / "my-horse.xlsx", size)
    watched.open()
    check(watched)
    expect(watched.page.locator("main li")).to_have_count(4)


@SIZES
def test_a_broken_workbook_still_opens_every_page(look: Look, tmp_path: Path, size: tuple[int, int]) -> None:
    (tmp_path / "broken.xlsx").write_bytes(b"PK\x03\x04 and then nothing")
    watched = look(tmp_path / "broken.xlsx", size)
    for path in ("/", "/problems", "/warnings", "/horse/Hazel", "/write", "/photos"):
        watched.open(path)
        check(watched)
        expect(watched.page.locator("main h1")).to_have_text("The workbook cannot be read")
        expect(watched.page.locator("main")).to_contain_text("To do:")


def test_an_unknown_horse_and_an_unknown_page_lead_back(look: Look) -> None:
    watched = look(next(sample for sample in SAMPLES if sample.stem == "a-yard-of-six"))
    watched.open("/horse/N%C3%B8kk%2Fhest")
    expect(watched.page.locator("main")).to_contain_text("has no horse named Nøkk/hest")
    check(watched)
    watched.open("/no/such/page")
    watched.page.get_by_role("link", name="the first page").click()
    expect(watched.page.locator("main h1")).to_have_text("The yard")
    check(watched)
