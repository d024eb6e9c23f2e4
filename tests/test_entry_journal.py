"""The journal beside the workbook: whatever stops the program, no entry is lost and none is there twice."""

from __future__ import annotations

import datetime as dt
import json
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from entries import HORSE, NOW, TODAY, barn, found, journal_lines, open_elsewhere, owner_saves

from tracker.entry import history, journal, pending, write
from tracker.entry.enter import enter
from tracker.entry.journal import Waiting, journal_of
from tracker.entry.lines import append
from tracker.problem import NotWritten
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.save import save


class Stopped(BaseException):
    """The program is gone, in the middle of its work."""


def note(file: Path, remarks: str = "once", seconds: int = 0) -> str:
    now = NOW + dt.timedelta(seconds=seconds)
    return enter(file, "Soundness", {"Score": "3/5", "Remarks": remarks}, today=TODAY, now=now).state


def remarks(file: Path) -> list[object]:
    return [record["Remarks"] for record in found(file) if "Remarks" in record]


def stop(*_: object, **__: object) -> None:
    raise Stopped


def swapped_then_stopped(path: Path, old: bytes, plan: Plan) -> None:
    save(path, old, plan)
    raise Stopped


STEPS: dict[str, tuple[object, str, Callable[..., None]]] = {
    "after the entry was kept": (pending, "bring_in", stop),
    "before the swap": (write, "save", stop),
    "after the swap": (write, "save", swapped_then_stopped),
    "before it was noted for undo": (pending, "note_done", stop),
    "before it was struck off": (pending, "strike_off", stop),
    "before the journal was cleared": (journal, "clear", stop),
}
MEANWHILE: dict[str, Callable[[Path], None]] = {
    "nothing happened": lambda file: None,
    "the owner saved": owner_saves,
    "the owner wrote into the next row": lambda file: owner_saves(file, "Soundness!I9", "1/5"),
}


