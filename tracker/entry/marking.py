"""The points marked on one photograph: read back from the workbook, and measured."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from tracker.book import Book
from tracker.cells.numbers import canonical, read_quantity
from tracker.cells.text import fold
from tracker.derive.photo.guides import HairlineGuide, HeelLine, hairline_guide, heel_line
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.views import front_view, side_view, sole_view
from tracker.reference.photo import HEEL_DEPTH, HEEL_DEPTH_DEEPER
from tracker.sheets import HOOVES, PHOTO_POINTS

_MEASURE = {"side": side_view, "front": front_view, "sole": sole_view}
SIZED = {"scale_a": "scale", "card_1": "card"}  # the points on whose rows a size stands
_BETWEEN = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)
LINES: Mapping[str, Callable[..., HairlineGuide | HeelLine | None]] = {
    "hairline": hairline_guide,
    "heel": partial(heel_line, depth=HEEL_DEPTH.value),
    "heel-deeper": partial(heel_line, depth=HEEL_DEPTH_DEEPER.value),
}
"""The lines that people draw on a photograph, by name. Each is common practice, no published source."""

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


def markings_of(book: Book) -> tuple[Marking, ...]:
    """Every view of every photograph that the Photo points sheet holds, in its order; the last of two same points counts."""
    found: dict[tuple[str, ...], dict[str, Any]] = {}
    for row in rows_of(book):
        key = (fold(row["photo"]), row["view"], row["foot"], fold(row["horse"]))
        kept = found.setdefault(key, {**row, "points": {}, "scale": "", "card": ""})
        kept["points"][row["point"]] = (row["x"], row["y"])
        if row["point"] in SIZED and row["size"]:
            kept[SIZED[row["point"]]] = row["size"]
    return tuple(
        Marking(
            kept["photo"], kept["view"], kept["foot"], kept["horse"], kept["date"], _stage(book, kept),
            kept["points"], kept["scale"], kept["card"],
        )
        for kept in found.values()
    )  # fmt: skip


def rows_of(book: Book) -> Iterable[dict[str, Any]]:
    """The rows that say which point lies where, each with its number."""
    frame = book.tables[PHOTO_POINTS.name].frame
    rows: list[dict[Any, Any]] = frame.to_dict("records")
    for number, row in zip(frame.index, rows, strict=True):
        if row["x"] == row["x"] and row["y"] == row["y"]:
            yield {**row, "row": int(number), "date": f"{row['date']:%Y-%m-%d}", "point": fold(row["point"])}


def _stage(book: Book, of: Mapping[str, Any]) -> str:
    row = hoof_row(book, of["photo"], of["foot"], of["horse"])
    return str(book.tables[HOOVES.name].frame["stage"].loc[row]) if row else ""


def read_marking(marking: Marking, *, focal_px: float | None, image_size: tuple[float, float]) -> Seen:
    """Every angle and length that the marked points allow, with its error; never raises for a mistake of the marking."""
    return _MEASURE[marking.view](marking.points, **_sizes(marking), focal_px=focal_px, image_size=image_size)


def _sizes(marking: Marking) -> dict[str, Any]:
    return {
        "scale_mm": _length(marking.scale) if marking.scale else None,
        "card_mm": card_sides(marking.card) if marking.card else None,
    }


def window_of(
    seen: Seen, left: float, right: float, low: float, high: float
) -> tuple[tuple[float, float], ...] | None:
    """Where in the picture the corners of a level window lie: upper left, lower left, lower right, upper right, px.

    The window is given in mm from where the toe meets the ground, to the heel and up. None where the picture
    has no ground line or no scale.
    """
    if seen.plane is None or not seen.plane.sized:
        return None
    places = [(left, high), (left, low), (right, low), (right, high)]
    return tuple((float(x), float(y)) for x, y in seen.plane.picture(places))


def lines_beside(
    marking: Marking, wanted: Iterable[str], *, focal_px: float | None, image_size: tuple[float, float]
) -> list[HairlineGuide | HeelLine]:
    """The lines of `LINES` that were asked for, as far as the points of a view from the side allow them."""
    if marking.view != "side":
        return []
    camera = {"focal_px": focal_px, "image_size": image_size}
    found = [LINES[name](marking.points, **_sizes(marking), **camera) for name in wanted if name in LINES]
    return [line for line in found if line]


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


def hoof_row(book: Book, photo: str, foot: str, horse: str) -> int | None:
    """The row of what was read from that photograph and not yet checked on the live horse."""
    frame = book.tables[HOOVES.name].frame
    for number, row in zip(frame.index, frame.to_dict("records"), strict=True):
        same = (fold(row["photo"]), row["foot"], fold(row["horse"])) == (fold(photo), foot, fold(horse))
        if same and row["measured_with"] == "photo" and row["checked_on_the_live_horse"] in ("", "no"):
            return int(number)
    return None
