"""What the trials of the writer share: work that writes marked records, and a look at what came of it."""

from __future__ import annotations

import datetime as dt
import os
import signal
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from rich_workbooks import content
from writing import append_row

from rich_parts import record
from rich_parts.by_xlsxwriter import HEADING_ROW
from rich_parts.packing import Package, parts_of
from rich_parts.readers import by_calamine, by_openpyxl, by_us
from rich_parts.record import KNOWN, NOTES
from rich_parts.stopped import Child, Say, Tally
from tracker.entry import journal
from tracker.entry.enter import enter
from tracker.entry.pending import IN, KEPT
from tracker.problem import NotWritten

REMARKS = 8
_FOLDER = tempfile.TemporaryDirectory()
ELSEWHERE = Path(_FOLDER.name)
TODAY = dt.date(2026, 3, 6)
Write = Callable[[Path, str], None]


def append(path: Path, mark: str) -> None:
    """Add one record with this mark, straight into the workbook."""
    append_row(path, "Soundness", {1: "Clover", 5: 2.0, REMARKS: mark}, heading_row=HEADING_ROW, known=KNOWN)


def appending(path: Path, name: str, write: Write = append, count: int = 1000) -> Callable[[Say], None]:
    """Work that writes one record after the other, and says before and after each which it is."""

    def work(say: Say) -> None:
        for number in range(count):
            mark = f"{name}-{number}"
            say(f"begin {mark}")
            write(path, mark)
            say(f"done {mark}")

    return work


def workbook_in(folder: Path) -> Path:
    """The rich workbook, new in this folder."""
    path = folder / "clover.xlsx"
    path.write_bytes(content("rich"))
    return path


def marks(path: Path) -> Counter[str]:
    """How often each mark stands in the workbook, in the order in which they stand there."""
    remarks = {
        row: value
        for (row, column), value in by_us(path.read_bytes(), ELSEWHERE)["Soundness"].items()
        if column == REMARKS
    }
    return Counter(
        str(remarks[row])
        for row in sorted(remarks)
        if row > HEADING_ROW and remarks[row] not in record.REMARKS
    )


def half_files(folder: Path) -> list[Path]:
    """What a writer that was stopped has left lying about."""
    return [path for path in folder.rglob("*") if path.name.endswith((".part", ".new", ".tmp"))]


def check_nothing_else_changed(path: Path) -> None:
    """All parts but the notes' are as they were, and so are the old notes; three readers open the workbook."""
    before, after = content("rich"), path.read_bytes()
    sheet = Package.unpacked(before).sheet("Soundness")
    assert parts_of(after) | {sheet: b""} == parts_of(before) | {sheet: b""}
    for reader in (by_openpyxl, by_calamine, lambda book: by_us(book, ELSEWHERE)):
        old, new = reader(before)["Soundness"], reader(after)["Soundness"]
        assert {place: new[place] for place in old} == old
        assert not [place for place in new if place not in old and place[0] <= HEADING_ROW + NOTES]


def check_backups_are_whole(path: Path) -> None:
    """Each copy beside the workbook can be unpacked to its end."""
    copies = list((path.parent / f"{path.name} backups").glob("*.xlsx"))
    assert copies
    for copy in copies:
        with zipfile.ZipFile(copy) as archive:
            assert archive.testzip() is None


def check_marks(path: Path, tally: Tally) -> None:
    """Every acknowledged record is in exactly once, one that was only begun at most once, and no other."""
    found = marks(path)
    assert {mark: count for mark, count in found.items() if count > 1} == {}, "doubled"
    assert set(tally.acknowledged) - set(found) == set(), "lost"
    assert set(found) - set(tally.begun) == set()


def finish(path: Path, write: Write, tally: Tally) -> None:
    """One more write; then all is in its place, and nothing half-written lies about."""
    write(path, "last")
    tally.take(["begin last", "done last"])
    tally.kills -= 1
    check_marks(path, tally)
    check_nothing_else_changed(path)
    check_backups_are_whole(path)
    assert half_files(path.parent) == []


def duration(work: Callable[[Say], None]) -> float:
    """Seconds from the beginning of a child's work to its end."""
    child = Child(work)
    assert child.listen(60)
    start = time.perf_counter()
    child.end()
    return time.perf_counter() - start


def waiting(path: Path) -> list[str]:
    """The marks of the entries that stand in the journal."""
    return [str(entry.values["Remarks"]) for entry in journal.read(journal.journal_of(path))[0]]


NOTE = {"Date": "5 Mar 2026", "Horse": "Clover", "Limb": "LF", "Scale": "0-5", "Score": "2"}


def enter_note(path: Path, mark: str) -> None:
    """Enter one note with this mark, the way a person does."""
    entered = enter(path, "Soundness", NOTE | {"Remarks": mark}, today=TODAY)
    assert entered.state in (IN, KEPT), entered


STEPS = {"open", "os.rename", "os.remove", "os.mkdir", "os.chmod", "os.chown", "os.truncate"}


def dying_at(step: int, folder: Path, work: Callable[[Say], None]) -> Callable[[Say], None]:
    """The work, killed just before the step of that number that it takes on files in the folder, from 1."""

    def watched(say: Say) -> None:
        taken = 0

        def watch(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal taken
            if event in STEPS and str(folder) in str(arguments[0]):
                taken += 1
                if taken == step:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(watch)  # Python, "Audit events table": an event comes before what it tells of
        work(say)

    return watched


def patiently(write: Write) -> Write:
    """Try again where the other one is just writing, as its message asks for."""

    def again_and_again(path: Path, mark: str) -> None:
        for _ in range(50):
            try:
                return write(path, mark)
            except NotWritten as refused:
                if refused.problem.kind != "write-busy":
                    raise
        raise AssertionError("busy for ever")

    return again_and_again
