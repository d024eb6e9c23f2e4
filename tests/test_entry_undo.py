"""The last entry taken back: its cells hold again what they held, or it is said why they cannot."""

from __future__ import annotations

import datetime as dt
import errno
from pathlib import Path

import pytest
from entries import (
    HORSE,
    NOTE,
    NOW,
    TODAY,
    barn,
    cell,
    found,
    journal_lines,
    open_elsewhere,
    owner_deletes_row,
    owner_inserts_row,
    owner_saves,
)

from tracker.entry import history, write
from tracker.entry import undo as room
from tracker.entry.enter import enter
from tracker.entry.pending import pending
from tracker.entry.undo import TakenBack, undo
from tracker.problem import NotWritten
from tracker.workbook.change.backups import folder_of
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.save import save
from tracker.workbook.new.blank import write_workbook

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
    assert len(entries.read_bytes().splitlines()) == 3
    entries.write_bytes(before + b"torn")
    assert undo(file).reason.startswith("The last entry cannot be taken back: Soundness!A3")


# Which entry, and which record


ABSCESSES: list[dict[str, object]] = [
    {"Foot": "LF", "First seen": "20 Jun 2026"},
    {"Foot": "RF", "First seen": "1 May 2026", "Opened": dt.datetime(2026, 6, 22)},
]
OPENED = {"Opened": "22 Jun 2026"}


def full(*_: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_the_change_of_a_record_that_is_gone_is_not_taken_back_from_the_one_in_its_row(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=ABSCESSES)
    enter(file, "Abscesses", OPENED, row=2, now=NOW)
    owner_deletes_row(file, "Abscesses", 2)
    assert undo(file).reason == (
        "The last entry cannot be taken back: the record in row 2 of the sheet Abscesses is no longer the one that "
        "was changed."
    )
    assert found(file, "Abscesses") == ABSCESSES[1:]


def test_a_note_is_found_by_its_moment_of_writing_where_its_owner_has_moved_it(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file)
    owner_inserts_row(file, "Soundness", 2, A="27 Jun 2026", I="1/5")
    taken = undo(file)
    assert (taken.reason, taken.cells["Score"]) == ("", "Soundness!I4")
    assert found(file) == [{"Date": "27 Jun 2026", "Score": "1/5"}, NOTE]


def test_a_record_without_it_is_found_by_what_it_says(tmp_path: Path) -> None:
    visit: dict[str, object] = {"Date": "1 Jun 2026", "Name": "Kim"}
    file = barn(tmp_path, Horses=[HORSE], Visits=[visit])
    enter(file, "Visits", {"Name": "Robin"}, today=TODAY, now=NOW)
    owner_inserts_row(file, "Visits", 2, A="2 Jun 2026", C="Lee")
    assert undo(file).cells == {"Date": "Visits!A4", "Name": "Visits!C4"}
    assert [record["Name"] for record in found(file, "Visits")] == ["Lee", "Kim"]


def test_a_changed_record_is_found_where_its_owner_has_moved_it(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=ABSCESSES)
    enter(file, "Abscesses", OPENED, row=2, now=NOW)
    owner_inserts_row(file, "Abscesses", 2, B="LH", C="3 Mar 2026")
    assert undo(file).cells == {"Opened": "Abscesses!E3"}
    assert found(file, "Abscesses")[1:] == ABSCESSES


def test_one_entry_is_taken_back_by_its_id(tmp_path: Path) -> None:
    file = barn(tmp_path)
    ids = []
    for seconds, word in enumerate(("one", "two")):
        typed = {"Score": "3/5", "Remarks": word}
        ids.append(enter(file, "Soundness", typed, today=TODAY, now=NOW + dt.timedelta(seconds=seconds)).id)
    lock = open_elsewhere(file)
    waits = enter(file, "Soundness", {"Score": "3/5", "Remarks": "three"}, today=TODAY, now=NOW).id
    assert undo(file, id=waits).values["Remarks"] == "three"
    lock.unlink()
    assert undo(file, id=ids[0]).values["Remarks"] == "one"
    assert undo(file, id=ids[0]).reason == "This entry is not known, or was taken back before."
    assert [record.get("Remarks") for record in found(file)] == [None, "two"]
    owner_saves(file, "Soundness!I4", "1/5")
    assert undo(file, id=ids[1]).reason == (
        "This entry cannot be taken back: Soundness!I4 no longer holds what was entered."
    )


def test_the_last_entry_is_the_last_one_made_whatever_the_clock_says(tmp_path: Path) -> None:
    file = barn(tmp_path)
    note(file, "one", 60)
    note(file, "two", 0)
    lock = open_elsewhere(file)
    note(file, "three", -60)
    assert undo(file).values["Remarks"] == "three"
    lock.unlink()
    assert [undo(file).values["Remarks"] for _ in range(2)] == ["two", "one"]


def test_an_entry_that_could_not_be_noted_is_not_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    note(file, "one")
    with monkeypatch.context() as broken:
        broken.setattr(history, "append", full)
        assert note(file, "two", 1) == "in the workbook"
        with pytest.raises(NotWritten) as refusal:
            undo(file)
        assert refusal.value.problem.kind == "write-disk-full"
    assert pending(file).entries == ()
    assert undo(file).values["Remarks"] == "two"
    assert [record.get("Remarks") for record in found(file)] == [None, "one"]


def test_a_taking_back_that_could_not_be_noted_is_not_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    note(file, "one")
    note(file, "two", 1)
    with monkeypatch.context() as broken:
        broken.setattr(room, "note_undone", full)
        assert undo(file).values["Remarks"] == "two"
    assert undo(file).values["Remarks"] == "one"
    assert found(file) == [NOTE]


def test_a_taking_back_that_was_refused_may_be_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    note(file, "one")
    note(file, "two", 1)

    def refused(path: Path, *_: object) -> None:
        raise NotWritten("write-disk-full", path=path.name)

    with monkeypatch.context() as broken:
        broken.setattr(room, "save", refused)
        with pytest.raises(NotWritten):
            undo(file)
    owner_saves(file, "Soundness!I4", "1/5")
    assert undo(file).reason.startswith("The last entry cannot be taken back: Soundness!I4 no longer holds")


@pytest.mark.parametrize("old", [True, False, 2.5, 45000, "2.50", "TRUE", dt.datetime(2026, 1, 2, 8, 15)])
def test_whatever_stood_there_stands_there_again(tmp_path: Path, old: object) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=ABSCESSES)
    for place in ("I2", "E2"):
        owner_saves(file, f"Abscesses!{place}", old)
    enter(file, "Abscesses", {**OPENED, "Care given": "poultice"}, row=2, now=NOW)
    assert undo(file).reason == ""
    for place in ("I2", "E2"):
        again = cell(file, f"Abscesses!{place}")
        assert (again, type(again)) == (old, type(old))


