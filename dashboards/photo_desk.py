"""Photographs at the desk: kept beside the workbook, shown without their metadata, measured, and entered."""

from __future__ import annotations

import logging
import threading
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dashboards.desk import Desk, T
from dashboards.library import Trouble
from tracker import (
    Entered,
    KeptPhoto,
    Marking,
    NotWritten,
    Photo,
    Seen,
    TakenBack,
    Unreadable,
    enter_marking,
    find_photo,
    keep_photo,
    levelled_photo,
    lines_beside,
    look_at_photo,
    photos_of,
    read_marking,
    shown_photo,
    window_of,
)  # fmt: skip

LARGEST_SIDE = 2400
"""Of a picture on the screen, px: more than a screen shows, less than a telephone takes."""

WINDOW = (-50.0, 190.0, -20.0, 170.0)
"""What of a level foot is shown, mm: from before the toe to behind the heel, from under the ground up."""

PER_MM = 3  # pixels
_SHOWN = 8  # pictures that are kept ready

_UNEXPECTED = Trouble(
    "Something went wrong inside the program; nothing was changed as far as it knows.",
    "Try again; the program's log holds the details.",
)


@dataclass(frozen=True, slots=True)
class Measured:
    """What the points say so far, as the photograph's own camera has them."""

    seen: Seen
    lines: tuple[Any, ...]


class PhotoDesk:
    """The photographs of one workbook, for any number of pages at once."""

    def __init__(self, file: Path, desk: Desk) -> None:
        self.desk = desk
        self._file = file
        self._lock = threading.Lock()
        self._shown: OrderedDict[tuple[Any, ...], bytes] = OrderedDict()

    def names(self) -> tuple[str, ...]:
        """The photographs in the folder beside the workbook, by name; none where it cannot be read."""
        try:
            return photos_of(self._file)
        except (Unreadable, OSError):
            return ()

    def keep(self, content: bytes, name: str) -> KeptPhoto | Trouble:
        """Keep the bytes of a photograph beside the workbook, untouched."""
        return self._tried(lambda: keep_photo(self._file, content, name))

    def look(self, name: str) -> Photo | Trouble:
        """What a photograph says of itself."""
        return self._tried(lambda: look_at_photo(find_photo(self._file, name)))

    def shown(self, name: str, side: int) -> bytes | Trouble:
        """The picture for a screen, no side longer than so many pixels."""
        return self._tried(lambda: self._picture(name, min(max(side, 1), LARGEST_SIDE)))

    def _picture(self, name: str, side: int) -> bytes:
        path = find_photo(self._file, name)
        return self._ready(path, side, lambda: shown_photo(path, side))

    def _ready(self, path: Path, how: Any, make: Callable[[], bytes]) -> bytes:
        """The picture made so, kept ready for the next time."""
        status = path.stat()
        key = (path, status.st_mtime_ns, status.st_size, how)
        with self._lock:  # one picture at a time: a large one fills much of the memory
            if key not in self._shown:
                self._shown[key] = make()
            self._shown.move_to_end(key)
            while len(self._shown) > _SHOWN:
                self._shown.popitem(last=False)
            return self._shown[key]

    def point_part(self) -> float | None:
        """How well the owner places a point, as the workbook has it now; as for `read_marking`."""
        book = self.desk.library.read().book
        return book.point_part if book else None

    def measure(
        self, marking: Marking, lines: Sequence[tuple[str, str]] = (), point_part: float | None = None
    ) -> Measured | Trouble:
        """What the points say so far, with the lines that were asked for, as for `lines_beside`. Nothing is written.

        `point_part` as for `read_marking`.
        """
        return self._tried(lambda: self._measured(marking, lines, point_part))

    def _measured(
        self, marking: Marking, lines: Sequence[tuple[str, str]] = (), point_part: float | None = None
    ) -> Measured:
        photo = look_at_photo(find_photo(self._file, marking.photo))
        size = (float(photo.width), float(photo.height))
        camera: Any = {"focal_px": photo.focal_px, "image_size": size, "point_part": point_part}
        seen = read_marking(marking, **camera)
        return Measured(seen, tuple(lines_beside(marking, lines, **camera)))

    def levelled(self, marking: Marking) -> bytes | Trouble:
        """The foot level and to scale, in one window for all feet; see `WINDOW`."""
        return self._tried(lambda: self._levelled(marking))

    def _levelled(self, marking: Marking) -> bytes:
        path = find_photo(self._file, marking.photo)
        corners = window_of(self._measured(marking).seen, *WINDOW)
        if corners is None:
            return self._picture(marking.photo, 1200)
        left, right, low, high = WINDOW
        size = (round((right - left) * PER_MM), round((high - low) * PER_MM))
        return self._ready(path, corners, lambda: levelled_photo(path, corners, size))

    def enter(
        self, marking: Marking, loaded: Marking | None = None, *, again: bool = False
    ) -> Sequence[Entered] | Trouble:
        """Write the points and what they measure, or keep them beside the workbook; `loaded`, `again` as for `enter_marking`."""

        def entered() -> Sequence[Entered]:
            part = self.point_part()
            before = [self._measured(loaded, (), way).seen for way in (part, None)] if loaded else []
            seen = self._measured(marking, (), part).seen
            return enter_marking(self._file, marking, seen, loaded=loaded, loaded_seen=before, again=again)

        return self._tried(lambda: self.desk.alone(entered))

    def undo(self, entries: Sequence[str]) -> Trouble | TakenBack:
        """Take back what was entered in one go, the last first; says why where one stays."""
        taken: Trouble | TakenBack = TakenBack()
        for entry in reversed(entries):
            taken = self.desk.undo(entry)
            if isinstance(taken, Trouble) or taken.reason:
                return taken
        return taken

    def _tried(self, doing: Callable[[], T]) -> T | Trouble:
        try:
            return doing()
        except (NotWritten, Unreadable) as failure:
            return self.desk.told(failure)
        except Exception:
            logging.getLogger(__name__).exception("a photograph")
            return _UNEXPECTED
