"""The folder beside the workbook that holds its photographs, and nothing outside it."""

from __future__ import annotations

from pathlib import Path

from tracker.cells.text import fold
from tracker.photos.sniff import ENDINGS
from tracker.problem import Unreadable

_ALL_ENDINGS = tuple(ending for endings in ENDINGS.values() for ending in endings)


def folder_of(workbook: Path) -> Path:
    """The folder, which need not be there. Two workbooks whose names differ in their endings have one each."""
    real = workbook.resolve()
    return real.with_name(f"{real.name} photos")


def find_photo(workbook: Path | str, name: str) -> Path:
    """Where a photograph is that the record names; with or without its ending, in capitals or not. Raises Unreadable.

    Only the names that are in the workbook's own folder of photographs can be found, so no name leads out of it.
    """
    folder = folder_of(Path(workbook))
    there = photos_in(folder)
    exact = [path for path in there if path.name == name]
    alike = [path for path in there if fold(path.name) == fold(name)]
    bare = [path for path in there if fold(path.stem) == fold(name)]
    for found in (exact, alike, bare):
        if len(found) == 1:
            return found[0]
    raise Unreadable("photo-missing", path=name.strip(), folder=str(folder))


def photos_in(folder: Path) -> list[Path]:
    """The files in the folder whose names end like a photograph's, sorted; a link that leads out of it is none."""
    try:
        inside, paths = folder.resolve(), sorted(folder.iterdir())
        return [path for path in paths if path.suffix.lower() in _ALL_ENDINGS and _lies_in(path, inside)]
    except OSError:
        return []


def _lies_in(path: Path, inside: Path) -> bool:
    return path.is_file() and path.resolve().parent == inside
