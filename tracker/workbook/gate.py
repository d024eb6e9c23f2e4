"""The gate: a file is looked at before anything parses it, and refused in the owner's words.

A cell-reading library may end the whole process on a hostile or damaged file, which nothing can catch. So
every part is unpacked here, within limits, and only what was looked at goes further.
"""

from __future__ import annotations

import codecs
import errno
import os
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from html import escape
from pathlib import Path
from typing import BinaryIO
from xml.parsers import expat

EXTENSIONS = (".xlsx", ".xlsm", ".xls", ".xlsb", ".ods")
"""The names a workbook may have; which of the formats it is, its bytes say."""

MOST_UNPACKED = 256_000_000
"""Bytes that all parts that are read may unpack to; 100,000 rows of 20 cells are about 62,000,000."""

MOST_DIRECTORY = 4_000_000
"""Bytes of the zip's directory, about 40,000 entries; a workbook has some dozens."""

MOST_RATIO = 150
"""How far a part may shrink: real sheets up to 40 times, deflate at its limit 1032 times (zlib's manual)."""

_RATIO_FROM = 4_000_000
_CHUNK = 1 << 20
COMPOUND_FILE = bytes.fromhex("D0CF11E0A1B11AE1")
_SPOILT = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError)
_SHARING_VIOLATION = (32, 33)  # Windows: another program holds the file, or a stretch of it
_BUSY = (errno.EBUSY, errno.EAGAIN, errno.ETXTBSY, errno.EDEADLK)
_NO_FILE = (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG, errno.ELOOP, errno.EINVAL)


class Refused(Exception):
    """The file is not read; `slug` says why, `words` fill the message. The caller knows the file's name."""

    def __init__(self, slug: str, **words: str) -> None:
        super().__init__(slug)
        self.slug = slug
        self.words = words


@contextmanager
def opened(path: Path) -> Iterator[Archive]:
    """Open a workbook's parts for reading. Raises Refused, also for what fails while they are read."""
    with opened_file(path) as file:
        yield Archive(file)


@contextmanager
def opened_file(path: Path, extensions: Collection[str] = EXTENSIONS) -> Iterator[BinaryIO]:
    """Open a file for reading. Raises Refused, also for what fails while it is read."""
    with refusing():
        kind = _kind_of(path)
        if stat.S_ISDIR(kind):
            raise Refused("file-is-folder")
        if path.suffix.lower() not in extensions:
            raise Refused("file-other-type")
        if not stat.S_ISREG(kind):  # opening a pipe would wait for ever
            raise Refused("file-not-workbook")
        with path.open("rb") as file:
            yield file


def is_folder(path: Path) -> bool:
    """Whether the path is a folder. Raises Refused where nothing is there."""
    with refusing():
        return stat.S_ISDIR(_kind_of(path))


@contextmanager
def refusing() -> Iterator[None]:
    """Turn the system's errors into reasons."""
    try:
        yield
    except OSError as error:
        raise Refused(_reason(error)) from error


def _kind_of(path: Path) -> int:
    try:
        return path.stat().st_mode
    except ValueError as error:  # a name that no file can have
        raise Refused("file-missing") from error


def _reason(error: OSError) -> str:
    if getattr(error, "winerror", None) in _SHARING_VIOLATION or error.errno in _BUSY:
        return "file-locked"
    if isinstance(error, PermissionError):
        return "file-no-permission"
    return "file-missing" if error.errno in _NO_FILE else "file-damaged"


class Archive:
    """The parts of a workbook by name, unpacked on demand and never beyond the limits."""

    def __init__(self, file: BinaryIO) -> None:
        file.seek(0)
        _look_at_first_bytes(file)
        _look_at_directory(file)
        with _unspoilt():
            self._zip = zipfile.ZipFile(file)
        # The names of parts do not depend on case (ECMA-376 part 2), and some writers use backslashes.
        self._entries = {part_name(entry.filename): entry for entry in self._zip.infolist()}
        self._left = MOST_UNPACKED

    def __contains__(self, name: str) -> bool:
        return part_name(name) in self._entries

    def read(self, name: str, most: int = MOST_UNPACKED) -> bytes | bytearray:
        """Give a part's XML as `plain_xml` does, if it unpacks to no more than `most` bytes. Raises Refused."""
        return plain_xml(self.read_bytes(name, most))

    def read_bytes(self, name: str, most: int = MOST_UNPACKED) -> bytearray:
        """Give a part as it is, if it unpacks to no more than `most` bytes. Raises Refused."""
        entry = self._entries.get(part_name(name))
        if entry is None or entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise Refused("file-damaged")
        if entry.flag_bits & 1:
            raise Refused("file-password")
        self._left -= entry.file_size
        shrunk_too_far = entry.file_size > max(_RATIO_FROM, MOST_RATIO * entry.compress_size)
        if self._left < 0 or entry.file_size > most or shrunk_too_far:
            raise Refused("file-too-large")
        return self._unpack(entry)

    def _unpack(self, entry: zipfile.ZipInfo) -> bytearray:
        """Unpack no more than the directory promises: where it lies, the checksum fails."""
        content, filled = bytearray(entry.file_size), 0
        with _unspoilt(), self._zip.open(entry) as member:
            while chunk := member.read(_CHUNK):
                content[filled : filled + len(chunk)] = chunk
                filled += len(chunk)
        if filled != entry.file_size:
            raise Refused("file-damaged")
        return content


