"""What is wrong with marked points, each in one plain sentence, and which of them are left out for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from tracker.derive.photo.points import CARDS, REFERENCE
from tracker.derive.photo.pose import in_turn
from tracker.derive.photo.seen import Doubt, doubt, doubts, listed
from tracker.derive.photo.view import MM, View

_NEAR = 2.0  # times the error of a point: nearer than that, two points are not told apart
_FLAT = 3.0  # times it: a wall that rises no more lies along the ground


def gather(points: Mapping[str, Any], view: View) -> tuple[dict[str, Any], bool, list[Doubt]]:
    """Give the points as complex numbers, one for each foot; whether there are many feet; what was no point."""
    read, found = {}, []
    for name, place in points.items():
        if name not in view.names:
            found.append(doubt("photo-not-a-point", str(name)))
        elif (value := _place(place)) is None:
            found.append(doubt("photo-no-place", name, found=str(place)))
        else:
            read[name] = value
    feet = max((value.size for value in read.values()), default=1)
    many = any(value.ndim for value in read.values())
    for name in [name for name, value in read.items() if value.size not in (1, feet)]:
        found.append(doubt("photo-no-place", name, found=f"{read.pop(name).size} places for {feet} feet"))
    return {name: np.broadcast_to(value, (feet,)).copy() for name, value in read.items()}, many, found


def _place(place: Any) -> Any:
    """Complex x + iy, one or one a foot; None where that is no pair of numbers."""
    try:
        values = np.asarray(place, dtype=float)
    except (TypeError, ValueError):
        return None
    if values.ndim not in (1, 2) or values.shape[-1] != 2 or not values.size:
        return None
    found = np.where(np.isfinite(values).all(axis=-1), values[..., 0] + 1j * values[..., 1], np.nan)
    return found if np.isfinite(found).any() else None


def missing(points: Mapping[str, Any], view: View, *, sized: bool) -> list[Doubt]:
    """Which measures cannot be told, and for want of which points."""
    wants: dict[tuple[str, ...], list[str]] = {}
    for row in view.rows:
        lacking = tuple(name for name in row.needs if name != MM and name not in points)
        if lacking and (row.to_ground or sized or MM not in row.needs) and not _unused(row.needs, points):
            wants.setdefault(lacking, []).append(row.name)
    found = [doubt("photo-not-marked", *lacking, measures=listed(rows)) for lacking, rows in wants.items()]
    for name, place in points.items():
        if name not in REFERENCE and not np.isfinite(place).all():
            found += doubts(~np.isfinite(place), "photo-no-place", name)
    if not sized and any(MM in row.needs for row in view.rows):
        found.append(doubt("photo-no-scale"))
    return found


def _unused(needs: Iterable[str], points: Mapping[str, Any]) -> bool:
    """Growth lines are marked or not, as one likes; only half a line is worth a word."""
    lines = [name for name in needs if name.startswith("line")]
    return bool(lines) and not any(name in points for name in lines)


def no_ground(points: Mapping[str, Any], view: View) -> list[Doubt]:
    """Feet without a ground line."""
    if view.level is None:
        return []
    feet = next(iter(points.values())).shape
    return doubts(
        np.isnan(np.broadcast_to(view.level.ground(points), feet)), "photo-no-ground", *view.level.grounds[0]
    )


def outside(points: Mapping[str, Any], size: tuple[float, float] | None) -> list[Doubt]:
    """Points beyond the picture's edge; they are used all the same."""
    found: list[Doubt] = []
    if size is None:
        return found
    for name, place in points.items():
        beyond = (place.real < 0) | (place.imag < 0) | (place.real > size[0]) | (place.imag > size[1])
        found += doubts(beyond, "photo-outside", name, width=f"{size[0]:g}", height=f"{size[1]:g}")
    return found


