"""The words and the order in which the points of a photograph are marked, and what they measure, in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from tracker.derive.photo.guides import HairlineGuide, HeelLine, HeelPoint
from tracker.derive.photo.points import CARDS, FRONT, LINES, REFERENCE, SCALE, SIDE, SOLE
from tracker.derive.photo.seen import Seen
from tracker.reference.photo import CARD_LONG, CARD_SHORT, LIVE_FOOT
from tracker.show import words
from tracker.terms import FOOT_WORDS

ID_CARD = f"{CARD_LONG.value:.2f} x {CARD_SHORT.value:.2f} mm"
"""The size of a bank card, as the sheet holds it."""

LINE_CAUTION = f"Common practice, no published source. {LIVE_FOOT}"
"""Stands with every line that is drawn beside the foot."""

VIEWS = ("side", "front", "sole")
POINTS = {"side": SIDE, "front": FRONT, "sole": SOLE}

_FIRST = {
    "side": ("toe_hairline", "toe_ground", "heel_hairline", "heel_ground", "ground_front", "ground_back"),
    "front": (
        "medial_hairline", "medial_ground", "lateral_hairline", "lateral_ground", "ground_medial",
        "ground_lateral",
    ),
    "sole": ("toe", "medial_heel", "lateral_heel", "medial_widest", "lateral_widest", "frog_tip", "frog_base"),
}  # fmt: skip
_PAIRS = {
    "side": (
        ("toe_hairline", "toe_ground"), ("heel_hairline", "heel_ground"), ("ground_front", "ground_back"),
        ("toe_hairline", "heel_hairline"), ("pastern_upper", "pastern_lower"),
    ),
    "front": (
        ("medial_hairline", "medial_ground"), ("lateral_hairline", "lateral_ground"),
        ("ground_medial", "ground_lateral"), ("medial_hairline", "lateral_hairline"),
    ),
    "sole": (
        ("medial_heel", "lateral_heel"), ("medial_widest", "lateral_widest"), ("frog_tip", "frog_base"),
        ("frog_medial", "frog_lateral"), ("medial_bulb", "lateral_bulb"),
    ),
}  # fmt: skip
_LINE = re.compile(r"line(\d)_(upper|lower)")


@dataclass(frozen=True, slots=True)
class ViewGuide:
    """One view: the points in the order in which they are asked for, those that may be skipped, and the lines between them.

    `names` and `said` are by point: its name, and where it lies.
    """

    order: tuple[str, ...]
    optional: tuple[str, ...]
    pairs: tuple[tuple[str, str], ...]
    names: Mapping[str, str]
    said: Mapping[str, str]


def guide_of(view: str) -> ViewGuide:
    """The guide of a view: side, front or sole. First what every photograph needs, then the scale, then the rest."""
    said = POINTS[view]
    needed = _FIRST[view]
    others = [point for point in said if point not in needed and point not in REFERENCE]
    order = (*needed, *CARDS, *SCALE, *others)
    lines = tuple((f"{line}_upper", f"{line}_lower") for line in LINES) if view == "side" else ()
    card = tuple(zip(CARDS, (*CARDS[1:], CARDS[0]), strict=True))
    return ViewGuide(
        order=order,
        optional=order[len(needed) :],
        pairs=(*_PAIRS[view], *lines, ("scale_a", "scale_b"), *card),
        names={point: point_name(point) for point in order},
        said=said,
    )


def point_name(point: str) -> str:
    """A point in words: "Toe hairline", "Card, corner 1", "Line 2, upper end"."""
    if found := _LINE.fullmatch(point):
        return f"Line {found[1]}, {found[2]} end"
    if point in CARDS:
        return f"Card, corner {point[-1]}"
    if point in SCALE:
        return f"Scale, {'one' if point == 'scale_a' else 'other'} end"
    return words.name(point)


def in_words(seen: Seen) -> list[tuple[str, str, str]]:
    """Every measure: its name, its value with the error, and what it is ("" where the name says it)."""
    return [
        (
            measure_name(key),
            words.measure(found),
            words.EXPLAINED.get(key, "") if key != "hairline_length" else "",
        )
        for key, found in seen.items()
    ]


def measure_name(key: str) -> str:
    """A measure of a photograph in words: "Toe angle", "Line 2 angle"."""
    found = re.fullmatch(r"line(\d)_angle", key)
    return f"Line {found[1]} angle" if found else words.name(key)


def line_in_words(line: HairlineGuide | HeelLine, said: str) -> tuple[str, list[str]]:
    """What a line beside the foot shows, and what it means at each point; `said` is its value as typed.

    It describes, and never says what to do.
    """
    if isinstance(line, HairlineGuide):
        turned = "steeper" if line.above.value >= 0 else "flatter"
        by = words.measure(line.above._replace(value=abs(line.above.value)))
        return f"The hairline stands {by} {turned} than a line at {line.angle:g}°.", []
    depth = _in_mm(said.strip(), line.depth)
    return f"Beside the line {depth} below the heel's hairline:", [_at_point(each) for each in line.points]


def _in_mm(said: str, depth: float) -> str:
    """A depth as it was typed, with its mm where those are not what was typed."""
    return f"{depth:g} mm" if said.rstrip(" m.") == f"{depth:g}" else f"{said} ({depth:.1f} mm)"


def line_needs(kind: str) -> str:
    """What is to be marked before a line of that kind can be drawn."""
    return {
        "hairline": "The line beside the hairline needs the hairline at the toe and at the heel, and the ground line.",
        "heel": "The line below the heel's hairline needs that hairline, a point where the heel meets the ground, "
        "the ground line, and a card or a scale.",
    }[kind]


def _at_point(point: HeelPoint) -> str:
    side = "below" if point.below.value >= 0 else "above"
    by = words.measure(point.below._replace(value=abs(point.below.value)))
    what = {
        True: "if the foot ended at the line, its back would be lower",
        False: "the foot ends above the line there",
        None: "that is within the measuring error",
    }[point.becomes_lower]
    return f"{point_name(point.point)} reaches {by} {side} it; {what}."


def foot_of(foot: str) -> str:
    """Which foot it is, in words."""
    return FOOT_WORDS.get(foot, foot)
