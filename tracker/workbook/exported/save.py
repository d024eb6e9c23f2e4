"""Files that are written together: as a folder of their own, wholly or not at all, or as one zip."""

from __future__ import annotations

import os
import secrets
import shutil
import zipfile
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

from tracker.problem import NotWritten
from tracker.workbook.change.disk import push_folder, same_rights, write_through
from tracker.workbook.change.save import told
from tracker.workbook.gate import Refused

Files = Mapping[str, bytes]
_MOST_OLDER = 32_000_000  # bytes; a calendar of ours has some thousands
_FIRST_DAY_OF_ZIP = (1980, 1, 1, 0, 0, 0)


def write_folder(folder: Path, files: Files) -> None:
    """Make the folder with these files in it. An empty folder of that name is taken; anything else is left alone.

    Everything is written under another name beside it, and renamed when it is all on the disk. Raises NotWritten;
    then nothing is left behind.
    """
    require_room(folder)
    draft = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    with told(folder):
        try:
            draft.mkdir()
            for name, content in files.items():
                (draft / name).parent.mkdir(exist_ok=True)
                write_through(draft / name, content)
            for inner in {(draft / name).parent for name in files}:
                push_folder(inner)
            if folder.is_dir():
                folder.rmdir()  # fails where something came into it meanwhile
            os.rename(draft, folder)
        finally:
            shutil.rmtree(draft, ignore_errors=True)
        push_folder(folder.parent)


def require_room(folder: Path) -> None:
    """Raise NotWritten where something is there already, other than an empty folder."""
    with told(folder):
        if folder.is_symlink() or (folder.exists() and not folder.is_dir()) or _filled(folder):
            raise NotWritten("write-folder-there", path=folder.name)
        if not folder.parent.is_dir():
            raise NotWritten("write-no-folder", path=folder.name)


def _filled(folder: Path) -> bool:
    return folder.is_dir() and any(folder.iterdir())


def older_file(path: Path) -> bytes | None:
    """What the file holds already; None where there is none. Raises NotWritten."""
    with told(path):
        if not path.parent.is_dir():
            raise NotWritten("write-no-folder", path=path.name)
        if path.is_dir() or (path.exists() and not path.is_file()):
            raise NotWritten("write-failed", path=path.name, reason="it is no file")
        if not path.exists():
            return None
        with path.open("rb") as file:
            return file.read(_MOST_OLDER)


def write_over(path: Path, before: bytes | None, content: bytes) -> None:
    """Put the content in the place of `before`, or make the file where that is None; wholly or not at all.

    Raises NotWritten, also where something else stands there by now; then it is as it was.
    """
    real = Path(os.path.realpath(path))
    draft = real.with_name(f".{real.name}.{secrets.token_hex(4)}.part")
    with told(path):
        try:
            write_through(draft, content)
            if before is not None:
                same_rights(real, draft)
            if older_file(path) != before:
                raise Refused("write-changed")
            os.replace(draft, real)
        finally:
            draft.unlink(missing_ok=True)
        push_folder(real.parent)


def zipped(files: Files) -> bytes:
    """The same files as one zip; the same files give the same bytes."""
    held = BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, _FIRST_DAY_OF_ZIP)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, content)
    return held.getvalue()
