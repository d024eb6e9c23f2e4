"""The lines of a hoof seen from the side, in millimetres: x along the ground from toe to heel, y up.

Walls and ground are exact. What no measure tells is only softened: the hairline is a straight line with a
slight bow, the corners on the ground are rounded, the hair is a sign of where it begins.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians, sin

from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE
from tracker.show.foot_shape import OUTLINE, Profile, Shape, mark_key

Points = tuple[complex, ...]

OPEN = {"toe": 46.0, "heel": 28.0, "pastern": 34.0, "hairline": 40.0}
"""Where a length is not known the line runs out in dots, mm."""

_SOLID = 0.6
# The heel's place where it is not known how far it stands behind the toe, mm; the ground is broken there.
_HEEL_APART = 118.0
# How much of each side of a corner is rounded, mm.
_ROUND = {"toe": 5.0, "heel": 3.0}
_ROUND_TOP = 3.0
_STEPS = 24


@dataclass(frozen=True, slots=True)
class Part:
    """One line, or one filled field: what it is, how it is drawn, its points, whether it was not checked."""

    name: str
    kind: str
    points: Points
    unchecked: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A shape with its place on the ground: `toe` and `heel` are where its walls meet it, mm."""

    shape: Shape
    toe: float
    heel: float | None
    apart: bool

    @property
    def closed(self) -> bool:
        """Whether the whole outline is known, and stands in its place."""
        return self.shape.closed and not self.apart

    @property
    def toe_top(self) -> complex | None:
        """The hairline at the toe."""
        own = self.shape.profile
        return _end(self.toe, own.toe_angle, own.toe_length)

    @property
    def heel_top(self) -> complex | None:
        """The hairline at the heel."""
        own = self.shape.profile
        return None if self.heel is None else _end(self.heel, own.heel_angle, own.heel_length)


def laid_over(now: Shape, first: Shape | None) -> tuple[Placed, Placed | None]:
    """Both on one ground, the hairline at the toe above itself: of what is measured it moves the least.

    Where a toe's length is not known, the toes' tips lie on each other.
    """
    apart = now.support is None
    latest = Placed(now, 0.0, _HEEL_APART if now.support is None else now.support.value, apart)
    if first is None:
        return latest, None
    earlier = Placed(first, 0.0, None, apart)
    shift = 0.0
    if latest.toe_top is not None and earlier.toe_top is not None:
        shift = latest.toe_top.real - earlier.toe_top.real
    heel = _HEEL_APART if apart else shift + first.support.value if first.support else None
    return latest, Placed(first, shift, heel, apart)


def parts(placed: Placed) -> list[Part]:
    """Everything to be drawn of one shape, what lies below first."""
    return [
        *_body(placed),
        *_fans(placed),
        *_walls(placed),
        *_ground(placed),
        *_hairline(placed),
        *_pastern(placed),
        *_marks(placed),
        *_growth(placed),
    ]


def mark_lines(placed: Placed) -> dict[str, Points]:
    """Each growth mark's line: all that lies as far below the hairline, down to the ground.

    How far a mark has grown is about the same all round a hoof (Kolstrung et al. 2012), where on it the mark
    sits is not recorded; so the line is that of its distance. Left out are marks beyond the toe's ground.
    """
    own = placed.shape.profile
    length, top = own.toe_length, placed.toe_top
    if not (own.toe_angle and length and top is not None):
        return {}
    inside = {name: mark for name, mark in own.marks.items() if 0 <= mark.value < length.value}
    return {name: _mark_line(placed, own, mark.value) for name, mark in inside.items()}


def growth_lines(placed: Placed) -> dict[str, Points]:
    """Each growth line that was marked on a photograph, from its lower end up, as it stands there."""
    if not placed.shape.profile.toe_angle:
        return {}  # nothing shows where the toe meets the ground
    found: dict[str, Points] = {}
    for name, line in placed.shape.profile.lines.items():
        middle, half = placed.toe + line.middle, cmath.rect(line.length / 2, radians(line.angle.value))
        found[name] = (middle - half, middle + half)
    return found


