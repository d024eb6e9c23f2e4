"""A marking goes into the workbook in one go: its points, and what they measure."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tracker.book import Book, open_book
from tracker.cells.text import fold
from tracker.derive.photo.marking import SIZED, Marking
from tracker.derive.photo.markings import key_of_marking, key_of_row
from tracker.derive.photo.own import OTHER_NAMES
from tracker.derive.photo.seen import Seen
from tracker.derive.uncertainty import Measure
from tracker.entry.marking import file_names, markings_of, rows_of
from tracker.entry.match import keyed
from tracker.entry.own_row import KEYS, Written, own_row, written_rows
from tracker.entry.pending import Entered, pending
from tracker.entry.together import Record, enter_all
from tracker.entry.usual import horses_of
from tracker.entry.write import TRIES
from tracker.problem import NotWritten
from tracker.reference.measuring import COVERAGE, reading_sd
from tracker.sheets import HOOVES, PHOTO_POINTS
from tracker.workbook.change.plan import fingerprint
from tracker.workbook.change.save import read_bytes

_DECIMALS = {"deg": "{:.1f}", "mm": "{:.1f} mm"}


def enter_marking(
    path: str | os.PathLike[str],
    marking: Marking,
    seen: Seen,
    *,
    loaded: Marking | None = None,
    loaded_seen: Sequence[Seen] = (),
    again: bool = False,
    **how: Any,
) -> tuple[Entered, ...]:
    """Write the points and what they measure in one go; nothing where nothing changed. `how` as for `enter_all`.

    `loaded` is the marking as the workbook held it when it was opened to be mended, and `loaded_seen` what it
    measured, in each way that it may have been written, the likeliest first (with the learned error of a point, and
    without); None and nothing for a new one. Only what differs from it is written: a point is moved, one that is no longer
    marked is cleared. A row of measures is changed only while it holds just what the program wrote, by its own notes
    or by what `loaded` measured, and nobody has checked it on the live horse; else a new one is written beside it.

    `again`: `marking` is `loaded` with points that were placed once more, to learn how well that is done. They are
    added below the earlier ones, and count from now on; no new row of measures is written.

    Raises NotWritten where the workbook holds other points by now, or some of this photograph still wait; and as
    `enter_all` does.
    """
    opened = _Opened(loaded, tuple(map(figures_of, loaded_seen)), again)
    for _ in range(TRIES - 1):
        try:
            return _entered(path, marking, figures_of(seen), opened, how)
        except NotWritten as failure:
            if failure.problem.kind != "write-changed":
                raise
    return _entered(path, marking, figures_of(seen), opened, how)


@dataclass(frozen=True, slots=True)
class _Opened:
    """What was opened to be mended: the marking, what it measured in each way, and whether it is marked once more."""

    marking: Marking | None
    measured: tuple[Mapping[str, Measure], ...]
    again: bool


def figures_of(seen: Seen) -> dict[str, Measure]:
    """What the Hooves sheet has columns for, by key."""
    named = {OTHER_NAMES.get(name, name): measure for name, measure in seen.items()}
    return {key: found for key, found in named.items() if key in HOOVES.by_key and found.unit in _DECIMALS}


def _entered(
    path: str | os.PathLike[str],
    marking: Marking,
    figures: Mapping[str, Measure],
    opened: _Opened,
    how: Mapping[str, Any],
) -> tuple[Entered, ...]:
    """The rows are found in the very file that is written."""
    state = fingerprint(read_bytes(Path(os.path.realpath(path))))
    book = open_book(path)
    marking, loaded = _named(book, marking), opened.marking and _named(book, opened.marking)
    opened = replace(opened, marking=loaded)
    _refuse_waiting(path, book, marking)
    _refuse_changed(book, marking, loaded)
    written = [*map(_cells, opened.measured), *written_rows(path, marking.view)] if loaded else []
    records = [
        *_point_records(book, marking, opened),
        *_hoof_record(book, marking, figures, opened, written),
    ]
    return enter_all(path, records, state=state, **how) if records else ()


def _named(book: Book, marking: Marking) -> Marking:
    """The marking with its horse: where none is said, the only one of the workbook, as its rows are read."""
    known = horses_of(book)
    return replace(marking, horse=known[0]) if not marking.horse and len(known) == 1 else marking


def _refuse_waiting(path: str | os.PathLike[str], book: Book, marking: Marking) -> None:
    named = file_names(book)
    for entry in pending(path).entries:
        photos = (str(held.get("photo") or "") for held in (entry.was, keyed(entry.values)))
        if entry.sheet in (PHOTO_POINTS.name, HOOVES.name) and marking.photo in map(named, photos):
            raise NotWritten("write-points-wait", path=marking.photo)


def _refuse_changed(book: Book, marking: Marking, loaded: Marking | None) -> None:
    """What is mended must be what was opened, and nothing may stand where it goes."""
    there = {key_of_marking(each): each for each in markings_of(book)}
    if loaded and not _same_points(there.get(key_of_marking(loaded)), loaded):
        raise NotWritten("write-points-changed", path=marking.photo)
    moves = loaded is None or key_of_marking(loaded) != key_of_marking(marking)
    if moves and key_of_marking(marking) in there:
        raise NotWritten("write-points-there", path=marking.photo)


def _same_points(one: Marking | None, other: Marking) -> bool:
    if one is None or (one.date, one.scale, one.card) != (other.date, other.scale, other.card):
        return False
    return {name: _place(at) for name, at in one.points.items()} == {
        name: _place(at) for name, at in other.points.items()
    }


def _place(at: tuple[float, float]) -> tuple[str, str]:
    x, y = at
    return f"{x:.1f}", f"{y:.1f}"


def _point_records(book: Book, marking: Marking, opened: _Opened) -> Iterable[Record]:
    loaded = opened.marking
    there: dict[str, list[dict[str, Any]]] = {}
    for row in rows_of(book):
        if loaded and key_of_row(row) == key_of_marking(loaded):
            there.setdefault(row["point"], []).append(row)
    about = {"date": marking.date, "horse": marking.horse, "foot": marking.foot}
    for point, at in marking.points.items():
        x, y = _place(at)
        cells = {**about, "x": x, "y": y, "size": _size(marking, point)}
        known = there.pop(point, [])
        placed_again = opened.again and known and not (_same(known[-1]["x"], x) and _same(known[-1]["y"], y))
        if not known or placed_again:
            yield Record(
                PHOTO_POINTS.name, {"photo": marking.photo, "view": marking.view, "point": point, **cells}
            )
        for row in known if not opened.again else []:
            held = cells if row is known[-1] else _as_placed_before(cells, row)
            if moved := {key: text for key, text in held.items() if not _same(row[key], text)}:
                yield Record(PHOTO_POINTS.name, moved, row=row["row"])
    for row in (row for rows in there.values() for row in rows):
        yield Record(PHOTO_POINTS.name, {}, row=row["row"], cleared=True)


def _as_placed_before(cells: Mapping[str, str], row: Mapping[str, Any]) -> dict[str, str]:
    """The cells of a point's earlier row, which keeps its place: how well its owner places a point is learned from it."""
    kept = {"x", "y"} if row["size"] else {"x", "y", "size"}
    return {key: text for key, text in cells.items() if key not in kept}


