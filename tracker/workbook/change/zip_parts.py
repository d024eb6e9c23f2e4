"""The zip around a workbook, taken apart and put together again without touching what stays.

The standard library writes every entry anew. Here each entry that stays is copied byte for byte, its place in
the directory included; only what changed is packed again.

References: PKWARE, APPNOTE.TXT 6.3.10, sections 4.3.7 (local file header), 4.3.12 (central directory), 4.3.16 (its end).
"""

from __future__ import annotations

import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise

from tracker.workbook.gate import Refused, part_name

LEVEL = 3
"""Deflate's level for what changed: a seventh larger than level 6, in under half of its time."""

_LOCAL, _LISTED, _END = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"
_LISTED_SIZE, _END_SIZE = 46, 22
_UTF8 = 0x800
_DEFLATED, _NEEDS = 8, 20
_LARGE = 0xFFFFFFFF


def unusual(reason: str) -> Refused:
    """The refusal of a file that can be read, but is not put together in a way that can be changed safely."""
    return Refused("write-unusual", reason=reason)


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry as it stands: its record in the directory, and its bytes with all that lies before the next."""

    name: str
    record: bytes
    local: memoryview


class ZipParts:
    """The entries of a zip, in order. Raises Refused for a zip that this cannot copy."""

    def __init__(self, content: bytes) -> None:
        archive = zipfile.ZipFile(BytesIO(content))
        at = archive.start_dir
        infos = archive.infolist()
        starts = sorted([info.header_offset for info in infos] + [at])
        ends = dict(pairwise(starts))
        view = memoryview(content)
        if starts[0] != 0:
            raise unusual("something stands before its first part")
        self._entries: list[_Entry] = []
        for info in infos:
            record = bytes(view[at : at + _LISTED_SIZE + sum(struct.unpack_from("<HHH", content, at + 28))])
            sizes_and_place = (*struct.unpack_from("<LL", record, 20), *struct.unpack_from("<L", record, 42))
            if not record.startswith(_LISTED) or sizes_and_place[2] != info.header_offset:
                raise unusual("its parts do not lie where its directory says")
            if _LARGE in sizes_and_place:
                raise unusual("it is a zip file of the 64-bit kind")
            local = view[info.header_offset : ends[info.header_offset]]
            self._entries.append(_Entry(info.filename, record, local))
            at += len(record)
        if content[at : at + 4] != _END:
            raise unusual("its directory has an addition")
        self._tail = content[at:]
        self._by_name = {part_name(entry.name): entry for entry in self._entries}
        if len(self._by_name) < len(self._entries):
            raise unusual("two of its parts have the same name")

    def __contains__(self, name: str) -> bool:
        return part_name(name) in self._by_name

    @property
    def names(self) -> list[str]:
        """Every entry's name, in order, as the file spells it."""
        return [entry.name for entry in self._entries]

    def raw(self) -> list[tuple[str, bytes]]:
        """Every entry's name and packed bytes, header included, in order."""
        return [(entry.name, bytes(entry.local)) for entry in self._entries]

    def rebuilt(self, changed: Mapping[str, bytes | bytearray]) -> bytes:
        """Give the file with these parts' content in place of theirs; a name that is new comes last."""
        new = {part_name(name): content for name, content in changed.items()}
        pieces: list[bytes | memoryview] = []
        records: list[bytes] = []
        at = 0
        for entry in self._entries:
            local: bytes | memoryview = entry.local
            record = entry.record
            if (content := new.pop(part_name(entry.name), None)) is not None:
                local, record = _packed(record, content)
            pieces.append(local)
            records.append(record[:42] + struct.pack("<L", at) + record[46:])
            at += len(local)
        for name in (name for name in changed if part_name(name) in new):
            local, record = _packed(_new_record(name), changed[name])
            pieces.append(local)
            records.append(record[:42] + struct.pack("<L", at) + record[46:])
            at += len(local)
        directory = b"".join(records)
        counts = struct.pack("<HHLL", len(records), len(records), len(directory), at)
        return b"".join([*pieces, directory, self._tail[:8], counts, self._tail[20:]])


def _packed(record: bytes, content: bytes | bytearray) -> tuple[bytes, bytes]:
    """Give the local entry and the directory record of new content, under the name of the record."""
    squeezer = zlib.compressobj(LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    data = squeezer.compress(content) + squeezer.flush()
    made_by, moment = record[4:6], record[12:16]
    name_length, extra_length, comment_length = struct.unpack_from("<HHH", record, 28)
    name = record[_LISTED_SIZE : _LISTED_SIZE + name_length]
    comment = record[_LISTED_SIZE + name_length + extra_length :]
    (flags,) = struct.unpack_from("<H", record, 8)
    common = (
        struct.pack("<HHH", _NEEDS, flags & _UTF8, _DEFLATED)
        + moment
        + struct.pack("<LLL", zlib.crc32(content), len(data), len(content))
    )
    local = _LOCAL + common + struct.pack("<HH", name_length, 0) + name + data
    listed = _LISTED + made_by + common + struct.pack("<HHH", name_length, 0, comment_length) + record[34:46]
    return local, listed + name + comment


def _new_record(name: str) -> bytes:
    """A directory record for a part that the file did not have; its moment is the zip's first, 1 January 1980."""
    encoded = name.encode()
    flags = 0 if encoded.isascii() else _UTF8
    fields = struct.pack("<HHHHHHLLLHHHHHLL", 45, _NEEDS, flags, _DEFLATED, 0, 0x21, 0, 0, 0, len(encoded), 0, 0, 0, 0, 0, 0)  # fmt: skip
    return _LISTED + fields + encoded
