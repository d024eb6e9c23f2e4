"""A new file takes the place of the old one, or nothing happens at all.

It is written beside the old one, pushed to the disk, read back, and only then renamed onto it. Whatever stops that
leaves the workbook as it was.
"""

from __future__ import annotations

import errno
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from tracker.problem import NotWritten
from tracker.workbook.change import backups
from tracker.workbook.change.disk import push_folder, same_rights, write_through
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.verify import check_written
from tracker.workbook.gate import Refused

PATIENCE = 10.0
"""Seconds to wait for another window of this program; one entry takes a fraction of one."""

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_HELD = (32, 33)  # Windows: another program holds the file, or a stretch of it


@contextmanager
def lock(path: Path) -> Iterator[None]:
    """Keep other windows of this program from writing the workbook meanwhile. Raises NotWritten."""
    with told(path):
        held = FileLock(backup_folder(path, made=True) / "in use", timeout=PATIENCE, mode=0o666)
        try:
            held.acquire()
        except Timeout as timeout:
            raise Refused("write-busy") from timeout
    try:
        yield
    finally:
        held.release()


def backup_folder(path: Path, *, made: bool = False) -> Path:
    """The folder beside the workbook with its older copies; `made` makes it. Raises OSError."""
    return backups.made_folder(_real(path)) if made else backups.folder_of(_real(path))


def read_bytes(path: Path) -> bytes:
    """The workbook as it lies on the disk. Raises NotWritten."""
    with told(path):
        return _real(path).read_bytes()


def save(path: Path, old: bytes, plan: Plan) -> None:
    """Put the planned file in the place of the one whose bytes are `old`. Raises NotWritten; then nothing has changed."""
    with told(path):
        real = _real(path)
        refuse_open(path)
        if not os.access(real, os.W_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        _sweep(real)
        new = _written_beside(real, plan.content)
        try:
            check_written(old, new.read_bytes(), plan)
            backups.keep(real, old)
            if real.read_bytes() != old:
                raise Refused("write-changed")
            refuse_open(path)
            os.replace(new, real)
        finally:
            new.unlink(missing_ok=True)
        push_folder(real.parent)


def refuse_open(path: Path) -> None:
    """Raise NotWritten where a spreadsheet program has put its lock beside the workbook."""
    real = _real(path)
    for place in {path.absolute(), real}:
        for name in (f"~${place.name}", f".~lock.{place.name}#"):
            if (place.parent / name).exists():
                raise NotWritten("write-open", path=path.name, lock=name)


def _real(path: Path) -> Path:
    """The file itself, where the name is a link to it."""
    return path.resolve()


def _written_beside(real: Path, content: bytes) -> Path:
    """A file with this content in the same folder, on the disk, with the old one's rights."""
    new = real.with_name(f"{_prefix(real)}{secrets.token_hex(4)}.part")
    write_through(new, content)
    same_rights(real, new)
    return new


def _prefix(real: Path) -> str:
    return f".{real.name}."


def _sweep(real: Path) -> None:
    """Clear away what a writer left that was stopped in the middle; the lock says that none is at work."""
    for left in real.parent.glob(f"{_escaped(_prefix(real))}*.part"):
        left.unlink(missing_ok=True)


def _escaped(name: str) -> str:
    return "".join(f"[{sign}]" if sign in "[*?" else sign for sign in name)


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn every refusal and every failure of the disk into the owner's words."""
    try:
        yield
    except Refused as refusal:
        raise _not_written(refusal.slug, path, **refusal.words) from refusal
    except OSError as error:
        raise _not_written(_reason(error), path, reason=error.strerror or str(error)) from error


def _not_written(slug: str, path: Path, **words: str) -> NotWritten:
    copy = f"{path.stem}-copy.xlsx"
    return NotWritten(slug, **{"path": path.name, "copy": copy, "lock": "", **words})


def _reason(error: OSError) -> str:
    if getattr(error, "winerror", None) in _HELD:
        return "file-locked"
    if error.errno in _FULL:
        return "write-disk-full"
    if isinstance(error, PermissionError) or error.errno == errno.EROFS:
        return "write-no-permission"
    return "file-missing" if error.errno == errno.ENOENT else "write-failed"
