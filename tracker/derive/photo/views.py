"""A foot seen from the side, from the front, and from below: the public functions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Unpack

from tracker.derive.photo.front import FRONT
from tracker.derive.photo.inner import from_below, from_the_front
from tracker.derive.photo.numbers import Given
from tracker.derive.photo.see import see
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.side import SIDE
from tracker.derive.photo.sole import SOLE


def side_view(
    points: Mapping[str, Any],
    *,
    mm_per_px: Any = None,
    scale_mm: Any = None,
    card_mm: tuple[float, float] | None = None,
    focal_px: Any = None,
    image_size: tuple[float, float] | None = None,
    point_sd_px: Any = None,
    tilt_sd_deg: float | None = None,
) -> Seen:
    """Angles (deg) and lengths (mm) of a foot from points marked on a photo from the side, each with its sd.

    `points` maps names (`tracker.derive.photo.points.SIDE`) to (x, y) in pixels of the upright picture, y
    downward; or to arrays of shape (n, 2) for n feet, NaN where a foot has no such point. Which way the
    foot faces, and how the camera was rolled, does not matter. Measures that want for a point are left
    out, and `doubts` of what comes back say so; a mistake never raises.

    `mm_per_px` is the size of a pixel along the ground at the foot; `scale_mm` the distance from `scale_a`
    to `scale_b`; `card_mm` the sides of a flat card whose corners are marked in turn. Each must lie in the
    plane that is measured: z mm nearer to the camera, at D mm, lengths read (D − z)/D of the truth (angles
    stay). Best first: card, scale, number. `focal_px` and `image_size` (width, height) describe the
    camera; unknown, a telephone's is taken, and the points' own middle for the picture's.

    `point_sd_px` is the error of a marked point in x and in y, by default `POINT_SD` of the long side.
    `tilt_sd_deg` is the camera's spread from square to the foot, to the side and in height, by default
    `TILT_SD`: every tilt up to √3 times it is as likely as the others. A card measures the tilt; what its
    own corners leave unsure is in the error.

    The interval of 95 % is value ± 1.96 sd. Not in the error: that the foot is not flat, where the owner
    thinks the hairline lies, how the horse stood.

    References: JCGM 100:2008 (points, scale); JCGM 101:2008 (the check by drawing at random).
    """
    return see(
        points, SIDE, mm_per_px=mm_per_px, scale_mm=scale_mm, card_mm=card_mm, focal_px=focal_px,
        image_size=image_size, point_sd_px=point_sd_px, tilt_sd_deg=tilt_sd_deg,
    )  # fmt: skip


def front_view(points: Mapping[str, Any], *, foot: str | None = None, **given: Unpack[Given]) -> Seen:
    """Wall angles, flares and the hairline's tilt (deg), heights (mm) from a photo from the front, with sd.

    As `side_view`, with the names of `tracker.derive.photo.points.FRONT`. Where `foot` ("LF" …) is given, a
    doubt says so if the inner side is not marked where that foot has it; everything is measured as marked.
    """
    return from_the_front(see(points, FRONT, **given), foot)


def sole_view(points: Mapping[str, Any], *, foot: str | None = None, **given: Unpack[Given]) -> Seen:
    """Lengths, widths (mm) and ratios of the sole and the frog from a photo from below, each with its sd.

    As `side_view`, with the names of `tracker.derive.photo.points.SOLE`; nothing is measured to the ground.
    `foot` as for `front_view`.
    """
    return from_below(see(points, SOLE, **given), points, foot)
