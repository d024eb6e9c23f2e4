"""The numbers given beside the points: sizes, scales, errors. What is none is told and not used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypedDict

import numpy as np

from tracker.derive.photo.seen import Doubt, doubt


@dataclass(frozen=True, slots=True)
class Numbers:
    """What is known of a picture besides its points; None where it is not.

    `mm_per_px` and `scale_mm` (the true distance of scale_a and scale_b) in mm, `card_mm` and `image_size`
    as pairs, `focal_px` and `point_sd_px` in px, `tilt_sd_deg` in degrees.
    """

    mm_per_px: Any = None
    scale_mm: Any = None
    card_mm: Any = None
    focal_px: Any = None
    image_size: Any = None
    point_sd_px: Any = None
    tilt_sd_deg: Any = None


class Given(TypedDict, total=False):
    """The same as they are given: anything may stand there."""

    mm_per_px: Any
    scale_mm: Any
    card_mm: Any
    focal_px: Any
    image_size: Any
    point_sd_px: Any
    tilt_sd_deg: Any


MOST = 1e8  # px, mm: no picture has more, and beyond it figures lose their last places
_PAIRS = ("card_mm", "image_size")
_ERRORS = ("point_sd_px", "tilt_sd_deg")  # may be zero


def sound(feet: int, **given: Any) -> tuple[Numbers, list[Doubt]]:
    """Keep what is a number, one or one a foot; a pair where one is wanted."""
    kept: dict[str, Any] = {}
    found = []
    for name, value in given.items():
        if value is None:
            continue
        read = _read(value, name, feet)
        if read is None:
            found.append(doubt("photo-size", found=f"{name} {value!r}"[:80], name=name, wanted=_wanted(name)))
        else:
            kept[name] = read
    return Numbers(**kept), found


def _read(value: Any, name: str, feet: int) -> Any:
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        return None
    shapes = [(2,)] if name in _PAIRS else [(), (1,), (feet,)]
    low = 0 if name in _ERRORS else 1 / MOST
    if numbers.shape not in shapes or not ((numbers >= low) & (numbers <= MOST)).all():
        return None
    if name in _PAIRS:
        return tuple(numbers.tolist())
    if name == "tilt_sd_deg":
        return float(numbers) if numbers.ndim == 0 else None
    return numbers


def _wanted(name: str) -> str:
    if name in _PAIRS:
        return "two numbers above 0"
    return "a number, 0 or more" if name in _ERRORS else "a number above 0"
