"""From rows of the Photo points sheet to markings, and to the rows of measures that came from them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any

from tracker.cells.text import fold
from tracker.derive.photo.marking import MEASURE, SIZED, Marking
from tracker.table import Table
from tracker.terms import UNNAMED

Named = Callable[[str], str]
Row = dict[str, Any]
Key = tuple[str, ...]


def names_among(files: Iterable[str]) -> Named:
    """Gives the name of the file that a name on a sheet means, in whatever capitals, with or without its ending."""
    files = tuple(files)
    exact = {fold(name): name for name in files}
    stems = {fold(name.rpartition(".")[0]): name for name in reversed(files)}

    @cache
    def named(typed: str) -> str:
        return exact.get(fold(typed)) or stems.get(fold(typed)) or typed

    return named


def point_rows(points: Table, named: Named) -> Iterable[Row]:
    """The rows that say which point lies where in which view, each with its number and its day ("" where it has none)."""
    for row in _rows(points):
        if row["x"] == row["x"] and row["y"] == row["y"] and row["view"] in MEASURE and row["point"]:
            day = row["date"].date().isoformat() if row["date"] else ""
            yield {**row, "date": day, "point": fold(row["point"]), "photo": named(row["photo"])}


def hoof_rows(hooves: Table, named: Named) -> Iterable[Row]:
    """The rows of the Hooves sheet, each with its number, its photograph by the name of its file."""
    for row in _rows(hooves):
        yield {**row, "photo": named(row["photo"])}


def _rows(table: Table) -> Iterable[Row]:
    for row in table.all_rows:
        yield {**row._asdict(), "row": row.Index, "horse": "" if row.horse == UNNAMED else row.horse}


def markings_in(points: Iterable[Row], hooves: Iterable[Row]) -> tuple[Marking, ...]:
    """Every view of every photograph, in the sheet's order; the last of two same points counts.

    `points` and `hooves` are rows as `point_rows` and `hoof_rows` give them.
    """
    stages = {foot_of_row(row): str(row["stage"]) for row in hooves if row["stage"]}
    found: dict[Key, Row] = {}
    for row in points:
        kept = found.setdefault(key_of_row(row), {**row, "points": {}, "scale": "", "card": ""})
        kept["points"][row["point"]] = (row["x"], row["y"])
        if row["point"] in SIZED and row["size"]:
            kept[SIZED[row["point"]]] = row["size"]
    return tuple(
        Marking(
            kept["photo"], kept["view"], kept["foot"], kept["horse"], kept["date"],
            stages.get(foot_of_row(kept), ""), kept["points"], kept["scale"], kept["card"],
        )
        for kept in found.values()
    )  # fmt: skip


def foot_of_row(row: Mapping[str, Any]) -> Key:
    """Which foot on which photograph a row of either sheet is about."""
    return row["photo"], row["foot"], fold(row["horse"])


def key_of_row(row: Mapping[str, Any]) -> Key:
    """What tells one marking from another: photograph, view, foot and horse."""
    return row["photo"], row["view"], row["foot"], fold(row["horse"])


def key_of_marking(marking: Marking) -> Key:
    """The same of a marking."""
    return marking.photo, marking.view, marking.foot, fold(marking.horse)