def _mark_line(placed: Placed, own: Profile, below: float) -> Points:
    assert own.toe_angle
    top = placed.toe_top or 0
    if placed.heel_top is None or not placed.closed or not own.heel_angle:
        start = top - cmath.rect(below, radians(own.toe_angle.value))
        return start, start + 8
    hair = bowed(top, placed.heel_top)
    toe, heel = own.toe_angle.value, own.heel_angle.value
    down = [radians(toe + (heel - toe) * step / _STEPS) for step in range(_STEPS + 1)]
    return _above_ground([point - cmath.rect(below, angle) for point, angle in zip(hair, down, strict=True)])


def _above_ground(line: Sequence[complex]) -> Points:
    kept: list[complex] = []
    for point in line:
        if point.imag < 0:
            if kept:
                last = kept[-1]
                kept.append(last + (point - last) * last.imag / (last.imag - point.imag))
            break
        kept.append(point)
    return tuple(kept)


def _end(foot: float, angle: Measure | None, length: Measure | None) -> complex | None:
    if angle is None or length is None:
        return None
    return foot + cmath.rect(length.value, radians(angle.value))


def _unsure(own: Profile, *names: str) -> bool:
    return not own.unchecked.isdisjoint(names)


def _walls(placed: Placed) -> Iterator[Part]:
    own = placed.shape.profile
    yield from _wall("toe", placed.toe, own.toe_angle, placed.toe_top, placed)
    if placed.heel is not None:
        yield from _wall("heel", placed.heel, own.heel_angle, placed.heel_top, placed)


def _wall(
    side: str, foot: float, angle: Measure | None, top: complex | None, placed: Placed
) -> Iterator[Part]:
    if angle is None:
        return
    own = placed.shape.profile
    unsure = _unsure(own, f"{side}_angle", f"{side}_length")
    if top is None:
        yield from _open_end(f"{side}-wall", foot, angle, side, unsure)
        return
    base = complex(foot)
    yield Part(f"{side}-wall", "measured", (base, top))
    low = _toward(base, top, _ROUND[side]) if placed.shape.support and not placed.apart else base
    high = _toward(top, base, _ROUND_TOP) if placed.closed else top
    yield Part(f"{side}-side", "outline", (low, high), unsure)


def _toward(start: complex, end: complex, distance: float) -> complex:
    """The point so far from the start on the way to the end; at most a third of it."""
    way = end - start
    return start + way * min(distance / abs(way), 1 / 3)


def _open_end(name: str, start: complex, angle: Measure, which: str, unsure: bool) -> Iterator[Part]:
    """A line of known angle and unknown length: it runs out in dots."""
    whole = cmath.rect(OPEN[which], radians(angle.value))
    yield Part(name, "outline", (complex(start), start + _SOLID * whole), unsure)
    yield Part(f"{name}-open", "open", (start + _SOLID * whole, start + whole))


def _fans(placed: Placed) -> Iterator[Part]:
    """Where each wall may lie: its angle's error, 19 times in 20."""
    own = placed.shape.profile
    for side, foot, top in (("toe", placed.toe, placed.toe_top), ("heel", placed.heel, placed.heel_top)):
        angle = own.get(f"{side}_angle")
        if angle is None or foot is None:
            continue
        radius = abs(top - foot) if top is not None else OPEN[side]
        error = min(COVERAGE * angle.sd, 45)
        rim = [foot + cmath.rect(radius, radians(angle.value + error * step / 4)) for step in range(-4, 5)]
        yield Part(f"{side}-fan", "fan", (complex(foot), *rim))


def _ground(placed: Placed) -> Iterator[Part]:
    """The bearing line from toe to heel, its corners rounded where a wall meets it."""
    if placed.apart or placed.heel is None or placed.shape.support is None:
        return
    own, toe, heel = placed.shape.profile, complex(placed.toe), complex(placed.heel)
    yield Part("support", "measured", (toe, heel))
    yield Part("bearing", "outline", _bearing(placed, toe, heel), _unsure(own, "support_length"))


