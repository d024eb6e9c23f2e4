"""Every quantity that can be computed from a hoof's measures, declared once, as rows."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from tracker.derive import angles
from tracker.derive.uncertainty import Measure, moved_each, spread_each


@dataclass(frozen=True, slots=True)
class Quantity:
    """One way to compute one quantity: its name, the names it needs, in the function's order, its unit."""

    name: str
    inputs: tuple[str, ...]
    function: Callable[..., Any]
    unit: str


_FLAT_HOOF = ("toe_length", "toe_angle", "heel_length", "heel_angle", "support_length")
_HEELS = ("medial_heel_length", "lateral_heel_length")
_WALLS = ("medial_wall_angle", "lateral_wall_angle")

# A name may stand in several rows: the first whose inputs are all there is taken.
QUANTITIES = (
    Quantity("heel_height", ("heel_length", "heel_angle"), angles.heel_height, "mm"),
    Quantity("heel_run", ("heel_length", "heel_angle"), angles.heel_run, "mm"),
    Quantity("heel_run", ("heel_height", "heel_angle"), angles.heel_run_from_height, "mm"),
    Quantity("heel_length", ("heel_height", "heel_angle"), angles.heel_length_from_height, "mm"),
    Quantity("heel_length", ("heel_height", "heel_run"), angles.heel_length_from_run, "mm"),
    Quantity("heel_angle", ("heel_height", "heel_run"), angles.heel_angle_from_run, "deg"),
    Quantity("heel_angle", ("heel_height", "heel_length"), angles.heel_angle_from_height, "deg"),
    Quantity("toe_height", ("toe_length", "toe_angle"), angles.toe_height, "mm"),
    Quantity("heel_lag", ("toe_angle", "heel_angle"), angles.heel_lag, "deg"),
    Quantity("axis_break", ("pastern_angle", "toe_angle"), angles.axis_break, "deg"),
    Quantity("toe_heel_ratio", ("toe_length", "heel_length"), angles.toe_heel_ratio, "1"),
    Quantity("heel_toe_height_percent", ("heel_height", "toe_height"), angles.heel_toe_height_percent, "%"),
    Quantity("hairline_angle_model", _FLAT_HOOF, angles.hairline_angle_model, "deg"),
    Quantity("hairline_length", _FLAT_HOOF, angles.hairline_length, "mm"),
    Quantity("width_length_ratio", ("hoof_width", "hoof_length"), angles.width_length_ratio, "1"),
    Quantity("frog_ratio", ("frog_width", "frog_length"), angles.frog_ratio, "1"),
    Quantity("heel_length_difference", _HEELS, angles.heel_length_difference, "mm"),
    Quantity("wall_angle_difference", _WALLS, angles.wall_angle_difference, "deg"),
)  # fmt: skip


def with_derived(measured: Mapping[str, Measure]) -> dict[str, Measure]:
    """Give the measures back, and after them every quantity that they are enough for.

    What was measured is never replaced by what was computed. A quantity whose value or error has no
    answer (a heel higher than it is long) is left out.
    """
    return each_with_derived([measured])[0]


def each_with_derived(feet: Sequence[Mapping[str, Measure]]) -> list[dict[str, Measure]]:
    """`with_derived` for each of many feet: those with the same measures are worked out together."""
    found = [dict(measured) for measured in feet]
    alike: dict[tuple[str, ...], list[int]] = {}
    for at, measured in enumerate(feet):
        alike.setdefault(tuple(measured), []).append(at)
    for names, places in alike.items():
        arrays = moved_each([feet[at] for at in places])
        for row, sources in _enough_for(names):
            arrays[row.name] = row.function(*(arrays[name] for name in row.inputs))
            values, sds = spread_each(arrays[row.name], [names.index(name) for name in sources])
            for at, value, sd in zip(places, values, sds, strict=True):
                if math.isfinite(value) and math.isfinite(sd):
                    how = _how(sources, tuple([feet[at][name].how for name in sources]))
                    found[at][row.name] = Measure(value, sd, row.unit, how)
    return found


@lru_cache(maxsize=256)  # owners measure the same few things each time
def _enough_for(names: tuple[str, ...]) -> tuple[tuple[Quantity, tuple[str, ...]], ...]:
    """Every quantity that so many measures are enough for, in the order in which they can be worked out.

    With each, what of the measures it comes from in the end: by their errors alone, so that none is counted twice.
    """
    sources: dict[str, tuple[str, ...]] = {name: (name,) for name in names}
    found = []
    while row := _next_row(sources):
        sources[row.name] = tuple(dict.fromkeys(name for part in row.inputs for name in sources[part]))
        found.append((row, sources[row.name]))
    return tuple(found)


def _next_row(known: Mapping[str, object]) -> Quantity | None:
    ready = (row for row in QUANTITIES if row.name not in known and known.keys() >= set(row.inputs))
    return next(ready, None)


@lru_cache(maxsize=1024)
def _how(names: tuple[str, ...], hows: tuple[str, ...]) -> str:
    """In words, such as "from heel length and heel angle (gauge, ruler)"."""
    *most, last = (name.replace("_", " ") for name in names)
    return f"from {', '.join(most)} and {last} ({', '.join(sorted({*hows}))})"
