"""A photograph is kept beside its workbook: its bytes as they are, over no other file, whole or not at all."""

from __future__ import annotations

import datetime as dt
import errno
import os
import secrets
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tracker.photos.folder import folder_of, photos_in
from tracker.photos.gate import check_whole
from tracker.photos.look import Photo, look_at_photo
from tracker.photos.names import LONGEST, free_names, harmless
from tracker.photos.sniff import ENDINGS
from tracker.whole_file import rename_to_free
from tracker.workbook.change.disk import push_folder, same_rights, write_through
from tracker.workbook.change.save import lock, told

_PART = ".photo-{}.part"


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A photograph in the workbook's folder: `name` is what the record calls it; `known` if it was there before."""

    name: str
    path: Path
    known: bool
    photo: Photo


def keep_photo(workbook: Path | str, content: bytes, name: str, *, today: dt.date | None = None) -> KeptPhoto:
    """Keep the bytes of a photograph in the folder `<workbook> photos` under its name, made harmless.

    The same bytes again are found by their content and stay where they are, whatever the name. Another photograph
    of the same name gets a number. Raises Unreadable where it is no photograph that can be used, and NotWritten
    where it cannot be written; then nothing was kept. Takes the workbook's lock: not to be called by who holds it.
    """
    workbook = Path(workbook)
    check_whole(content, _shown_name(name))
    photo = look_at_photo(content, today=today)
    wanted = harmless(name, ENDINGS[photo.format])
    with told(workbook):
        real = Path(os.path.realpath(workbook, strict=True))
    with lock(workbook), told(folder_of(workbook) / wanted):
        path = _known(workbook, content)
        if path is not None:
            return KeptPhoto(path.name, path, True, photo)
        path = _written(real, content, wanted)
        return KeptPhoto(path.name, path, False, photo)


def _shown_name(name: str) -> str:
    """The name for a message, which must not upset the screen that it is written to."""
    return name if name and name.isprintable() and len(name) <= LONGEST else harmless(name, ("",))


def _known(workbook: Path, content: bytes) -> Path | None:
    """The file that holds just these bytes, where there is one."""
    for path in photos_in(folder_of(workbook)):
        with suppress(OSError):  # what may not be read, or has just gone, is not known
            if path.stat().st_size == len(content) and path.read_bytes() == content:
                return path
    return None


def _written(real: Path, content: bytes, wanted: str) -> Path:
    """The photograph under the first free name. Raises OSError, and then nothing of it is left."""
    folder = folder_of(real)
    if not folder.is_dir():
        if os.path.lexists(folder):
            raise NotADirectoryError(
                errno.ENOTDIR, f"{folder.name} is no folder, or a link that leads to none"
            )
        folder.mkdir()
        same_rights(real.parent, folder)
        push_folder(real.parent)
    for left in folder.glob(
        _PART.format("*")
    ):  # a writer was stopped in the middle; the lock says none is at work
        left.unlink(missing_ok=True)
    part = folder / _PART.format(secrets.token_hex(4))
    try:
        write_through(part, content)
        if real.is_file():
            same_rights(real, part)
        path = _named(part, wanted)
    finally:
        part.unlink(missing_ok=True)
        with suppress(OSError):
            folder.rmdir()  # only an empty one goes
    push_folder(folder)
    return path


def _named(part: Path, wanted: str) -> Path:
    """Give the file the first name that nothing has."""
    for name in free_names(wanted, os.listdir(part.parent)):
        path = part.with_name(name)
        with suppress(FileExistsError):
            rename_to_free(part, path)
            return path
    raise AssertionError("there is always another number")
