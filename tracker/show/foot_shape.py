"""The side of a hoof from its measures: what follows from them, what is missing, what does not agree.

Five of the six measures of the outline settle the sixth. With toe length T at angle a, heel length l at
angle b, support length S, and the straight hairline falling at angle h from toe to heel, the outline closes
where T·sin(h + a) = l·sin(h + b) + S·sin h.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import hypot, inf, isfinite, radians, sin
from typing import Any

from tracker.derive import angles
from tracker.derive.photo.growth import GrowthLine
from tracker.derive.uncertainty import Measure, propagate
from tracker.reference.measuring import COVERAGE
from tracker.sheets import HOOVES
from tracker.show import words

OUTLINE = ("toe_angle", "toe_length", "heel_angle", "heel_length", "support_length")
CHECKS = ("hairline_angle", "heel_height")
DRAWN = (*OUTLINE, *CHECKS, "pastern_angle")

_APART = (
    "Toe, heel and support length as measured do not fit into one hoof, since the heel's hairline would lie in "
    "front of the toe's: drawn apart, to be measured again."
)


@dataclass(frozen=True, slots=True)
class Profile:
    """What was measured of one foot from the side, one day: angles in deg, lengths in mm, each with its sd.

    `marks` holds each growth mark's distance below the hairline, down the wall, `lines` the growth lines marked
    on a photograph of that day, which nobody can check but on a photograph. `unchecked` names the measures, and
    the marks by their `mark_key`, that come from a photo and were not checked on the live foot.
    """

    when: str
    toe_angle: Measure | None = None
    toe_length: Measure | None = None
    heel_angle: Measure | None = None
    heel_length: Measure | None = None
    heel_height: Measure | None = None
    support_length: Measure | None = None
    hairline_angle: Measure | None = None
    pastern_angle: Measure | None = None
    marks: Mapping[str, Measure] = field(default_factory=dict)
    lines: Mapping[str, GrowthLine] = field(default_factory=dict)
    unchecked: frozenset[str] = frozenset()

    def get(self, name: str) -> Measure | None:
        """The measure of that name."""
        found: Measure | None = getattr(self, name)
        return found

    @property
    def drawable(self) -> bool:
        """Whether there is a wall to draw."""
        return bool(self.toe_angle or self.heel_angle)


@dataclass(frozen=True, slots=True)
class Shape:
    """A profile with what follows from it; `support` is None where the heel cannot be placed behind the toe.

    `said` tells what the outline is drawn from and what agrees with it; `notes` what is open or in doubt.
    """

    profile: Profile
    support: Measure | None
    said: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def closed(self) -> bool:
        """Whether all four corners are known."""
        return self.support is not None and all(self.profile.get(name) for name in OUTLINE[:4])


def mark_key(name: str) -> str:
    """What a growth mark is called among the measures."""
    return f"growth mark {name}"


def shape_of(profile: Profile) -> Shape:
    """What can be drawn of a profile, and the sentences that go with it."""
    full, said, notes = _closing(profile)
    if _impossible(full):
        return Shape(full, None, said, (*notes, _APART))
    agreed, doubts = _compared(full) if full is profile else ((), ())
    height_agreed, height_doubts = _heights(full)
    return Shape(
        full,
        full.support_length,
        (*_drawn_from(full, full is profile), *said, *agreed, *height_agreed),
        (*notes, *_open(full), *doubts, *height_doubts),
    )


def _toe_length(a: Any, b: Any, h: Any, heel: Any, support: Any) -> Any:
    a, b, h = radians(a), radians(b), radians(h)
    return _divided(support * sin(h) + heel * sin(h + b), sin(h + a))


def _heel_length(a: Any, b: Any, h: Any, toe: Any, support: Any) -> Any:
    a, b, h = radians(a), radians(b), radians(h)
    return _divided(toe * sin(h + a) - support * sin(h), sin(h + b))


def _support_length(a: Any, b: Any, h: Any, toe: Any, heel: Any) -> Any:
    a, b, h = radians(a), radians(b), radians(h)
    return _divided(toe * sin(h + a) - heel * sin(h + b), sin(h))


def _divided(value: float, by: float) -> float:
    return value / by if by else inf


_ANGLES = ("toe_angle", "heel_angle", "hairline_angle")
_CLOSED_BY: dict[str, tuple[Callable[..., Any], tuple[str, str]]] = {
    "support_length": (_support_length, ("toe_length", "heel_length")),
    "toe_length": (_toe_length, ("heel_length", "support_length")),
    "heel_length": (_heel_length, ("toe_length", "support_length")),
}


def _closing(profile: Profile) -> tuple[Profile, tuple[str, ...], tuple[str, ...]]:
    """The profile with the one length that its hairline angle settles, and what is to be said of it."""
    for name, (function, lengths) in _CLOSED_BY.items():
        inputs = [found for key in (*_ANGLES, *lengths) if (found := profile.get(key))]
        if profile.get(name) or len(inputs) < 5:
            continue
        found = propagate(function, inputs, "mm", "from the hairline angle")
        called, column = words.name(name), HOOVES.by_key[name]
        if not (isfinite(found.sd) and column.low <= found.value <= column.high):
            told = f"{called} does not follow from the hairline angle and the other measures, which do not agree: left open."
            return profile, (), (told,)
        told = f"{called} was not measured; from the hairline angle it is {words.measure(found)}."
        unsure = profile.unchecked & {*_ANGLES, *lengths}
        unchecked = profile.unchecked | ({name} if unsure else set())
        settled: dict[str, Any] = {name: found, "unchecked": unchecked}
        return replace(profile, **settled), (), (told,)
    return profile, (), ()


def _impossible(profile: Profile) -> bool:
    inputs = _values(profile)
    return inputs is not None and not isfinite(float(angles.hairline_angle_model(*inputs)))


def _values(profile: Profile) -> tuple[float, ...] | None:
    found = _outline(profile)
    return tuple(measure.value for measure in found) if found else None


def _outline(profile: Profile) -> list[Measure] | None:
    """The five measures in the order in which the flat hoof takes them."""
    keys = ("toe_length", "toe_angle", "heel_length", "heel_angle", "support_length")
    found = [measure for key in keys if (measure := profile.get(key))]
    return found if len(found) == len(keys) else None


def _drawn_from(profile: Profile, measured: bool) -> tuple[str, ...]:
    if not (measured and _outline(profile)):
        return ()
    return ("Drawn from toe angle and length, heel angle and length, and support length.",)


def _compared(profile: Profile) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Whether the hairline angle agrees with the one that the other five give."""
    inputs, measured = _outline(profile), profile.hairline_angle
    if not inputs:
        return (), ()
    model = propagate(angles.hairline_angle_model, inputs, "deg", "from the outline", arrays=True)
    if model.value < 0:
        return (), (
            "As measured, the hairline stands higher at the heel than at the toe; toe and heel may have changed places.",
        )
    if not measured:
        return (), ()
    return _agreement("Hairline angle", measured, "the other measures give", model, "from the other measures")


