"""From pixels to measures at given tilts, and how much of their variance the marked points make."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from tracker.derive.photo import pose
from tracker.derive.photo.camera import Camera, centre
from tracker.derive.photo.points import SCALE
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
        level = self.view.level
        self.grounded = np.isfinite(level.ground(taken.points)) if level else np.ones(1, bool)
        self.span = self._span()

    def __call__(self, yaw: Any, pitch: Any, part: Any) -> tuple[Any, Any, Any]:
        """Give the rows' values (rows × tilts × feet), and what a unit of the plane is in mm (tilts × feet).

        The latter twice: as used, and as the scale or the number has it where a card overrules them.
        """
        camera = self.taken.focused(part)
        plane = camera.rectify(self.pixels[:, None], yaw, pitch)
        points = dict(zip(self.names, plane, strict=False))
        span = np.abs(np.subtract(*camera.rectify(self.span[:, None], yaw, pitch)))
        size, other = self._sizes(points, plane[-4:], span)
        return self._values(self.rows, self._laid(points, size)), size, other

    def _laid(self, points: Mapping[str, Any], size: Any) -> dict[str, Any]:
        level = self.view.level
        at = (
            level.lay(points, level.ground(points), self.taken.turned, self.taken.mirrored)
            if level
            else points
        )
        return {**at, MM: size}

    def _values(self, rows: Sequence[Row], at: Mapping[str, Any]) -> Any:
        values = np.stack(np.broadcast_arrays(at[MM], *(row.function(at) for row in rows))[1:])
        if not self.grounded.all():
            values[[row.to_ground for row in rows]] *= np.where(self.grounded, 1, np.nan)
        return values

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
        return np.stack([middle - half * along, middle + half * along])

    def points_variance(self, yaw: Any, pitch: Any, part: Any) -> Any:
        """Variance (rows × feet) that the error of the points and of a given scale makes, at one tilt a foot.

        Rows that share a point keep its error in common: it is moved once, for all that follows from it.

        References: JCGM 100:2008, 5.2.2, equation (13).
        """
        moved = _Moved(self, self.taken.focused(part), yaw, pitch)
        squares = np.zeros(moved.values.shape)
        for name in self.names:
            _add(squares, moved.by_point(name))
        _add(squares, moved.by_card())
        variance = squares * self.taken.sd**2
        scale = self.taken.scale
        if scale.per_px is not None and scale.card is None and scale.length is None:
            _add(variance, moved.by_size(SCALE_SD.value))
        return np.where(np.isfinite(moved.values), variance, np.nan)


Slopes = tuple[list[int], Any]


def _add(squares: Any, slopes: Slopes) -> None:
    """Add the squares of slopes (rows × ways × feet) to those rows."""
    numbers, found = slopes
    if numbers:
        squares[numbers] += (np.nan_to_num(found) ** 2).sum(axis=1)


class _Moved:
    """How much the rows change where one point is moved right and down, in the rows' unit for each px."""

    def __init__(self, reader: Reader, camera: Camera, yaw: Any, pitch: Any) -> None:
        self.reader, self.level = reader, reader.view.level
        pixels = reader.pixels
        plane = camera.rectify(np.stack([pixels, pixels + _STEP, pixels + 1j * _STEP]), yaw, pitch)
        self.points = dict(zip(reader.names, plane[0], strict=False))
        self.moves = dict(zip(reader.names, plane[1:].swapaxes(0, 1), strict=False))
        self.corners, self.corner_moves = plane[0, -4:], plane[1:, -4:]
        self.span = np.abs(np.subtract(*camera.rectify(reader.span, yaw, pitch)))
        self.size = reader._sizes(self.points, self.corners, self.span)[0]
        self.ground = self.level.ground(self.points) if self.level else np.ones(1)
        self.at = reader._laid(self.points, self.size)
        self.values = reader._values(reader.rows, self.at)

    def by_point(self, name: str) -> Slopes:
        """By one point of the foot, the ground or the scale."""
        points = self.points | {name: self.moves[name]}
        level, taken = self.level, self.reader.taken
        sizes = name in SCALE and taken.scale.length is not None
        grounds = level is not None and name in level.ends
        size = self.reader._sizes(points, self.corners, self.span)[0] if sizes else self.size
        if grounds or level is None:
            at = self.reader._laid(points, size)
        else:
            moved = level.lay({name: self.moves[name]}, self.ground, taken.turned, taken.mirrored)
            at = {**self.at, **moved, MM: size}
        return self._slopes(
            at, lambda row: name in row.uses or (sizes and MM in row.needs) or (grounds and row.to_ground)
        )

    def by_card(self) -> Slopes:
        """By each corner of the card, which change nothing but the size."""
        if self.reader.shape is None:
            return [], None
        sizes = []
        for corner in range(4):
            for move in self.corner_moves:
                corners = self.corners.copy()
                corners[corner] = move[corner]
                sizes.append(self.reader._sizes(self.points, corners, self.span)[0])
        return self._slopes(self.at | {MM: np.stack(sizes)}, lambda row: MM in row.needs)

    def by_size(self, part: float) -> Slopes:
        """By this part of the size."""
        numbers, slopes = self._slopes(
            self.at | {MM: self.size[None] * (1 + _STEP)}, lambda row: MM in row.needs
        )
        return numbers, slopes * part

    def _slopes(self, at: Mapping[str, Any], which: Callable[[Row], bool]) -> Slopes:
        numbers = [number for number, row in enumerate(self.reader.rows) if which(row)]
        if not numbers:
            return [], None
        values = self.reader._values([self.reader.rows[number] for number in numbers], at)
        if values.ndim == self.values.ndim:  # nothing in them was moved
            return [], None
        return numbers, (values - self.values[numbers][:, None]) / _STEP
