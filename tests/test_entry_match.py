"""Which record is meant, after the program was stopped and the owner went on in the workbook."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest
from entries import (
    HORSE,
    NOW,
    TODAY,
    barn,
    cell,
    found,
    open_elsewhere,
    owner_deletes_row,
    owner_inserts_row,
    owner_saves,
)

from tracker.entry import write
from tracker.entry.enter import enter
from tracker.entry.pending import pending, write_pending
from tracker.entry.undo import undo
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.save import save

ABSCESS: dict[str, object] = {"Foot": "LF", "First seen": "20 Jun 2026"}
OPENED, COMFORTABLE = dt.datetime(2026, 6, 22), dt.datetime(2026, 6, 25)
VISIT: dict[str, object] = {"Date": dt.date(2026, 6, 1), "Name": "Kim"}
PERHAPS = (
    "The entry may be in barn.xlsx already, in row 3 of the sheet Visits: the program was stopped while it wrote "
    "it, and the workbook was saved elsewhere since: look at that row. If the entry is there, `soundness undo "
    "barn.xlsx --waiting` strikes the waiting one off. If it is not, strike it off too and enter it again; a new "
    "record that is there only in part you may also delete, and it is written anew."
)


class Stopped(BaseException):
    """The program is gone, in the middle of its work."""


def stop(*_: object) -> None:
    raise Stopped


def swapped_then_stopped(path: Path, old: bytes, plan: Plan) -> None:
    save(path, old, plan)
    raise Stopped


STEPS: dict[str, Callable[..., None]] = {"before the swap": stop, "after the swap": swapped_then_stopped}


def change(file: Path, **typed: str) -> str:
    return enter(file, "Abscesses", typed, row=2, now=NOW).state


def stopped_at(step: str, enter_it: Callable[[], object]) -> None:
    with pytest.MonkeyPatch.context() as broken:
        broken.setattr(write, "save", STEPS[step])
        with pytest.raises(Stopped):
            enter_it()


# Changes of one record


def test_two_changes_of_one_record_that_wait_both_go_in(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[ABSCESS])
    lock = open_elsewhere(file)
    assert [change(file, opened="22 Jun 2026"), change(file, comfortable_again="25 Jun 2026")] == [
        "kept",
        "kept",
    ]
    lock.unlink()
    assert [each.state for each in write_pending(file)] == ["in the workbook"] * 2
    assert found(file, "Abscesses") == [{**ABSCESS, "Opened": OPENED, "Comfortable again": COMFORTABLE}]


@pytest.mark.parametrize("heading", ["opened", "first_seen"])
def test_a_second_change_of_the_same_cell_goes_in_after_the_first(tmp_path: Path, heading: str) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[ABSCESS])
    lock = open_elsewhere(file)
    change(file, **{heading: "18 Jun 2026"})
    change(file, **{heading: "19 Jun 2026"})
    change(file, remarks="poultice")
    lock.unlink()
    assert [each.state for each in write_pending(file)] == ["in the workbook"] * 3
    (record,) = found(file, "Abscesses")
    assert record[heading.replace("_", " ").capitalize()] == dt.datetime(2026, 6, 19)
    assert record["Remarks"] == "poultice"
    assert [undo(file).reason for _ in range(3)] == ["", "", ""]
    assert found(file, "Abscesses") == [ABSCESS]


def test_a_second_change_goes_in_though_the_first_was_dropped(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[ABSCESS])
    lock = open_elsewhere(file)
    first = enter(file, "Abscesses", {"opened": "18 Jun 2026"}, row=2, now=NOW)
    change(file, opened="22 Jun 2026")
    undo(file, id=first.id)
    lock.unlink()
    assert [each.state for each in write_pending(file)] == ["in the workbook"]
    assert found(file, "Abscesses") == [{**ABSCESS, "Opened": OPENED}]


def test_a_change_never_goes_into_a_record_that_only_looks_alike(tmp_path: Path) -> None:
    """The owner deletes the record that was meant; the one below it, of the same day, moves into its row."""
    works: list[dict[str, object]] = [
        {"Date": "20 Jun 2026", "What": "hack", "Minutes": 30}, {"Date": "20 Jun 2026", "What": "lunge", "Minutes": 10}
    ]  # fmt: skip
    file = barn(tmp_path, Horses=[HORSE], Work=works)
    lock = open_elsewhere(file)
    assert enter(file, "Work", {"remarks": "fresh"}, row=2, now=NOW).state == "kept"
    owner_deletes_row(file, "Work", 2)
    lock.unlink()
    assert [each.state for each in write_pending(file)] == ["kept"]
    assert found(file, "Work") == works[1:]


@pytest.mark.parametrize("step", STEPS)
def test_a_change_is_made_once_though_its_owner_filled_in_another_cell_since(
    tmp_path: Path, step: str
) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[ABSCESS])
    stopped_at(step, lambda: change(file, opened="22 Jun 2026"))
    owner_saves(file, "Abscesses!G2", "25 Jun 2026")
    owner_inserts_row(file, "Abscesses", 2, B="RH", C="1 May 2026")
    assert [each.state for each in write_pending(file)] == ["in the workbook"]
    assert found(file, "Abscesses")[1] == {**ABSCESS, "Opened": OPENED, "Comfortable again": "25 Jun 2026"}
    assert (pending(file).entries, write_pending(file)) == ((), ())


def test_a_change_that_its_owner_has_changed_again_is_not_made_a_second_time(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[ABSCESS])
    stopped_at("after the swap", lambda: change(file, opened="22 Jun 2026"))
    owner_saves(file, "Abscesses!E2", "23 Jun 2026")
    (kept,) = write_pending(file)
    assert kept.reason.startswith("The entry may be in barn.xlsx already, in row 2 of the sheet Abscesses: ")
    assert cell(file, "Abscesses!E2") == "23 Jun 2026"


# New records of a sheet without the moment of writing


def visits(tmp_path: Path) -> Path:
    return barn(tmp_path, Horses=[HORSE], Visits=[VISIT])


def visit(file: Path) -> object:
    return enter(file, "Visits", {"Name": "Robin", "Remarks": "new"}, today=TODAY, now=NOW)


@pytest.mark.parametrize("edited", [("C3", "Robyn"), ("A3", "29 Jun 2026")])
def test_a_record_that_its_owner_has_edited_is_not_written_a_second_time(
    tmp_path: Path, edited: tuple[str, str]
) -> None:
    file = visits(tmp_path)
    stopped_at("after the swap", lambda: visit(file))
    owner_saves(file, f"Visits!{edited[0]}", edited[1])
    for _ in range(2):
        assert [(each.state, each.reason) for each in write_pending(file)] == [("kept", PERHAPS)]
    assert len(found(file, "Visits")) == 2
    assert [entry.reason for entry in pending(file).entries] == [PERHAPS]
    dropped = undo(file, waiting=True)
    assert dropped.note == "It may be in the workbook all the same: look at the sheet Visits."
    assert (pending(file).entries, len(found(file, "Visits"))) == ((), 2)


def test_the_row_where_it_may_be_is_told_though_its_owner_has_moved_it(tmp_path: Path) -> None:
    file = visits(tmp_path)
    stopped_at("after the swap", lambda: visit(file))
    owner_saves(file, "Visits!C3", "Robyn")
    owner_inserts_row(file, "Visits", 2, A="2 Jun 2026", C="Lee")
    (kept,) = write_pending(file)
    assert kept.reason.startswith("The entry may be in barn.xlsx already, in row 4 of the sheet Visits: ")


def test_after_its_owner_has_deleted_the_row_it_is_written(tmp_path: Path) -> None:
    file = visits(tmp_path)
    stopped_at("after the swap", lambda: visit(file))
    owner_saves(file, "Visits!C3", "Robyn")
    assert [each.state for each in write_pending(file)] == ["kept"]
    owner_deletes_row(file, "Visits", 3)
    assert [each.state for each in write_pending(file)] == ["in the workbook"]
    assert [record["Name"] for record in found(file, "Visits")] == ["Kim", "Robin"]


def test_one_that_is_not_in_is_written_though_its_owner_edited_another_record(tmp_path: Path) -> None:
    file = visits(tmp_path)
    stopped_at("before the swap", lambda: visit(file))
    owner_saves(file, "Visits!C2", "Kimberley")
    assert [each.state for each in write_pending(file)] == ["in the workbook"]
    assert [record["Name"] for record in found(file, "Visits")] == ["Kimberley", "Robin"]


def test_where_a_record_came_in_meanwhile_it_cannot_be_told(tmp_path: Path) -> None:
    file = visits(tmp_path)
    stopped_at("before the swap", lambda: visit(file))
    owner_inserts_row(file, "Visits", 3, A="2 Jun 2026", C="Lee")
    assert [each.state for each in write_pending(file)] == ["kept"]


def test_a_note_whose_moment_of_writing_was_wiped_is_not_written_a_second_time(tmp_path: Path) -> None:
    file = barn(tmp_path)
    stopped_at(
        "after the swap",
        lambda: enter(file, "Soundness", {"Score": "3/5", "Remarks": "sunny"}, today=TODAY, now=NOW),
    )
    owner_saves(file, "Soundness!R3", None)
    assert [each.state for each in write_pending(file)] == ["kept"]
    assert len(found(file)) == 2
