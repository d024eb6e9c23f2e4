"""Files that are on the disk, and not only on their way there."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path


def write_through(new: Path, content: bytes) -> None:
    """Make a file and wait until it is on the disk. Raises OSError, and then there is no such file.

    A file that is there already is not touched: FileExistsError.
    """
    with new.open("xb") as file:
        try:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        except BaseException:
            new.unlink(missing_ok=True)
            raise


def push_folder(folder: Path) -> None:
    """Push new names in a folder to the disk, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def same_rights(old: Path, new: Path) -> None:
    """Give a file or folder the rights, the owner and the group of another, as far as the system allows."""
    status = old.stat()
    if hasattr(os, "chown"):
        for owner, group in ((-1, status.st_gid), (status.st_uid, -1)):
            with suppress(OSError):
                os.chown(new, owner, group)
    with suppress(OSError):
        new.chmod(stat.S_IMODE(status.st_mode))
