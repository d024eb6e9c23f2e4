"""The page follows the workbook, the window and the program, and keeps the reader's place."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import NARROW, WIDE, Watched, served, stop
from playwright.sync_api import Browser, expect

from tracker.workbook.new.blank import write_workbook

pytestmark = pytest.mark.browser

SAMPLES = Path(__file__).parents[2] / "sample_workbooks"
Look = Callable[..., Watched]
Rows = list[dict[str, object]]


@pytest.fixture(autouse=True)
def _often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dashboards.frame.EVERY_MS", 400)


def save(file: Path, notes: Rows, days: int = 30) -> None:
    file.unlink(missing_ok=True)
    today = dt.date.today()
    hooves = [
        {"Date": today, "Foot": foot, "Stage": "after trim", "Measured with": "gauge", "Toe angle": 50, "Heel angle": 40,
         "Frog length": 100, "Frog width": 50}
        for foot in ("LF", "RF", "LH", "RH")
    ]  # fmt: skip
    horse = {"Horse": "Bramble", "Front shoes off": today - dt.timedelta(days=days)}
    write_workbook(file, {"Horses": [horse], "Soundness": notes, "Hooves": hooves})


def note(score: float, **more: object) -> dict[str, object]:
    day = dt.date.today() - dt.timedelta(days=3)
    return {"Date": day, "Gait": "trot", "Limb": "LF", "Scale": "0-5", "Score": score, **more}


def test_saving_the_workbook_changes_the_page_and_keeps_the_place(look: Look, tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    save(file, [note(1)])
    watched = look(file)
    page = watched.page
    watched.open("/horse/Bramble/feet")
    page.get_by_text("more measure").first.click()
    assert page.locator("main details").first.get_attribute("open") is not None
    page.evaluate("window.scrollTo(0, 400)")
    save(file, [note(1), note(2, Date=dt.date.today(), Signs="won't bear weight")], days=40)
    expect(page.locator("main .in-short")).to_contain_text("Ring the vet now")
    watched.settled()
    assert page.locator("main details").first.get_attribute("open") is not None
    # the warning above makes the page longer; the reader is neither at the top nor elsewhere
    assert abs(page.evaluate("window.scrollY") - 400) < 300
    page.get_by_role("link", name="Overview").click()
    expect(page.locator("main .since")).to_contain_text("40 days")
    expect(page.locator("main .warning").first).to_contain_text("Ring the vet now")
    assert page.evaluate("window.scrollY") == 0  # another page begins at its top
    page.get_by_role("link", name="See Soundness").first.click()
    expect(page.locator("main .soundness")).to_contain_text("2 grades")


def test_a_workbook_that_breaks_and_is_mended(look: Look, tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    save(file, [note(1)])
    watched = look(file)
    watched.open()
    file.write_bytes(b"half a save")
    trouble = watched.page.locator("main .trouble")
    expect(trouble).to_contain_text("The workbook cannot be read now")
    expect(watched.page.locator("main h1")).to_have_text("Bramble")
    assert str(tmp_path) not in watched.page.content()
    save(file, [note(3)])
    expect(trouble).to_have_count(0)
    expect(watched.page.locator("main .contents")).to_contain_text("3 on 0-5")


def test_a_page_that_nothing_changes_is_left_alone(look: Look, tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    save(file, [note(1)])
    watched = look(file)
    asked: list[str] = []
    watched.page.on(
        "request", lambda request: asked.append(request.url) if request.method == "POST" else None
    )
    watched.open()
    watched.page.wait_for_timeout(1500)
    assert len(asked) == 1


def test_a_window_that_becomes_narrow_gets_narrow_pictures(look: Look) -> None:
    watched = look(SAMPLES / "a-first-week.xlsx", WIDE)
    watched.open()
    page = watched.page
    wide = page.locator("#time-chart").bounding_box()
    page.set_viewport_size({"width": NARROW[0], "height": NARROW[1]})
    expect(page.locator("#time-chart .main-svg").first).to_have_attribute("width", str(NARROW[0] - 32))
    assert wide is not None
    # the labels stand above the lanes now, which makes it longer
    expect(page.locator("#time-chart")).not_to_have_css("height", f"{wide['height']:g}px")
    assert watched.overflow() <= 0


def test_a_picture_does_not_hold_a_finger_that_scrolls(look: Look) -> None:
    watched = look(SAMPLES / "a-year-barefoot.xlsx", NARROW, has_touch=True, is_mobile=True)
    watched.open()
    page = watched.page
    page.locator("#time-chart").evaluate("chart => chart.scrollIntoView({block: 'start'})")
    before = page.evaluate("window.scrollY")
    finger = page.context.new_cdp_session(page)
    for kind, way in [("touchStart", [600]), ("touchMove", range(580, 280, -20)), ("touchEnd", [None])]:
        for y in way:
            points = [] if y is None else [{"x": 200, "y": y}]
            finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    page.wait_for_timeout(300)
    assert page.evaluate("window.scrollY") > before + 150


def test_a_tap_on_a_point_tells_of_it(look: Look) -> None:
    watched = look(SAMPLES / "a-first-week.xlsx", NARROW, has_touch=True, is_mobile=True)
    watched.open()
    watched.page.locator("#time-chart .scatterlayer .point").first.tap(force=True)
    expect(watched.page.locator("#time-chart .hoverlayer")).to_contain_text("Soundness!")


def test_on_paper_the_pictures_fit_and_come_back_after_it(look: Look) -> None:
    watched = look(SAMPLES / "a-year-barefoot.xlsx")
    watched.open()
    page = watched.page
    page.emulate_media(media="print")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    expect(page.locator("#time-chart .main-svg").first).to_have_attribute("width", "660")
    # A4 is 297 mm high, 1122 px of 1/96 inch (CSS Values 4); 15 mm of margin on each side leave 1009
    printed = page.locator("#time-chart").bounding_box()
    assert printed is not None
    assert printed["height"] <= 1009
    expect(page.get_by_label("Pages")).to_be_hidden()
    page.emulate_media(media="screen")
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    expect(page.locator("#time-chart .main-svg").first).to_have_attribute("width", "1104")
    page.set_viewport_size({"width": 1000, "height": 900})
    expect(page.locator("#time-chart .main-svg").first).to_have_attribute("width", "952")


def test_when_the_program_stops_the_page_says_so(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    shutil.copy(SAMPLES / "a-first-week.xlsx", file)
    with served(file) as (origin, server):
        page = browser.new_page()
        page.goto(origin)
        expect(page.locator("main h1")).to_be_visible()
        expect(page.locator("#stopped")).to_be_hidden()
        stop(server)
        expect(page.locator("#stopped")).to_be_visible()
        page.close()