@pytest.mark.parametrize("old", [dt.time(8, 15), "#N/A"])
def test_what_cannot_be_put_back_as_it_was_is_told(tmp_path: Path, old: object) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=ABSCESSES)
    owner_saves(file, "Abscesses!I2", old)
    enter(file, "Abscesses", {"Care given": "poultice"}, row=2, now=NOW)
    before = file.read_bytes()
    assert undo(file).reason == (
        "The last entry cannot be taken back: the program cannot put back what stood in Abscesses!I2 before. A copy "
        "of the workbook as it was lies in barn.xlsx backups."
    )
    assert file.read_bytes() == before


def test_a_formula_of_the_owners_table_is_nothing_that_was_filled_in(tmp_path: Path) -> None:
    import xlsxwriter

    file = tmp_path / "barn.xlsx"
    with xlsxwriter.Workbook(file) as book:
        horses, work = book.add_worksheet("Horses"), book.add_worksheet("Work")
        horses.write_row(0, 0, ["Horse"])
        horses.write_row(1, 0, ["Bramble"])
        columns = [{"header": "Date"}, {"header": "What"}, {"header": "Minutes", "formula": "=10*2"}]
        work.add_table(0, 0, 1, 2, {"columns": columns, "data": [["28 Jun 2026", "hack"]]})
    done = enter(file, "Work", {"What": "lunge"}, today=TODAY, now=NOW)
    assert (done.state, cell(file, "Work!C3")) == ("in the workbook", "=10*2")
    assert undo(file).reason == ""
    assert (cell(file, "Work!A3"), cell(file, "Work!B3")) == (None, None)
    owner_saves(file)
    assert enter(file, "Work", {"What": "walk"}, today=TODAY, now=NOW).row == 3


def test_a_note_made_at_midnight_can_be_taken_back(tmp_path: Path) -> None:
    file = barn(tmp_path)
    midnight = dt.datetime.combine(TODAY, dt.time())
    enter(file, "Soundness", {"Score": "3/5"}, today=TODAY, now=midnight)
    assert undo(file).reason == ""


def test_a_workbook_that_was_never_written_is_left_alone(tmp_path: Path) -> None:
    file = barn(tmp_path)
    assert (undo(file), undo(file, waiting=True).reason) == (NOTHING, "No entry waits to be written.")
    assert list(tmp_path.iterdir()) == [file]


def test_what_was_added_for_an_entry_stays_and_is_told(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    sheets = {"Horses": [HORSE], "Soundness": [{"Date": "28 Jun 2026", "Score": "2/5"}]}
    write_workbook(file, sheets, headings={"Soundness": ["Date", "Score"]}, first_sheet=False)
    done = enter(file, "Soundness", {"Score": "3/5", "Limb": "LF"}, add_column=True, today=TODAY, now=NOW)
    assert done.added == {"Limb": "Soundness!C1"}
    assert undo(file).note == "Added for it, and left there: Limb (Soundness!C1)."
    enter(file, "Visits", {"Name": "Kim"}, add_sheet=True, today=TODAY, now=NOW)
    assert undo(file).note == "The sheet Visits, which was added for it, stays."


def test_an_undo_that_was_stopped_before_it_began_does_not_pass_on_to_the_entry_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    note(file, "one")
    note(file, "two", 1)

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as broken:
        broken.setattr(room, "save", stopped)
        with pytest.raises(KeyboardInterrupt):
            undo(file)
    owner_saves(file, "Soundness!I4", "1/5")
    assert undo(file).reason == (
        "The last entry cannot be taken back: Soundness!I4 no longer holds what was entered."
    )
    assert [record.get("Remarks") for record in found(file)] == [None, "one", "two"]
