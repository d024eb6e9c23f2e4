"""How well this owner places a point, learned from photographs whose points stand more than once on the sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from tracker.derive.photo.average import learned_point_sd
from tracker.derive.photo.markings import Key, Row, key_of_row
from tracker.derive.photo.own import Camera
from tracker.derive.repeats import ENOUGH, LEAST_PART
from tracker.reference.photo import POINT_SD

ANOTHER_PLACE = 10.0
"""Two places of one point that lie further apart than so many times its usual error are a point that was put right,
not one that was placed again. Our own choice."""

Place = tuple[float, float]


def learned_point_part(points: Iterable[Row], cameras: Mapping[str, Camera]) -> float | None:
    """Error of a marked point in x and in y, as a part of the picture's long side; None where too little was marked again.

    Rows of one photograph, view, foot and point that say different places are that point placed again; a row
    that repeats a place was typed twice. What counts as enough, and what is the least to be believed, is as for
    other repeats (`tracker/derive/repeats.py`), x and y each a repeat of its own. All photographs are
    pooled, as parts of their long sides.
    """
    again = {
        key: places for key, places in _places(points, cameras).items() if len(places) > 1 and _near(places)
    }
    if sum(2 * (len(places) - 1) for places in again.values()) < ENOUGH:
        return None
    rounds = max(map(len, again.values()))
    markings = [
        {"/".join(key): places[number] for key, places in again.items() if number < len(places)}
        for number in range(rounds)
    ]
    return max(learned_point_sd(markings), LEAST_PART * POINT_SD.value)


def _places(points: Iterable[Row], cameras: Mapping[str, Camera]) -> dict[Key, list[Place]]:
    """Where each point of each view was placed, as parts of the long side."""
    found: dict[Key, dict[Place, None]] = defaultdict(dict)
    for row in points:
        if row["photo"] in cameras:
            side = max(cameras[row["photo"]][1])
            found[(*key_of_row(row), row["point"])][row["x"] / side, row["y"] / side] = None
    return {key: [*places] for key, places in found.items()}


def _near(places: list[Place]) -> bool:
    most = ANOTHER_PLACE * POINT_SD.value
    return all(max(along) - min(along) <= most for along in zip(*places, strict=True))
