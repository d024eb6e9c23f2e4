"""Lines that people draw on a photo from the side. Each is common practice, and off unless it is asked for.

They describe a foot; none says where to cut or what is right. A photo shows the outline of one side, not
the sole, the horn's thickness or what lies within: the live foot decides. None is surer than a photograph can be
repeated (`tracker/derive/photo/repeatable.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tracker.derive.photo.plane import Plane
from tracker.derive.photo.repeatable import at_least
from tracker.derive.photo.see import see
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.side import LOWER_ENDS, SIDE, hairline_angle
from tracker.derive.photo.view import MM, Row
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE, reading_sd
from tracker.reference.photo import HAIRLINE_GUIDE, HEEL_DEPTH, LIVE_FOOT

Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class HairlineGuide:
    """The hairline beside a line at the chosen angle: `above` is how much steeper the hairline is, deg."""

    angle: float
    above: Measure
    line: Line
    caution: str = LIVE_FOOT


@dataclass(frozen=True, slots=True)
class HeelPoint:
    """How far the wall reaches below the heel line at one marked point, mm straight down; negative: above it.

    `becomes_lower` is whether the back of the heel would be lower if the foot ended at the line: True or
    False where that is beyond the error, None where it is not.
    """

    point: str
    below: Measure
    becomes_lower: bool | None


@dataclass(frozen=True, slots=True)
class HeelLine:
    """A line level with the ground, `depth` mm below the heel's hairline, and what it would mean."""

    depth: float
    points: tuple[HeelPoint, ...]
    line: Line
    caution: str = LIVE_FOOT


def hairline_guide(
    points: Mapping[str, Any], angle: float = HAIRLINE_GUIDE.value, **given: Any
) -> HairlineGuide | None:
    """Compare one foot's hairline with a line at `angle` degrees to the ground; None without hairline or ground.

    `given` as for `side_view`. Common practice, no published source: there is no normal hairline angle, it
    differs by foot, breed and trim, and a hairline is curved. The live foot decides.
    """
    row = Row("above", "deg", ("toe_hairline", "heel_hairline"), lambda at: hairline_angle(at) - angle)
    seen = see(points, replace(SIDE, rows=(row,)), **given)
    if "above" not in seen or seen.plane is None:
        return None
    start = _laid(seen.plane, points, "heel_hairline")
    ahead = _laid(seen.plane, points, "toe_hairline")
    run = abs(start[0] - ahead[0])
    end = (start[0] - run, start[1] + run * np.tan(np.radians(angle)))
    above = at_least(seen["above"], reading_sd("hairline_angle", "photo"))
    return HairlineGuide(angle, above, _drawn(seen.plane, start, end))


def heel_line(points: Mapping[str, Any], depth: float = HEEL_DEPTH.value, **given: Any) -> HeelLine | None:
    """Lay a line `depth` mm below one foot's heel hairline, level with the ground; None without scale or ground.

    `given` as for `side_view`. Common practice, no published source: horn grows by its own measure, and a
    line of fixed depth knows neither the foot's size nor its sole. The live foot decides.
    """
    ends = ("heel_ground", *LOWER_ENDS)
    rows = tuple(Row(end, "mm", ("heel_hairline", end, MM), _below(end, depth)) for end in ends)
    seen = see(points, replace(SIDE, rows=rows), **given)
    if not seen or seen.plane is None:
        return None
    heel = _laid(seen.plane, points, "heel_hairline")
    at = heel[1] - depth
    ahead = _ahead(seen, points, heel[0])
    straight_up = reading_sd("heel_height", "photo")  # from the end to the hairline, as the heel's height is
    reach = {name: at_least(below, straight_up) for name, below in seen.items()}
    found = tuple(HeelPoint(name, below, _lower(below)) for name, below in reach.items())
    return HeelLine(depth, found, _drawn(seen.plane, (ahead, at), (heel[0], at)))


def _below(end: str, depth: float) -> Any:
    return lambda at: (at["heel_hairline"] - at[end]).imag * at[MM] - depth


def _lower(below: Measure) -> bool | None:
    sure = abs(below.value) >= COVERAGE * below.sd
    return bool(below.value > 0) if sure else None


def _ahead(seen: Seen, points: Mapping[str, Any], heel: float) -> float:
    """Where the line ends in front: under the toe, or as far before the heel as a foot is long."""
    assert seen.plane is not None
    return float(_laid(seen.plane, points, "toe_ground")[0]) if "toe_ground" in points else heel - 120.0


def _laid(plane: Plane, points: Mapping[str, Any], name: str) -> Any:
    return plane.level(np.asarray(points[name], dtype=float).reshape(-1, 2))[0]


def _drawn(plane: Plane, one: Any, other: Any) -> Line:
    (x1, y1), (x2, y2) = plane.picture(np.array([one, other], dtype=float)).tolist()
    return (x1, y1), (x2, y2)
