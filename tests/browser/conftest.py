"""A real browser before a real server: every page is watched for errors and for requests to other places."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from waitress import wasyncore

from dashboards.serve import make_server

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
SWITCHES = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
WIDE, NARROW = (1280, 900), (390, 844)
PATIENCE = 30_000


@dataclass
class Watched:
    """A page, where it is served from, and all that went wrong on it."""

    page: Page
    origin: str
    wrong: list[str] = field(default_factory=list)

    def open(self, path: str = "/") -> None:
        """Go to an address as somebody who types it."""
        self.page.goto(self.origin + path)
        self.settled()

    def settled(self) -> None:
        """Wait until the page is there, with every picture drawn."""
        expect(self.page.locator("main h1")).to_have_count(1)
        pictures = self.page.locator("main .picture").count()
        expect(self.page.locator(".js-plotly-plot:has(.cartesianlayer .trace)")).to_have_count(pictures)

    def overflow(self) -> int:
        """By how many pixels the page is wider than the window."""
        return int(
            self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        )


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        pytest.fail(f"No browser found; looked for {', '.join(NAMES)}. Install Chromium to run these tests.")
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=list(SWITCHES))
        yield running
        running.close()


@contextmanager
def served(file: Path) -> Iterator[tuple[str, Any]]:
    """The workbook's pages at an address of their own, and the server."""
    server = make_server(file)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}", server
    finally:
        stop(server)
        thread.join(timeout=10)


def stop(server: Any) -> None:
    """End a server that runs in another thread, with everything that is connected to it; twice does no harm."""
    with suppress(OSError):
        server.trigger.pull_trigger(lambda: wasyncore.close_all(server._map, ignore_all=True))


@pytest.fixture
def look(browser: Browser) -> Iterator[Callable[..., Watched]]:
    """Look at a workbook: `look(file, WIDE)`. Closing it, everything that went wrong fails the test."""
    opened: list[tuple[Any, Any, Watched]] = []

    def start(file: Path, size: tuple[int, int] = WIDE, **context: Any) -> Watched:
        serving = served(file)
        origin, _ = serving.__enter__()
        place = browser.new_context(viewport={"width": size[0], "height": size[1]}, **context)
        watched = Watched(place.new_page(), origin)
        _watch(watched)
        opened.append((serving, place, watched))
        return watched

    yield start
    for serving, place, watched in opened:
        place.close()
        serving.__exit__(None, None, None)
        assert watched.wrong == []


def _note_failed(request: Any, wrong: list[str]) -> None:
    """A question to the server that was under way when the page was left is ended by the browser itself."""
    asked = (
        request.url.endswith(("/stamp", "/look", "/measure", "/letter"))
        or "/_dash-update-component" in request.url
    )
    left = asked and "ERR_ABORTED" in str(request.failure)
    if not left:
        wrong.append(f"failed: {request.url} {request.failure}")


def _watch(watched: Watched) -> None:
    page, wrong = watched.page, watched.wrong
    page.on("console", lambda said: wrong.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("requestfailed", lambda request: _note_failed(request, wrong))
    page.on(
        "response",
        lambda answer: wrong.append(f"{answer.status}: {answer.url}") if answer.status >= 400 else None,
    )
    page.on(
        "request",
        lambda request: (
            wrong.append(f"elsewhere: {request.url}")
            if not request.url.startswith((watched.origin + "/", "data:", "blob:"))
            else None
        ),
    )
