"""A view of a foot: its points, how it is laid level, and the measures that follow, declared as rows."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from tracker.derive.photo.level import Level, Pair

MM = "mm"  # among a row's needs: the true size of one unit of the plane


@dataclass(frozen=True, slots=True)
class Row:
    """One measure: its name, unit (UCUM), the points it needs, and its function of the laid points.

    Lengths name "mm" among their needs and come out in it. `to_ground` is whether it needs the ground line;
    `takes` are points that it takes where they are marked.
    """

    name: str
    unit: str
    needs: tuple[str, ...]
    function: Callable[[Mapping[str, Any]], Any]
    to_ground: bool = True
    takes: tuple[str, ...] = ()

    @property
    def uses(self) -> frozenset[str]:
        """All that it may depend on, the ground line aside."""
        return frozenset(self.needs + self.takes)


@dataclass(frozen=True, slots=True)
class View:
    """The names of its points, its level (None: nothing is measured to the ground), and its measures.

    Without a level, each pair of `across` runs from inner to outer, each of `backward` from toe to heel.
    """

    names: Mapping[str, str]
    level: Level | None
    rows: tuple[Row, ...]
    across: tuple[Pair, ...] = ()
    backward: tuple[Pair, ...] = ()

    def rows_for(self, points: Collection[str], *, sized: bool) -> tuple[Row, ...]:
        """The rows that these points are enough for; lengths only where a size is known."""
        known = {*points, *((MM,) if sized else ())}
        return tuple(row for row in self.rows if known.issuperset(row.needs))


def slope(upper: str, lower: str) -> Callable[[Mapping[str, Any]], Any]:
    """Angle to the ground of the line from the lower up to the upper point, deg; 90 is upright."""
    return lambda at: np.degrees(np.angle(at[upper] - at[lower]))


def slope_inward(upper: str, lower: str) -> Callable[[Mapping[str, Any]], Any]:
    """The same for a wall that leans the other way, so that 90 is upright and less is spread."""
    return lambda at: np.degrees(np.angle((at[lower] - at[upper]).conj()))


def length(one: str, other: str) -> Callable[[Mapping[str, Any]], Any]:
    """Straight distance of two points, mm."""
    return lambda at: np.abs(at[one] - at[other]) * at[MM]


def height(upper: str, lower: str) -> Callable[[Mapping[str, Any]], Any]:
    """How far one point lies above another, square to the ground, mm."""
    return lambda at: (at[upper] - at[lower]).imag * at[MM]


def less(
    one: Callable[[Mapping[str, Any]], Any], other: Callable[[Mapping[str, Any]], Any]
) -> Callable[[Mapping[str, Any]], Any]:
    """The first less the second."""
    return lambda at: one(at) - other(at)
