"""The folder beside the workbook that holds its photographs, and nothing outside it."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from tracker.cells.text import fold
from tracker.photos.sniff import ENDINGS
from tracker.problem import Unreadable

_ALL_ENDINGS = tuple(ending for endings in ENDINGS.values() for ending in endings)


def folder_of(workbook: Path) -> Path:
    """The folder, which need not be there. Two workbooks whose names differ in their endings have one each."""
    real = Path(os.path.realpath(workbook))  # unlike Path.resolve it takes a link to itself as it is
    return real.with_name(f"{real.name} photos")


def find_photo(workbook: Path | str, name: str) -> Path:
    """Where a photograph is that the record names; with or without its ending, in capitals or not. Raises Unreadable.

    Only the names that are in the workbook's own folder of photographs can be found, so no name leads out of it.
    """
    folder = folder_of(Path(workbook))
    try:
        there = photos_in(folder)
    except PermissionError as error:
        raise Unreadable("file-no-permission", path=str(folder)) from error
    exact = [path for path in there if path.name == name]
    alike = [path for path in there if fold(path.name) == fold(name)]
    bare = [path for path in there if fold(path.stem) == fold(name)]
    for found in (exact, alike, bare):
        if len(found) == 1:
            return found[0]
    raise Unreadable("photo-missing", path=name.strip() or "without a name", folder=str(folder))


def photos_of(workbook: Path | str) -> tuple[str, ...]:
    """The names of the workbook's photographs, sorted. Raises PermissionError where the folder may not be looked into."""
    return tuple(path.name for path in photos_in(folder_of(Path(workbook))))


def photos_in(folder: Path) -> list[Path]:
    """The files in the folder whose names end like a photograph's, sorted; a link that leads out of it is none.

    Raises PermissionError where it may not be looked into.
    """
    try:
        paths = sorted(folder.iterdir())
    except PermissionError:
        raise
    except OSError:
        return []
    inside = os.path.realpath(folder)
    return [path for path in paths if path.suffix.lower() in _ALL_ENDINGS and _lies_in(path, inside)]


def _lies_in(path: Path, inside: str) -> bool:
    with suppress(OSError):
        return path.is_file() and os.path.dirname(os.path.realpath(path)) == inside
    return False
