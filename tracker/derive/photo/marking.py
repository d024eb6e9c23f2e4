"""The points marked on one photograph, and what they measure."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from tracker.cells.numbers import canonical, read_quantity
from tracker.derive.photo.plane import unmirrored
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.views import front_view, side_view, sole_view

MEASURE = {"side": side_view, "front": front_view, "sole": sole_view}
SIZED = {"scale_a": "scale", "card_1": "card"}  # the points on whose rows a size stands
_BETWEEN = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)
_UNIT = re.compile(r"[a-z\"″]+\.?\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Marking:
    """One view of one foot on one photograph.

    `points` are (x, y) by the points' names, in pixels of the upright picture, y downward. `scale` is the
    true distance from scale_a to scale_b, `card` the card's sides, both as typed ("100 mm", "85.60 x 53.98 mm").
    `date` is as typed, `stage` as the Hooves sheet has it.
    """

    photo: str
    view: str
    foot: str = ""
    horse: str = ""
    date: str = ""
    stage: str = ""
    points: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    scale: str = ""
    card: str = ""


def read_marking(
    marking: Marking,
    *,
    focal_px: float | None,
    image_size: tuple[float, float],
    point_part: float | None = None,
) -> Seen:
    """Every angle and length that the marked points allow, with its error; never raises for a mistake of the marking.

    `point_part` is the error of a marked point as a part of the picture's long side, where it was learned.
    """
    given: dict[str, Any] = {**sizes_of(marking), "focal_px": focal_px, "image_size": image_size}
    given["point_sd_px"] = point_sd_px(point_part, image_size)
    if marking.view != "side":
        given["foot"] = marking.foot or None
    return MEASURE[marking.view](marking.points, **given)


def point_sd_px(point_part: float | None, image_size: tuple[float, float]) -> float | None:
    """The error of a marked point in px, from the part that it is of the picture's long side; None where none was learned."""
    return None if point_part is None else point_part * max(image_size)


def sizes_of(marking: Marking) -> dict[str, Any]:
    """How large the card and the scale are, mm, as the views take it; what is no size, as it was typed."""
    return {
        "scale_mm": _length(marking.scale) if marking.scale else None,
        "card_mm": card_sides(marking.card) if marking.card else None,
    }


def window_of(
    seen: Seen, left: float, right: float, low: float, high: float
) -> tuple[tuple[float, float], ...] | None:
    """Where in the picture the corners of a level window lie: upper left, lower left, lower right, upper right, px.

    The window is given in mm from where the toe meets the ground, to the heel and up; left and right are as in
    the picture, which is never mirrored. None where the picture has no ground line or no scale.
    """
    if seen.plane is None or not seen.plane.sized:
        return None
    places = [(left, high), (left, low), (right, low), (right, high)]
    return unmirrored([(float(x), float(y)) for x, y in seen.plane.picture(places)])


def _length(text: str) -> Any:
    """In mm; the text itself where it is no length, so that it can be told."""
    found = read_quantity(text)
    return (
        canonical(found.number, found.unit or "mm")
        if found and found.unit in ("", "mm", "cm", "in")
        else text
    )


def card_sides(text: str) -> Any:
    """The sides of a card in mm, from "85.60 x 53.98 mm"; the text itself where it says no two lengths."""
    sides = _BETWEEN.split(text.strip())
    unit = _UNIT.search(sides[-1])
    lengths = [_length(side if _UNIT.search(side) or not unit else f"{side} {unit[0]}") for side in sides]
    return tuple(lengths) if len(lengths) == 2 and all(isinstance(each, float) for each in lengths) else text