@pytest.fixture
def stopped(tmp_path: Path, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workbook whose note was stopped at one step."""
    file = barn(tmp_path)
    room, name, instead = STEPS[request.param]
    with monkeypatch.context() as broken:
        broken.setattr(room, name, instead)
        with pytest.raises(Stopped):
            note(file)
    return file


@pytest.mark.parametrize("stopped", STEPS, indirect=True)
@pytest.mark.parametrize("meanwhile", MEANWHILE)
def test_an_entry_that_was_stopped_is_in_exactly_once(stopped: Path, meanwhile: str) -> None:
    MEANWHILE[meanwhile](stopped)
    pending.write_pending(stopped)
    assert remarks(stopped) == ["once"]
    assert (pending.pending(stopped).entries, journal_lines(stopped)) == ((), 0)
    pending.write_pending(stopped)
    assert remarks(stopped) == ["once"]


@pytest.mark.parametrize("stopped", STEPS, indirect=True)
def test_the_next_entry_settles_the_one_before(stopped: Path) -> None:
    assert note(stopped, "twice", seconds=1) == "in the workbook"
    assert remarks(stopped) == ["once", "twice"]
    assert journal_lines(stopped) == 0


@pytest.mark.parametrize("stopped", ["after the swap", "before it was struck off"], indirect=True)
def test_an_entry_that_is_in_is_not_told_as_waiting(stopped: Path) -> None:
    assert journal_lines(stopped) == 2
    assert pending.pending(stopped).entries == ()


@pytest.mark.parametrize("stopped", ["after the swap"], indirect=True)
def test_an_entry_that_its_owner_has_mended_since_is_not_written_again(stopped: Path) -> None:
    owner_saves(stopped, "Soundness!S3", "mended")
    pending.write_pending(stopped)
    assert remarks(stopped) == ["mended"]


def test_of_two_entries_of_one_second_the_one_that_was_refused_is_not_taken_for_the_other(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path)

    def refused(path: Path, *_: object) -> None:
        raise NotWritten("write-disk-full", path=path.name)

    with pytest.MonkeyPatch.context() as full:
        full.setattr(write, "save", refused)
        enter(file, "Soundness", {"Score": "3/5", "Remarks": "one", "Limb": "LF"}, today=TODAY, now=NOW)
        assert note(file, "two") == "kept"
    owner_saves(file, "Soundness!G1", "Leg of it")
    assert [each.state for each in pending.write_pending(file)] == ["kept", "in the workbook"]
    owner_saves(file, "Soundness!G1", "Limb")
    pending.write_pending(file)
    assert remarks(file) == ["two", "one"]


@pytest.mark.parametrize(("step", "records"), [("before the swap", 3), ("after the swap", 3)])
def test_without_the_moment_of_writing_equal_records_are_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, records: int
) -> None:
    """Two visits on one day may say the same; the one that was stopped must come to them, and only once."""
    visit: dict[str, object] = {"Date": dt.date(2026, 6, 30), "Name": "Kim"}
    file = barn(tmp_path, Horses=[HORSE], Visits=[visit, visit])
    room, name, instead = STEPS[step]
    with monkeypatch.context() as broken:
        broken.setattr(room, name, instead)
        with pytest.raises(Stopped):
            enter(file, "Visits", {"Name": "Kim"}, today=TODAY, now=NOW)
    owner_saves(file)
    pending.write_pending(file)
    assert len(found(file, "Visits")) == records


@pytest.mark.parametrize("step", ["before the swap", "after the swap", "before it was struck off"])
@pytest.mark.parametrize("meanwhile", ["nothing happened", "the owner saved"])
def test_a_change_that_was_stopped_is_made_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, meanwhile: str
) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[{"Foot": "LF", "First seen": "20 Jun 2026"}])
    room, name, instead = STEPS[step]
    with monkeypatch.context() as broken:
        broken.setattr(room, name, instead)
        with pytest.raises(Stopped):
            enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=2, now=NOW)
    MEANWHILE[meanwhile](file)
    pending.write_pending(file)
    opened = {"Foot": "LF", "First seen": "20 Jun 2026", "Opened": dt.datetime(2026, 6, 22)}
    assert (found(file, "Abscesses"), journal_lines(file)) == ([opened], 0)


@pytest.mark.parametrize("step", ["before the swap", "after the swap"])
def test_a_sheet_that_was_to_be_added_before_the_stop_is_added_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    room, name, instead = STEPS[step]
    with monkeypatch.context() as broken:
        broken.setattr(room, name, instead)
        with pytest.raises(Stopped):
            enter(file, "Visits", {"Name": "Kim"}, add_sheet=True, today=TODAY, now=NOW)
    pending.write_pending(file)
    assert found(file, "Visits") == [{"Date": dt.datetime(2026, 6, 30), "Name": "Kim"}]


def test_a_torn_last_line_is_kept_aside_and_told(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    assert note(file) == "kept"
    with journal_of(file).open("ab") as torn:
        torn.write(b'{"id": "abc", "what": "made", "sheet": "Sound')
    before = journal_of(file).read_bytes()
    assert len(pending.pending(file).entries) == 1
    assert pending.pending(file).notes == ("1 line of barn.xlsx.pending.jsonl cannot be read.",)
    assert note(file, "twice", seconds=1) == "kept"
    aside = tmp_path / "barn.xlsx.pending-unread-1.jsonl"
    assert aside.read_bytes() == before
    assert pending.pending(file).notes == (
        "Not all of the entries that waited could be read; they are kept as they were in "
        "barn.xlsx.pending-unread-1.jsonl. Look at it in a text editor, enter what is missing, then delete it.",
    )
    lock.unlink()
    pending.write_pending(file)
    assert remarks(file) == ["once", "twice"]


def test_a_last_line_that_lacks_only_its_end_is_whole(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file)
    journal_of(file).write_bytes(journal_of(file).read_bytes().rstrip(b"\n"))
    note(file, "twice", seconds=1)
    lock.unlink()
    pending.write_pending(file)
    assert (remarks(file), pending.pending(file).notes) == (["once", "twice"], ())


@pytest.mark.parametrize(
    "content",
    [
        b"\x00\xff\xfe not JSON",
        b"[]\n",
        b'{"id": "a"}\n',
        b'{"id": "a", "what": "sung"}\n',
        b'{"id": "a", "what": "made", "sheet": "Accounts", "values": {}}\n',
        b'{"id": "a", "what": "made", "sheet": "Visits", "row": null, "values": {"Colour": "bay"}, "moment": '
        b'"2026-06-30T19:05:42", "was": {}, "added": [], "adds_sheet": false, "seen": ""}\n',
    ],
)
def test_a_journal_that_cannot_be_read_is_kept_aside_whole(tmp_path: Path, content: bytes) -> None:
    file = barn(tmp_path)
    journal_of(file).write_bytes(content)
    assert note(file) == "in the workbook"
    assert (tmp_path / "barn.xlsx.pending-unread-1.jsonl").read_bytes() == content
    assert (len(pending.pending(file).notes), journal_lines(file)) == (1, 0)


def test_a_journal_that_cannot_even_be_opened_is_moved_aside(tmp_path: Path) -> None:
    file = barn(tmp_path)
    journal_of(file).mkdir()
    assert pending.pending(file).notes == (
        "barn.xlsx.pending.jsonl, where entries wait, cannot be read (Is a directory).",
    )
    assert note(file) == "in the workbook"
    assert (tmp_path / "barn.xlsx.pending-unread-1.jsonl").is_dir()


def test_a_workbook_that_was_renamed_takes_its_journal_along(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file)
    lock.unlink()
    renamed = file.rename(tmp_path / "stable.xlsx")
    assert len(pending.pending(renamed).entries) == 1
    pending.write_pending(renamed)
    assert remarks(renamed) == ["once"]
    assert not list(tmp_path.glob("*.jsonl"))


def test_a_journal_whose_workbook_is_gone_is_told_and_left_alone(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file)
    lock.unlink()
    renamed = file.rename(tmp_path / "stable.xlsx")
    owner_saves(renamed)
    assert pending.pending(renamed).entries == ()
    assert pending.pending(renamed).notes == (
        "1 entry waits in barn.xlsx.pending.jsonl for barn.xlsx, which is no longer there. If you have renamed it "
        "to stable.xlsx, rename that file to stable.xlsx.pending.jsonl.",
    )
    pending.write_pending(renamed)
    assert remarks(renamed) == []
    journal_of(file).rename(journal_of(renamed))
    pending.write_pending(renamed)
    assert remarks(renamed) == ["once"]


def test_a_second_workbook_in_the_folder_has_its_own_journal(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file)
    other = tmp_path / "other.xlsx"
    other.write_bytes(file.read_bytes())
    assert pending.pending(other) == pending.Pending((), (), journal_of(other))
    lock.unlink()


def test_what_a_full_disk_tore_off_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "a.jsonl"
    append(place, {"id": "a"})

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        append(place, {"id": "b"})
    assert [json.loads(line) for line in place.read_bytes().splitlines()] == [{"id": "a"}]


def test_an_entry_is_in_even_where_that_can_no_longer_be_noted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is full from the moment of the swap on: the entry is in, and stays in once."""
    file = barn(tmp_path)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(pending, "strike_off", full)
        broken.setattr(history, "append", full)
        assert note(file) == "in the workbook"
    assert pending.pending(file).entries == ()
    note(file, "twice", seconds=1)
    assert remarks(file) == ["once", "twice"]


def test_values_come_back_from_the_journal_as_they_were(tmp_path: Path) -> None:
    entry = Waiting(
        id="a", sheet="Pain relief", row=7, moment=NOW, was={"product": "invented"}, added=("Remarks",),
        values={"First given": NOW, "Last given": TODAY, "Product": "½ \ud800 \x00\n", "Remarks": None},
        adds_sheet=True, seen="f", number=3, follows=("b", "c"),
    )  # fmt: skip
    attempt = journal.Attempt(
        "f", "g", 7, (2, 3, 4), {"Product": "Pain relief!B7"}, {"Product": 2.5, "Remarks": None, "Dose": True},
        {"product": "invented"}, {"Remarks": "Pain relief!J1"}, True, ("Dose",),
    )  # fmt: skip
    place = journal_of(tmp_path / "barn.xlsx")
    append(place, journal.made(entry))
    append(place, journal.tried(entry, attempt))
    assert journal.read(place) == ([replace(entry, attempt=attempt)], [])
    append(place, journal.refused(entry, "unclear", settled=False))
    assert journal.read(place) == ([replace(entry, attempt=attempt, reason="unclear")], [])
    append(place, journal.gone_in(entry))
    assert journal.read(place) == ([replace(entry, attempt=attempt, reason="unclear", is_in=True)], [])
    append(place, journal.refused(entry, "why"))
    assert journal.read(place) == ([replace(entry, reason="why", is_in=True)], [])
    append(place, journal.over(entry))
    assert journal.read(place) == ([], [])
