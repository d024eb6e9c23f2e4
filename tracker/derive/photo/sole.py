"""What a photograph from below tells: lengths, widths and ratios of the sole and the frog.

Lengths to the back are measured to the line between the hindmost bearing points of both heels, square to
it where they run along the foot.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from tracker.derive.photo import points
from tracker.derive.photo.view import MM, Row, View, length

At = Mapping[str, Any]

_HEELS, _WIDEST = ("medial_heel", "lateral_heel"), ("medial_widest", "lateral_widest")
_FROG_LONG, _FROG_WIDE = ("frog_tip", "frog_base"), ("frog_medial", "frog_lateral")
_BULBS = ("medial_bulb", "lateral_bulb")
_LONG = ("toe", *_HEELS)


def _from_heels(at: At, place: Any) -> Any:
    """How far a place lies before the line through both heels, in units of the plane."""
    inner, outer = (at[name] for name in _HEELS)
    line = outer - inner
    return np.abs(((place - inner) * line.conj()).imag) / np.abs(line)


def _widest(at: At) -> Any:
    return (at["medial_widest"] + at["lateral_widest"]) / 2


def hoof_length(at: At) -> Any:
    """From the toe square to the line through both heels, mm."""
    return _from_heels(at, at["toe"]) * at[MM]


def behind_widest(at: At) -> Any:
    """From the middle of the widest part square to the line through both heels, mm."""
    return _from_heels(at, _widest(at)) * at[MM]


def before_widest(at: At) -> Any:
    """From the toe back to the middle of the widest part, square to the line through both heels, mm."""
    return hoof_length(at) - behind_widest(at)


def front_part_percent(at: At) -> Any:
    """How much of the hoof's length lies before its widest part, %."""
    whole = _from_heels(at, at["toe"])
    return 100 * (whole - _from_heels(at, _widest(at))) / whole


def width_length_ratio(at: At) -> Any:
    """Hoof width over hoof length."""
    return np.abs(np.subtract(*(at[name] for name in _WIDEST))) / _from_heels(at, at["toe"])


def _ratio(one: tuple[str, str], other: tuple[str, str]) -> Callable[[At], Any]:
    return lambda at: np.abs(at[one[0]] - at[one[1]]) / np.abs(at[other[0]] - at[other[1]])


def heel_reach_difference(at: At) -> Any:
    """Toe to inner heel less toe to outer heel, mm: positive where the inner heel reaches further back."""
    inner, outer = (np.abs(at[name] - at["toe"]) for name in _HEELS)
    return (inner - outer) * at[MM]


ROWS = (
    Row("hoof_length", "mm", (*_LONG, MM), hoof_length, to_ground=False),
    Row("hoof_width", "mm", (*_WIDEST, MM), length(*_WIDEST), to_ground=False),
    Row("width_length_ratio", "1", (*_LONG, *_WIDEST), width_length_ratio, to_ground=False),
    Row("frog_length", "mm", (*_FROG_LONG, MM), length(*_FROG_LONG), to_ground=False),
    Row("frog_width", "mm", (*_FROG_WIDE, MM), length(*_FROG_WIDE), to_ground=False),
    Row("frog_ratio", "1", (*_FROG_WIDE, *_FROG_LONG), _ratio(_FROG_WIDE, _FROG_LONG), to_ground=False),
    Row("bulb_distance", "mm", (*_BULBS, MM), length(*_BULBS), to_ground=False),
    Row("heel_width", "mm", (*_HEELS, MM), length(*_HEELS), to_ground=False),
    Row("before_widest", "mm", (*_LONG, *_WIDEST, MM), before_widest, to_ground=False),
    Row("behind_widest", "mm", (*_HEELS, *_WIDEST, MM), behind_widest, to_ground=False),
    Row("front_part_percent", "%", (*_LONG, *_WIDEST), front_part_percent, to_ground=False),
    Row("heel_reach_difference", "mm", (*_LONG, MM), heel_reach_difference, to_ground=False),
)

SOLE = View(
    points.SOLE,
    None,
    ROWS,
    across=(_HEELS, _WIDEST, _FROG_WIDE, _BULBS),
    backward=(
        ("toe", "medial_heel"), ("toe", "lateral_heel"), _FROG_LONG, ("toe", "frog_tip"), ("toe", "frog_base"),
        *(
            pair
            for side in ("medial", "lateral")
            for pair in (
                (f"{side}_widest", f"{side}_heel"), (f"{side}_widest", f"{side}_bulb"),
                ("frog_tip", f"{side}_heel"), ("frog_tip", f"{side}_bulb"),
            )
        ),
    ),
)  # fmt: skip
