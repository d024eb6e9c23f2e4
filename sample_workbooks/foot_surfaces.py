"""Surfaces as grids of small triangles, and which of them a camera sees through each pixel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from sample_workbooks.foot_camera import Pinhole

_AT_ONCE = 3_000_000  # pixels looked at in one go, so that memory stays small


@dataclass(frozen=True, slots=True)
class Surface:
    """A grid of world points (rows × columns × 3) of one material, with its own two coordinates (… × 2)."""

    material: str
    points: Any
    own: Any
    shut: bool = False

    @property
    def normals(self) -> Any:
        """Directions straight out of the surface, at each point; columns run from left to right as it is seen, rows downward."""
        down = np.gradient(self.points, axis=0)
        if self.shut:  # the last column is the first one again
            wrapped = np.concatenate([self.points[:, -2:-1], self.points, self.points[:, 1:2]], axis=1)
            across = (wrapped[:, 2:] - wrapped[:, :-2]) / 2
        else:
            across = np.gradient(self.points, axis=1)
        out = np.cross(down, across)
        return out / np.maximum(np.linalg.norm(out, axis=-1, keepdims=True), 1e-9)


@dataclass(frozen=True, slots=True)
class Seen:
    """What the camera sees of one surface in a strip: flat pixel numbers, and place, normal, own coordinates there."""

    surface: Surface
    pixels: Any
    place: Any
    normal: Any
    own: Any


def seen_in(surfaces: list[Surface], camera: Pinhole, top: int, bottom: int) -> Iterator[Seen]:
    """What is seen in rows `top` to `bottom` of the camera's picture, each surface by itself, nearest first of all."""
    width = camera.size[0]
    nearest = np.full((bottom - top) * width, np.inf)
    owner = np.full(nearest.shape, -1)
    found = []
    for number, surface in enumerate(surfaces):
        hits = _Hits(surface, camera, top, bottom)
        for pixels, depth, triangle, weights in hits.chunks():
            order = np.argsort(-depth, kind="stable")
            pixels, depth, triangle, weights = (part[order] for part in (pixels, depth, triangle, weights))
            nearer = depth < nearest[pixels]
            pixels, depth, triangle, weights = (part[nearer] for part in (pixels, depth, triangle, weights))
            nearest[pixels] = depth  # the last one written is the nearest
            won = nearest[pixels] == depth
            owner[pixels] = number
            found.append((number, hits, pixels[won], depth[won], triangle[won], weights[won]))
    for number, hits, pixels, depth, triangle, weights in found:
        kept = (owner[pixels] == number) & (nearest[pixels] == depth)
        if kept.any():
            yield hits.seen(pixels[kept], triangle[kept], weights[kept])


class _Hits:
    """The triangles of a surface that face the camera, and the pixels whose middles lie in each."""

    def __init__(self, surface: Surface, camera: Pinhole, top: int, bottom: int) -> None:
        self.surface, self.width, self.top, self.bottom = surface, camera.size[0], top, bottom
        pixels, depth = camera.project(surface.points)
        rows, columns = surface.points.shape[:2]
        self.flat, self.depth = pixels.reshape(-1, 2), depth.reshape(-1)
        corner = (np.arange(rows - 1)[:, None] * columns + np.arange(columns - 1)).reshape(-1)
        right, below = corner + 1, corner + columns
        self.triangles = np.concatenate(
            [np.stack([corner, below, right], 1), np.stack([right, below, below + 1], 1)]
        )
        a, b, c = (self.flat[self.triangles[:, corner]] for corner in range(3))
        self.area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
        low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
        self.first = np.maximum(np.ceil(low - 0.5), [0, top]).astype(int)
        self.last = np.minimum(np.floor(high - 0.5), [self.width - 1, bottom - 1]).astype(int)
        self.size = np.maximum(self.last - self.first + 1, 0)

    def chunks(self) -> Iterator[tuple[Any, Any, Any, Any]]:
        """Pixel, distance, triangle and weights of its corners, for so many at once as memory allows."""
        count = self.size.prod(axis=1) * (np.abs(self.area) > 1e-9)
        wanted = np.flatnonzero(count)
        parts = max(1, -(-int(count.sum()) // _AT_ONCE))
        for some in np.array_split(wanted, parts):
            if len(some):
                yield self._inside(some, count[some])

    def _inside(self, some: Any, count: Any) -> tuple[Any, Any, Any, Any]:
        triangle = np.repeat(some, count)
        step = np.arange(len(triangle)) - np.repeat(np.cumsum(count) - count, count)
        wide = self.size[triangle, 0]
        x, y = self.first[triangle, 0] + step % wide, self.first[triangle, 1] + step // wide
        at = np.stack([x, y], axis=1) + 0.5
        a, b, c = (self.flat[self.triangles[triangle, corner]] for corner in range(3))
        area = self.area[triangle]
        first = _cross(b - at, c - at) / area
        second = _cross(c - at, a - at) / area
        weights = np.stack([first, second, 1 - first - second], axis=1)
        inside = (weights >= -1e-9).all(axis=1)
        triangle, weights = triangle[inside], weights[inside]
        depth = (weights * self.depth[self.triangles[triangle]]).sum(axis=1)
        return ((y - self.top) * self.width + x)[inside], depth, triangle, weights

    def seen(self, pixels: Any, triangle: Any, weights: Any) -> Seen:
        """Mix what the corners of each triangle have."""
        corners = self.triangles[triangle]

        def mixed(values: Any) -> Any:
            flat = values.reshape(-1, values.shape[-1])
            return sum(weights[:, [corner]] * flat[corners[:, corner]] for corner in range(3))

        surface = self.surface
        return Seen(surface, pixels, mixed(surface.points), mixed(surface.normals), mixed(surface.own))


def _cross(one: Any, other: Any) -> Any:
    return one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
