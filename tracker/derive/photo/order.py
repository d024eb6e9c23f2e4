"""Points that lie in another order than on a foot, so that some of them were swapped; they are left out."""

from __future__ import annotations

from typing import Any

import numpy as np

from tracker.derive.photo.level import Level, Pair, difference
from tracker.derive.photo.seen import Doubt, doubts
from tracker.derive.photo.view import View

_FLAT = 3.0  # times the error of a point: a wall that rises no more lies along the ground
_SLOPE = 10.0  # deg: a foot that stands flat is not that far off the ground line, its errors aside


def ordered(points: dict[str, Any], view: View, sd: Any) -> tuple[Any, Any, list[Doubt]]:
    """Whether the ground line is turned, whether the foot is mirrored; what contradicts itself is left out."""
    if view.level is None:
        none = np.zeros(sd.shape, bool)
        return none, none, _from_below(points, view, sd)
    turned, mirrored, found = _facing(points, view.level, sd)
    found += _uprights(points, view.level, turned, mirrored, sd)
    found += _off_ground(points, view.level, sd)
    return turned, mirrored, found + _no_ground(points, view.level, sd)


def _facing(points: dict[str, Any], level: Level, sd: Any) -> tuple[Any, Any, list[Doubt]]:
    """Most of the pairs that run from toe to heel, and of the walls, which lean that way, tell the way.

    A pair that runs the other way was swapped; where it is one against one, neither is used. A ground line
    is the same line either way.
    """
    turned, undecided = (np.broadcast_to(told, sd.shape) for told in level.turned(points))
    mirrored = np.broadcast_to(level.mirrored(points, turned), sd.shape)
    laid = level.lay(points, level.ground(points), turned, mirrored)
    way_round = np.where(turned, -1, 1)
    found: list[Doubt] = []
    left_out = []
    for way in (*level.ways, *level.leans):
        along = np.broadcast_to(level.along(points, way), sd.shape) * way_round
        against = (along < 0) | (undecided & (along != 0))
        if way in level.leans:
            wall = difference(laid, way)
            against = ~undecided & (wall.real < -_FLAT * sd) & (wall.imag > 0)
        if way == level.grounds[0]:
            found += doubts(against, "photo-ground-turned", *way)
        else:
            left_out.append((way, against))
    return turned, mirrored, found + _leave_out(points, left_out, "photo-crossed")


def _off_ground(points: dict[str, Any], level: Level, sd: Any) -> list[Doubt]:
    """A ground line that does not run along where the foot stands; it is used all the same."""
    line, contacts = (difference(points, pair) for pair in level.grounds)
    off = np.degrees(np.abs(np.angle(contacts / line)))
    off = np.broadcast_to(np.minimum(off, 180 - off), sd.shape)
    error = np.degrees(np.sqrt(2) * sd * np.hypot(1 / np.abs(line), 1 / np.abs(contacts)))
    far = off > _SLOPE + _FLAT * error
    typical = f"{np.median(off[far]):.0f}" if far.any() else ""
    return doubts(far, "photo-ground-off", *level.grounds[1], angle=typical)


def _leave_out(points: dict[str, Any], pairs: list[tuple[Pair, Any]], slug: str) -> list[Doubt]:
    """Tell of the pairs and leave them out, a pair with a point that is already left out aside."""
    found = []
    for pair, where in pairs:
        where = where & np.isfinite(difference(points, pair))
        found += doubts(where, slug, *pair)
        for name in pair:
            if name in points:
                points[name] = np.where(where, np.nan, points[name])
    return found


def _uprights(points: dict[str, Any], level: Level, turned: Any, mirrored: Any, sd: Any) -> list[Doubt]:
    """Walls that stand upside down, so that their ends were swapped, or that lie along the ground."""
    ground = level.ground(points)
    laid = level.lay(points, ground, turned, mirrored)
    found = []
    for upper, lower in level.uprights:
        rise = difference(laid, (lower, upper)).imag
        flat = np.isfinite(ground) & (np.abs(rise) <= _FLAT * sd)
        swapped = np.isfinite(ground) & (rise < 0) & ~flat
        found += _leave_out(points, [((upper, lower), flat)], "photo-flat")
        found += _leave_out(points, [((upper, lower), swapped)], "photo-swapped")
    return found


def _no_ground(points: dict[str, Any], level: Level, sd: Any) -> list[Doubt]:
    """Feet that are left without a ground line."""
    return doubts(
        np.isnan(np.broadcast_to(level.ground(points), sd.shape)), "photo-no-ground", *level.grounds[0]
    )


def _from_below(points: dict[str, Any], view: View, sd: Any) -> list[Doubt]:
    """Pairs of a sole that run the other way than most: from inner to outer, and from toe to heel."""
    across, _ = _most(points, view.across, sd, None)
    found = _leave_out(points, across, "photo-crossed")
    _, sideways = _most(points, view.across, sd, None)
    along, _ = _most(points, view.backward, sd, sideways)
    return found + _leave_out(points, along, "photo-crossed")


def _most(
    points: dict[str, Any], pairs: tuple[Pair, ...], sd: Any, sideways: Any
) -> tuple[list[tuple[Pair, Any]], Any]:
    """Which pairs run against most of them, and the way that most run; of each only what is not sideways."""
    steps = [np.broadcast_to(difference(points, pair), sd.shape) for pair in pairs]
    if sideways is not None:
        steps = [
            np.where(np.isfinite(sideways), 1j * (step / sideways).imag * sideways, step) for step in steps
        ]
    ways = [np.where(np.abs(step) > _FLAT * sd, step / np.abs(step), np.nan) for step in steps]
    votes = sum(np.nan_to_num(way) for way in ways)
    most = votes / np.abs(votes)
    undecided = np.abs(votes) < 1e-9
    against = [((way / most).real < 0) | (undecided & np.isfinite(way)) for way in ways]
    return list(zip(pairs, against, strict=True)), most
