"""The way from the picture to the level foot and back: for drawing lines, and for laying two feet over each other."""

from __future__ import annotations

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
