"""A new file takes the place of no other, on any disk, and is whole or not there."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from entries import HORSE, NOTE, barn
from test_workbook_no_room import as_somebody_else, open_to_all

from tracker import check_book, export_book, open_book
from tracker.problem import NotWritten
from tracker.show.calendar.save import write_calendar
from tracker.whole_file import rename_to_free, write_new
from tracker.workbook.mark.save import write_marked


def no_links(*_: object) -> None:
    raise PermissionError(1, "Operation not permitted")  # as Linux says on a FAT disk (link(2))


@pytest.fixture(params=["links", "no links"])
def disk(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk on which a file may have two names, and one on which it may not."""
    if request.param == "no links":
        monkeypatch.setattr(os, "link", no_links)


@pytest.mark.usefixtures("disk")
def test_a_new_file_is_whole_and_has_the_usual_rights(tmp_path: Path) -> None:
    write_new(tmp_path / "letter.pdf", b"%PDF" * 9000)
    (tmp_path / "usual").write_bytes(b"")
    assert (tmp_path / "letter.pdf").read_bytes() == b"%PDF" * 9000
    assert len({(tmp_path / name).stat().st_mode for name in ("letter.pdf", "usual")}) == 1
    assert sorted(os.listdir(tmp_path)) == ["letter.pdf", "usual"]


@pytest.mark.usefixtures("disk")
def test_rights_that_are_not_the_usual_ones_are_kept(tmp_path: Path) -> None:
    part = tmp_path / "part"
    part.write_bytes(b"1")
    part.chmod(0o640)
    rename_to_free(part, tmp_path / "whole")
    assert (tmp_path / "whole").stat().st_mode & 0o777 == 0o640


@pytest.mark.usefixtures("disk")
@pytest.mark.parametrize("what", ["file", "link"])
def test_a_file_that_comes_in_the_last_moment_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    """Another program takes the name after it was seen to be free."""
    path = tmp_path / "letter.pdf"
    monkeypatch.setattr(os.path, "lexists", lambda _: False)
    if what == "file":
        path.write_bytes(b"mine")
    else:
        path.symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileExistsError):
        write_new(path, b"ours")
    assert os.listdir(tmp_path) == ["letter.pdf"]
    assert path.is_symlink() if what == "link" else path.read_bytes() == b"mine"


def test_where_it_cannot_be_written_whole_it_is_not_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = tmp_path / "part"
    part.write_bytes(b"ours")
    monkeypatch.setattr(os, "link", no_links)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        rename_to_free(part, tmp_path / "whole")
    assert os.listdir(tmp_path) == ["part"]


def new_file(folder: Path) -> None:
    write_new(folder / "new.pdf", b"%PDF")


def marked_copy(folder: Path) -> None:
    book = folder / "barn.xlsx"
    write_marked(book, folder / "marked.xlsx", check_book(book, today=dt.date(2026, 6, 30)).problems)


def tables(folder: Path) -> None:
    export_book(folder / "barn.xlsx", folder / "out", on=dt.date(2026, 6, 30))


def calendar(folder: Path) -> None:
    write_calendar(open_book(folder / "barn.xlsx", on=dt.date(2026, 6, 30)), folder / "horse.ics")


def said_of(work: Callable[[Path], None], folder: Path) -> str:
    """What somebody is told who may not write there."""
    try:
        work(folder)
    except NotWritten as refused:
        return refused.problem.kind
    except OSError as failure:
        return failure.strerror
    return "written"


@pytest.mark.parametrize(
    ("work", "said"),
    [
        (new_file, "Permission denied"), (marked_copy, "Permission denied"),
        (tables, "write-no-permission"), (calendar, "write-no-permission"),
    ],
)  # fmt: skip
def test_in_a_folder_without_the_right_to_write_nothing_is_begun(
    work: Callable[[Path], None], said: str
) -> None:
    """As an ordinary user, since root may write everywhere."""
    with open_to_all() as folder:
        barn(folder, Horses=[HORSE], Soundness=[NOTE, {**NOTE, "Score": "9/5"}]).chmod(0o644)
        assert said_of(work, folder) == "written"
        for path in sorted(folder.rglob("*"), reverse=True):
            if path.name != "barn.xlsx":
                path.rmdir() if path.is_dir() else path.unlink()
        folder.chmod(0o555)
        as_somebody_else(lambda: same(said_of(work, folder), said))
        assert os.listdir(folder) == ["barn.xlsx"]
        folder.chmod(0o755)


def same(one: str, other: str) -> None:
    assert one == other
