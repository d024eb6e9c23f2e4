"""The gate for pictures: what a photograph is, and is not too much of, before anything is made of it.

A decoder may fail on hostile bytes in any way it likes, so every failure inside it counts as damage.
"""

from __future__ import annotations

import importlib
import io
import os
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from PIL import Image
from PIL.ImageFile import ImageFile
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from PIL.WebPImagePlugin import WebPImageFile

from tracker.photos.sniff import ENDINGS, HEIC, HEIC_FILM, JPEG, PNG, WEBP, scans, what_is
from tracker.problem import Unreadable
from tracker.workbook.gate import Refused, opened_file

MOST_PIXELS = 60_000_000
MOST_BYTES = 200_000_000
"""A picture of 60 megapixels takes 180,000,000 bytes without any compression at all."""

MOST_SCANS = 100
"""Each costs a pass over the whole picture; a progressive JPEG of a camera has about ten."""

_ENOUGH = 4096  # bytes, to tell the format
_OLD_METADATA = (
    "Raw profile type exif"  # as some programs wrote it into a PNG before the standard had a place for it
)

_PLAIN = {JPEG: JpegImageFile, PNG: PngImageFile, WEBP: WebPImageFile}
_SAID_ELSE = {
    "file-locked": "file-locked",
    "file-no-permission": "file-no-permission",
    "file-damaged": "photo-damaged",
}
_one_at_a_time = threading.Lock()  # else several large pictures at once would fill the memory


def read_photo(path: Path) -> bytes:
    """The bytes of a photograph. Raises Unreadable."""
    with _file(path) as file:
        return file.read(MOST_BYTES + 1)


@contextmanager
def _file(path: Path) -> Iterator[BinaryIO]:
    try:
        with opened_file(path, (path.suffix.lower(),)) as file:
            yield file
    except Refused as refused:
        slug = _SAID_ELSE.get(refused.slug, "photo-missing")
        raise Unreadable(slug, path=path.name, folder=str(path.parent)) from refused


@contextmanager
def beginning(path: Path) -> Iterator[ImageFile]:
    """A picture for its size and its metadata alone: no more is read than its format's reader needs. Raises Unreadable.

    Metadata that a PNG has behind its picture is not looked for, since all of it would be unpacked.
    """
    with _file(path) as file:
        if os.fstat(file.fileno()).st_size > MOST_BYTES:
            raise _too_many_bytes(path.name)
        kind = _format(file.read(_ENOUGH), path.name)
        file.seek(0)
        with _picture(file, kind, path.name) as image:
            if kind == PNG and _OLD_METADATA not in image.info:
                image.info.setdefault("exif", b"")
            yield image


@contextmanager
def opened(content: bytes, name: str) -> Iterator[ImageFile]:
    """A picture whose size is known but whose pixels are not yet unpacked. Raises Unreadable.

    What the body of the `with` lets Pillow do is under the same guard.
    """
    with _picture(io.BytesIO(content), _kind_of(content, name), name) as image:
        yield image


@contextmanager
def _picture(file: BinaryIO, kind: str, name: str) -> Iterator[ImageFile]:
    with _one_at_a_time, _guarded(name):
        image = _reader_of(kind, name)(file)
        _refuse_size(image.width * image.height, name)
        if kind in (PNG, WEBP) and getattr(image, "is_animated", False):
            raise Unreadable("photo-moving", path=name)
        yield image


def check_whole(content: bytes, name: str) -> None:
    """Unpack the whole picture once, as small as its format allows. Raises Unreadable."""
    if what_is(content) == PNG:
        with opened(content, name) as image:
            image.verify()  # the checksums, and the end, that unpacking alone would not look at
    with opened(content, name) as image:
        if isinstance(image, JpegImageFile):
            image.draft(None, (1, 1))
        image.load()


def format_of(content: bytes) -> str:
    """The format of a picture that came through the gate."""
    return what_is(content)


def _kind_of(content: bytes, name: str) -> str:
    if not content:
        raise Unreadable("photo-empty", path=name)
    if len(content) > MOST_BYTES:
        raise _too_many_bytes(name)
    kind = _format(content, name)
    if kind == JPEG and (count := scans(content)) > MOST_SCANS:
        raise Unreadable(
            "photo-too-large", path=name, found=f"{count:,} scans", allowed=f"{MOST_SCANS} scans"
        )
    return kind


def _format(content: bytes, name: str) -> str:
    kind = what_is(content)
    if kind == HEIC_FILM:
        raise Unreadable("photo-moving", path=name)
    if kind not in ENDINGS:
        raise Unreadable("photo-other-type", path=name, found=kind)
    return kind


def _too_many_bytes(name: str) -> Unreadable:
    allowed = f"{MOST_BYTES // 1_000_000} megabytes"
    return Unreadable("photo-too-large", path=name, found=f"more than {allowed}", allowed=allowed)


def _refuse_size(pixels: int, name: str) -> None:
    if pixels > MOST_PIXELS:
        allowed = f"{MOST_PIXELS // 1_000_000} megapixels"
        found = f"{-(-pixels // 1_000_000):,} megapixels"
        raise Unreadable("photo-too-large", path=name, found=found, allowed=allowed)


def _reader_of(kind: str, name: str) -> type[ImageFile]:
    """Pillow's reader for one format; no other is ever tried."""
    if kind != HEIC:
        return _PLAIN[kind]
    try:
        reader: type[ImageFile] = importlib.import_module("pillow_heif").HeifImageFile
    except ImportError as missing:
        raise Unreadable("photo-heic", path=name) from missing
    return reader


@contextmanager
def _guarded(name: str) -> Iterator[None]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # doubts about details of the metadata
        try:
            yield
        except Unreadable:
            raise
        except (MemoryError, Image.DecompressionBombError) as error:
            allowed = f"{MOST_PIXELS // 1_000_000} megapixels"
            raise Unreadable(
                "photo-too-large", path=name, found="more than can be unpacked", allowed=allowed
            ) from error
        except Exception as error:
            raise Unreadable("photo-damaged", path=name) from error
