"""Starting and stopping the server."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from dashboards.serve import make_server, serve
from tracker.workbook.new.blank import write_workbook

ROOT = Path(__file__).parents[1]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "barn.xlsx"
    write_workbook(path, {"Horses": [{"Horse": "Bramble"}]})
    return path


def test_only_this_computer_can_reach_it(file: Path) -> None:
    server = make_server(file)
    try:
        assert server.socket.getsockname()[0] == "127.0.0.1"
        assert int(server.effective_port) > 0
    finally:
        server.close()


def test_a_taken_port_is_told(file: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(OSError, match=r".+"):
            serve(file, port=taken.getsockname()[1], browser=False)


def test_it_tells_its_address_answers_and_stops_with_a_word(file: Path) -> None:
    program = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a job in the background ignores it
        "from pathlib import Path; from dashboards.serve import serve\n"
        f"serve(Path({str(file)!r}), browser=False)"
    )
    running = subprocess.Popen(
        [sys.executable, "-c", program], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    try:
        assert running.stdout is not None
        told = running.stdout.readline()
        (address,) = re.findall(r"http://127\.0\.0\.1:\d+/", told)
        assert told.startswith("barn.xlsx is shown at ")
        with urllib.request.urlopen(address, timeout=20) as answer:
            assert answer.status == 200
        running.send_signal(signal.SIGINT)
        rest, wrong = running.communicate(timeout=20)
    finally:
        running.kill()
    assert rest == "Stopped. The workbook was not changed.\n"
    assert wrong == ""
    assert running.returncode == 0


def test_the_browser_is_opened_only_when_asked(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    monkeypatch.setattr("waitress.server.BaseWSGIServer.run", lambda self: None)
    serve(file, browser=False)
    assert opened == []
    serve(file, browser=True)
    assert [re.fullmatch(r"http://127\.0\.0\.1:\d+/", address) is not None for address in opened] == [True]
