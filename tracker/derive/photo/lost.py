"""Photographs on which points are marked, but of which the file is gone or cannot be read."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from tracker.derive.photo.markings import Row
from tracker.problem import Problem, make
from tracker.table import Table


def lost_photographs(
    points: Table, rows: Iterable[Row], folder: str, there: Collection[str], readable: Collection[str]
) -> list[Problem]:
    """A doubt at the first cell that names each of them: its own error is not known, and the record is thought surer.

    `rows` are those of `points` as `point_rows` gives them, `there` the names of the files in the folder, and
    `readable` those of them that were read.
    """
    first: dict[str, int] = {}
    for row in rows:
        if row["photo"]:
            first.setdefault(row["photo"], row["row"])
    return [
        make(
            "photo-not-there",
            sheet=points.sheet.name,
            ref=points.cell("photo", row).rpartition("!")[2],
            column=points.sheet.by_key["photo"].heading,
            found=name,
            allowed=f"a photograph in the folder {folder}",
            words={"why": "cannot be read" if name in there else f"is not in the folder {folder}"},
        )
        for name, row in first.items()
        if name not in readable
    ]