def _bearing(placed: Placed, toe: complex, heel: complex) -> Points:
    front, back = (
        _rounded(_toward(corner, top, round_), corner, _toward(corner, other, round_))
        if top is not None
        else (corner,)
        for top, corner, other, round_ in (
            (placed.toe_top, toe, heel, _ROUND["toe"]),
            (placed.heel_top, heel, toe, _ROUND["heel"]),
        )
    )
    return (*front, *reversed(back))


def _rounded(start: complex, corner: complex, end: complex) -> Points:
    return tuple((1 - t) ** 2 * start + 2 * t * (1 - t) * corner + t**2 * end for t in _shares(6))


def _shares(steps: int) -> list[float]:
    return [step / steps for step in range(steps + 1)]


def bowed(front: complex, back: complex) -> Points:
    """The hairline: a straight line with a slight bow: up behind the toe, down towards the heel."""
    along = back - front
    up = along * 1j
    one, two = front + along / 3 + 0.05 * up, front + 2 * along / 3 + 0.02 * up
    return tuple(
        (1 - t) ** 3 * front + 3 * t * (1 - t) ** 2 * one + 3 * t**2 * (1 - t) * two + t**3 * back
        for t in _shares(_STEPS)
    )


def _hairline(placed: Placed) -> Iterator[Part]:
    own, top, heel_top = placed.shape.profile, placed.toe_top, placed.heel_top
    if top is None:
        return
    if placed.closed and heel_top is not None and own.toe_angle:
        unsure = _unsure(own, *OUTLINE)
        line = bowed(top, heel_top)
        yield Part("hairline", "measured", line)
        yield Part("hairline-side", "outline", _softened(placed, line), unsure)
        yield from _hair(line, own.toe_angle)
    elif own.hairline_angle:
        falling = Measure(-own.hairline_angle.value, own.hairline_angle.sd, "deg", "")
        yield from _open_end("hairline", top, falling, "hairline", _unsure(own, "hairline_angle"))


def _softened(placed: Placed, line: Points) -> Points:
    """The hairline from wall to wall, its corners rounded."""
    front = _rounded(_toward(line[0], complex(placed.toe), _ROUND_TOP), line[0], line[1])
    back = _rounded(line[-2], line[-1], _toward(line[-1], complex(placed.heel or 0), _ROUND_TOP))
    return (*front, *line[2:-2], *back)


def _hair(line: Points, angle: Measure) -> Iterator[Part]:
    """Short hairs that lie down over the hairline along the toe's wall, a little uneven."""
    for step, point in enumerate(line[1:-1]):
        lean = radians(angle.value - 4 + 5 * sin(2.3 * step))
        root = cmath.rect(6.5 + 1.5 * sin(4.1 * step), lean)
        yield Part("hair", "hair", (point - 0.2 * root, point + 0.8 * root))


def _pastern(placed: Placed) -> Iterator[Part]:
    own, top = placed.shape.profile, placed.toe_top
    if own.pastern_angle and top is not None:
        yield from _open_end("pastern", top, own.pastern_angle, "pastern", _unsure(own, "pastern_angle"))


def _marks(placed: Placed) -> Iterator[Part]:
    for name, line in mark_lines(placed).items():
        yield Part("mark", "mark", line, _unsure(placed.shape.profile, mark_key(name)))


def _growth(placed: Placed) -> Iterator[Part]:
    for line in growth_lines(placed).values():
        yield Part("growth", "growth", line, unchecked=True)


def _body(placed: Placed) -> Iterator[Part]:
    top, heel_top, heel = placed.toe_top, placed.heel_top, placed.heel
    if not placed.closed or top is None or heel_top is None or heel is None:
        return
    bearing = _bearing(placed, complex(placed.toe), complex(heel))
    yield Part("body", "body", (*bearing, *reversed(_softened(placed, bowed(top, heel_top)))))
