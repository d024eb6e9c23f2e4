"""The way from the picture to the level foot and back: for drawing lines, and for laying two feet over each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tracker.derive.photo.camera import Camera


@dataclass(frozen=True, slots=True)
class Plane:
    """The measured plane as the likeliest tilt has it, one number a foot each.

    `along` is the direction of the ground from toe to heel (or inner to outer) in the plane, `mirrored`
    whether up lies to its other side, `origin` where the toe meets the ground, `mm` the true size of one
    unit of the plane. Where the picture has no scale, `sized` is False and the unit is a pixel at the
    foot's middle.
    """

    camera: Camera
    yaw: Any
    pitch: Any
    along: Any
    mirrored: Any
    origin: Any
    mm: Any
    sized: bool

    @property
    def toe_right(self) -> bool:
        """Whether one foot's toe (or its inner side) lies to the right in the picture, once that is held level."""
        return not np.any(self.mirrored)

    def level(self, pixels: Any) -> Any:
        """Give the level places, mm (x from toe to heel, y up), of points in the picture (… × 2), px."""
        places = np.asarray(pixels, dtype=float)
        plane = self.camera.rectify(places[..., 0] + 1j * places[..., 1], self.yaw, self.pitch)
        laid = (plane - self.origin) / self.along * self.mm
        return np.stack([laid.real, np.where(self.mirrored, -1, 1) * laid.imag], axis=-1)

    def picture(self, places: Any) -> Any:
        """Give the pixels (… × 2) at which level places (… × 2, mm) appear; `level` turned round."""
        level = np.asarray(places, dtype=float)
        laid = level[..., 0] + 1j * np.where(self.mirrored, -1, 1) * level[..., 1]
        shown = self.camera.project(laid / self.mm * self.along + self.origin, self.yaw, self.pitch)
        return np.stack([shown.real, shown.imag], axis=-1)


def unmirrored(corners: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """A window's corners in a picture, upper left, lower left, lower right, upper right, left and right as in the picture.

    A window whose left lies on the right would show the picture mirrored: its sides change places.
    """
    upper_left, lower_left, lower_right, upper_right = (complex(*corner) for corner in corners)
    turn = ((lower_right - upper_left).conjugate() * (upper_right - lower_left)).imag
    return tuple(corners) if turn < 0 else tuple(corners[::-1])
