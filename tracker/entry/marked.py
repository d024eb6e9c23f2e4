"""A marking goes into the workbook in one go: its points, and what they measure."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from tracker.book import Book, open_book
from tracker.cells.text import fold
from tracker.derive.photo.front import FRONT
from tracker.derive.photo.seen import Seen
from tracker.derive.photo.side import SIDE
from tracker.derive.photo.sole import SOLE
from tracker.entry.marking import SIZED, Marking, hoof_row, rows_of
from tracker.entry.match import keyed
from tracker.entry.pending import Entered, pending
from tracker.entry.together import Record, enter_all
from tracker.entry.write import TRIES
from tracker.problem import NotWritten
from tracker.sheets import HOOVES, PHOTO_POINTS
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import read_bytes

_OTHER_NAMES = {"bulb_distance": "heel_bulb_distance"}
_DECIMALS = {"deg": "{:.1f}", "mm": "{:.1f} mm"}
_KEYS = {
    name: {key for row in view.rows if (key := _OTHER_NAMES.get(row.name, row.name)) in HOOVES.by_key}
    for name, view in (("side", SIDE), ("front", FRONT), ("sole", SOLE))
}
"""The columns of the Hooves sheet that each view can fill."""


def enter_marking(
    path: str | os.PathLike[str], marking: Marking, seen: Seen, **how: Any
) -> tuple[Entered, ...]:
    """Write the points and what they measure in one go; `how` as for `enter_all`.

    A point that is there already is moved, one that is no longer marked is cleared, with the measures that hung
    on it. A row of measures that was checked on the live horse is left as it is, and a new one is written beside
    it. A marking of the same view that still waits gives way to this one. Raises as `enter_all` does.
    """
    for _ in range(TRIES - 1):
        try:
            return _entered(path, marking, seen, how)
        except NotWritten as failure:
            if failure.problem.kind != "write-changed":
                raise
    return _entered(path, marking, seen, how)


def _entered(
    path: str | os.PathLike[str], marking: Marking, seen: Seen, how: Mapping[str, Any]
) -> tuple[Entered, ...]:
    """The rows are found in the very file that is written."""
    state = fingerprint(read_bytes(Path(os.path.realpath(path))))
    book = open_book(path)
    records = [*_point_records(book, marking), *_hoof_record(book, marking, seen)]
    return enter_all(path, records, state=state, instead_of=_still_waiting(path, marking), **how)


def _still_waiting(path: str | os.PathLike[str], marking: Marking) -> list[str]:
    """The ids of what an earlier save of the same marking left waiting, never tried."""
    own = {"photo": fold(marking.photo), "foot": marking.foot, "horse": fold(marking.horse)}
    return [
        entry.id
        for entry in pending(path).entries
        if not entry.attempt
        and entry.sheet in (PHOTO_POINTS.name, HOOVES.name)
        and (held := {**keyed(entry.values), **entry.was})
        and (held.get("view") == marking.view or held.keys() & _KEYS[marking.view])
        and all(fold(str(held.get(key) or "")) == fold(text) for key, text in own.items())
    ]


def _point_records(book: Book, marking: Marking) -> Iterable[Record]:
    there = {
        row["point"]: row
        for row in rows_of(book)
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
    return str(getattr(marking, SIZED[point])) if point in SIZED else ""


def _same(known: Any, text: str) -> bool:
    return known == text if isinstance(known, str) else f"{known:.1f}" == text


def _hoof_record(book: Book, marking: Marking, seen: Seen) -> Sequence[Record]:
    figures = {
        key: _DECIMALS[measure.unit].format(measure.value)
        for name, measure in seen.items()
        if (key := _OTHER_NAMES.get(name, name)) in HOOVES.by_key and measure.unit in _DECIMALS
    }
    row = hoof_row(book, marking.photo, marking.foot, marking.horse)
    if not figures and not row:
        return []
    if row:
        held = book.tables[HOOVES.name].frame.loc[row]
        gone = {key: "" for key in _KEYS[marking.view] if key not in figures and held[key] == held[key]}
        stage = {"stage": marking.stage} if marking.stage else {}
        return [Record(HOOVES.name, {**figures, **gone, **stage}, row=row)]
    shared = {"date": marking.date, "horse": marking.horse, "foot": marking.foot, "stage": marking.stage}
    ways = {"measured_with": "photo", "photo": marking.photo, "checked_on_the_live_horse": "no"}
    return [Record(HOOVES.name, {**shared, **ways, **figures})]
