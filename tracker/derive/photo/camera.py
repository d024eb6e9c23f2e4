"""The projection of a pinhole camera: from a picture back to the flat plane that is measured.

Points are complex numbers, x + iy, with y downward. In the picture they are pixels; in the plane the unit
is the distance from the camera, so that only a known length turns them into mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from tracker.reference.photo import FOCAL

# Without the picture's size it is taken as this many times the marked points' spread.
_FILLED = 3.0


@dataclass(frozen=True, slots=True)
class Camera:
    """Focal length and middle of the picture, in pixels, one for each foot or one for all."""

    focal: Any
    centre: Any

    def rectify(self, pixels: Any, yaw: Any, pitch: Any) -> Any:
        """Give the points of a plane that the camera saw from `yaw` (side) and `pitch` (above), radians."""
        ray = (pixels - self.centre) / self.focal
        across, down = ray.real.copy(), ray.imag.copy()
        depth = np.cos(pitch) - np.sin(pitch) * down
        down = np.cos(pitch) * down + np.sin(pitch)
        distance = np.cos(yaw) * depth
        distance += np.sin(yaw) * across
        depth = np.cos(yaw) * across - np.sin(yaw) * depth
        plane = np.empty(distance.shape, complex)
        np.divide(depth, distance, out=plane.real)
        np.divide(down, distance, out=plane.imag)
        return plane

    def project(self, plane: Any, yaw: Any, pitch: Any) -> Any:
        """Give the pixels at which the camera sees the points of that plane; `rectify` turned round."""
        depth = np.cos(yaw) - np.sin(yaw) * plane.real
        across = np.cos(yaw) * plane.real + np.sin(yaw)
        down = np.cos(pitch) * plane.imag - np.sin(pitch) * depth
        depth = np.cos(pitch) * depth + np.sin(pitch) * plane.imag
        return self.centre + self.focal * (across + 1j * down) / depth


def long_side(pixels: Any, image_size: tuple[float, float] | None) -> Any:
    """Long side of the picture, px; guessed from the spread of the points (points × feet) if unknown."""
    if image_size is not None:
        return float(max(image_size))
    spread = np.maximum(_range(pixels.real), _range(pixels.imag))
    return np.where(spread > 0, _FILLED * spread, 1.0)


def _range(values: Any) -> Any:
    known = np.isfinite(values)
    high = np.where(known, values, -np.inf).max(axis=0)
    low = np.where(known, values, np.inf).min(axis=0)
    return np.where(known.any(axis=0), high, 0.0) - np.where(known.any(axis=0), low, 0.0)


def centre(pixels: Any, image_size: tuple[float, float] | None) -> Any:
    """Middle of the picture, px; without the picture's size the middle of the marked points."""
    if image_size is not None:
        return complex(*image_size) / 2
    known = np.isfinite(pixels)
    return np.where(known, pixels, 0).sum(axis=0) / np.maximum(known.sum(axis=0), 1)


def focal_guess(side: Any) -> Any:
    """Focal length in px for a picture with this long side; see `tracker.reference.photo.FOCAL`."""
    return FOCAL.value * side


def off_plane(nearer: float, distance: float) -> float:
    """Part of its true size at which a length is read, if the scale is `nearer` to the camera by so much.

    Both in mm; `distance` is that of the measured plane. Exact for a camera that looks square.
    """
    return (distance - nearer) / distance
