"""The lines that people draw on a photograph, asked for as they are typed. Each is common practice, no published source."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from tracker.cells.numbers import canonical, read_quantity, unit_named, units_for
from tracker.derive.photo.guides import HairlineGuide, HeelLine, hairline_guide, heel_line
from tracker.derive.photo.marking import Marking, point_sd_px, sizes_of
from tracker.problem import Problem, make
from tracker.sheets import ANGLE, HOOVES, LENGTH, Column

HAIRLINE, HEEL = "hairline", "heel"
_INCHES = "in"
_UPRIGHT = 90.0


@dataclass(frozen=True, slots=True)
class Beside:
    """A line that was asked for: its kind, what was typed, and the line, or why there is none.

    Both `line` and `problem` are None where the points do not allow the line.
    """

    kind: str
    said: str
    line: HairlineGuide | HeelLine | None = None
    problem: Problem | None = None


def lines_beside(
    marking: Marking,
    wanted: Iterable[tuple[str, str]],
    *,
    focal_px: float | None,
    image_size: tuple[float, float],
    point_part: float | None = None,
) -> list[Beside]:
    """The lines that were asked for, each once, as far as the points of a view from the side allow them.

    A line is asked for by its kind and its value as typed: ("hairline", "30°"), ("heel", "1 1/8 in").
    `point_part` as for `read_marking`.
    """
    if marking.view != "side":
        return []
    given = {**sizes_of(marking), "focal_px": focal_px, "image_size": image_size}
    given["point_sd_px"] = point_sd_px(point_part, image_size)
    found: dict[tuple[str, float | str], Beside] = {}
    for kind, said in wanted:
        if kind in _KINDS and said.strip():
            value = _KINDS[kind].read(said)
            found.setdefault(
                (kind, said if value is None else value), _beside(marking, kind, said, value, given)
            )
    return list(found.values())


def _beside(marking: Marking, kind: str, said: str, value: float | None, given: Mapping[str, Any]) -> Beside:
    of = _KINDS[kind]
    if value is None:
        return Beside(kind, said, problem=make(of.slug, found=said.strip(), allowed=of.allowed))
    return Beside(kind, said, of.line(marking.points, value, **given))


def angle_of(text: str) -> float | None:
    """The one angle that the text gives, deg; None where it gives none, or one that no hairline has."""
    found = read_quantity(text)
    if found is None or found.ends or found.fractions:
        return None
    known = not found.unit or unit_named(found.unit, units_for(ANGLE))
    usual = _is_usual(found.number, HOOVES.by_key["hairline_angle"]) and found.number < _UPRIGHT
    return found.number if known and usual else None


def depth_of(text: str) -> float | None:
    """The one depth that the text gives, mm; None where it gives none, or one that no heel has.

    A bare number counts where only one unit makes a heel of it, a bare fraction as inches where it parts
    them by halving.
    """
    found = read_quantity(text)
    if found is None or found.ends:
        return None
    units = [unit_named(found.unit, units_for(LENGTH))] if found.unit else [*units_for(LENGTH)]
    if found.fractions and not found.unit:
        units = [_INCHES] if all(part.halved for part in found.fractions) else []
    column = HOOVES.by_key["heel_length"]
    depths = [canonical(found.number, unit) for unit in units if unit]
    usual = [depth for depth in depths if _is_usual(depth, column)]
    return usual[0] if len(usual) == 1 else None


def _is_usual(number: float, column: Column) -> bool:
    return bool(column.low <= number <= column.high)


@dataclass(frozen=True, slots=True)
class _Kind:
    """How a kind of line is read and drawn, and what is told where its value makes no sense."""

    read: Callable[[str], float | None]
    line: Callable[..., HairlineGuide | HeelLine | None]
    slug: str
    allowed: str


_KINDS = {
    HAIRLINE: _Kind(angle_of, hairline_guide, "guide-angle", "such as 30° or 25"),
    HEEL: _Kind(depth_of, heel_line, "guide-depth", "such as 1 1/8 in, 1½ in or 35 mm"),
}
