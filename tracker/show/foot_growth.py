"""The growth lines of a photograph for a picture of the foot, and what they are called."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from tracker.derive.hooves import HoofRecord
from tracker.derive.photo.growth import GrowthLine, angle_key, growth_lines
from tracker.derive.photo.repeatable import repeatable
from tracker.derive.photo.seen import Seen
from tracker.terms import UNNAMED

__all__ = [
    "GrowthLine",
    "HoofRecord",
    "LinesOf",
    "line_angle",
    "line_number",
    "marked_lines",
    "named",
    "no_lines",
]

LinesOf = Callable[[HoofRecord], Mapping[str, GrowthLine]]
"""Gives the growth lines that a photograph of a record's own day and stage has, by name."""

_LINE = re.compile(r"line(\d)")


def no_lines(_: HoofRecord) -> Mapping[str, GrowthLine]:
    """For records without photographs."""
    return {}


def named(record: HoofRecord) -> str:
    """The horse's name, "" where the workbook gives none."""
    return "" if record.horse == UNNAMED else record.horse


def marked_lines(points: Mapping[str, tuple[float, float]], seen: Seen) -> dict[str, GrowthLine]:
    """The growth lines of one photograph, no angle surer than a photograph can be repeated."""
    angles = repeatable(seen)
    return {
        name: replace(line, angle=angles[angle_key(name)])
        for name, line in growth_lines(points, seen).items()
    }


def line_number(name: str) -> str:
    """Which line it is, counted from the toe: "2" of "line2"."""
    found = _LINE.match(name)
    return found[1] if found else ""


def line_angle(name: str) -> str:
    """What the angle of a line is called within a sentence."""
    return f"line {line_number(name)} angle"
