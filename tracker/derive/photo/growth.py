"""Growth lines as marked on a photograph from the side: how each stands, and where on the level foot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tracker.derive.photo.points import LINES
from tracker.derive.photo.seen import Seen
from tracker.derive.uncertainty import Measure

_ORIGIN = "toe_ground"


@dataclass(frozen=True, slots=True)
class GrowthLine:
    """One growth line: its angle to the ground (deg), its middle and its length, mm.

    The middle is x + iy from where the toe meets the ground, x toward the heel, y up.
    """

    angle: Measure
    middle: complex
    length: float


def angle_key(line: str) -> str:
    """What the angle of a line is called among the measures."""
    return f"{line}_angle"


def growth_lines(points: Mapping[str, Any], seen: Seen) -> dict[str, GrowthLine]:
    """The growth lines of one foot that are marked and measured, by name ("line1" is nearest the toe).

    None where the photograph has no scale, or where the toe meets the ground is not marked, since a line has
    no place on the foot then.
    """
    if seen.plane is None or not seen.plane.sized or _ORIGIN not in points:
        return {}
    found = {}
    for line in LINES:
        ends = [points.get(f"{line}_{end}") for end in ("upper", "lower")]
        if None in ends or angle_key(line) not in seen:
            continue
        (x1, y1), (x2, y2) = seen.plane.level(ends).tolist()
        upper, lower = complex(x1, y1), complex(x2, y2)
        found[line] = GrowthLine(seen[angle_key(line)], (upper + lower) / 2, abs(upper - lower))
    return found
