"""What keeps the pages on this computer."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from dashboards.app import make_app
from dashboards.guard import MOST_BYTES
from tracker.workbook.new.blank import write_workbook

ORIGIN = "http://127.0.0.1:8050"
UPDATE = "/_dash-update-component"


def workbook(folder: Path, horse: str = "Bramble") -> Path:
    file = folder / "barn.xlsx"
    folder.mkdir(exist_ok=True)
    write_workbook(file, {"Horses": [{"Horse": horse}]})
    return file


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    return make_app(workbook(tmp_path)).server.test_client()


def get(client: FlaskClient, path: str, host: str = "127.0.0.1:8050") -> Any:
    return client.get(path, headers={"Host": host})


def ask(path: str = "/") -> dict[str, Any]:
    """What the browser sends for the page of an address."""
    return {
        "output": "..head.children...waiting.children...page.children...title.data...held.data..",
        "outputs": [
            {"id": "head", "property": "children"},
            {"id": "waiting", "property": "children"},
            {"id": "page", "property": "children"},
            {"id": "title", "property": "data"},
            {"id": "held", "property": "data"},
        ],
        "inputs": [
            {"id": "place", "property": "pathname", "value": path},
            {"id": "stamp", "property": "data", "value": ""},
            {"id": "narrow", "property": "data", "value": False},
        ],
        "state": [{"id": "held", "property": "data", "value": None}],
        "changedPropIds": ["place.pathname"],
    }


def post(client: FlaskClient, body: object, **headers: str) -> Any:
    return client.post(UPDATE, json=body, headers={"Host": "127.0.0.1:8050", **headers})


@pytest.mark.parametrize(
    "path", ["/", "/_dash-layout", "/_dash-dependencies", "/stamp", "/horse/Bramble", "/assets/style.css"]
)
def test_this_computer_is_answered_and_a_borrowed_name_is_not(client: FlaskClient, path: str) -> None:
    """A page elsewhere can point its own name at 127.0.0.1 (DNS rebinding); the Host header gives it away."""
    for known in ("127.0.0.1:8050", "localhost:8050", "localhost"):
        assert get(client, path, known).status_code == 200
    for strange in ("barn.example", "127.0.0.1.barn.example:8050", "192.0.2.7:8050", "[::1]:8050", ""):
        assert get(client, path, strange).status_code == 400


def test_the_own_page_gets_its_answer(client: FlaskClient) -> None:
    answer = post(client, ask(), Origin=ORIGIN)
    assert answer.status_code == 200
    assert answer.get_json()["response"]["title"]["data"] == "Bramble – barn.xlsx"


@pytest.mark.parametrize(
    "origin",
    [
        "http://barn.example",
        "null",
        "https://127.0.0.1:8050",
        "http://127.0.0.1:9999",
        "http://localhost:8050",
    ],
)
def test_another_sites_page_gets_none(client: FlaskClient, origin: str) -> None:
    assert post(client, ask(), Origin=origin).status_code == 403


def test_a_callback_without_an_origin_gets_none(client: FlaskClient) -> None:
    assert post(client, ask()).status_code == 403


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_nothing_can_be_sent_in_any_other_way(client: FlaskClient, method: str) -> None:
    answer = getattr(client, method)(UPDATE, headers={"Host": "127.0.0.1:8050"})
    assert answer.status_code in (403, 405)


def test_a_large_body_is_refused(client: FlaskClient) -> None:
    assert post(client, ask("/" + "x" * MOST_BYTES), Origin=ORIGIN).status_code == 413


@pytest.mark.parametrize(
    "path", ["/", "/_dash-layout", "/stamp", "/no-such-page", "/assets/style.css", "/assets/none.css"]
)
def test_every_answer_carries_the_headers(client: FlaskClient, path: str) -> None:
    headers = get(client, path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Frame-Options"] == "DENY"
    policy = headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'self';")
    assert "frame-ancestors 'none'" in policy
    assert "unsafe-eval" not in policy
    (scripts,) = re.findall(r"script-src ([^;]*)", policy)
    assert "unsafe-inline" not in scripts
    assert not re.findall(r"https?:|\*|(?<!img-src 'self' )data:", policy)


def test_refusals_carry_the_headers_too(client: FlaskClient) -> None:
    assert "Content-Security-Policy" in post(client, ask(), Origin="null").headers


def test_the_policy_allows_the_pages_own_inline_scripts_and_no_others(client: FlaskClient) -> None:
    """A hash source is the base64 of the script's SHA-256. Source: W3C Content Security Policy Level 3, 2.3.1."""
    page = get(client, "/").get_data(as_text=True)
    policy = get(client, "/").headers["Content-Security-Policy"]
    inline = [
        body
        for kind, body in re.findall(r"<script([^>]*)>(.*?)</script>", page, re.DOTALL)
        if "src=" not in kind and "application/json" not in kind
    ]
    hashes = [base64.b64encode(hashlib.sha256(body.encode()).digest()).decode() for body in inline]
    assert inline
    assert sorted(f"sha256-{found}" for found in hashes) == sorted(re.findall(r"'(sha256-[^']+)'", policy))


