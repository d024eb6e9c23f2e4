"""The row of measures that the program wrote for a marking, known again as long as nobody has changed it."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from tracker.book import Book
from tracker.cells.numbers import read_quantity
from tracker.derive.photo.front import FRONT
from tracker.derive.photo.marking import Marking
from tracker.derive.photo.own import OTHER_NAMES
from tracker.derive.photo.side import SIDE
from tracker.derive.photo.sole import SOLE
from tracker.entry.history import entries
from tracker.entry.marking import hoof_rows
from tracker.entry.match import keyed
from tracker.sheets import HOOVES

Written = Mapping[str, str]
"""The cells of a row of measures as the program wrote them, by key."""

KEYS = {
    name: {key for row in view.rows if (key := OTHER_NAMES.get(row.name, row.name)) in HOOVES.by_key}
    for name, view in (("side", SIDE), ("front", FRONT), ("sole", SOLE))
}
"""The columns of the Hooves sheet that each view can fill."""


def written_rows(path: str | os.PathLike[str], view: str) -> Iterable[Written]:
    """What the program noted that it wrote into rows of measures of such a view; none where its notes are gone.

    Its notes tell a row better than what its points measure now: that changes a little with the error of a point,
    which is learned anew with every marking.
    """
    with suppress(OSError):
        for done in entries(Path(os.path.realpath(path))):
            if done.sheet == HOOVES.name:
                cells = {key: str(value) for key, value in keyed(done.values).items() if value is not None}
                gone = {key for key, value in keyed(done.values).items() if value is None}
                held = {key: text for key, text in {**done.was, **cells}.items() if key not in gone}
                if any(held.get(key) for key in KEYS[view]):
                    yield held


def own_row(book: Book, loaded: Marking, written: Sequence[Written]) -> dict[str, Any] | None:
    """The row of that photograph and foot that holds just what was written, and that nobody has checked since."""
    keys = KEYS[loaded.view]
    for row in hoof_rows(book, loaded.photo, loaded.foot, loaded.horse):
        own = row["measured_with"] == "photo" and row["checked_on_the_live_horse"] in ("", "no")
        if own and any(all(_holds(row[key], each.get(key, "")) for key in keys) for each in written):
            return row
    return None


def _holds(cell: float, text: str) -> bool:
    """Whether a cell holds that figure; a blank one where there is none."""
    found = read_quantity(text) if text else None
    if cell != cell or found is None:
        return cell != cell and not text
    return abs(cell - found.number) < 0.02
