"""Laying the points of a foot on level ground, whichever way it faced and however the camera was turned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

Pair = tuple[str, str]
Points = Mapping[str, Any]

# Up in the picture is up, unless the ground runs steeper through it than this cosine; then the points tell.
_SIDEWAYS = 0.5


def difference(points: Points, pair: Pair) -> Any:
    """Second point less first; NaN where one is not there."""
    first, second = (points.get(name, np.nan) for name in pair)
    return second - first


@dataclass(frozen=True, slots=True)
class Level:
    """Which points give the ground, from toe to heel (or inner to outer), and which lie above which.

    `grounds` are pairs, best first; each of the `ways` runs from toe to heel too, and so does each of the
    `leans`, from the foot of a wall to its top. `uprights` are (upper, lower) pairs.
    """

    grounds: tuple[Pair, ...]
    ways: tuple[Pair, ...]
    uprights: tuple[Pair, ...]
    leans: tuple[Pair, ...] = ()

    @property
    def origin(self) -> str:
        """The point from which level places are counted."""
        return self.ways[0][0]

    def ground(self, points: Points) -> Any:
        """Direction of the ground as the points' names have it, as a complex number of length 1."""
        line: Any = np.nan
        for pair in reversed(self.grounds):
            step = difference(points, pair)
            line = np.where(np.isfinite(step), step, line)
        return line / np.where(np.abs(line) > 0, np.abs(line), np.nan)

    def along(self, points: Points, way: Pair) -> Any:
        """1 where this pair runs along the ground line, -1 where it runs against it, 0 where it is not there."""
        return np.nan_to_num(np.sign((difference(points, way) / self.ground(points)).real))

    def turned(self, points: Points) -> tuple[Any, Any]:
        """Tell, a foot each, whether the ground line runs against the foot, and whether that is undecided."""
        line = self.along(points, self.grounds[0])
        others = [self.along(points, way) for way in self.ways if way != self.grounds[0]]
        alone = sum(np.abs(other) for other in others) == 0
        leaning = sum(self.along(points, lean) for lean in self.leans)
        votes = line + sum(others) + leaning
        return np.where(alone, leaning < 0, votes < 0), ~alone & (votes == 0)

    def mirrored(self, points: Points, turned: Any) -> Any:
        """Tell, a foot each, whether up lies to the other side of the ground line (y runs downward)."""
        ground = np.where(turned, -1, 1) * self.ground(points)
        rises = [difference(points, (low, up)) for up, low in self.uprights]
        height = sum(np.nan_to_num((rise / ground).imag) for rise in rises)
        return np.where(np.abs(ground.real) >= _SIDEWAYS, ground.real > 0, height < 0)

    @property
    def ends(self) -> frozenset[str]:
        """The points that may give the ground."""
        return frozenset(name for pair in self.grounds for name in pair)

    def lay(self, points: Points, ground: Any, turned: Any, mirrored: Any) -> dict[str, Any]:
        """Turn the points until the ground is level: x from toe to heel (or inner to outer), y upward.

        Where there is no ground they stay as they lie, good for distances only.
        """
        turn = np.where(np.isfinite(ground), np.where(turned, -1, 1) * ground.conj(), 1)
        laid = {name: value * turn for name, value in points.items()}
        if not np.any(mirrored):
            return laid
        return {name: np.where(mirrored, value.conj(), value) for name, value in laid.items()}