@contextmanager
def _unspoilt() -> Iterator[None]:
    try:
        yield
    except _SPOILT as error:
        raise Refused("file-damaged") from error
    except OSError as error:
        if error.errno == errno.EINVAL:  # the directory names a place before the file's beginning
            raise Refused("file-damaged") from error
        raise


def part_name(name: str) -> str:
    """Bring a part's name to the form it is compared in."""
    return name.replace("\\", "/").lstrip("/").casefold()


def _look_at_first_bytes(file: BinaryIO) -> None:
    head = file.read(512)
    if not head:
        raise Refused("file-empty")
    if head.startswith(COMPOUND_FILE):
        raise Refused("file-password" if holds_stream(file, "EncryptedPackage") else "file-not-workbook")
    if not head.startswith(b"PK"):
        # A file of noughts is what a crash or a broken disk leaves of a workbook.
        raise Refused("file-not-workbook" if head.strip(b"\0") else "file-damaged")


def holds_stream(file: BinaryIO, stream: str) -> bool:
    """Whether a compound file names a stream; its directory can stand anywhere in the file."""
    file.seek(0)
    name, kept = stream.encode("utf-16-le"), b""
    while chunk := file.read(_CHUNK):
        if name in kept + chunk:
            return True
        kept = chunk[-len(name) :]
    return False


def _look_at_directory(file: BinaryIO) -> None:
    """Refuse a directory that is missing, or so long that listing it would take too much memory."""
    size = file.seek(0, os.SEEK_END)
    file.seek(max(0, size - 65_557))
    tail = file.read()
    at = tail.rfind(b"PK\x05\x06")
    if at < 0 or len(tail) < at + 22:
        raise Refused("file-damaged")
    (length,) = struct.unpack_from("<L", tail, at + 12)
    if length > MOST_DIRECTORY:
        raise Refused("file-too-large")


_ENCODING = re.compile(rb"""<\?xml[^>]*?\sencoding\s*=\s*["']([^"']*)["']""")
_ASIDE = re.compile(rb"<!--.*?-->|<!\[CDATA\[(.*?)\]\]>", re.DOTALL)


def plain_xml(content: bytes | bytearray) -> bytes | bytearray:
    """Bring XML into UTF-8, its CDATA written as text and its comments left out.

    Raises Refused for another encoding than the two a workbook may have (UTF-8 and UTF-16, ECMA-376
    part 2), for bytes that are no text, and for a DOCTYPE, which a workbook may not have either.
    """
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return plain_xml(_decoded(content, "utf-16").partition("?>")[2].encode())
    if content.startswith(codecs.BOM_UTF8):
        content = content[len(codecs.BOM_UTF8) :]
    declared = _ENCODING.match(content)
    if declared and declared[1].lower() not in (b"utf-8", b"us-ascii", b"ascii"):
        raise Refused("file-damaged")
    if not content.isascii():
        _check_utf8(content)
    if b"!" in content and b"<!" in content:  # the first alone is found far sooner
        content = _ASIDE.sub(lambda found: _escaped(found[1] or b""), content)
        if b"<!" in content:
            raise Refused("file-damaged")
    return content


def _escaped(text: bytes) -> bytes:
    return escape(text.decode(), quote=False).encode()


def _decoded(content: bytes | bytearray, encoding: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError as error:
        raise Refused("file-damaged") from error


def _check_utf8(content: bytes | bytearray) -> None:
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for start in range(0, len(content), _CHUNK):
            decoder.decode(content[start : start + _CHUNK])
        decoder.decode(b"", final=True)
    except UnicodeDecodeError as error:
        raise Refused("file-damaged") from error


def without_prefix(xml: bytes | bytearray, root: bytes) -> bytes | bytearray:
    """Take the prefix that the root element has away from all elements, as in `<x:row>`."""
    found = re.match(rb"\s*+(?:<\?[^<>]*+>\s*+)*+<([\w.-]++:)%s\b" % root, xml)
    if not found:
        return xml
    return xml.replace(b"<" + found[1], b"<").replace(b"</" + found[1], b"</")


def check_well_formed(*pieces: bytes | bytearray) -> None:
    """Raise Refused if the pieces together are not one XML document."""
    parser = expat.ParserCreate()
    try:
        for piece in pieces:
            parser.Parse(piece, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise Refused("file-damaged") from error
