"""A pinhole camera in the world of `sample_workbooks.foot_model`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

SIZE = (4000, 3000)
FOCAL = 9820.0
"""px; a short telephoto lens, see `FILM`."""

FILM = 85
"""mm on 35 mm film, as the camera writes it: 85 × 5000 px ÷ 43.27 mm = 9823 px."""


@dataclass(frozen=True, slots=True)
class Pinhole:
    """A camera at `place` that looks at `target`, turned by `roll` degrees; `scale` makes a smaller picture."""

    place: tuple[float, float, float]
    target: tuple[float, float, float]
    roll: float = 0.0
    scale: float = 1.0

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the picture, px."""
        return round(SIZE[0] * self.scale), round(SIZE[1] * self.scale)

    @property
    def focal(self) -> float:
        """Focal length, px."""
        return FOCAL * self.scale

    @property
    def turn(self) -> Any:
        """The rows right, down and forward, in world directions."""
        forward = np.subtract(self.target, self.place)
        forward = forward / np.linalg.norm(forward)
        right = np.cross(forward, [0.0, 1.0, 0.0])
        right /= np.linalg.norm(right)
        down = np.cross(forward, right)
        cos, sin = np.cos(np.radians(self.roll)), np.sin(np.radians(self.roll))
        return np.stack([right * cos + down * sin, down * cos - right * sin, forward])

    def project(self, points: Any) -> tuple[Any, Any]:
        """Pixels (… × 2) of world points (… × 3), and how far before the camera they lie, mm."""
        seen = (np.asarray(points, float) - np.array(self.place)) @ self.turn.T
        return self.focal * seen[..., :2] / seen[..., 2:] + np.array(self.size) / 2, seen[..., 2]

    def rays(self, pixels: Any) -> Any:
        """Directions (… × 3) in which the camera looks through those pixels (… × 2)."""
        flat = (pixels - np.array(self.size) / 2) / self.focal
        return np.concatenate([flat, np.ones((*flat.shape[:-1], 1))], axis=-1) @ self.turn
