"""From pixels to measures at given tilts, and how much of their variance the marked points make."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from tracker.derive.photo import pose
from tracker.derive.photo.camera import centre
from tracker.derive.photo.taken import Taken
from tracker.derive.photo.view import MM, Row, View
from tracker.reference.photo import SCALE_SD

_STEP = 1e-3  # px, of the derivatives


class Reader:
    """Reads all rows from pixels, at any tilts; `pixels` are the feet's own, the card's corners last."""

    def __init__(self, taken: Taken, rows: tuple[Row, ...], view: View) -> None:
        self.taken, self.rows, self.view = taken, rows, view
        self.names = [*taken.points]
        self.pixels = np.concatenate([np.stack([*taken.points.values()]), taken.corners])
        self.shape = pose.card_shape(*taken.scale.card) if taken.scale.card else None
        self.span = self._span()

    def __call__(
        self, pixels: Any, yaw: Any, pitch: Any, part: Any, stretch: Any = 1.0
    ) -> tuple[Any, Any, Any]:
        """Give the rows' values (rows × tilts × feet), and what a unit of the plane is in mm (tilts × feet).

        The latter twice: as used, and as the scale or the number has it where a card overrules them.
        """
        camera, level = self.taken.focused(part), self.view.level
        plane = camera.rectify(pixels, yaw, pitch)
        points = dict(zip(self.names, plane, strict=False))
        size, other = self._sizes(
            points, plane[-4:], np.abs(np.subtract(*camera.rectify(self.span, yaw, pitch)))
        )
        at = level.lay(points, self.taken.turned, self.taken.mirrored) if level else points
        on_level = np.isfinite(level.ground(points)) if level else True
        at[MM] = size * stretch
        values = [
            np.where(on_level, row.function(at), np.nan) if row.to_ground else row.function(at)
            for row in self.rows
        ]
        return np.stack([np.broadcast_to(value, plane.shape[1:]) for value in values]), size, other

    def _sizes(self, points: Mapping[str, Any], corners: Any, span: Any) -> tuple[Any, Any]:
        scale, found = self.taken.scale, np.full(span.shape, np.nan)
        if scale.per_px is not None:
            found = scale.per_px * np.abs(np.subtract(*self.span)) / span
        if scale.length is not None:
            length = scale.length / np.abs(points["scale_a"] - points["scale_b"])
            found = np.where(np.isfinite(length), length, found)
        if self.shape is None:
            return found, found
        card = 1 / pose.card_scale(corners, self.shape)
        return np.where(np.isfinite(card), card, found), found

    def _span(self) -> Any:
        """Two pixels along the ground, one to each side of the foot's middle: where mm for each px holds."""
        own = self.pixels[:-4]
        middle = centre(own, None)
        half = np.nan_to_num(np.abs(own - middle)).max(axis=0) / 2 + 1
        along = self.view.level.ground(self.taken.points) if self.view.level else np.ones(1)
        along = np.where(np.isfinite(along), along, 1)
        return np.stack([middle - half * along, middle + half * along])[:, None]

    def points_variance(self, yaw: Any, pitch: Any, part: Any) -> Any:
        """Variance (rows × feet) that the error of the points and of a given scale makes, at one tilt a foot.

        All points move through one Jacobian, so that rows that share a point keep its error in common.

        References: JCGM 100:2008, 5.2.2, equation (13).
        """
        count = len(self.pixels)
        moves = np.zeros((count, 2 * count + 2, 1), dtype=complex)
        for number in range(count):
            moves[number, 1 + 2 * number], moves[number, 2 + 2 * number] = _STEP, 1j * _STEP
        stretch = np.ones((2 * count + 2, 1))
        stretch[-1] += _STEP
        values, _, _ = self(self.pixels[:, None] + moves, yaw, pitch, part, stretch)
        slopes = (values[:, 1:] - values[:, :1]) / _STEP
        from_points = (np.nan_to_num(slopes[:, :-1]) ** 2).sum(axis=1) * self.taken.sd**2
        scale = self.taken.scale
        by_number = scale.per_px is not None and scale.card is None and scale.length is None
        from_scale = (SCALE_SD.value * np.nan_to_num(slopes[:, -1])) ** 2 if by_number else 0.0
        return np.where(np.isfinite(values[:, 0]), from_points + from_scale, np.nan)
