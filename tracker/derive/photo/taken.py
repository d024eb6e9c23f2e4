"""A photo ready to be measured: its points looked over, its card, its scale, its camera."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tracker.derive.photo import checks, order, pose
from tracker.derive.photo.camera import Camera, centre, focal_guess, long_side
from tracker.derive.photo.numbers import Numbers
from tracker.derive.photo.points import CARDS, SCALE
from tracker.derive.photo.seen import Doubt, doubt
from tracker.derive.photo.view import View
from tracker.reference.photo import POINT_SD, TILT_SD


@dataclass(frozen=True, slots=True)
class Scale:
    """How a length is known: the card's sides, the scale's length, or mm for each px along the ground."""

    card: tuple[float, float] | None
    length: Any
    per_px: Any

    @property
    def known(self) -> bool:
        """Whether there is any."""
        return not (self.card is None and self.length is None and self.per_px is None)


@dataclass(frozen=True, slots=True)
class Taken:
    """Some feet: points and card (px), camera, error of a point (px), largest tilt thought of (radians)."""

    points: dict[str, Any]
    corners: Any
    camera: Camera
    guessed: bool
    sd: Any
    reach: float
    scale: Scale
    turned: Any
    mirrored: Any

    def only(self, feet: Any) -> Taken:
        """Some of the feet: a slice, or their numbers."""

        def cut(values: Any) -> Any:
            return None if values is None else np.broadcast_to(values, self.sd.shape)[feet]

        return replace(
            self,
            points={name: place[feet] for name, place in self.points.items()},
            corners=self.corners[:, feet],
            camera=Camera(cut(self.camera.focal), cut(self.camera.centre)),
            sd=self.sd[feet],
            scale=Scale(self.scale.card, cut(self.scale.length), cut(self.scale.per_px)),
            turned=self.turned[feet],
            mirrored=self.mirrored[feet],
        )

    def focused(self, part: Any) -> Camera:
        """The camera with this part of its focal length."""
        return Camera(self.camera.focal * part, self.camera.centre)


def taken(points: dict[str, Any], view: View, given: Numbers) -> tuple[Taken, list[Doubt]]:
    """Look the points over and settle all that is the same for every tilt."""
    size, sd, focal, tilt_sd = given.image_size, given.point_sd_px, given.focal_px, given.tilt_sd_deg
    points, told = _without_unknown_scale(points, given)
    every = np.stack(list(points.values()))
    side = long_side(every, size)
    sd = np.broadcast_to(POINT_SD.value * side if sd is None else sd, every.shape[1:])
    camera = Camera(
        np.broadcast_to(focal_guess(side) if focal is None else focal, sd.shape),
        np.broadcast_to(centre(every, size), sd.shape),
    )
    scale, corners, found = _scale(points, given, sd)
    found += told
    found += checks.missing(points, view, sized=scale.known)
    found += checks.outside(points, size)
    found += checks.together(points, sd)
    turned, mirrored, more = order.ordered(points, view, sd)
    found += more
    own = {name: place for name, place in points.items() if name not in CARDS}
    reach = pose.reach(TILT_SD.value if tilt_sd is None else tilt_sd)
    return Taken(own, corners, camera, focal is None, sd, reach, scale, turned, mirrored), found


def _without_unknown_scale(points: dict[str, Any], given: Numbers) -> tuple[dict[str, Any], list[Doubt]]:
    """Leave out the ends of a scale that gives no size, so that nothing of it gets into any error."""
    marked = SCALE.keys() <= points.keys()
    if given.scale_mm is not None and marked:
        return points, []
    found = []
    if given.scale_mm is not None:
        found.append(doubt("photo-scale-half", *SCALE))
    elif marked:
        found.append(doubt("photo-scale-size", *SCALE))
    return {name: place for name, place in points.items() if name not in SCALE}, found


def _scale(points: dict[str, Any], given: Numbers, sd: Any) -> tuple[Scale, Any, list[Doubt]]:
    """What gives the size, best first: the card, a known length, a given number."""
    corners, card = np.full((4, *sd.shape), np.nan + 0j), None
    length = given.scale_mm if SCALE.keys() <= points.keys() else None
    found: list[Doubt] = []
    if given.card_mm is not None:
        corners, found = checks.card(points, sd)
        long, short = sorted(map(float, given.card_mm), reverse=True)
        card = (long, short) if np.isfinite(corners).any() else None
    elif any(name in points for name in CARDS):
        found = [doubt("photo-card-size", *CARDS)]
    return Scale(card, length, given.mm_per_px), corners, found