def _heights(profile: Profile) -> tuple[tuple[str, ...], tuple[str, ...]]:
    length, angle, measured = profile.heel_length, profile.heel_angle, profile.heel_height
    if not (length and angle and measured):
        return (), ()
    model = propagate(angles.heel_height, [length, angle], "mm", "from heel length and angle", arrays=True)
    return _agreement("Heel height", measured, "heel length and angle give", model, "from length and angle")


def _agreement(
    called: str, measured: Measure, others: str, model: Measure, drawn: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is said of a measure that the others give too: in words for the blind only, or as a doubt for all."""
    if abs(measured.value - model.value) <= COVERAGE * hypot(measured.sd, model.sd):
        return (f"{called} as measured agrees with them.",), ()
    both = f"{called} as measured is {words.measure(measured)}, but {others} {words.measure(model)}"
    return (), (f"{both}: more apart than the measuring error explains. Drawn {drawn}.",)


def _open(profile: Profile) -> tuple[str, ...]:
    lacking = [words.name(key).lower() for key in OUTLINE[:4] if not profile.get(key)]
    if not profile.support_length:
        lacking.append("support length" if profile.hairline_angle else "support length (or hairline angle)")
    return (f"Not measured, so left open: {', '.join(lacking)}.",) if lacking else ()
