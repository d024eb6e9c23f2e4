"""From a photograph to a row: chosen, marked by mouse, finger or keys, saved, opened again and mended."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from conftest import NARROW, WIDE, Watched
from PIL import Image
from playwright.sync_api import Page, expect
from test_browser_write import barriers

from tracker.workbook.new.blank import write_workbook

pytestmark = pytest.mark.browser

Look = Callable[..., Watched]
THUMB: dict[str, Any] = {"has_touch": True, "is_mobile": True}
PLACES = {  # of the picture's width and height: a foot that stands on its ground
    "Toe hairline": (0.35, 0.45), "Toe ground": (0.25, 0.75), "Heel hairline": (0.66, 0.55),
    "Heel ground": (0.60, 0.75), "Ground front": (0.10, 0.75), "Ground back": (0.90, 0.75),
}  # fmt: skip


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "barn.xlsx"
    write_workbook(path, {"Horses": [{"Horse": "Bramble"}]})
    return path


@pytest.fixture
def photograph(tmp_path: Path) -> Path:
    path = tmp_path / "left front.jpg"
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "2026:06:30 19:05:42"  # when it was taken
    Image.new("RGB", (1600, 1200), "tan").save(path, "JPEG", exif=exif)
    return path


def chosen(watched: Watched, photograph: Path) -> Page:
    page = watched.page
    watched.open("/photos")
    page.set_input_files("#photo-file", photograph)
    expect(page.locator(".canvas svg image").first).to_be_visible()
    expect(page.locator(".points button").first).to_be_visible()
    return page


def mark(page: Page, touch: bool) -> None:
    canvas = page.locator(".canvas")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    assert box is not None
    width = min(box["width"], box["height"] * 4 / 3)  # the whole picture lies in the middle of the canvas
    height = width * 3 / 4
    left, top = box["x"] + (box["width"] - width) / 2, box["y"] + (box["height"] - height) / 2
    press = page.touchscreen.tap if touch else page.mouse.click
    for name, (x, y) in PLACES.items():
        expect(page.locator(".points [aria-current]")).to_contain_text(name)
        press(left + x * width, top + y * height)


def records(file: Path, sheet: str) -> list[dict[str, Any]]:
    head, *rows = openpyxl.load_workbook(file)[sheet].iter_rows(values_only=True)
    return [dict(zip(head, row, strict=True)) for row in rows if any(row)]


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["by mouse", "by finger"])
def test_a_photograph_is_marked_saved_and_mended(
    look: Look, file: Path, photograph: Path, size: tuple[int, int]
) -> None:
    touch = size == NARROW
    watched = look(file, size, **(THUMB if touch else {}))
    page = chosen(watched, photograph)
    assert (file.parent / "barn.xlsx photos" / "left front.jpg").read_bytes() == photograph.read_bytes()
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    mark(page, touch)
    expect(page.locator("#photo-read")).to_contain_text("Toe angle")
    expect(page.locator("#photo-read tr").first).to_contain_text("±")
    assert watched.overflow() <= 0
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    points = {row["Point"]: row for row in records(file, "Photo points")}
    assert points["toe_ground"]["X"] == pytest.approx(0.25 * 1600, abs=4)
    assert points["toe_ground"]["Y"] == pytest.approx(0.75 * 1200, abs=4)
    assert str(points["toe_ground"]["Date"])[:10] == "2026-06-30"  # by the camera's own clock
    (hoof,) = records(file, "Hooves")
    assert (hoof["Foot"], hoof["Photo"], hoof["Checked on the live horse"]) == ("LF", "left front.jpg", "no")
    page.get_by_role("link", name="All photos").click()
    expect(page.locator(".photo-card")).to_contain_text("6 points")
    page.locator(".photo-card").click()
    expect(page.locator(".points [data-state=marked]")).to_have_count(6)
    page.locator(".points button").filter(has_text="Toe hairline").click()
    page.locator(".canvas").focus()
    page.keyboard.press("Shift+ArrowRight")
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    expect(page.locator("#photo-answer h2")).to_be_focused()  # and is thus read out
    assert len(records(file, "Photo points")) == 6
    (mended,) = records(file, "Hooves")
    assert mended["Toe angle"] != hoof["Toe angle"]
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Taken back")
    expect(page.locator("#photo-answer h2")).to_be_focused()
    assert records(file, "Hooves") == [hoof]
    page.locator("#photo-save").click()  # the points still stand, and the workbook is as it was
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    assert [row["Toe angle"] for row in records(file, "Hooves")] == [mended["Toe angle"]]


def test_what_is_no_photograph_is_said_and_nothing_is_kept(look: Look, file: Path, tmp_path: Path) -> None:
    other = tmp_path / "letter.jpg"
    other.write_text("not a picture")
    watched = look(file, NARROW, **THUMB)
    watched.open("/photos")
    watched.page.set_input_files("#photo-file", other)
    expect(watched.page.locator("#photo-message")).to_contain_text("letter.jpg")
    assert not (tmp_path / "barn.xlsx photos").exists()


def test_a_foot_that_is_not_said_is_asked_for_and_the_points_stay(
    look: Look, file: Path, photograph: Path
) -> None:
    page = chosen(look(file, WIDE), photograph)
    mark(page, touch=False)
    page.locator("#photo-save").click()
    expect(page.locator("#photo-message")).to_contain_text("Foot")
    expect(page.locator("#photo-when")).to_have_js_property("open", False)  # the foot does not stand in there
    expect(page.locator(".points [data-state=marked]")).to_have_count(6)
    assert "Photo points" not in openpyxl.load_workbook(file).sheetnames


def test_a_day_that_is_not_said_is_asked_for_where_it_stands(look: Look, file: Path, tmp_path: Path) -> None:
    plain = tmp_path / "no day.png"
    Image.new("RGB", (1600, 1200), "tan").save(plain)
    page = chosen(look(file, WIDE), plain)
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    mark(page, touch=False)
    page.locator("#photo-when > summary").click()
    page.locator("#photo-save").click()
    expect(page.locator("#photo-message")).to_contain_text("Date")
    expect(page.locator("#photo-when")).to_have_js_property("open", True)


def test_points_and_fields_come_back_after_a_reload(look: Look, file: Path, photograph: Path) -> None:
    page = chosen(look(file, WIDE), photograph)
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    page.locator("#photo-when > summary").click()
    page.locator("#photo-card").fill("90 mm x 60 mm")
    mark(page, touch=False)
    page.reload()
    expect(page.locator(".points [data-state=marked]")).to_have_count(6)
    expect(page.locator("#photo-form [name=foot]:checked")).to_have_value("LF")
    expect(page.locator("#photo-card")).to_have_value("90 mm x 60 mm")
    with page.expect_request("**/enter-points") as sent:
        page.locator("#photo-save").click()
    said: dict[str, Any] = sent.value.post_data_json or {}
    assert (said["foot"], said["card"], said["view"]) == ("LF", "90 mm x 60 mm", "side")
    assert said["loaded"] is None
    expect(page.locator("#photo-answer h2")).to_be_focused()


def test_another_marking_of_the_same_photograph_is_a_page_of_its_own(
    look: Look, file: Path, photograph: Path
) -> None:
    page = chosen(look(file, WIDE), photograph)
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    mark(page, touch=False)
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    page.reload()
    expect(page.locator(".points [data-state=marked]")).to_have_count(6)
    with page.expect_request("**/measure") as sent:
        page.locator(".points button").filter(has_text="Toe hairline").click()
        page.locator(".canvas").focus()
        page.keyboard.press("ArrowRight")
    loaded = (sent.value.post_data_json or {})["loaded"]
    assert (loaded["foot"], loaded["view"], len(loaded["points"])) == ("LF", "side", 6)
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    page.get_by_role("link", name="Mark another foot").click()
    expect(page.locator(".points [data-state=marked]")).to_have_count(0)
    expect(page.locator("#photo-form")).to_be_visible()
    expect(page.locator("#photo-form [name=foot]:checked")).to_have_count(0)
    expect(page.locator("#photo-answer h2")).to_have_count(0)


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["by mouse", "by finger"])
def test_a_marked_photograph_is_marked_once_more(
    look: Look, file: Path, photograph: Path, size: tuple[int, int]
) -> None:
    touch = size == NARROW
    watched = look(file, size, **(THUMB if touch else {}))
    page = chosen(watched, photograph)
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    mark(page, touch)
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    page.reload()
    page.get_by_role("link", name="Mark it once more").click()
    expect(page.locator("main h1")).to_have_text("Mark it once more")
    expect(page.locator(".points [data-state=marked]")).to_have_count(0)
    mark(page, touch)
    page.locator(".points button").filter(has_text="Toe hairline").click()
    page.locator(".canvas").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#photo-read")).to_contain_text("Toe angle")
    assert watched.overflow() <= 0
    page.reload()  # what is not saved yet stays
    expect(page.locator(".points [data-state=marked]")).to_have_count(6)
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    places = [row["X"] for row in records(file, "Photo points") if row["Point"] == "toe_hairline"]
    assert places[1] == pytest.approx(places[0] + 4, abs=1)
    assert len(records(file, "Hooves")) == 1
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Taken back")
    assert len(records(file, "Photo points")) == 6
    expect(page.locator("#photo-form")).to_be_visible()


def saved_without_an_answer(watched: Watched, photograph: Path) -> Page:
    """A first save that reaches the workbook, while its answer never comes; then the page for another marking."""
    page = chosen(watched, photograph)
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    mark(page, touch=False)
    page.route("**/enter-points", lambda route: (route.fetch(), route.abort()))
    page.locator("#photo-save").click()
    expect(page.locator("#photo-message")).to_contain_text("not known whether this is saved")
    page.unroute("**/enter-points")
    watched.wrong[:] = [
        wrong for wrong in watched.wrong if "enter-points" not in wrong and "ERR_FAILED" not in wrong
    ]
    return page


def kept_in_tab(page: Page) -> int:
    return int(page.evaluate("Object.keys(sessionStorage).filter((key) => key.startsWith('marking')).length"))


def test_a_draft_that_the_workbook_holds_already_is_not_offered_again(
    look: Look, file: Path, photograph: Path
) -> None:
    watched = look(file, WIDE)
    page = saved_without_an_answer(watched, photograph)
    assert len(records(file, "Photo points")) == 6
    assert kept_in_tab(page) == 1
    watched.open("/photos/left%20front.jpg/new")
    expect(page.locator(".points button").first).to_be_visible()
    expect(page.locator(".points [data-state=marked]")).to_have_count(0)
    expect(page.locator("#photo-form [name=foot]:checked")).to_have_count(0)
    expect(page.locator(".point-now .told")).not_to_contain_text("left aside")
    assert kept_in_tab(page) == 0


@pytest.mark.parametrize("change", ["a point", "another foot", "a stage"])
def test_a_draft_that_says_anything_else_is_offered(
    look: Look, file: Path, photograph: Path, change: str
) -> None:
    watched = look(file, WIDE)
    page = saved_without_an_answer(watched, photograph)
    if change == "a point":
        page.locator(".points button").filter(has_text="Toe hairline").click()
        page.locator(".canvas").focus()
        page.keyboard.press("ArrowRight")
    elif change == "another foot":
        page.locator("label").filter(has_text=re.compile("^right front$")).click()
    else:
        page.locator("#photo-when > summary").click()
        page.locator("label").filter(has_text=re.compile("^after trim$")).click()
    watched.open("/photos/left%20front.jpg/new")
    expect(page.locator(".points [data-state=marked]")).to_have_count(6)
    assert kept_in_tab(page) == 1


GUIDES = ".canvas .guide.over"


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["by keyboard", "by finger"])
def test_lines_to_compare_with_are_off_until_chosen_and_stay_in_the_tab(
    look: Look, file: Path, photograph: Path, size: tuple[int, int]
) -> None:
    touch = size == NARROW
    watched = look(file, size, **(THUMB if touch else {}))
    page = chosen(watched, photograph)
    page.locator("label").filter(has_text=re.compile("^left front$")).click()
    mark(page, touch)
    expect(page.locator("#photo-read")).to_contain_text("Toe angle")
    assert page.locator(GUIDES).count() == 0
    expect(page.locator("#photo-read")).not_to_contain_text("Common practice")
    thirty = page.get_by_role("checkbox", name="30°")
    if touch:
        page.locator("#photo-lines > summary").tap()
        thirty.tap()
        box = page.locator("label.tick").filter(has_text="30°").bounding_box()
        assert box
        assert box["height"] >= 44
    else:
        page.locator("#photo-lines > summary").focus()
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        expect(thirty).to_be_focused()
        page.keyboard.press("Space")
    expect(page.locator("#photo-read")).to_contain_text("than a line at 30°")
    expect(page.locator(GUIDES)).to_have_count(1)
    page.get_by_label("Another angle").fill("25")
    expect(page.locator("#photo-read")).to_contain_text("than a line at 25°")
    expect(page.locator(GUIDES)).to_have_count(2)
    page.get_by_label("Another depth").fill("deep")
    expect(page.locator("#photo-read")).to_contain_text("“deep” gives no depth")
    expect(page.locator(GUIDES)).to_have_count(2)
    expect(page.locator("#photo-read")).to_contain_text("Common practice, no published source.")
    page.locator("#photo-save").click()
    expect(page.locator("#photo-answer h2")).to_have_text("Written into barn.xlsx")
    page.reload()
    expect(thirty).to_be_checked()
    expect(page.get_by_label("Another angle")).to_have_value("25")
    expect(page.locator(GUIDES)).to_have_count(2)
    expect(page.locator(".point-now .told")).not_to_contain_text("left aside")
    assert watched.overflow() <= 0


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_no_barrier(look: Look, file: Path, photograph: Path, size: tuple[int, int]) -> None:
    watched = look(file, size)
    watched.open("/photos")
    assert barriers(watched.page) == []
    page = chosen(watched, photograph)
    assert barriers(page) == []
