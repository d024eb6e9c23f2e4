"""What the card tells about the picture, where that is worth a word."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from tracker.derive.photo.camera import off_plane
from tracker.derive.photo.error import NO_FIT
from tracker.derive.photo.points import CARDS, SCALE
from tracker.derive.photo.seen import Doubt, doubts
from tracker.derive.photo.taken import Taken
from tracker.reference.photo import NEAR, SCALES_DIFFER

_STEP = 10.0  # mm before the measured plane


def by_scale(photo: Taken, telling: Mapping[str, Any], given: Mapping[str, Any]) -> list[Doubt]:
    """That the camera was near; nothing is said of a distance that rests on no knowledge of the camera."""
    found = by_card(photo, telling)
    if given.get("focal_px") is None and given.get("image_size") is None:
        return found
    distance = telling["distance"][0]
    marked = CARDS if photo.scale.card else SCALE if photo.scale.length is not None else ()
    return found + _near(distance, distance < NEAR.value, marked)


def by_card(photo: Taken, telling: Mapping[str, Any]) -> list[Doubt]:
    """That it does not fit, that the camera was far from square, that two scales differ."""
    if not photo.scale.card:
        return []
    unfit = telling["misfit"] > NO_FIT
    wide, differ = telling["wide"] > 0, _differ(photo, telling)
    return [
        *doubts(unfit, "photo-card-fit", *CARDS),
        *doubts(
            wide, "photo-far-from-square", *CARDS,
            tilt=f"{_typical(telling['tilt'][0], wide):.0f}", limit=f"{np.degrees(photo.reach):.0f}",
        ),
        *doubts(
            differ, "photo-scales-differ", *CARDS, *SCALE,
            percent=f"{100 * _typical(np.abs(telling['off'][0] - 1), differ):.0f}",
        ),
    ]  # fmt: skip


def _near(distance: Any, near: Any, marked: Iterable[str]) -> list[Doubt]:
    typical = _typical(distance, near)
    short = min(100 * (1 - off_plane(_STEP, typical)), 100)
    return doubts(near, "photo-near", *marked, distance=f"{typical:.0f}", percent=f"{short:.1f}")


def _typical(values: Any, feet: Any) -> float:
    return float(np.median(values[feet])) if feet.any() else np.nan


def _differ(photo: Taken, telling: Mapping[str, Any]) -> Any:
    """Whether a marked scale's size differs from the card's by more than the error of both."""
    ends = [photo.points.get(name, np.nan) for name in SCALE]
    card = np.abs(photo.corners[2] - photo.corners[0])
    own = np.sqrt(2) * photo.sd * np.hypot(1 / np.abs(np.subtract(*ends)), 1 / card)
    off, off_sd = telling["off"]
    return np.abs(off - 1) > SCALES_DIFFER.value + 3 * np.hypot(off_sd, np.nan_to_num(own))
