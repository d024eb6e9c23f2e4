"""The entries that wait stand in no other's way, and whatever stops one of them, it is said what has become of it."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from entries import HORSE, NOW, TODAY, barn, cell, found, journal_lines, open_elsewhere, owner_saves

from tracker.entry import journal, pending, write
from tracker.entry.enter import enter
from tracker.entry.journal import Waiting, journal_of
from tracker.entry.lines import append
from tracker.entry.undo import undo
from tracker.problem import NotWritten
from tracker.workbook.change.backups import folder_of
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.save import save
from tracker.workbook.new.blank import write_workbook

IN, KEPT = "in the workbook", "kept"


def note(file: Path, remarks: str = "once", **more: object) -> pending.Entered:
    typed = {"Score": "3/5", "Remarks": remarks}
    return enter(file, "Soundness", typed, today=TODAY, now=NOW, **more)  # type: ignore[arg-type]


def remarks(file: Path) -> list[object]:
    return [record["Remarks"] for record in found(file) if "Remarks" in record]


def waits(file: Path, text: str) -> None:
    """An entry in the journal that was never looked over."""
    values = {"Date": TODAY, "Score": "3/5", "Remarks": text}
    append(journal_of(file), journal.made(Waiting("bad", "Soundness", None, values, NOW, seen="f")))


# One entry does not hold up the next


@pytest.mark.parametrize("text", ["x" * 32_768, "a \ud800", "a \uffff"])
def test_what_can_never_be_written_holds_up_nothing(tmp_path: Path, text: str) -> None:
    file = barn(tmp_path)
    waits(file, text)
    assert note(file).state == IN
    assert [each.state for each in pending.write_pending(file)] == [KEPT]
    assert remarks(file) == ["once"]


def test_a_fault_of_the_program_with_one_entry_holds_up_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file, "one")
    note(file, "two")
    lock.unlink()

    def broken(path: Path, entry: Waiting) -> object:
        if entry.values["Remarks"] == "one":
            raise ZeroDivisionError
        return write.bring_in(path, entry)

    with monkeypatch.context() as patched:
        patched.setattr(pending, "bring_in", broken)
        done = pending.write_pending(file)
    assert [each.state for each in done] == [KEPT, IN]
    assert done[0].reason == "Something went wrong inside the program while this entry was written."
    assert "ZeroDivisionError" in caplog.text
    assert [entry.reason for entry in pending.pending(file).entries] == [done[0].reason]
    pending.write_pending(file)
    assert remarks(file) == ["two", "one"]


def test_a_fault_while_saving_leaves_no_doubt_that_the_entry_is_not_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    failed: list[Plan] = []

    def fails_once(path: Path, old: bytes, plan: Plan) -> None:
        failed.append(plan)
        if len(failed) == 1:
            raise ZeroDivisionError
        save(path, old, plan)

    lock = open_elsewhere(file)
    note(file, "one")
    lock.unlink()
    monkeypatch.setattr(write, "save", fails_once)
    assert note(file, "two").state == IN
    assert [each.state for each in pending.write_pending(file)] == [IN]
    assert remarks(file) == ["two", "one"]


def test_what_concerns_the_whole_workbook_is_tried_once_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file, "one")
    note(file, "two")
    tried: list[str] = []

    def counted(path: Path, entry: Waiting) -> object:
        tried.append(entry.id)
        return write.bring_in(path, entry)

    monkeypatch.setattr(pending, "bring_in", counted)
    assert [each.state for each in pending.write_pending(file)] == [KEPT, KEPT]
    assert len(tried) == 1
    lock.unlink()


def test_an_entry_is_kept_where_the_disk_is_full_just_after_it_was_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(journal, "append", full)
        kept = note(file)
    assert (kept.state, kept.reason) == (
        KEPT, "There is no room left on the disk for barn.xlsx: make room, then try again."
    )  # fmt: skip
    assert [each.state for each in pending.write_pending(file)] == [IN]


# All of it or nothing


@pytest.mark.parametrize("what", ["column", "sheet"])
def test_nothing_is_added_where_the_record_cannot_go_in(tmp_path: Path, what: str) -> None:
    file = tmp_path / "barn.xlsx"
    rows = {"Horses": [HORSE], "Soundness": [{"Date": "28 Jun 2026", "Score": "2/5"}]}
    write_workbook(file, rows, headings={"Soundness": ["Date", "Score"]}, first_sheet=False)
    owner_saves(file, "Soundness!A4", "Total")
    before = file.read_bytes()
    if what == "column":
        typed = {"Score": "3/5", "Limb": "LF"}
        kept = enter(file, "Soundness", typed, add_column=True, today=TODAY, now=NOW)
        assert (kept.state, kept.reason.split(",")[0]) == (
            KEPT, "A row of totals stands below the records of the sheet Soundness"
        )  # fmt: skip
    else:

        def refused(path: Path, old: bytes, plan: Plan) -> None:
            if "Kim" in plan.written.values():
                raise NotWritten("write-changed", path=path.name)
            save(path, old, plan)

        with pytest.MonkeyPatch.context() as broken:
            broken.setattr(write, "save", refused)
            kept = enter(file, "Visits", {"Name": "Kim"}, add_sheet=True, today=TODAY, now=NOW)
        assert kept.state == KEPT
    assert file.read_bytes() == before


def beside(folder: Path, gap: int) -> Path:
    """A workbook whose Soundness sheet has a second table beside the first."""
    file = folder / "barn.xlsx"
    write_workbook(
        file, {"Horses": [HORSE], "Soundness": [{"Date": "28 Jun 2026", "Score": "2/5"}]},
        headings={"Soundness": ["Date", "Score"]}, first_sheet=False,
    )  # fmt: skip
    for number, text in enumerate(("Date", "Score")):
        owner_saves(file, f"Soundness!{'ABCDEFGH'[2 + gap + number]}1", text)
        owner_saves(file, f"Soundness!{'ABCDEFGH'[2 + gap + number]}2", ("27 Jun 2026", "1/5")[number])
    return file


def test_a_heading_is_added_where_it_is_read_beside_a_second_table(tmp_path: Path) -> None:
    file = beside(tmp_path, gap=2)
    typed = {"Score": "3/5", "Limb": "LF"}
    done = enter(file, "Soundness", typed, add_column=True, today=TODAY, now=NOW)
    assert (done.state, done.cells["Limb"], done.added) == (IN, "Soundness!C3", {"Limb": "Soundness!C1"})
    assert [cell(file, f"Soundness!{ref}") for ref in ("C1", "C3", "E1", "E2")] == [
        "Limb", "LF", "Date", "27 Jun 2026"
    ]  # fmt: skip
    again = enter(file, "Soundness", typed | {"Limb": "RF"}, today=TODAY, now=NOW)
    assert again.cells["Limb"] == "Soundness!C4"


def test_where_there_is_no_room_for_it_that_is_told(tmp_path: Path) -> None:
    file = beside(tmp_path, gap=1)
    before = file.read_bytes()
    refused = enter(file, "Soundness", {"Score": "3/5", "Limb": "LF"}, add_column=True, today=TODAY, now=NOW)
    assert [problem.message for problem in refused.problems] == [
        "On the sheet Soundness something stands in the way at C1: the column must stay blank, since another "
        "table stands beside it."
    ]
    assert (refused.state, file.read_bytes(), journal_lines(file)) == ("refused", before, 0)


# The same entry twice


def test_the_same_entry_sent_again_is_written_once_and_gets_the_same_answer(tmp_path: Path) -> None:
    file = barn(tmp_path)
    first, again = note(file, id="phone-1"), note(file, id="phone-1")
    assert first.state == again.state == IN
    assert (first.row, first.cells, first.shown, first.id) == (again.row, again.cells, again.shown, "phone-1")
    assert (first.problems, first.warnings) == (again.problems, again.warnings)
    assert remarks(file) == ["once"]
    assert note(file, id="phone-2").state == IN
    assert remarks(file) == ["once", "once"]


def test_so_is_one_that_waits(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    first, again = note(file, id="phone-1"), note(file, id="phone-1")
    assert first == again
    assert len(pending.pending(file).entries) == 1
    lock.unlink()
    assert note(file, id="phone-1").state == IN
    assert remarks(file) == ["once"]


def test_one_that_was_taken_back_does_not_come_again(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file, id="phone-1")
    undo(file, id="phone-1")
    again = note(file, id="phone-1")
    assert (again.state, again.reason) == ("refused", "This entry was taken back before.")
    assert remarks(file) == []


def test_a_change_sent_again_is_made_once(tmp_path: Path) -> None:
    seen = {"Foot": "LF", "First seen": "20 Jun 2026"}
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[{**seen}])
    change: Callable[[], pending.Entered] = lambda: enter(  # noqa: E731 (said twice)
        file,
        "Abscesses",
        {"Opened": "22 Jun 2026"},
        row=2,
        seen={**seen, "Opened": ""},
        now=NOW,
        id="phone-1",
    )
    first, again = change(), change()
    assert (first.state, again.state, first.cells) == (IN, IN, again.cells)
    assert undo(file).reason == ""
    assert found(file, "Abscesses") == [seen]


# What lies beside the workbook


def test_a_workbook_that_was_renamed_keeps_what_waited_when_something_is_entered_first(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file, "one")
    lock.unlink()
    renamed = file.rename(tmp_path / "stable.xlsx")
    note(renamed, "two")
    assert remarks(renamed) == ["one", "two"]
    assert not list(tmp_path.glob("*.jsonl"))


@pytest.mark.parametrize(
    "line", [b"[" * 100_000, b'{"id": "a", "what": "made", "sheet": "Visits", "row": 1e999, "values": {}}']
)
def test_a_line_that_is_no_event_is_kept_aside(tmp_path: Path, line: bytes) -> None:
    file = barn(tmp_path)
    journal_of(file).write_bytes(line + b"\n")
    assert pending.pending(file).notes == ("1 line of barn.xlsx.pending.jsonl cannot be read.",)
    assert note(file).state == IN
    assert (tmp_path / "barn.xlsx.pending-unread-1.jsonl").read_bytes() == line + b"\n"
    folder = folder_of(file) / "entries.jsonl"
    folder.write_bytes(folder.read_bytes() + line + b"\n")
    assert undo(file).reason == ""


def test_a_file_of_nothing_but_the_ending_is_no_journal(tmp_path: Path) -> None:
    file = barn(tmp_path)
    (tmp_path / ".pending.jsonl").write_bytes(b"{}\n")
    assert pending.pending(file).notes == ()
    assert note(file).state == IN


def test_a_journal_of_another_workbook_is_none_of_this_ones(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file)
    lock.unlink()
    gone = file.rename(tmp_path / "stable.xlsx")
    owner_saves(gone)
    other = tmp_path / "other.xlsx"
    write_workbook(other, {"Horses": [HORSE]}, first_sheet=False)
    assert pending.pending(other).notes == ()
    other.unlink()
    assert len(pending.pending(gone).notes) == 1


def test_a_file_in_the_place_of_the_older_copies_is_one_sentence(tmp_path: Path) -> None:
    file = barn(tmp_path)
    folder_of(file).write_text("mine")
    because = "barn.xlsx backups is a file, but the older copies go into a folder of that name"
    with pytest.raises(NotWritten) as refusal:
        note(file)
    assert str(refusal.value) == (
        f"barn.xlsx was not changed, and the entry could not be kept beside it either ({because}), so nothing was "
        "kept: look at the folder and the disk, then enter it again."
    )
    journal_of(file).write_bytes(b"")
    assert pending.write_pending(file) == ()
    waits(file, "later")
    (kept,) = pending.write_pending(file)
    assert kept.reason.startswith(f"barn.xlsx could not be written ({because}): ")
    with pytest.raises(NotWritten):
        undo(file)
    assert folder_of(file).read_text() == "mine"
    os.remove(folder_of(file))
    assert [each.state for each in pending.write_pending(file)] == [IN]


# What has become of an entry


def test_it_can_be_told_what_has_become_of_an_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = barn(tmp_path)
    assert pending.state_of(file, "phone-1") == "refused"

    def swapped_then_stopped(path: Path, old: bytes, plan: Plan) -> None:
        save(path, old, plan)
        raise KeyboardInterrupt

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    for instead, state in ((stopped, KEPT), (swapped_then_stopped, IN)):
        with monkeypatch.context() as broken:
            broken.setattr(write, "save", instead)
            with pytest.raises(KeyboardInterrupt):
                note(file, id=state)
        assert pending.state_of(file, state) == state
        pending.write_pending(file)
    assert {pending.state_of(file, state) for state in (KEPT, IN)} == {IN}
