"""One stream of a compound file, the container of the old kind of workbook ([MS-CFB])."""

from __future__ import annotations

import struct
from array import array

from tracker.workbook.gate import Refused

_HEADER = struct.Struct("<28xHHH14xL4xLL4xL")  # §2.2: what is needed of it, from the byte order on
_FIRST_FAT_PLACES = (76, 512)
_LAST_SECTOR = 0xFFFFFFF9  # what is larger is no sector but a mark
_ENTRY = 128
_STORAGE_ROOT, _STREAM = 5, 2


def stream(content: bytes, *names: str) -> bytes | None:
    """Give the first of the named streams; None where the file has none of them. Raises Refused."""
    try:
        return _CompoundFile(content).stream(names)
    except (struct.error, IndexError, ValueError) as error:
        raise Refused("file-damaged") from error


class _CompoundFile:
    """A file of sectors, each stream a chain of them; short streams lie in the sectors of another one."""

    def __init__(self, content: bytes) -> None:
        self.content = content
        header = _HEADER.unpack_from(content)
        (order, shift, mini_shift, directory, self.cutoff, mini_fat, more) = header
        if order != 0xFFFE or shift not in (9, 12) or mini_shift >= shift:
            raise Refused("file-damaged")
        self.size, self.mini_size = 1 << shift, 1 << mini_shift
        self.fat: array[int] = array("L")
        self.fat = self._fat(more)
        self.mini_fat = _numbers(self._chained(mini_fat)) if mini_fat <= _LAST_SECTOR else array("I")
        self.entries = self._entries(directory)

    def stream(self, names: tuple[str, ...]) -> bytes | None:
        found = {
            name.casefold(): (start, size) for name, kind, start, size in self.entries if kind == _STREAM
        }
        place = next((found[name.casefold()] for name in names if name.casefold() in found), None)
        if place is None:
            return None
        start, size = place
        if size >= self.cutoff:
            return self._chained(start)[:size]
        root = next(start for _, kind, start, _ in self.entries if kind == _STORAGE_ROOT)
        minis = self._chained(root)
        return b"".join(
            minis[number * self.mini_size : (number + 1) * self.mini_size]
            for number in _chain(self.mini_fat, start)
        )[:size]

    def _fat(self, more: int) -> array[int]:
        """The table of chains, whose own sectors are listed in the header and, of a large file, beyond it."""
        start, end = _FIRST_FAT_PLACES
        places = list(_numbers(self.content[start:end]))
        seen: set[int] = set()
        while more <= _LAST_SECTOR:
            if more in seen:
                raise Refused("file-damaged")
            seen.add(more)
            *listed, more = _numbers(self._sector(more))
            places += listed
        sectors = [place for place in places if place <= _LAST_SECTOR]
        if len(sectors) > len(self.content) // self.size:
            raise Refused("file-damaged")
        return _numbers(b"".join(map(self._sector, sectors)))

    def _entries(self, start: int) -> list[tuple[str, int, int, int]]:
        """Name, kind, first sector and size in bytes of each entry of the directory (§2.6.1)."""
        directory = self._chained(start)
        entries = []
        for at in range(0, len(directory) - _ENTRY + 1, _ENTRY):
            length, kind = struct.unpack_from("<HB", directory, at + 64)
            first, size = struct.unpack_from("<LL", directory, at + 116)
            name = directory[at : at + max(0, min(length, 64) - 2)].decode("utf-16-le", errors="replace")
            entries.append((name, kind, first, size))
        return entries

    def _chained(self, start: int) -> bytes:
        return b"".join(map(self._sector, _chain(self.fat, start)))

    def _sector(self, number: int) -> bytes:
        at = (number + 1) * self.size
        if at >= len(self.content):
            raise Refused("file-damaged")
        return self.content[at : at + self.size]


def _chain(table: array[int], start: int) -> list[int]:
    """Follow a chain of sectors to its end, which comes before it could meet itself."""
    numbers: list[int] = []
    while start <= _LAST_SECTOR:
        if len(numbers) > len(table):
            raise Refused("file-damaged")
        numbers.append(start)
        start = table[start]
    return numbers


def _numbers(content: bytes) -> array[int]:
    return array("I", struct.unpack(f"<{len(content) // 4}L", content[: len(content) // 4 * 4]))
