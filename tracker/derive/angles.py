"""Lengths and angles of a hoof, computed from other lengths and angles of the same hoof.

Angles are degrees to the ground, lengths mm. Every function takes floats or numpy arrays and gives the
same back. The hoof is drawn flat, from the side: the toe touches the ground at (0, 0), the heel at
(support length, 0), and both walls slope up and back. Measures are for 1 to 179 degrees and 0.1 to
1000 mm; beyond that, or where no such hoof can be drawn, the answer is NaN.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Values = float | NDArray[np.float64]


def _length(value: Values) -> Any:
    value = np.asarray(value, dtype=float)
    return np.where((value >= 0.1) & (value <= 1000), value, np.nan)


def _angle(value: Values) -> Any:
    value = np.asarray(value, dtype=float)
    return np.where((value >= 1) & (value <= 179), value, np.nan)


def _run(value: Values) -> Any:
    value = np.asarray(value, dtype=float)
    return np.where(np.abs(value) <= 1000, value, np.nan)


def _sin(angle: Values) -> Any:
    return np.sin(np.radians(_angle(angle)))


def _cos(angle: Values) -> Any:
    return np.cos(np.radians(_angle(angle)))


def heel_lag(toe_angle: Values, heel_angle: Values) -> Any:
    """Degrees by which the heel wall lies lower than the toe wall; negative where it stands steeper.

    References: Turner (5 degrees or more is his underrun heel, a guide and no diagnosis); Adams and
    Stashak, 7th ed.
    """
    return _angle(toe_angle) - _angle(heel_angle)


def axis_break(pastern_angle: Values, toe_angle: Values) -> Any:
    """Degrees between pastern and toe wall: positive is broken back, negative broken forward, 0 straight.

    References: Adams and Stashak, 7th ed., p. 1126; no tolerance is published.
    """
    return _angle(pastern_angle) - _angle(toe_angle)


def toe_heel_ratio(toe_length: Values, heel_length: Values) -> Any:
    """Toe length over heel length, both down the wall (never heights).

    References: Stachurska et al. 2008 measured about 2, fore and hind (77 mares, after the trim).
    """
    return _length(toe_length) / _length(heel_length)


def heel_height(heel_length: Values, heel_angle: Values) -> Any:
    """Height of the hairline at the heel, mm straight up from the ground."""
    return _length(heel_length) * _sin(heel_angle)


def heel_run(heel_length: Values, heel_angle: Values) -> Any:
    """How far the heel's ground contact lies forward of its hairline, mm along the ground.

    Zero for an upright heel, negative for one that leans back. A long, low heel is long by this.
    """
    return _length(heel_length) * _cos(heel_angle)


def heel_run_from_height(heel_height: Values, heel_angle: Values) -> Any:
    """Forward run of the heel, mm, from its height and its angle."""
    return _length(heel_height) * _cos(heel_angle) / _sin(heel_angle)


def heel_length_from_height(heel_height: Values, heel_angle: Values) -> Any:
    """Heel length down the wall, mm, from its height and its angle."""
    return _length(heel_height) / _sin(heel_angle)


def heel_length_from_run(heel_height: Values, heel_run: Values) -> Any:
    """Heel length down the wall, mm, from its height and its forward run."""
    return np.hypot(_length(heel_height), _run(heel_run))


def heel_angle_from_run(heel_height: Values, heel_run: Values) -> Any:
    """Heel angle, degrees, from its height and its forward run."""
    return np.degrees(np.arctan2(_length(heel_height), _run(heel_run)))


def heel_angle_from_height(heel_height: Values, heel_length: Values) -> Any:
    """Heel angle, degrees, from its height and its length; taken as leaning forward (90 or less).

    NaN where the height is more than the length.
    """
    sine = _length(heel_height) / _length(heel_length)
    return np.degrees(np.arcsin(np.where(sine <= 1, sine, np.nan)))


def toe_height(toe_length: Values, toe_angle: Values) -> Any:
    """Height of the hairline at the toe, mm straight up from the ground."""
    return _length(toe_length) * _sin(toe_angle)


def heel_toe_height_percent(heel_height: Values, toe_height: Values) -> Any:
    """Heel height as a percentage of toe height (never lengths).

    References: Dyson et al. 2011, Vet J 190:364: of what they measured, this and the hairline's shape
    told 300 lame from 25 sound horses. No cut-off is taken from it.
    """
    return 100 * _length(heel_height) / _length(toe_height)


def _hairline(
    toe_length: Values, toe_angle: Values, heel_length: Values, heel_angle: Values, support: Values
) -> Any:
    """From the hairline at the heel to that at the toe: forward and up, mm."""
    toe, heel = _length(toe_length), _length(heel_length)
    forward = _length(support) + heel * _cos(heel_angle) - toe * _cos(toe_angle)
    up = toe * _sin(toe_angle) - heel * _sin(heel_angle)
    return np.where(forward > 0, forward, np.nan), up


def hairline_angle_model(
    toe_length: Values, toe_angle: Values, heel_length: Values, heel_angle: Values, support_length: Values
) -> Any:
    """Angle of the hairline to the ground, degrees, as the flat hoof gives it.

    A check on the measures it is made from, not a norm: a real hairline is curved.
    """
    forward, up = _hairline(toe_length, toe_angle, heel_length, heel_angle, support_length)
    return np.degrees(np.arctan2(up, forward))


def hairline_length(
    toe_length: Values, toe_angle: Values, heel_length: Values, heel_angle: Values, support_length: Values
) -> Any:
    """Straight line from the hairline at the toe to that at the heel, mm, as the flat hoof gives it."""
    return np.hypot(*_hairline(toe_length, toe_angle, heel_length, heel_angle, support_length))


def width_length_ratio(hoof_width: Values, hoof_length: Values) -> Any:
    """Hoof width over hoof length, on the sole."""
    return _length(hoof_width) / _length(hoof_length)


def frog_ratio(frog_width: Values, frog_length: Values) -> Any:
    """Frog width over frog length.

    References: Turner (under 0.67 is his contracted heel; 64 % of 50 Quarter Horses lay below it).
    """
    return _length(frog_width) / _length(frog_length)


def heel_length_difference(medial_heel_length: Values, lateral_heel_length: Values) -> Any:
    """Inner heel length less outer heel length, mm; positive where the inner heel is longer."""
    return _length(medial_heel_length) - _length(lateral_heel_length)


def wall_angle_difference(medial_wall_angle: Values, lateral_wall_angle: Values) -> Any:
    """Inner wall angle less outer wall angle, degrees; positive where the inner wall is steeper."""
    return _angle(medial_wall_angle) - _angle(lateral_wall_angle)
