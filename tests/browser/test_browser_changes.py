"""Marks of changes are hidden and shown kind by kind, by touch and by keyboard, without a word to the program."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import NARROW, WIDE, Watched
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

YEAR = Path(__file__).parents[2] / "sample_workbooks" / "a-year-barefoot.xlsx"
Look = Callable[..., Watched]
FIRST = ["time-chart"]
OTHERS = {
    f"/horse/Hazel/{part}": [chart]
    for part, chart in (
        ("feet", "feet-chart"),
        ("growth", "marks-chart"),
        ("abscesses", "abscess-chart"),
        ("work", "work-chart"),
        ("body", "body-chart"),
    )
}
# Which charts show a kind: its heads and its lines alike, else the chart stands there as "torn".
SHOWING = """
(kind) => [...document.querySelectorAll(".dash-graph")].flatMap((graph) => {
  const plot = graph.querySelector(".js-plotly-plot");
  const own = [...plot.data, ...plot.layout.shapes || []].filter((part) => part.name === "change " + kind);
  const seen = new Set(own.map((part) => part.visible !== false));
  return seen.size > 1 ? ["torn"] : seen.has(true) ? [graph.id] : [];
})
"""


def showing(watched: Watched, kind: str) -> list[str]:
    return list(watched.page.evaluate(SHOWING, kind))


def becomes(watched: Watched, kind: str, charts: list[str]) -> None:
    """Ask until it is so: a chart is drawn a moment after its page."""
    found = f"JSON.stringify(({SHOWING})({kind!r})) === JSON.stringify({charts!r})"
    watched.page.wait_for_function(found)


def test_a_tap_hides_a_kind_on_every_page_and_the_tab_remembers_it(look: Look) -> None:
    watched = look(YEAR, NARROW, has_touch=True, is_mobile=True)
    watched.open()
    tick = watched.page.get_by_label("turnout", exact=True)
    assert showing(watched, "turnout") == FIRST
    sent: list[str] = []
    watched.page.on("request", lambda request: sent.append(request.url) if request.method == "POST" else None)
    tick.tap()
    becomes(watched, "turnout", [])
    assert showing(watched, "feed") == FIRST
    assert sent == []
    watched.page.reload()
    watched.settled()
    expect(tick).not_to_be_checked()
    becomes(watched, "turnout", [])
    for path, charts in OTHERS.items():
        watched.open(path)
        expect(tick).not_to_be_checked()
        becomes(watched, "turnout", [])
        becomes(watched, "feed", charts)
    tick.tap()
    becomes(watched, "turnout", charts)
    assert watched.overflow() == 0


def test_the_keyboard_does_the_same_and_each_tick_is_large_enough(look: Look) -> None:
    watched = look(YEAR, WIDE)
    watched.open()
    page = watched.page
    page.get_by_label("feed", exact=True).focus()
    page.keyboard.press("Space")
    becomes(watched, "feed", [])
    page.keyboard.press("Tab")
    expect(page.get_by_label("turnout", exact=True)).to_be_focused()
    boxes = [label.bounding_box() for label in page.locator("#change-kinds label").all()]
    assert all(box and box["height"] >= 44 and box["width"] >= 44 for box in boxes)


def test_a_page_that_is_drawn_anew_takes_up_the_choice(look: Look) -> None:
    watched = look(YEAR, WIDE)
    watched.open()
    page = watched.page
    page.get_by_label("boots", exact=True).uncheck()
    page.get_by_role("link", name="Problems").click()
    expect(page.locator("main h1")).to_have_text("Problems in the workbook")
    page.get_by_role("link", name="Hazel").click()
    watched.settled()
    expect(page.get_by_label("boots", exact=True)).not_to_be_checked()
    becomes(watched, "boots", [])
