"""Records that belong together are in the workbook together, or wait together."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Any

import pytest
from entries import HORSE, NOTE, NOW, TODAY, barn, found, journal_lines, open_elsewhere, owner_saves

from tracker.entry.enter import enter
from tracker.entry.pending import keep_all, pending, write_pending
from tracker.entry.together import Record, enter_all
from tracker.entry.undo import undo
from tracker.problem import NotWritten

POINT = {"Photo": "lf.jpg", "Date": "2026-06-30", "Foot": "LF", "View": "side"}
POINTS = [
    Record("Photo points", {**POINT, "Point": point, "X": x, "Y": y})
    for point, x, y in (("toe_hairline", "410.5", "520"), ("toe_ground", "300", "810"), ("heel_ground", "700", "811"))
]  # fmt: skip
HOOF = Record("Hooves", {"Date": "2026-06-30", "Foot": "LF", "Toe angle": "52.1", "Photo": "lf.jpg"})
IN = "in the workbook"


def rows(file: Path) -> list[tuple[object, ...]]:
    return [(each["Point"], each["X"], each["Y"]) for each in found(file, "Photo points")]


def backups(file: Path) -> int:
    return len(list((file.parent / f"{file.name} backups").glob("*.xlsx")))


def test_several_records_on_two_sheets_are_written_with_one_save_for_each_sheet(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    done = enter_all(file, [*POINTS, HOOF], today=TODAY, now=NOW)
    assert [each.state for each in done] == [IN] * 4
    assert rows(file) == [("toe_hairline", 410.5, 520), ("toe_ground", 300, 810), ("heel_ground", 700, 811)]
    assert found(file, "Hooves")[0]["Toe angle"] in (52.1, "52.1")
    assert done[1].cells["X"] == "Photo points!G3"
    assert (backups(file), journal_lines(file)) == (2, 0)


def test_an_error_in_one_keeps_all_of_them_out(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    before = file.read_bytes()
    done = enter_all(file, [*POINTS, Record("Hooves", {"Toe angle": "52"})], today=TODAY, now=NOW)
    assert {each.state for each in done} == {"refused"}
    assert [problem.column for problem in done[-1].problems if problem.severity == "error"] == ["Foot"]
    assert (file.read_bytes(), journal_lines(file)) == (before, 0)


def test_they_wait_together_and_go_in_once(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    lock = open_elsewhere(file)
    done = enter_all(file, [*POINTS, HOOF], today=TODAY, now=NOW)
    assert [each.state for each in done] == ["kept"] * 4
    assert "open" in done[0].reason
    assert len(pending(file).entries) == 4
    lock.unlink()
    assert [each.state for each in write_pending(file)] == [IN] * 4
    assert (write_pending(file), len(rows(file)), len(found(file, "Hooves"))) == ((), 3, 1)


def test_what_waits_from_before_goes_in_first(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    lock = open_elsewhere(file)
    enter(file, "Photo points", {**POINT, "Point": "wall_third", "X": "1", "Y": "2"}, add_sheet=True, now=NOW)
    lock.unlink()
    done = enter_all(file, POINTS, today=TODAY, now=NOW)
    assert [each.state for each in done] == [IN] * 3
    assert [point for point, *_ in rows(file)] == ["wall_third", "toe_hairline", "toe_ground", "heel_ground"]


def test_each_can_be_taken_back(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    done = enter_all(file, POINTS, today=TODAY, now=NOW)
    for each in reversed(done):
        assert undo(file, id=each.id).reason == ""
    assert rows(file) == []


def test_new_and_changed_records_go_together(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter_all(file, POINTS[:2], today=TODAY, now=NOW)
    seen = {**POINT, "Point": "toe_ground", "X": "300", "Y": "810"}
    changed = Record("Photo points", {"X": "305", "Y": "812"}, row=3, seen=seen)
    done = enter_all(file, [POINTS[2], changed], today=TODAY, now=NOW)
    assert [(each.state, each.row) for each in done] == [(IN, 4), (IN, 3)]
    assert rows(file) == [("toe_hairline", 410.5, 520), ("toe_ground", 305, 812), ("heel_ground", 700, 811)]
    with pytest.raises(NotWritten) as refusal:
        enter_all(file, [changed], today=TODAY, now=NOW)
    assert refusal.value.problem.kind == "write-row-changed"


def test_what_another_window_writes_meanwhile_is_not_written_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path, Horses=[HORSE])

    def keep_and_write(path: Path, *given: Any) -> None:
        keep_all(path, *given)
        write_pending(path)

    monkeypatch.setattr("tracker.entry.together.keep_all", keep_and_write)
    done = enter_all(file, POINTS, today=TODAY, now=NOW)
    assert [each.state for each in done] == [IN] * 3
    assert len(rows(file)) == 3


def test_undo_takes_the_last_of_them_first(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Soundness=[NOTE])
    enter(file, "Soundness", {"Score": "3/5"}, today=TODAY, now=NOW)
    enter_all(file, POINTS, today=TODAY, now=NOW)
    assert undo(file).shown["Point"] == "heel_ground"
    assert undo(file).shown["Point"] == "toe_ground"


def test_where_the_journal_takes_no_more_none_of_them_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path, Horses=[HORSE])

    def full(*_: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("tracker.entry.lines._write", full)
    with pytest.raises(NotWritten) as refusal:
        enter_all(file, POINTS, today=TODAY, now=NOW)
    monkeypatch.undo()
    assert refusal.value.problem.kind == "write-not-kept"
    assert pending(file).entries == ()


def test_a_file_that_is_another_by_now_is_refused_before_anything_is_kept(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    with pytest.raises(NotWritten) as refusal:
        enter_all(file, POINTS, state="of another file", today=TODAY, now=NOW)
    assert (refusal.value.problem.kind, journal_lines(file)) == ("write-changed", 0)


def test_a_cleared_record_comes_back_as_long_as_its_row_is_blank(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter_all(file, POINTS, today=TODAY, now=NOW)
    (done,) = enter_all(file, [Record("Photo points", {}, row=3, cleared=True)], today=TODAY, now=NOW)
    assert [point for point, *_ in rows(file)] == ["toe_hairline", "heel_ground"]
    assert undo(file, id=done.id).reason == ""
    assert [point for point, *_ in rows(file)] == ["toe_hairline", "toe_ground", "heel_ground"]


def test_a_cleared_record_whose_row_was_filled_since_stays_cleared(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter_all(file, POINTS, today=TODAY, now=NOW)
    (done,) = enter_all(file, [Record("Photo points", {}, row=3, cleared=True)], today=TODAY, now=NOW)
    owner_saves(file, "Photo points!F3", "mine")
    assert undo(file, id=done.id).reason != ""


@pytest.mark.parametrize("saved_since", [False, True])
def test_a_program_stopped_while_it_clears_a_record_knows_that_it_is_cleared(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, saved_since: bool
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter_all(file, POINTS, today=TODAY, now=NOW)

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("tracker.entry.together.settle", stop)
    with pytest.raises(KeyboardInterrupt):
        enter_all(file, [Record("Photo points", {}, row=3, cleared=True)], today=TODAY, now=NOW)
    monkeypatch.undo()
    if saved_since:
        owner_saves(file)
    assert [each.state for each in write_pending(file)] in ([IN], [])
    assert journal_lines(file) == 0
    assert [point for point, *_ in rows(file)] == ["toe_hairline", "heel_ground"]


@pytest.mark.parametrize("saved_since", [False, True])
def test_a_program_stopped_between_the_save_and_its_note_writes_none_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, saved_since: bool
) -> None:
    file = barn(tmp_path, Horses=[HORSE])

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("tracker.entry.together.settle", stop)
    with pytest.raises(KeyboardInterrupt):
        enter_all(file, POINTS, today=TODAY, now=NOW)
    monkeypatch.undo()
    if saved_since:
        owner_saves(file)
    write_pending(file)
    assert ([point for point, *_ in rows(file)], journal_lines(file)) == (
        ["toe_hairline", "toe_ground", "heel_ground"], 0,
    )  # fmt: skip


def test_a_save_that_fails_leaves_the_workbook_as_it_was_and_all_of_them_waiting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    before = file.read_bytes()

    def full(*_: object) -> None:
        raise NotWritten("write-disk-full", path=file.name)

    monkeypatch.setattr("tracker.entry.write.save", full)
    done = enter_all(file, POINTS, today=TODAY, now=NOW)
    assert ({each.state for each in done}, file.read_bytes()) == ({"kept"}, before)
    assert len(pending(file).entries) == 3
