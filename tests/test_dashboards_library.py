"""The workbook behind the pages: read again when its file changes, kept when its file breaks."""

from __future__ import annotations

import datetime as dt
import os
import threading
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from dashboards import library as room
from dashboards.library import Library
from tracker.workbook.new.blank import write_workbook


def write(file: Path, score: float = 2) -> None:
    file.unlink(missing_ok=True)
    note = {"Date": dt.date.today(), "Gait": "trot", "Limb": "LF", "Scale": "0-5", "Score": score}
    write_workbook(file, {"Horses": [{"Horse": "Bramble"}], "Soundness": [note]})
    later = time.time_ns() + int(score * 1e9)
    os.utime(file, ns=(later, later))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "barn.xlsx"
    write(path)
    return path


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Every opening of a workbook, as it happens."""
    seen: list[Path] = []
    real = room.open_book
    monkeypatch.setattr(room, "open_book", lambda path, **rest: (seen.append(path), real(path, **rest))[1])
    return seen


def last_score(library: Library) -> float:
    book = library.read().book
    assert book is not None
    return book.horses[0].series[0].points[-1].score


def test_a_file_that_did_not_change_is_read_once(file: Path, opened: list[Path]) -> None:
    library = Library(file)
    stamps = {library.read().stamp for _ in range(5)}
    assert len(opened) == 1
    assert len(stamps) == 1


def test_a_saved_change_is_read_and_has_another_stamp(file: Path) -> None:
    library = Library(file)
    before = library.read().stamp
    assert last_score(library) == 2
    write(file, 3)
    assert last_score(library) == 3
    assert library.read().stamp != before


def test_a_file_that_breaks_leaves_the_last_good_book(file: Path) -> None:
    library = Library(file)
    good = library.read()
    file.write_bytes(b"PK\x03\x04 half a save")
    broken = library.read()
    assert broken.book is good.book
    assert broken.trouble is not None
    assert "barn.xlsx" in broken.trouble.message
    assert broken.trouble.hint
    assert broken.stamp != good.stamp
    write(file, 4)
    mended = library.read()
    assert mended.trouble is None
    assert last_score(library) == 4


def test_a_file_that_was_never_good_gives_no_book_but_says_why(tmp_path: Path) -> None:
    library = Library(tmp_path / "barn.xlsx")
    missing = library.read()
    assert missing.book is None
    assert missing.trouble is not None
    assert str(tmp_path) not in missing.trouble.message + missing.trouble.hint + missing.stamp
    write(tmp_path / "barn.xlsx")
    assert last_score(library) == 2


def test_a_trouble_that_stays_keeps_its_stamp(tmp_path: Path) -> None:
    library = Library(tmp_path / "barn.xlsx")
    assert library.read().stamp == library.read().stamp


def test_another_day_is_another_reading(
    file: Path, opened: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    library = Library(file)
    before = library.read().stamp

    tomorrow = dt.date.today() + dt.timedelta(days=1)
    monkeypatch.setattr(room, "dt", SimpleNamespace(date=SimpleNamespace(today=lambda: tomorrow)))
    assert library.read().stamp != before
    assert len(opened) == 2


def test_a_fault_of_our_own_is_told_without_its_details(
    file: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fault(*_: object, **__: object) -> None:
        raise ZeroDivisionError("secret details")

    monkeypatch.setattr(room, "open_book", fault)
    reading = Library(file).read()
    assert reading.trouble is not None
    assert "secret" not in reading.trouble.message + reading.trouble.hint + reading.stamp
    assert "secret details" in caplog.text


def test_only_one_page_reads_at_a_time(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    inside, most = 0, 0
    real = room.open_book

    def slow(path: Path, **rest: object) -> object:
        nonlocal inside, most
        inside += 1
        most = max(most, inside)
        time.sleep(0.05)
        try:
            return real(path, **rest)  # type: ignore[arg-type]
        finally:
            inside -= 1

    monkeypatch.setattr(room, "open_book", slow)
    library = Library(file)
    threads = [threading.Thread(target=library.read) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert most == 1
