"""Answering a warning with a thumb and with the keyboard: a real file that is read back by another program."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import NARROW, WIDE, Watched
from playwright.sync_api import expect
from test_browser_write import RULES, THUMB

from tracker.workbook.new.blank import write_workbook

pytestmark = pytest.mark.browser

Look = Callable[..., Watched]
TODAY = dt.date.today()
LATER = TODAY + dt.timedelta(days=3)
SIGN = {"Date": TODAY, "Signs": "won't bear weight"}


@pytest.fixture(autouse=True)
def _often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dashboards.frame.EVERY_MS", 400)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return written(tmp_path, {"Date": TODAY, "Gait": "walk", "Limb": "LF", "Scale": "0-5", "Score": 4})


def written(folder: Path, note: dict[str, Any]) -> Path:
    path = folder / "barn.xlsx"
    horse = {"Horse": "Bramble", "Vet": "Dr Aldous", "Vet phone": "01632 960 001"}
    write_workbook(path, {"Horses": [horse], "Soundness": [note], "Follow-up": []})
    return path


def found(file: Path, sheet: str) -> list[dict[str, Any]]:
    """The records below the headings, by heading, without empty cells and rows."""
    head, *rows = openpyxl.load_workbook(file)[sheet].iter_rows(values_only=True)
    records = [
        {str(name): cell for name, cell in zip(head, row, strict=True) if cell is not None} for row in rows
    ]
    return [record for record in records if record]


def ready(watched: Watched) -> None:
    expect(watched.page.locator("form.entry[data-ready]")).to_be_visible()


def saved(watched: Watched) -> None:
    expect(watched.page.locator("#answer h2").first).to_contain_text("Written into barn.xlsx")


def test_a_warning_is_answered_with_a_thumb_folded_away_and_the_answer_taken_back(
    look: Look, file: Path
) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/")
    page = watched.page
    number = page.locator(".now a.ring")
    assert number.get_attribute("href") == "tel:01632960001"
    page.get_by_role("link", name="Answer: lame at walk").tap()
    ready(watched)
    assert watched.overflow() == 0
    page.get_by_role("button", name="vet called").tap()
    page.get_by_label("Outcome").fill("comes at noon")
    page.get_by_label("Quiet until").fill(LATER.isoformat())
    page.locator("#save").tap()
    saved(watched)
    (row,) = found(file, "Follow-up")
    assert (row["Horse"], row["Warning"], row["What was done"]) == ("Bramble", "lame-at-walk", "vet called")
    assert row["Quiet until"] == dt.datetime.combine(LATER, dt.time())
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("#answer h2").first).to_have_text("Taken back")
    assert found(file, "Follow-up") == []
    page.locator("#save").tap()
    saved(watched)
    page.get_by_role("link", name="Back to Bramble").tap()
    expect(page.locator(".now")).to_contain_text("Every warning that stands is answered")
    folded = page.locator("details.quiet")
    expect(folded.locator("summary")).to_have_text("Answered, and quiet for now (1)")
    expect(folded.locator(".answers")).not_to_be_visible()
    folded.locator("summary").tap()
    expect(folded.locator(".answers")).to_contain_text("vet called")
    assert watched.overflow() == 0
    assert not watched.wrong


def test_a_now_warning_is_answered_by_keyboard_and_stays(look: Look, tmp_path: Path) -> None:
    file = written(tmp_path, SIGN)
    watched = look(file, WIDE)
    watched.open("/")
    page = watched.page
    page.get_by_role("link", name="Answer: not bearing weight").focus()
    page.keyboard.press("Enter")
    ready(watched)
    expect(page.get_by_label("Quiet until")).to_have_count(0)
    page.get_by_label("What was done").focus()
    page.keyboard.type("vet called")
    page.locator("#save").focus()
    page.keyboard.press("Enter")
    saved(watched)
    page.get_by_role("link", name="Back to Bramble").focus()
    page.keyboard.press("Enter")
    warning = page.locator(".now > .warning.now").first
    expect(warning.locator(".state")).to_have_text(f"vet called {TODAY.day} {TODAY:%b %Y}")
    assert page.locator("details.quiet").count() == 0
    assert not watched.wrong


def test_a_mistake_is_told_at_its_field_and_nothing_is_written(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/answer/lame-at-walk/Bramble")
    ready(watched)
    watched.page.get_by_label("Quiet until").fill((TODAY - dt.timedelta(days=2)).isoformat())
    expect(watched.page.locator("#wrong-quiet_until")).to_contain_text("lies before the answer itself")
    assert found(file, "Follow-up") == []


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("path", ["/", "/answer/lame-at-walk/Bramble", "/write"])
def test_the_pages_hold_the_rules_of_access(look: Look, file: Path, path: str, dark: bool) -> None:
    watched = look(file, NARROW, color_scheme="dark" if dark else "light", **THUMB)
    watched.open(path)
    expect(watched.page.locator("main .warning, main .in-short").first).to_be_visible()
    found_wrong = Axe().run(watched.page, options={"runOnly": RULES})
    assert found_wrong.violations_count == 0, found_wrong.generate_report()
    assert watched.overflow() == 0


def test_the_other_pages_of_the_horse_begin_with_its_warnings(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    for path in ("/write", "/write/abscess", "/photos"):
        watched.open(path)
        first = watched.page.locator("main > *").first
        expect(first).to_contain_text("lame at walk")
        expect(first.locator("a.ring")).to_have_attribute("href", "tel:01632960001")