def together(points: dict[str, Any], sd: Any) -> list[Doubt]:
    """Points that lie in one spot: nearer than they can be placed. Neither is used."""
    names = [name for name in points if name not in CARDS]
    found, spoilt = [], []
    for number, one in enumerate(names):
        for other in names[number + 1 :]:
            near = np.abs(points[one] - points[other]) < _NEAR * sd + 1e-9
            if near.any() and not _may_meet(one, other):
                found += doubts(near, "photo-same-place", one, other)
                spoilt += [(one, near), (other, near)]
    for name, near in spoilt:
        points[name] = np.where(near, np.nan, points[name])
    return found


def _may_meet(one: str, other: str) -> bool:
    """A scale and the ground line may begin at the foot; growth lines may begin and end where walls do."""
    kinds = {_kind(one), _kind(other)}
    if kinds == {"foot"}:
        return {one, other} == {"pastern_lower", "toe_hairline"}
    return len(kinds) == 2 or (kinds == {"line"} and one[:5] != other[:5])


def _kind(name: str) -> str:
    return next((kind for kind in ("ground_", "line", "scale_") if name.startswith(kind)), "foot")


def facing(points: dict[str, Any], view: View) -> tuple[Any, Any, list[Doubt]]:
    """Whether the ground line is turned, whether the foot is mirrored; pairs that contradict are left out.

    Most of the pairs that run from toe to heel tell the way. A pair that runs the other way was swapped;
    where it is one against one, neither is used. A ground line is the same line either way.
    """
    feet = next(iter(points.values())).shape
    if view.level is None:
        return np.zeros(feet, bool), np.zeros(feet, bool), []
    turned, undecided = (np.broadcast_to(told, feet) for told in view.level.turned(points))
    found, left_out = [], []
    for way in view.level.ways:
        along = np.broadcast_to(view.level.along(points, way), feet)
        against = (along * np.where(turned, -1, 1) < 0) | (undecided & (along != 0))
        if way == view.level.grounds[0]:
            found += doubts(against, "photo-ground-turned", *way)
        else:
            found += doubts(against, "photo-crossed", *way)
            left_out += [(name, against) for name in way if name in points]
    mirrored = np.broadcast_to(view.level.mirrored(points, turned), feet)
    for name, against in left_out:
        points[name] = np.where(against, np.nan, points[name])
    return turned, mirrored, found


def uprights(points: dict[str, Any], view: View, turned: Any, mirrored: Any, sd: Any) -> list[Doubt]:
    """Walls that stand upside down, so that their ends were swapped, or that lie along the ground."""
    if view.level is None:
        return []
    laid = view.level.lay(points, turned, mirrored)
    on_level = np.isfinite(view.level.ground(points))
    found = []
    for upper, lower in view.level.uprights:
        if upper not in laid or lower not in laid:
            continue
        rise = (laid[upper] - laid[lower]).imag
        flat = on_level & (np.abs(rise) <= _FLAT * sd)
        swapped = on_level & (rise < 0) & ~flat
        found += doubts(flat, "photo-flat", upper, lower)
        found += doubts(swapped, "photo-swapped", upper, lower)
        for name in (upper, lower):
            points[name] = np.where(flat | swapped, np.nan, points[name])
    return found


def card(points: Mapping[str, Any], sd: Any) -> tuple[Any, list[Doubt]]:
    """The card's corners in turn (4 × feet), NaN where they are no card; and why."""
    missing = [name for name in CARDS if name not in points]
    if missing:
        return np.full((4, *sd.shape), np.nan + 0j), [doubt("photo-card-half", *missing)]
    corners = in_turn(np.stack([points[name] for name in CARDS]))
    sides = np.roll(corners, -1, axis=0) - corners
    bends = (sides.conj() * np.roll(sides, -1, axis=0)).imag
    # A corner nearly on the line of its neighbours is no corner: its bend is lost in the error of the mark.
    whole = np.isfinite(corners).all(axis=0)
    flat = whole & ~(bends > 4 * sd * np.abs(sides).max(axis=0)).all(axis=0)
    return np.where(flat, np.nan, corners), doubts(flat, "photo-card-shape", *CARDS)
