"""A drawn photograph as the file that a camera would write."""

from __future__ import annotations

import io
from datetime import date
from typing import Any

from PIL import Image
from PIL.ExifTags import IFD, Base

from sample_workbooks.foot_camera import FILM

_QUALITY = 80
_WRITTEN = date(2001, 1, 1)  # stands in the files that are kept; `dated` puts the story's day in its place


def as_jpeg(picture: Any) -> bytes:
    """Pack the picture (rows × columns × 3 bytes) with what the camera says of its lens."""
    exif = Image.Exif()
    told = {Base.FocalLengthIn35mmFilm.value: FILM, Base.DateTimeOriginal.value: _stamp(_WRITTEN)}
    exif.get_ifd(IFD.Exif).update(told)
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=_QUALITY, optimize=True, exif=exif)
    return out.getvalue()


def dated(jpeg: bytes, day: date) -> bytes:
    """The same photograph, taken on that day."""
    before, after = (_stamp(each).encode() for each in (_WRITTEN, day))
    return jpeg.replace(before, after, 1)


def _stamp(day: date) -> str:
    return f"{day:%Y:%m:%d} 10:30:00"
