"""How well a photograph's measures can be repeated: the placing of points is only a part of the error.

Two photographs of one foot on one day differ by how the horse stood as well, which no single photograph shows.
`tracker/reference/measuring.py` holds what a reading from a photograph is good for.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from statistics import fmean

from tracker.derive.hooves import MEASURED
from tracker.derive.photo.growth import angle_key
from tracker.derive.photo.points import LINES
from tracker.derive.quantities import with_derived
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import reading_sd

# Measured again from others of one photograph, so that their error follows from those.
_FOLLOWS = ("heel_height",)
# The toe's wall in two parts, a third and two thirds of it: by what the table assumes of its points, each
# is read so many times worse than the whole, and their difference, which shares a point, by this.
_UPPER, _LOWER = 3.0, 1.5
_OF_THE_TOE = {
    "upper_toe_angle": _UPPER,
    "lower_toe_angle": _LOWER,
    "toe_flare": math.sqrt((_UPPER**2 + (_UPPER + _LOWER) ** 2 + _LOWER**2) / 2),
}


# A growth line is marked by two points about as far apart as those of the heel's wall.
_AS_SHORT = "heel_angle"
_LEAN = "line_lean"  # it follows from the growth lines, and widens as they do


def repeatable(seen: Mapping[str, Measure]) -> dict[str, Measure]:
    """The same measures, none surer than a reading from a photograph can be repeated.

    What follows from others (heel lag, axis break) has at least the error that theirs give it; what the
    table of repeatability does not have keeps its own.
    """
    toe = reading_sd("toe_angle", "photo")
    least = {key: reading_sd(key, "photo") for key in MEASURED}
    least |= {key: times * toe for key, times in _OF_THE_TOE.items()}
    least |= {angle_key(line): reading_sd(_AS_SHORT, "photo") for line in LINES}
    found = {key: at_least(measure, least.get(key, 0.0)) for key, measure in seen.items()}
    if _LEAN in found:
        found[_LEAN] = at_least(found[_LEAN], seen[_LEAN].sd * _wider(seen, found))
    base = {key: found[key] for key in MEASURED if key in found and key not in _FOLLOWS}
    derived = with_derived(base)
    return {
        key: at_least(measure, derived[key].sd if key in derived else 0.0) for key, measure in found.items()
    }


def _wider(seen: Mapping[str, Measure], found: Mapping[str, Measure]) -> float:
    """How many times larger the error of the growth lines has become, in the mean."""
    lines = [key for key in map(angle_key, LINES) if key in seen and seen[key].sd > 0]
    return fmean(found[key].sd / seen[key].sd for key in lines) if lines else 1.0


def at_least(measure: Measure, sd: float) -> Measure:
    """The same measure, no surer than that."""
    return measure._replace(sd=max(measure.sd, sd))
