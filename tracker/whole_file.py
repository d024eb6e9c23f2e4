"""A new file appears whole under its name or not at all, and never in the place of another."""

from __future__ import annotations

import os
import stat
import tempfile
from pathlib import Path


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet. Raises FileExistsError where something has the name, OSError else."""
    if os.path.lexists(path):
        raise FileExistsError(path)
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(0o666 & ~_umask())
        rename_to_free(part, path)
    finally:
        part.unlink(missing_ok=True)


def rename_to_free(part: Path, path: Path) -> None:
    """Give a whole file its name, but never that of another. Raises FileExistsError.

    The part may still be there afterwards; whoever made it takes it away.
    """
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:  # a disk on which no file has two names, such as a memory stick
        _copy_to_free(part, path)


def _copy_to_free(part: Path, path: Path) -> None:
    """As a new file, since a renamed one could take the place of another that came meanwhile."""
    file = path.open("xb")
    try:
        with file:
            file.write(part.read_bytes())
            file.flush()
            os.fsync(file.fileno())
        path.chmod(stat.S_IMODE(part.stat().st_mode))
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
