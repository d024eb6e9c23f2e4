"""The points marked on one photograph: read back from the workbook, measured, and entered with what they measure."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from tracker.book import Book
from tracker.cells.numbers import canonical, read_quantity
from tracker.cells.text import fold
from tracker.derive.photo import points as names
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.views import front_view, side_view, sole_view
from tracker.entry.pending import Entered
from tracker.entry.together import Record, enter_all
from tracker.reference.photo import CARD_LONG, CARD_SHORT
from tracker.sheets import HOOVES, PHOTO_POINTS

ID_CARD = f"{CARD_LONG.value:.2f} x {CARD_SHORT.value:.2f} mm"
"""The size of a bank card, as the sheet holds it."""

VIEWS = {"side": names.SIDE, "front": names.FRONT, "sole": names.SOLE}
_MEASURE = {"side": side_view, "front": front_view, "sole": sole_view}
_SIZED = {"scale_a": "scale", "card_1": "card"}  # the points on whose rows a size stands
_OTHER_NAMES = {"bulb_distance": "heel_bulb_distance"}
_BETWEEN = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)
_UNIT = re.compile(r"[a-z\"″]+\.?\s*$", re.IGNORECASE)
_DECIMALS = {"deg": "{:.1f}", "mm": "{:.1f} mm"}


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
    for row in _rows(book):
        key = (fold(row["photo"]), row["view"], row["foot"], fold(row["horse"]))
        kept = found.setdefault(key, {**row, "points": {}, "scale": "", "card": ""})
        kept["points"][row["point"]] = (row["x"], row["y"])
        if row["point"] in _SIZED and row["size"]:
            kept[_SIZED[row["point"]]] = row["size"]
    return tuple(
        Marking(
            kept["photo"], kept["view"], kept["foot"], kept["horse"], kept["date"], _stage(book, kept),
            kept["points"], kept["scale"], kept["card"],
        )
        for kept in found.values()
    )  # fmt: skip


def _rows(book: Book) -> Iterable[dict[str, Any]]:
    """The rows that say which point lies where, each with its number."""
    frame = book.tables[PHOTO_POINTS.name].frame
    rows: list[dict[Any, Any]] = frame.to_dict("records")
    for number, row in zip(frame.index, rows, strict=True):
        if row["x"] == row["x"] and row["y"] == row["y"]:
            yield {**row, "row": int(number), "date": f"{row['date']:%Y-%m-%d}", "point": fold(row["point"])}


def _stage(book: Book, of: Mapping[str, Any]) -> str:
    row = _hoof_row(book, of["photo"], of["foot"], of["horse"])
    return str(book.tables[HOOVES.name].frame["stage"].loc[row]) if row else ""


def read_marking(marking: Marking, *, focal_px: float | None, image_size: tuple[float, float]) -> Seen:
    """Every angle and length that the marked points allow, with its error; never raises for a mistake of the marking."""
    return _MEASURE[marking.view](
        marking.points,
        scale_mm=_length(marking.scale) if marking.scale else None,
        card_mm=card_sides(marking.card) if marking.card else None,
        focal_px=focal_px,
        image_size=image_size,
    )


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


def enter_marking(
    path: str | os.PathLike[str], book: Book, marking: Marking, seen: Seen, **how: Any
) -> tuple[Entered, ...]:
    """Write the points and what they measure in one go; `how` as for `enter_all`.

    A point that is there already is moved, one that is no longer marked is cleared. A row of measures that was
    checked on the live horse is left as it is, and a new one is written beside it. Raises as `enter_all` does.
    """
    return enter_all(path, [*_point_records(book, marking), *_hoof_record(book, marking, seen)], **how)


def _point_records(book: Book, marking: Marking) -> Iterable[Record]:
    there = {
        row["point"]: row
        for row in _rows(book)
        if (fold(row["photo"]), row["view"], row["foot"], fold(row["horse"]))
        == (fold(marking.photo), marking.view, marking.foot, fold(marking.horse))
    }
    shared = {
        "photo": marking.photo, "date": marking.date, "horse": marking.horse, "foot": marking.foot,
        "view": marking.view,
    }  # fmt: skip
    for point, (x, y) in marking.points.items():
        place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "size": _size(marking, point)}
        known = there.pop(point, None)
        if known is None:
            yield Record(PHOTO_POINTS.name, {**shared, "point": point, **place})
        elif moved := {key: text for key, text in place.items() if not _same(known[key], text)}:
            yield Record(PHOTO_POINTS.name, moved, row=known["row"])
    for known in there.values():
        yield Record(PHOTO_POINTS.name, {}, row=known["row"], cleared=True)


def _size(marking: Marking, point: str) -> str:
    return str(getattr(marking, _SIZED[point])) if point in _SIZED else ""


def _same(known: Any, text: str) -> bool:
    return known == text if isinstance(known, str) else f"{known:.1f}" == text


def _hoof_record(book: Book, marking: Marking, seen: Seen) -> Sequence[Record]:
    figures = {
        key: _DECIMALS[measure.unit].format(measure.value)
        for name, measure in seen.items()
        if (key := _OTHER_NAMES.get(name, name)) in HOOVES.by_key and measure.unit in _DECIMALS
    }
    if not figures:
        return []
    row = _hoof_row(book, marking.photo, marking.foot, marking.horse)
    if row:
        return [
            Record(HOOVES.name, {**figures, **({"stage": marking.stage} if marking.stage else {})}, row=row)
        ]
    shared = {"date": marking.date, "horse": marking.horse, "foot": marking.foot, "stage": marking.stage}
    ways = {"measured_with": "photo", "photo": marking.photo, "checked_on_the_live_horse": "no"}
    return [Record(HOOVES.name, {**shared, **ways, **figures})]


def _hoof_row(book: Book, photo: str, foot: str, horse: str) -> int | None:
    """The row of what was read from that photograph and not yet checked on the live horse."""
    frame = book.tables[HOOVES.name].frame
    for number, row in zip(frame.index, frame.to_dict("records"), strict=True):
        same = (fold(row["photo"]), row["foot"], fold(row["horse"])) == (fold(photo), foot, fold(horse))
        if same and row["measured_with"] == "photo" and row["checked_on_the_live_horse"] in ("", "no"):
            return int(number)
    return None
