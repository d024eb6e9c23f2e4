"""Writers killed at any moment, and two at once: no record is lost, none doubled, and nothing else changes.

The suite kills 40 writers and 40 that go through the journal; `python tests/test_workbook_crash.py 300` kills more of
both and prints the counts.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path

import pytest
from rich_parts.stopped import Child, Tally, stopped_at_random
from rich_parts.trials import (
    Write,
    append,
    appending,
    check_marks,
    check_nothing_else_changed,
    duration,
    dying_at,
    enter_note,
    finish,
    half_files,
    marks,
    patiently,
    waiting,
    workbook_in,
)

from tracker.entry import journal
from tracker.entry.pending import pending, write_pending

KILLS = 40
EACH_OF_TWO = 200


def kill_writers(folder: Path, kills: int, seed: int = 1) -> Tally:
    """Kill writers one after the other on one workbook, and look at it after each."""
    path = workbook_in(folder)
    chance, tally = random.Random(seed), Tally()
    longest = 2 * duration(appending(path, "first", count=1))
    workbook_in(folder)
    for kill in range(kills):
        tally.take(stopped_at_random(appending(path, f"k{kill}"), chance, longest))
        tally.half_files_left += bool(half_files(folder))
        check_marks(path, tally)
    finish(path, append, tally)
    return tally


def test_writers_that_are_killed_lose_and_double_nothing(tmp_path: Path) -> None:
    tally = kill_writers(tmp_path, KILLS)
    assert tally.kills == KILLS
    assert tally.in_the_middle >= KILLS // 2, "the kills do not fall into the writing"


def kill_entries(folder: Path, kills: int, seed: int = 2) -> Tally:
    """The same through the journal: an entry that stands in it is written exactly once."""
    path = workbook_in(folder)
    chance, tally = random.Random(seed), Tally()
    longest = 2 * duration(appending(path, "first", enter_note, count=1))
    workbook_in(folder)
    for kill in range(kills):
        tally.take(stopped_at_random(appending(path, f"k{kill}", enter_note), chance, longest))
        tally.half_files_left += bool(half_files(folder))
        tally.waiting += len(waiting(path))
        tally.acknowledged += waiting(path)
        if chance.random() < 0.5:
            write_pending(path)
            check_marks(path, tally)
            assert pending(path).entries == ()
    finish(path, enter_note, tally)
    assert not journal.journal_of(path).exists()
    return tally


def test_entries_whose_writer_is_killed_are_written_once(tmp_path: Path) -> None:
    tally = kill_entries(tmp_path, KILLS)
    assert tally.in_the_middle >= KILLS // 2, "the kills do not fall into the writing"
    assert tally.waiting >= KILLS // 10, "no kill falls between the journal and the workbook"


@pytest.mark.parametrize("write", [append, enter_note], ids=["row", "entry"])
def test_a_writer_that_dies_before_any_one_of_its_steps_loses_and_doubles_nothing(
    write: Write, tmp_path: Path
) -> None:
    path = workbook_in(tmp_path)
    tally, step = Tally(), 0
    while f"done s{step}-0" not in tally.heard:
        step += 1
        tally.take(Child(dying_at(step, tmp_path, appending(path, f"s{step}", write, count=1))).end())
        tally.acknowledged += waiting(path)
        if write is append:
            check_marks(path, tally)
    assert step > 8
    finish(path, write, tally)


def test_two_writers_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    path = workbook_in(tmp_path)
    writers = [Child(appending(path, name, patiently(append), EACH_OF_TWO)) for name in ("one", "two")]
    tally, counts = Tally(), [0]
    while (
        len(counts) < 50
    ):  # whoever reads meanwhile finds a whole workbook, and never fewer records than before
        counts.append(len(marks(path)))
    assert counts == sorted(counts)
    for writer in writers:
        tally.take(writer.end())
    assert len(tally.acknowledged) == 2 * EACH_OF_TWO
    assert len(marks(path)) == 2 * EACH_OF_TWO
    check_marks(path, tally)
    check_nothing_else_changed(path)
    assert half_files(tmp_path) == []


def test_two_people_who_enter_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    path = workbook_in(tmp_path)
    writers = [Child(appending(path, name, enter_note, 40)) for name in ("one", "two")]
    tally = Tally()
    for writer in writers:
        tally.take(writer.end())
    finish(path, enter_note, tally)
    assert len(tally.acknowledged) == len(marks(path)) == 81


if __name__ == "__main__":
    for kill in (kill_writers, kill_entries):
        with tempfile.TemporaryDirectory() as where:
            counted = kill(Path(where), int(sys.argv[1]) if len(sys.argv) > 1 else KILLS)
        print(
            f"{counted.kills} writers killed, {counted.in_the_middle} in the middle of a write; {counted.half_files_left} "
            f"times a half-written file lay there, {counted.waiting} times an entry waited in the journal; "
            f"{len(set(counted.acknowledged))} records acknowledged or in the journal, none lost, none doubled"
        )
