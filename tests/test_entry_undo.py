"""The last entry taken back: its cells hold again what they held, or it is said why they cannot."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from entries import HORSE, NOTE, NOW, TODAY, barn, found, journal_lines, open_elsewhere, owner_saves

from tracker.entry import write
from tracker.entry.enter import enter
from tracker.entry.pending import pending
from tracker.entry.undo import TakenBack, undo
from tracker.problem import NotWritten
from tracker.workbook.change.backups import folder_of
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.save import save

NOTHING = TakenBack("No entry is known that could be taken back.")


def note(file: Path, remarks: str = "sunny", seconds: int = 0) -> str:
    now = NOW + dt.timedelta(seconds=seconds)
    return enter(file, "Soundness", {"Score": "3/5", "Remarks": remarks}, today=TODAY, now=now).state


def test_a_new_record_is_gone_again_and_nothing_else(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file)
    taken = undo(file)
    assert (taken.reason, taken.sheet, taken.cells) == (
        "", "Soundness",
        {"Date": "Soundness!A3", "Score": "Soundness!I3", "Written": "Soundness!R3", "Remarks": "Soundness!S3"},
    )  # fmt: skip
    assert taken.values == {"Date": TODAY, "Score": "3/5", "Written": NOW, "Remarks": "sunny"}
    assert found(file) == [NOTE]
    assert undo(file) == NOTHING


def test_a_changed_record_holds_again_what_it_held(tmp_path: Path) -> None:
    abscess: dict[str, object] = {
        "Foot": "LF", "First seen": dt.date(2026, 6, 20), "Where": "toe", "Opened": "21 Jun 2026", "Care given": 2.5
    }  # fmt: skip
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[abscess])
    before = found(file, "Abscesses")
    typed = {
        "First seen": "19 Jun 2026",
        "Where": "sole",
        "Opened": "22 Jun 2026",
        "Care given": "",
        "Remarks": "x",
    }
    enter(file, "Abscesses", typed, row=2, now=NOW)
    assert found(file, "Abscesses") != before
    assert undo(file).reason == ""
    assert found(file, "Abscesses") == before


def test_entries_are_taken_back_one_after_the_other(tmp_path: Path) -> None:
    file = barn(tmp_path)
    for seconds, word in enumerate(("one", "two", "three")):
        note(file, word, seconds)
    assert [undo(file).values["Remarks"] for _ in range(2)] == ["three", "two"]
    assert note(file, "four", 9) == "in the workbook"
    assert [undo(file).values["Remarks"] for _ in range(2)] == ["four", "one"]
    assert (undo(file), found(file)) == (NOTHING, [NOTE])


def test_an_entry_that_its_owner_has_changed_stays(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file)
    owner_saves(file, "Soundness!I3", "1/5")
    before = file.read_bytes()
    assert undo(file).reason == (
        "The last entry cannot be taken back: Soundness!I3 no longer holds what was entered."
    )
    assert file.read_bytes() == before


def test_an_entry_that_its_owner_has_added_to_stays(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file)
    owner_saves(file, "Soundness!D3", "trot")
    assert undo(file).reason == "The last entry cannot be taken back: Soundness!D3 was filled in since."


def test_an_entry_that_its_owner_has_moved_stays(tmp_path: Path) -> None:
    import openpyxl

    file = barn(tmp_path)
    note(file)
    book = openpyxl.load_workbook(file)
    book["Soundness"].insert_rows(2)
    book.save(file)
    assert undo(file).reason.startswith("The last entry cannot be taken back: Soundness!A3, Soundness!I3, ")


def test_an_entry_that_still_waits_is_dropped(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file, "one")
    lock, before = open_elsewhere(file), file.read_bytes()
    assert note(file, "two", 1) == "kept"
    taken = undo(file)
    assert (taken.reason, taken.cells, taken.values["Remarks"]) == ("", {}, "two")
    assert (pending(file).entries, journal_lines(file), file.read_bytes()) == ((), 0, before)
    with pytest.raises(NotWritten) as refusal:
        undo(file)
    assert refusal.value.problem.kind == "write-open"
    lock.unlink()
    assert undo(file).values["Remarks"] == "one"


def test_one_that_waits_longer_is_dropped_only_when_asked(tmp_path: Path) -> None:
    file = barn(
        tmp_path, Horses=[HORSE], Soundness=[NOTE], Abscesses=[{"Foot": "LF", "First seen": "20 Jun 2026"}]
    )
    lock = open_elsewhere(file)
    enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=2, now=NOW)
    owner_saves(file, "Abscesses!B2", "RF")
    lock.unlink()
    assert note(file, "later", 1) == "in the workbook"
    assert undo(file, waiting=True).values == {"Opened": dt.date(2026, 6, 22)}
    assert undo(file, waiting=True) == TakenBack("No entry waits to be written.")
    assert undo(file).values["Remarks"] == "later"


def test_an_entry_that_was_stopped_after_it_went_in_can_be_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)

    def swapped_then_stopped(path: Path, old: bytes, plan: Plan) -> None:
        save(path, old, plan)
        raise KeyboardInterrupt

    with monkeypatch.context() as broken:
        broken.setattr(write, "save", swapped_then_stopped)
        with pytest.raises(KeyboardInterrupt):
            note(file)
    assert undo(file).values["Remarks"] == "sunny"
    assert (found(file), journal_lines(file)) == ([NOTE], 0)


def test_the_list_of_entries_is_only_ever_added_to(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file)
    entries = folder_of(file) / "entries.jsonl"
    before = entries.read_bytes()
    undo(file)
    assert entries.read_bytes().startswith(before)
    assert len(entries.read_bytes().splitlines()) == 2
    entries.write_bytes(before + b"torn")
    assert undo(file).reason.startswith("The last entry cannot be taken back: Soundness!A3")
