"""What no measure tells and is only drawn, so that a hoof is seen as one: pale, the pastern and the heel's bulb.

It has no line of its own and fades away upward; only the front of the pastern has a line, and only where its
angle was measured (`foot_parts`). How thick and how round it is, is common practice, no published source.
"""

from __future__ import annotations

import cmath
from math import radians

from tracker.show.foot_parts import Part, Placed, Points, bowed

_HIGH = 38.0  # how far up the limb goes before it has faded away, mm
# Parts of the hairline's length.
_THICK, _BULB, _BULB_UP = 0.6, 0.15, 0.17
_BULB_FROM = 0.6  # how far down the heel's wall the bulb begins
_STEPS = 16


def limb(placed: Placed) -> list[Part]:
    """The pale field above and behind the wall; nothing where the wall's outline is not known."""
    top, back, heel, way = placed.toe_top, placed.heel_top, placed.heel, _way(placed)
    if not placed.closed or top is None or back is None or heel is None or way is None:
        return []
    along = back - top
    size, up = abs(along), along / abs(along) * 1j
    front_end = top + way
    back_end = front_end + cmath.rect(_THICK * size, cmath.phase(way) - radians(90))
    low = back + _BULB_FROM * (heel - back)
    high = back - 0.07 * along + _BULB_UP * size * up
    bulb = _curve(low, low + _BULB * size, back + 1.25 * _BULB * size + 0.5 * (high - back), high)
    hollow = _curve(high, high - 0.12 * along + 0.03 * size * up, back_end - 0.25 * way, back_end)
    return [
        Part("limb", "limb", (front_end, *reversed((*bulb, *hollow)), *reversed(bowed(top, back)))),
    ]


def limb_end(placed: Placed) -> complex | None:
    """The upper end of the pastern's front, drawn or measured; None where there is neither."""
    way, top = _way(placed), placed.toe_top
    return None if way is None or top is None else top + way


def _way(placed: Placed) -> complex | None:
    """From the hairline at the toe to the pastern's upper end."""
    own = placed.shape.profile
    lean = own.pastern_angle or (own.toe_angle if placed.closed else None)
    return cmath.rect(_HIGH, radians(lean.value)) if lean else None


def _curve(start: complex, one: complex, two: complex, end: complex) -> Points:
    """A cubic Bézier curve as points."""
    shares = [step / _STEPS for step in range(_STEPS + 1)]
    return tuple(
        (1 - t) ** 3 * start + 3 * t * (1 - t) ** 2 * one + 3 * t**2 * (1 - t) * two + t**3 * end
        for t in shares
    )
