"""The photographs' own errors, for the rows of measures that came from them."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from tracker.cells.text import fold
from tracker.derive.photo.marking import MEASURE, Marking, point_sd_px, sizes_of
from tracker.derive.photo.markings import Key, Row, foot_of_row, key_of_marking
from tracker.derive.photo.points import REFERENCE
from tracker.derive.photo.seen import Seen

Camera = tuple[float | None, tuple[float, float]]
"""Focal length in px, None where it is not known, and the upright picture's width and height."""

Errors = Mapping[int, Mapping[str, float]]
"""One standard deviation by the number of a row of the Hooves sheet and the measure's name."""

SeenTogether = tuple[Sequence[Marking], Seen]
"""Markings of one kind with what they measure: each value and sd an array, in the markings' order."""

OTHER_NAMES = {"bulb_distance": "heel_bulb_distance"}
"""What the Hooves sheet calls by another name than the view."""


def own_errors(hooves: Iterable[Row], markings: Sequence[Marking], seen: Iterable[SeenTogether]) -> Errors:
    """The own errors of every row that was measured by a photograph whose points are known, and which is there.

    `hooves` are rows as `hoof_rows` gives them, `seen` is what `seen_together` gives of the markings.
    """
    sources, errors = _sources(hooves, markings), errors_of(seen)
    own: dict[int, dict[str, float]] = {}
    for row, found in sources.items():
        for marking in found:
            for name, sd in errors.get(key_of_marking(marking), {}).items():
                held = own.setdefault(row, {})
                held[name] = max(sd, held.get(name, 0.0))
    return own


def _sources(hooves: Iterable[Row], markings: Sequence[Marking]) -> dict[int, list[Marking]]:
    """The views from which each row of measures came, by the row's number.

    A row that names no photograph came from the one of its foot and day, if only one was marked that no row
    names, and no other row is without a name.
    """
    rows = [row for row in hooves if row["measured_with"] == "photo"]
    named = {foot_of_row(row) for row in rows if row["photo"]}
    nameless = Counter(_day_of(row) for row in rows if not row["photo"])
    by_photo: dict[Key, list[Marking]] = defaultdict(list)
    by_day: dict[Key, list[Marking]] = defaultdict(list)
    for marking in markings:
        foot = (marking.foot, fold(marking.horse))
        by_photo[marking.photo, *foot].append(marking)
        if (marking.photo, *foot) not in named and marking.date:
            by_day[marking.date, *foot].append(marking)
    alone = {
        day: found
        for day, found in by_day.items()
        if nameless[day] == 1 and len({marking.photo for marking in found}) == 1
    }
    return {
        row["row"]: by_photo.get(foot_of_row(row), []) if row["photo"] else alone.get(_day_of(row), [])
        for row in rows
    }


def _day_of(row: Row) -> Key:
    day = row["date"].date().isoformat() if row["date"] else ""
    return day, row["foot"], fold(row["horse"])


def errors_of(seen: Iterable[SeenTogether]) -> dict[Key, dict[str, float]]:
    """The own errors of each marking by its key."""
    found: dict[Key, dict[str, float]] = {}
    for several, measures in seen:
        sds = {OTHER_NAMES.get(name, name): np.atleast_1d(measure.sd) for name, measure in measures.items()}
        found |= {
            key_of_marking(marking): {name: float(sd[at]) for name, sd in sds.items() if np.isfinite(sd[at])}
            for at, marking in enumerate(several)
        }
    return found


def seen_together(
    markings: Iterable[Marking], cameras: Mapping[str, Camera], point_part: float | None = None
) -> Iterator[SeenTogether]:
    """What the markings measure of which the photograph is there; those of one kind are worked out at once.

    That is far faster than one by one. `cameras` by photograph, `point_part` as for `read_marking`.
    """
    alike: dict[Any, list[Marking]] = defaultdict(list)
    for marking in (one for one in markings if one.photo in cameras):
        focal, size = cameras[marking.photo]
        scale = frozenset(marking.points.keys() & REFERENCE.keys())
        alike[marking.view, scale, marking.scale, marking.card, focal is None, size].append(marking)
    for (*_, size), several in alike.items():
        yield several, _seen(several, [cameras[marking.photo][0] for marking in several], size, point_part)


def _seen(
    markings: Sequence[Marking],
    focals: Sequence[float | None],
    size: tuple[float, float],
    point_part: float | None,
) -> Seen:
    first = markings[0]
    names = dict.fromkeys(name for marking in markings for name in marking.points)
    nowhere = (math.nan, math.nan)
    points = {name: np.array([marking.points.get(name, nowhere) for marking in markings]) for name in names}
    return MEASURE[first.view](
        points,
        **sizes_of(first),
        focal_px=None if focals[0] is None else np.array(focals, dtype=float),
        image_size=size,
        point_sd_px=point_sd_px(point_part, size),
    )