def test_nothing_comes_from_another_place(client: FlaskClient) -> None:
    page = get(client, "/").get_data(as_text=True)
    sources = re.findall(r'(?:src|href)="([^"]*)"', page)
    assert len(sources) > 5
    for source in sources:
        assert source.startswith("/")
        assert not source.startswith("//")
        assert get(client, source).status_code == 200


def test_the_page_says_its_language_and_its_width(client: FlaskClient) -> None:
    page = get(client, "/").get_data(as_text=True)
    assert '<html lang="en">' in page
    assert 'name="viewport"' in page
    assert "user-scalable" not in page


def test_nothing_for_developers_is_on(client: FlaskClient) -> None:
    page = get(client, "/").get_data(as_text=True)
    (config,) = re.findall(r'<script id="_dash-config"[^>]*>(.*?)</script>', page, re.DOTALL)
    settings = json.loads(config)
    assert not settings["ui"]
    assert settings.get("hot_reload") is None
    assert not client.application.debug
    assert "_mcp" not in " ".join(str(rule) for rule in client.application.url_map.iter_rules())


def test_the_environment_turns_nothing_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DASH_DEBUG", "FLASK_DEBUG", "DASH_UI", "DASH_HOT_RELOAD", "DASH_MCP_ENABLED"):
        monkeypatch.setenv(name, "true")
    client = make_app(workbook(tmp_path)).server.test_client()
    test_nothing_for_developers_is_on(client)


def test_two_workbooks_can_be_shown_by_one_program(tmp_path: Path) -> None:
    titles = [
        post(
            make_app(workbook(tmp_path / horse, horse)).server.test_client(), ask(), Origin=ORIGIN
        ).get_json()["response"]["title"]["data"]
        for horse in ("Bramble", "Willow")
    ]
    assert titles == ["Bramble – barn.xlsx", "Willow – barn.xlsx"]


def test_a_fault_of_our_own_shows_a_page_and_no_traceback(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fault(*_: object, **__: object) -> None:
        raise ZeroDivisionError("secret details")

    monkeypatch.setattr("dashboards.app.framed", fault)
    answer = post(client, ask(), Origin=ORIGIN)
    assert answer.status_code == 200
    shown = answer.get_data(as_text=True)
    assert "Something went wrong inside the program" in shown
    assert "secret" not in shown
    assert "Traceback" not in shown
    assert "secret details" in caplog.text


def test_where_the_workbook_lies_is_on_no_page(tmp_path: Path) -> None:
    client = make_app(tmp_path / "barn.xlsx").server.test_client()
    for path in ("/", "/_dash-layout", "/stamp", "/_dash-dependencies"):
        assert str(tmp_path) not in get(client, path).get_data(as_text=True)
    assert str(tmp_path) not in post(client, ask(), Origin=ORIGIN).get_data(as_text=True)


def test_pages_are_not_left_in_the_browsers_store(client: FlaskClient) -> None:
    assert get(client, "/_dash-layout").headers["Cache-Control"] == "no-store"
    assert post(client, ask(), Origin=ORIGIN).headers["Cache-Control"] == "no-store"
