"""The whole way from marked points to measures with their errors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Unpack

import numpy as np

from tracker.derive.photo import checks, numbers, told
from tracker.derive.photo.error import derive
from tracker.derive.photo.numbers import Given
from tracker.derive.photo.plane import Plane
from tracker.derive.photo.points import REFERENCE
from tracker.derive.photo.seen import Doubt, Seen, doubt, doubts, listed
from tracker.derive.photo.taken import Taken, taken
from tracker.derive.photo.view import Row, View
from tracker.derive.uncertainty import Measure

# An error beyond these leaves nothing known: our own choice.
_ANY_ANGLE = 45.0  # deg; lines that lie in any direction have 52
_TIMES = 10.0
_SMALL = {"mm": 10.0, "deg/cm": 10.0, "%": 10.0, "1": 0.1}
_SIZE_OF = {
    "photo-card-size": "card_mm",
    "photo-scale-size": "scale_mm",
}  # the number that each of them lacks
_AT_ONCE = 250  # feet: their numbers stay in the processor's cache


def see(points: Mapping[str, Any], view: View, **given: Unpack[Given]) -> Seen:
    """Read every measure that the points are enough for; `given` as for `tracker.side_view`."""
    read, many, found = checks.gather(points if isinstance(points, Mapping) else {}, view)
    if not read.keys() - REFERENCE.keys():
        return Seen({}, [*found, doubt("photo-no-points")], {}, None)
    known, unusable = numbers.sound(next(iter(read.values())).size, **given)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore", under="ignore"):
        photo, more = taken(read, view, known)
        rows = view.rows_for(photo.points, sized=photo.scale.known)
        if not rows:
            return Seen({}, [*found, *_once(unusable, more)], {}, None)
        values, telling = _in_parts(photo, rows, view)
        plane = _plane(photo, view, telling)
        unsure = _leave_out_absurd(values, rows)
    how = "photo with card" if photo.scale.card else "photo"
    measures = {
        row.name: _measure(values[:, number], row.unit, how, many)
        for number, row in enumerate(rows)
        if np.isfinite(values[:, number]).all(axis=0).any()
    }
    wrong = [*found, *_once(unusable, more), *unsure, *told.by_scale(photo, telling, given)]
    return Seen(measures, wrong, _camera(telling, how, many), plane)


def _once(unusable: Sequence[Doubt], more: Sequence[Doubt]) -> list[Doubt]:
    """A size that was given and is none is told as that, and not once more as one that is not known."""
    none = {each.problem.found.partition(" ")[0] for each in unusable}
    return [*unusable, *(each for each in more if _SIZE_OF.get(each.problem.kind) not in none)]


def _in_parts(photo: Taken, rows: tuple[Row, ...], view: View) -> tuple[Any, dict[str, Any]]:
    """Derive some feet at a time."""
    starts = range(0, photo.sd.size, _AT_ONCE)
    parts = [derive(photo.only(slice(start, start + _AT_ONCE)), rows, view) for start in starts]
    values, telling = zip(*parts, strict=True)
    together = {name: np.concatenate([part[name] for part in telling], axis=-1) for name in telling[0]}
    return np.concatenate(values, axis=-1), together


def _leave_out_absurd(values: Any, rows: Sequence[Row]) -> list[Doubt]:
    """Values whose error says that nothing is known of them; `values` (2 × rows × feet) lose them."""
    absurd: dict[bytes, list[str]] = {}
    where: dict[bytes, Any] = {}
    for (value, sd), row in zip(values.swapaxes(0, 1), rows, strict=True):
        none = sd > _limit(value, row.unit)
        if none.any():
            absurd.setdefault(none.tobytes(), []).append(row.name)
            where[none.tobytes()] = none
        value[none] = sd[none] = np.nan
    return [
        one
        for key, names in absurd.items()
        for one in doubts(where[key], "photo-unsure", measures=listed(names))
    ]


def _limit(value: Any, unit: str) -> Any:
    """The largest sd that still tells anything; a difference near 0 may be much smaller than its own."""
    return _ANY_ANGLE if unit == "deg" else _TIMES * np.maximum(np.abs(value), _SMALL[unit])


def _measure(found: Any, unit: str, how: str, many: bool) -> Measure:
    value, sd = found
    return Measure(value, sd, unit, how) if many else Measure(float(value[0]), float(sd[0]), unit, how)


def _camera(telling: Mapping[str, Any], how: str, many: bool) -> dict[str, Measure]:
    return {
        name: _measure(telling[name], unit, how, many)
        for name, unit in (("tilt", "deg"), ("distance", "mm"))
        if np.isfinite(telling[name]).any()
    }


def _plane(photo: Taken, view: View, telling: Mapping[str, Any]) -> Plane | None:
    """The level foot at the likeliest tilt."""
    if view.level is None:
        return None
    yaw, pitch, part = telling["likeliest"]
    camera = photo.focused(part)
    points = {name: camera.rectify(place, yaw, pitch) for name, place in photo.points.items()}
    along = np.broadcast_to(np.where(photo.turned, -1, 1) * view.level.ground(points), photo.sd.shape)
    if np.isnan(along).all():
        return None
    start = view.level.origin
    origin = points.get(start, np.nan)
    origin = np.where(np.isfinite(origin), origin, camera.rectify(camera.centre, yaw, pitch))
    size = telling["distance"][0]
    sized = bool(np.isfinite(size).any())
    return Plane(camera, yaw, pitch, along, photo.mirrored, origin, size if sized else camera.focal, sized)
