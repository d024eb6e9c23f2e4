"""What is wrong with marked points, each in one plain sentence, and which of them are left out for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from tracker.derive.photo.numbers import MOST
from tracker.derive.photo.points import CARDS, REFERENCE
from tracker.derive.photo.pose import in_turn
from tracker.derive.photo.seen import Doubt, doubt, doubts, grouped, listed
from tracker.derive.photo.view import MM, View

_NEAR = 2.0  # times the error of a point: nearer than that, two points are not told apart


def gather(points: Mapping[str, Any], view: View) -> tuple[dict[str, Any], bool, list[Doubt]]:
    """Give the points as complex numbers, one for each foot; whether there are many feet; what was no point."""
    unknown = [str(name) for name in points if name not in view.names]
    places = {name: _place(place) for name, place in points.items() if name in view.names}
    read = {name: place for name, place in places.items() if place is not None}
    feet = max((place.size for place in read.values()), default=1)
    many = any(place.ndim for place in read.values())
    read = {name: place for name, place in read.items() if place.size in (1, feet)}
    lost = [name for name in places if name not in read]
    found = [doubt("photo-not-a-point", *unknown)] if unknown else []
    if lost:
        found.append(doubt("photo-no-place", *lost, found="; ".join(_typed(points[name]) for name in lost)))
    return {name: np.broadcast_to(value, (feet,)).copy() for name, value in read.items()}, many, found


def _typed(place: Any) -> str:
    try:
        return str(place)[:80]
    except ValueError:  # a whole number of more digits than Python writes out
        return "a number far too large"


def _place(place: Any) -> Any:
    """Complex x + iy, one or one a foot; None where that is no pair of numbers."""
    try:
        values = np.asarray(place, dtype=float)
    except (TypeError, ValueError, OverflowError):
        return None
    if values.ndim not in (1, 2) or values.shape[-1] != 2 or not values.size:
        return None
    found = np.where((np.abs(values) <= MOST).all(axis=-1), values[..., 0] + 1j * values[..., 1], np.nan)
    return found if np.isfinite(found).any() else None


def missing(points: Mapping[str, Any], view: View, *, sized: bool) -> list[Doubt]:
    """Which measures cannot be told, and for want of which points."""
    wants: dict[tuple[str, ...], list[str]] = {}
    for row in view.rows:
        lacking = tuple(name for name in row.needs if name != MM and name not in points)
        if lacking and (row.to_ground or sized or MM not in row.needs) and not _unused(row.needs, points):
            wants.setdefault(lacking, []).append(row.name)
    found = [doubt("photo-not-marked", *lacking, measures=listed(rows)) for lacking, rows in wants.items()]
    unplaced = {name: ~np.isfinite(place) for name, place in points.items() if name not in REFERENCE}
    found += grouped(unplaced, "photo-no-place")
    if not sized and any(MM in row.needs for row in view.rows):
        found.append(doubt("photo-no-scale"))
    return found


def _unused(needs: Iterable[str], points: Mapping[str, Any]) -> bool:
    """Growth lines are marked or not, as one likes; only half a line is worth a word."""
    lines = [name for name in needs if name.startswith("line")]
    return bool(lines) and not any(name in points for name in lines)


def outside(points: Mapping[str, Any], size: tuple[float, float] | None) -> list[Doubt]:
    """Points beyond the picture's edge; they are used all the same."""
    if size is None:
        return []
    width, height = size
    beyond = {
        name: (place.real < 0) | (place.imag < 0) | (place.real > width) | (place.imag > height)
        for name, place in points.items()
    }
    return grouped(beyond, "photo-outside", width=f"{width:g}", height=f"{height:g}")


def together(points: dict[str, Any], sd: Any) -> list[Doubt]:
    """Points that lie in one spot: nearer than they can be placed. None of them is used."""
    names = [name for name in points if name not in CARDS]
    spots: dict[bytes, list[set[str]]] = {}
    spoilt: dict[bytes, Any] = {}
    for number, one in enumerate(names):
        for other in names[number + 1 :]:
            near = np.abs(points[one] - points[other]) < _NEAR * sd + 1e-9
            if near.any() and not _may_meet(one, other):
                spoilt[near.tobytes()] = near
                _join(spots.setdefault(near.tobytes(), []), {one, other})
    found = []
    for feet, groups in spots.items():
        for group in groups:
            found += doubts(spoilt[feet], "photo-same-place", *(name for name in names if name in group))
            for name in group:
                points[name] = np.where(spoilt[feet], np.nan, points[name])
    return found


def _join(groups: list[set[str]], pair: set[str]) -> None:
    """Put the pair into the groups, and make one of all that it touches."""
    touched = [group for group in groups if group & pair]
    groups[:] = [group for group in groups if not group & pair] + [pair.union(*touched)]


def _may_meet(one: str, other: str) -> bool:
    """A scale and the ground line may begin at the foot; growth lines may begin and end where walls do."""
    kinds = {_kind(one), _kind(other)}
    if kinds == {"foot"}:
        return {one, other} == {"pastern_lower", "toe_hairline"}
    return len(kinds) == 2 or (kinds == {"line"} and one[:5] != other[:5])


def _kind(name: str) -> str:
    return next((kind for kind in ("ground_", "line", "scale_") if name.startswith(kind)), "foot")


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
