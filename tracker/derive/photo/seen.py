"""What is read from one view of a foot: the measures, and plainly why any is missing or doubtful."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from tracker.derive.photo.plane import Plane
from tracker.derive.uncertainty import Measure
from tracker.problem import Problem, make


@dataclass(frozen=True, slots=True)
class Doubt:
    """A problem of a photo, the points that it is about, and the feet it holds for.

    `feet` are their places in the arrays where many feet were given at once; () for one foot or all.
    """

    problem: Problem
    points: tuple[str, ...] = ()
    feet: tuple[int, ...] = ()


class Seen(dict[str, Measure]):
    """Measures by name, each with value, sd and unit; where many feet were given, value and sd are arrays.

    `doubts` say what is missing or unsure. `camera` tells how the photo was taken, as far as it is known:
    "tilt" (deg, from square to the foot) and "distance" (mm). `plane` is the way from the picture to the
    level foot and back, None where there is no ground line.
    """

    def __init__(
        self,
        measures: dict[str, Measure],
        doubts: Iterable[Doubt],
        camera: dict[str, Measure],
        plane: Plane | None,
    ) -> None:
        super().__init__(measures)
        self.doubts = tuple(doubts)
        self.camera = camera
        self.plane = plane

    @property
    def problems(self) -> tuple[Problem, ...]:
        """The doubts in plain sentences."""
        return tuple(doubt.problem for doubt in self.doubts)


def doubt(slug: str, *points: str, feet: tuple[int, ...] = (), found: str = "", **words: str) -> Doubt:
    """One doubt of that kind about these points."""
    named = {"points": listed(points), **words}
    return Doubt(make(slug, column=listed(points) or None, found=found, words=named), points, feet)


def doubts(where: Any, slug: str, *points: str, **words: str) -> list[Doubt]:
    """One doubt for the feet that it holds for, none where it holds for none."""
    where = np.atleast_1d(where)
    if not where.any():
        return []
    feet = tuple(np.flatnonzero(where).tolist()) if where.size > 1 else ()
    return [doubt(slug, *points, feet=feet, **words)]


def grouped(where: Mapping[str, Any], slug: str, **words: str) -> list[Doubt]:
    """One doubt for all points that it holds for in the same feet."""
    groups: dict[bytes, list[str]] = {}
    for name, feet in where.items():
        groups.setdefault(np.atleast_1d(feet).tobytes(), []).append(name)
    return [one for names in groups.values() for one in doubts(where[names[0]], slug, *names, **words)]


def listed(names: Iterable[str]) -> str:
    """Names with commas and a last "and"."""
    *most, last = [*names] or [""]
    return f"{', '.join(most)} and {last}" if most else last
