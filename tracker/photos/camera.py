"""The cameras of a workbook's photographs, for measuring: how large each picture is, and its focal length."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path

from tracker.photos.exif import focal_px, orientation_of, shot_of
from tracker.photos.folder import folder_of, photos_in
from tracker.photos.gate import beginning
from tracker.problem import Unreadable

Camera = tuple[float | None, tuple[float, float]]
"""Focal length in px, None where it is not known, and the upright picture's width and height."""

_REMEMBERED = 4096  # photographs; a workbook is read anew whenever its owner saves it


def cameras_of(workbook: Path | str, names: Iterable[str]) -> Mapping[str, Camera]:
    """The camera of each photograph, by the name of its file; one that is not there, or cannot be read, has none.

    Only the first bytes are read, and once for as long as the file stays the same.
    """
    wanted = {*names}
    try:
        there = {path.name: path for path in photos_in(folder_of(Path(workbook))) if path.name in wanted}
    except OSError:
        return {}
    found = {name: _camera(path) for name, path in there.items()}
    return {name: camera for name, camera in found.items() if camera}


def _camera(path: Path) -> Camera | None:
    try:
        status = path.stat()
        return _looked_at(path, status.st_mtime_ns, status.st_size)
    except (OSError, Unreadable):
        return None


@lru_cache(_REMEMBERED)
def _looked_at(path: Path, changed: int, size: int) -> Camera:  # the last two tell one file from the next
    with beginning(path) as image:
        width, height = image.size[::-1] if orientation_of(image) >= 5 else image.size
        return focal_px(shot_of(image), width, height), (float(width), float(height))
