"""The few things that a camera wrote beside the picture and that are used; the place is never read.

References: CIPA DC-008 (Exif), the tags Orientation, DateTimeOriginal, FocalLength, FocalLengthIn35mmFilm,
FocalPlaneXResolution, FocalPlaneYResolution, FocalPlaneResolutionUnit, DigitalZoomRatio, PixelXDimension,
PixelYDimension.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from contextlib import suppress

from PIL.ExifTags import IFD, Base
from PIL.Image import Image

FILM_DIAGONAL = math.hypot(36, 24)
"""mm; the frame of 35 mm film (ISO 1007) is 36 mm × 24 mm, so 43.27 mm."""

EARLIEST = dt.date(1995, 1, 1)
"""The first Exif standard is of 1995 (JEIDA); a day before it is a camera's clock that was never set."""

_UNITS = {
    2: 25.4,
    3: 10.0,
    4: 1.0,
    5: 0.001,
}  # mm; 4 and 5 are no part of the standard, but cameras write them
_NEAR = 0.05  # 24 mm rounded to whole millimetres is off by 2 % already
_SHORTEST, _LONGEST = 0.2, 100  # of the long side: about 8 mm to 3,500 mm on 35 mm film

Tags = Mapping[int, object]


def orientation_of(image: Image) -> int:
    """How the stored picture has to be turned, 1 to 8 as the Exif standard numbers them; 1 where it does not say."""
    with suppress(Exception):  # metadata that cannot be read says nothing
        value = image.getexif().get(Base.Orientation)
        if isinstance(value, int) and 1 <= value <= 8:
            return value
    return 1


def shot_of(image: Image) -> Tags:
    """What the camera wrote about the shot, by tag number; empty where nothing can be read."""
    with suppress(Exception):
        return dict(image.getexif().get_ifd(IFD.Exif))
    return {}


def day_of(shot: Tags, today: dt.date) -> dt.date | None:
    """The day the photograph was taken; None where the camera's clock cannot have been right.

    A camera may be a day ahead of `today`, in another part of the world.
    """
    text = shot.get(Base.DateTimeOriginal)
    if not isinstance(text, str):
        return None
    try:
        day = dt.datetime.strptime(text[:10], "%Y:%m:%d").date()
    except ValueError:
        return None
    return day if EARLIEST <= day <= today + dt.timedelta(days=1) else None


def focal_px(shot: Tags, width: int, height: int) -> float | None:
    """Focal length in pixels of a picture of so many pixels, either way up; None where it is not known.

    From FocalLengthIn35mmFilm: f × diagonal of the picture ÷ 43.27 mm, the same angle over the diagonal.
    It is a whole number of millimetres. Where FocalLength × FocalPlaneResolution (pixels per unit) ×
    DigitalZoomRatio says the same but for that rounding, this finer figure is used; where the two agree only
    without the zoom, it cannot be told whether they hold it, and nothing is said. A picture of another shape
    than the camera recorded was cropped, and its focal length is not known. Sources: CIPA DC-008 for the tags,
    CIPA DCG-001 for the equivalence by the diagonal; that it holds the digital zoom is common practice.
    """
    resized = _resized(shot, width, height)
    if resized is None:
        return None
    film = _number(shot, Base.FocalLengthIn35mmFilm)
    by_film = film * math.hypot(width, height) / FILM_DIAGONAL if film else None
    by_plane = _by_plane(shot, resized)
    found = _agreed(by_film, by_plane, max(1.0, _number(shot, Base.DigitalZoomRatio) or 1.0))
    sane = found is not None and _SHORTEST <= found / max(width, height) <= _LONGEST
    return found if sane else None


def _agreed(by_film: float | None, by_plane: float | None, zoom: float) -> float | None:
    if by_plane is None:
        return by_film
    if by_film is None or _near(by_plane * zoom, by_film):
        return by_plane * zoom
    return None if _near(by_plane, by_film) else by_film


def _near(one: float, other: float) -> bool:
    return abs(one / other - 1) <= _NEAR


def _by_plane(shot: Tags, resized: float) -> float | None:
    """Pixels, without any digital zoom; None where the pixels are not square."""
    focal, across, down = (
        _number(shot, tag)
        for tag in (Base.FocalLength, Base.FocalPlaneXResolution, Base.FocalPlaneYResolution)
    )
    unit = shot.get(Base.FocalPlaneResolutionUnit, 2)
    if not (focal and across and isinstance(unit, int) and unit in _UNITS):
        return None
    if down and not _near(across, down):
        return None
    return focal * across / _UNITS[unit] * resized


def _resized(shot: Tags, width: int, height: int) -> float | None:
    """How much larger the picture is than the camera recorded; 1 where that is not said, None where it was cropped."""
    recorded = [_number(shot, tag) for tag in (Base.ExifImageWidth, Base.ExifImageHeight)]
    if None in recorded:
        return 1.0
    short, long = sorted(side for side in recorded if side)
    across, along = min(width, height) / short, max(width, height) / long
    alike = abs(across / along - 1) <= 0.01 or abs(across * short - along * short) <= 1
    return along if alike else None


def _number(shot: Tags, tag: int) -> float | None:
    """A number above 0; in these tags 0 stands for unknown, or for not used."""
    try:
        number = float(shot[tag])  # type: ignore[arg-type]
    except (KeyError, TypeError, ValueError, ArithmeticError):
        return None
    return number if math.isfinite(number) and number > 0 else None
