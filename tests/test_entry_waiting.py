"""Entries that could not be written at once: they come in later, exactly once, whatever has happened meanwhile."""

from __future__ import annotations

import shutil
from collections import Counter
from pathlib import Path

import openpyxl
import pytest
from rich_parts.stopped import Child
from rich_parts.trials import appending, check_nothing_else_changed, dying_at, enter_note, marks, workbook_in
from rich_workbooks import content

from tracker.entry import journal
from tracker.entry.pending import pending, write_pending


def test_an_entry_is_written_once_though_its_owner_saved_the_workbook_after_the_crash(tmp_path: Path) -> None:
    path, step, heard = tmp_path / "clover.xlsx", 0, ["nothing yet"]
    outcomes: Counter[tuple[bool, bool]] = Counter()
    while "done s-0" not in heard:
        step += 1
        shutil.rmtree(tmp_path / "clover.xlsx backups", ignore_errors=True)
        journal.journal_of(path).unlink(missing_ok=True)
        path.write_bytes(content("openpyxl"))
        heard = Child(dying_at(step, tmp_path, appending(path, "s", enter_note, count=1))).end()
        kept, was_in = bool(journal.read(journal.journal_of(path))[0]), "s-0" in marks(path)
        save_by_openpyxl(path)
        write_pending(path)
        assert marks(path)["s-0"] == (kept or was_in), (step, kept, was_in)
        outcomes[kept, was_in] += 1
    assert min(outcomes[True, False], outcomes[True, True], outcomes[False, False]) > 0, outcomes


def save_by_openpyxl(path: Path) -> None:
    book = openpyxl.load_workbook(path)
    book["Soundness"]["I2"] = "a word of the owner's"
    book.save(path)


@pytest.mark.parametrize("lock", ["~$clover.xlsx", ".~lock.clover.xlsx#"])
def test_entries_made_while_the_workbook_is_open_elsewhere_come_in_later_once_and_in_order(
    lock: str, tmp_path: Path
) -> None:
    path = workbook_in(tmp_path)
    (tmp_path / lock).write_bytes(b"")
    for number in range(5):
        enter_note(path, f"n{number}")
    assert path.read_bytes() == content("rich")
    assert len(pending(path).entries) == 5
    (tmp_path / lock).unlink()
    enter_note(path, "n5")
    assert marks(path) == Counter([f"n{number}" for number in range(6)])
    assert list(marks(path)) == [f"n{number}" for number in range(6)]
    assert pending(path).entries == ()
    check_nothing_else_changed(path)
