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
from tracker.derive.photo.plane import unmirrored
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.views import front_view, side_view, sole_view
from tracker.photos.folder import photos_of
from tracker.reference.photo import HEEL_DEPTH, HEEL_DEPTH_DEEPER
from tracker.sheets import HOOVES, PHOTO_POINTS
from tracker.terms import UNNAMED

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
    """Every view of every photograph that the Photo points sheet holds, in its order; the last of two same points counts.

    A photograph bears the name of its file, however the sheet spells it. Rows without a view are left out.
    """
    found: dict[tuple[str, ...], dict[str, Any]] = {}
    for row in rows_of(book):
        kept = found.setdefault(key_of_row(row), {**row, "points": {}, "scale": "", "card": ""})
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


def key_of_row(row: Mapping[str, Any]) -> tuple[str, ...]:
    """What tells one marking from another: photograph, view, foot and horse."""
    return row["photo"], row["view"], row["foot"], fold(row["horse"])


def key_of_marking(marking: Marking) -> tuple[str, ...]:
    """The same of a marking."""
    return marking.photo, marking.view, marking.foot, fold(marking.horse)


def rows_of(book: Book) -> Iterable[dict[str, Any]]:
    """The rows that say which point lies where in which view, each with its number and its day ("" where it has none)."""
    named = file_names(book)
    for row in _records(book, PHOTO_POINTS.name):
        if row["x"] == row["x"] and row["y"] == row["y"] and row["view"] in _MEASURE and row["point"]:
            day = f"{row['date']:%Y-%m-%d}" if row["date"] == row["date"] else ""
            yield {**row, "date": day, "point": fold(row["point"]), "photo": named(row["photo"])}


def hoof_rows(book: Book, photo: str, foot: str, horse: str) -> Iterable[dict[str, Any]]:
    """The rows of the Hooves sheet that name that photograph, each with its number."""
    named = file_names(book)
    for row in _records(book, HOOVES.name):
        if (named(row["photo"]), row["foot"], fold(row["horse"])) == (photo, foot, fold(horse)):
            yield row


def _records(book: Book, sheet: str) -> Iterable[dict[str, Any]]:
    frame = book.tables[sheet].frame
    rows: list[dict[Any, Any]] = frame.to_dict("records")
    for number, row in zip(frame.index, rows, strict=True):
        horse = "" if row["horse"] == UNNAMED else row["horse"]
        yield {**row, "row": int(number), "horse": horse}


def file_names(book: Book) -> Callable[[str], str]:
    """The name of the file that a name on a sheet means, in whatever capitals, with or without its ending."""
    try:
        files = photos_of(book.path)
    except OSError:
        files = ()
    exact = {fold(name): name for name in files}
    stems = {fold(name.rpartition(".")[0]): name for name in reversed(files)}
    return lambda typed: exact.get(fold(typed)) or stems.get(fold(typed)) or typed


def _stage(book: Book, of: Mapping[str, Any]) -> str:
    stages = [str(row["stage"]) for row in hoof_rows(book, of["photo"], of["foot"], of["horse"])]
    return next(filter(None, reversed(stages)), "")


def read_marking(marking: Marking, *, focal_px: float | None, image_size: tuple[float, float]) -> Seen:
    """Every angle and length that the marked points allow, with its error; never raises for a mistake of the marking."""
    given: dict[str, Any] = {**_sizes(marking), "focal_px": focal_px, "image_size": image_size}
    if marking.view != "side":
        given["foot"] = marking.foot or None
    return _MEASURE[marking.view](marking.points, **given)


def _sizes(marking: Marking) -> dict[str, Any]:
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