def _size(marking: Marking, point: str) -> str:
    return str(getattr(marking, SIZED[point])) if point in SIZED else ""


def _same(known: Any, text: str) -> bool:
    return fold(known) == fold(text) if isinstance(known, str) else f"{known:.1f}" == text


def _hoof_record(
    book: Book,
    marking: Marking,
    figures: Mapping[str, Measure],
    opened: _Opened,
    written: Sequence[Written],
) -> Iterable[Record]:
    loaded = opened.marking
    about = {"date": marking.date, "horse": marking.horse, "foot": marking.foot, "stage": marking.stage}
    own = own_row(book, loaded, written) if loaded else None
    if own is not None:
        cells = {key: _text(found) for key, found in figures.items() if not _holds(own[key], found)}
        gone = {key: "" for key in KEYS[marking.view] if own[key] == own[key] and key not in figures}
        day = {**own, "date": f"{own['date']:%Y-%m-%d}"}
        told = {"", *(each.get("remarks", "") for each in written)}
        about |= {"remarks": _own_errors(figures)} if own["remarks"] in told else {}
        moved = {key: text for key, text in about.items() if text and not _same(day[key], text)}
        if changed := {**moved, **cells, **gone}:
            yield Record(HOOVES.name, changed, row=own["row"])
    elif (
        figures
        and not opened.again
        and (not opened.measured or _texts(figures) != _texts(opened.measured[0]))
    ):
        ways = {"measured_with": "photo", "photo": marking.photo, "checked_on_the_live_horse": "no"}
        yield Record(HOOVES.name, {**about, **ways, **_texts(figures), "remarks": _own_errors(figures)})


def _cells(figures: Mapping[str, Measure]) -> Written:
    """The row of measures as it is written where it came from these figures."""
    return {**_texts(figures), "remarks": _own_errors(figures)}


def _own_errors(figures: Mapping[str, Measure]) -> str:
    """Which errors of this photograph are larger than the usual ones of photographs, so that the record shows them."""
    told = [
        f"{HOOVES.by_key[key].heading.lower()} ± {COVERAGE * found.sd:.1f} {found.unit}"
        for key, found in figures.items()
        if round(COVERAGE * found.sd, 1) > round(COVERAGE * reading_sd(key, "photo"), 1)
    ]
    return f"By this photo's own error: {', '.join(told)}." if told else ""


def _holds(cell: float, found: Measure | None) -> bool:
    """Whether a cell holds that figure, as it was written; a blank one where there is none."""
    if cell != cell or found is None:
        return cell != cell and found is None
    return abs(cell - round(found.value, 1)) < 0.02


def _texts(figures: Mapping[str, Measure]) -> dict[str, str]:
    return {key: _text(found) for key, found in figures.items()}


def _text(found: Measure) -> str:
    return _DECIMALS[found.unit].format(found.value)
