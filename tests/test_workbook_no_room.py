"""No room on the disk, no right to write: the workbook stays as it was, and the reason is said."""

from __future__ import annotations

import contextlib
import os
import resource
import shutil
import signal
import subprocess
import tempfile
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from rich_parts.stopped import Child, Say
from rich_parts.trials import NOTE, TODAY, Write, append, enter_note, half_files, marks, workbook_in
from rich_workbooks import content

from tracker.entry.enter import enter
from tracker.entry.pending import IN, KEPT, pending
from tracker.problem import NotWritten

NOBODY = 65_534


@contextlib.contextmanager
def mounted(folder: Path, *options: str) -> Iterator[Path | None]:
    """Mount something there, where this machine lets us; None where it does not."""
    folder.mkdir(exist_ok=True)
    done = (
        subprocess.run(["mount", *options, str(folder)], capture_output=True, check=False)
        if shutil.which("mount")
        else None
    )
    if done is None or done.returncode:
        yield None
        return
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def refused_as(kind: str, path: Path, before: bytes, write: Write = append) -> bool:
    """Whether a write was refused, which must be for that reason and leave everything as it was."""
    reason = ""
    try:
        write(path, "mark")
    except NotWritten as refused:
        reason = refused.problem.kind
    assert reason in ("", kind)
    assert not reason or path.read_bytes() == before
    assert not reason or half_files(path.parent) == []
    return bool(reason)


def test_a_full_disk_leaves_the_workbook_as_it_was(tmp_path: Path) -> None:
    with mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=1m", "tmpfs") as small:
        if small is None:
            warnings.warn(
                "no small disk can be mounted here: a limit on the size of files stands in", stacklevel=1
            )
            return
        path = workbook_in(small)
        refusals = 0
        for free in [*range(0, 160, 4), 400]:
            shutil.rmtree(small / "clover.xlsx backups", ignore_errors=True)
            path.write_bytes(content("rich"))
            fill(small / "filler", small, free * 1024)
            refusals += refused_as("write-disk-full", path, content("rich"))
            (small / "filler").unlink()
        assert 5 <= refusals <= 40
        assert not refused_as("", path, path.read_bytes())


def test_an_entry_on_a_full_disk_is_written_later_or_not_kept_at_all_and_that_is_said(tmp_path: Path) -> None:
    outcomes: Counter[str] = Counter()
    with mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=1m", "tmpfs") as small:
        if small is None:
            warnings.warn(
                "no small disk can be mounted here: a limit on the size of files stands in", stacklevel=1
            )
            return
        path = workbook_in(small)
        for free in [*range(0, 160, 4), 400]:
            shutil.rmtree(small / "clover.xlsx backups", ignore_errors=True)
            path.write_bytes(content("rich"))
            fill(small / "filler", small, free * 1024)
            said = entered_or_not(path, f"free{free}")
            (small / "filler").unlink()
            enter_note(path, "with room")
            assert marks(path)[f"free{free}"] == (said != "write-not-kept"), (free, said)
            assert marks(path)["with room"] == 1
            assert half_files(small) == []
            assert pending(path).entries == ()
            outcomes[said] += 1
    assert set(outcomes) == {IN, KEPT, "write-not-kept"}


def entered_or_not(path: Path, mark: str) -> str:
    """What became of an entry, or why it was not even kept."""
    try:
        return enter(path, "Soundness", NOTE | {"Remarks": mark}, today=TODAY).state
    except NotWritten as refused:
        return refused.problem.kind


def fill(filler: Path, folder: Path, leave: int) -> None:
    """Fill the disk but for that many bytes."""
    filler.write_bytes(b"")
    free = os.statvfs(folder).f_bavail * os.statvfs(folder).f_frsize
    filler.write_bytes(b"x" * max(0, free - leave))


def limited(limit: int, work: Callable[[], str]) -> str:
    """What the work says in a process whose files may not grow beyond so many bytes (setrlimit, POSIX.1)."""

    def within(say: Say) -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        say(work())

    (said,) = Child(within).end()
    return said


@pytest.mark.parametrize("limit", [0, 1, 100, 4096, 20_000, 36_000])
def test_a_file_that_may_not_grow_leaves_the_workbook_as_it_was(limit: int, tmp_path: Path) -> None:
    path = workbook_in(tmp_path)
    assert limited(limit, lambda: str(refused_as("write-disk-full", path, content("rich")))) == "True"
    append(path, "later")
    assert list(marks(path)) == ["later"]


@pytest.mark.parametrize("limit", [0, 1, 100, 300, 500, 700, 1000, 4096, 20_000, 36_000, 100_000])
def test_an_entry_beside_a_file_that_may_not_grow_is_written_later_or_not_kept(
    limit: int, tmp_path: Path
) -> None:
    path = workbook_in(tmp_path)
    said = limited(limit, lambda: entered_or_not(path, "squeezed"))
    assert said in ((IN,) if limit > 40_000 else (KEPT, "write-not-kept"))
    enter_note(path, "with room")
    assert marks(path)["squeezed"] == (said != "write-not-kept")
    assert marks(path)["with room"] == 1


# No rights


@contextlib.contextmanager
def open_to_all() -> Iterator[Path]:
    """A folder that another user may enter, too."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


def as_somebody_else(work: Callable[[], None]) -> None:
    """Do it without the rights of root, who may write everywhere."""

    def without_rights(say: Say) -> None:
        if os.geteuid() == 0:
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        work()
        say("done")

    assert Child(without_rights).end() == ["done"]


def test_a_folder_without_the_right_to_write_is_said_and_nothing_changes() -> None:
    with open_to_all() as folder:
        path = workbook_in(folder)
        path.chmod(0o666)
        folder.chmod(0o555)
        as_somebody_else(lambda: assert_true(refused_as("write-no-permission", path, content("rich"))))
        assert sorted(folder.iterdir()) == [path]
        folder.chmod(0o755)


def test_a_workbook_marked_as_read_only_is_not_replaced_though_its_folder_is_open() -> None:
    with open_to_all() as folder:
        path = workbook_in(folder)
        path.chmod(0o444)
        folder.chmod(0o777)
        as_somebody_else(lambda: assert_true(refused_as("write-no-permission", path, content("rich"))))
        assert path.stat().st_mode & 0o777 == 0o444


def assert_true(value: bool) -> None:
    assert value


def test_a_folder_that_is_mounted_for_reading_only_is_said_and_nothing_changes(tmp_path: Path) -> None:
    source = tmp_path / "source"
    source.mkdir()
    workbook_in(source)
    with mounted(tmp_path / "read", "--bind", str(source)) as folder:
        if folder is None:
            warnings.warn(
                "nothing can be mounted here: only the folder without rights stands in for it", stacklevel=1
            )
            return
        subprocess.run(["mount", "-o", "remount,ro,bind", str(folder)], check=True)
        path = folder / "clover.xlsx"
        assert refused_as("write-no-permission", path, content("rich"))
        assert sorted(folder.iterdir()) == [path]


def test_the_rights_of_the_workbook_stay_and_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    path = workbook_in(tmp_path / "kept")
    path.chmod(0o640)
    link = tmp_path / "clover.xlsx"
    link.symlink_to(path)
    append(link, "through the link")
    assert link.is_symlink()
    assert link.resolve() == path
    assert path.stat().st_mode & 0o777 == 0o640
    assert list(marks(path)) == ["through the link"]
