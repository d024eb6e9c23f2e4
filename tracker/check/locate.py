"""Find the declared sheets and columns in a workbook that somebody laid out by hand."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.cells.text import fold, heading, listed, typed
from tracker.problem import Problem, make
from tracker.sheets import SHEETS, Column, Sheet
from tracker.workbook.read import RawSheet, RawWorkbook, column_letter

NEAR = 0.8  # how alike two names must be before one is taken for a slip of the other


@dataclass(frozen=True, slots=True)
class Place:
    """Where a declared column stands: its position from 0, and the unit its heading names ("" if none)."""

    column: Column
    index: int
    unit: str

    @property
    def letter(self) -> str:
        """The column's letter in the spreadsheet."""
        return column_letter(self.index)


@dataclass(frozen=True, slots=True)
class Located:
    """One declared sheet found in the workbook; `heading_row` counts from 1 as the spreadsheet does."""

    sheet: Sheet
    raw: RawSheet
    heading_row: int
    places: tuple[Place, ...]


def locate_sheets(workbook: RawWorkbook) -> tuple[list[Located], list[Problem]]:
    """Every declared sheet that the workbook holds, in the declared order."""
    found: list[Located] = []
    problems: list[Problem] = []
    names = [(fold(raw.name), raw) for raw in workbook.sheets]
    declared = {fold(sheet.name) for sheet in SHEETS}
    for sheet in SHEETS:
        raws = [raw for name, raw in names if name == fold(sheet.name)]
        problems += [_sheet_problem("sheet-twice", sheet, raw) for raw in raws[1:]]
        if raws:
            located, more = _locate_columns(sheet, raws[0])
            found += [located] if located else []
            problems += more
        else:
            strays = {name: raw for name, raw in names if name not in declared}
            near = difflib.get_close_matches(fold(sheet.name), strays, n=1, cutoff=NEAR)
            problems += [_sheet_problem("sheet-near", sheet, strays[name]) for name in near]
    return found, problems


def _sheet_problem(slug: str, sheet: Sheet, raw: RawSheet) -> Problem:
    problem = make(slug, sheet=sheet.name, found=raw.name, allowed=sheet.name)
    return Problem(**{**_fields(problem), "sheet": raw.name, "cell": f"{raw.name}!A1"})


def _fields(problem: Problem) -> dict[str, str]:
    return {name: getattr(problem, name) for name in Problem.__slots__}


def _locate_columns(sheet: Sheet, raw: RawSheet) -> tuple[Located | None, list[Problem]]:
    wanted = {fold(column.heading): column for column in sheet.columns}
    needed = {fold(column.heading) for column in sheet.required}
    fitting = (
        (number, row)
        for number, row in enumerate(raw.rows, 1)
        if needed <= {heading(value)[0] for value in row}
    )
    first = next(fitting, None)
    if first is not None:
        number, row = first
        if _known(wanted, row) == 1:  # such as a lone "Date" in a line above the table
            number, row = next((found for found in fitting if _known(wanted, found[1]) > 1), first)
        places, problems = _places(sheet, wanted, row, number)
        return Located(sheet, raw, number, places), problems
    return None, [_no_heading_row(sheet, raw)] if _holds_something(raw) else []


def _known(wanted: dict[str, Column], row: Sequence[object]) -> int:
    return len(wanted.keys() & {heading(value)[0] for value in row})


def _holds_something(raw: RawSheet) -> bool:
    return any(value != "" for row in raw.rows for value in row)


def _no_heading_row(sheet: Sheet, raw: RawSheet) -> Problem:
    known = {fold(column.heading) for column in sheet.columns}
    rows = [{heading(value)[0] for value in row} for row in raw.rows[:50]]
    best = max(range(len(rows)), key=lambda number: len(known & rows[number]), default=0)
    missing = [column.heading for column in sheet.required if fold(column.heading) not in rows[best]]
    return make(
        "heading-missing",
        sheet=sheet.name,
        ref=f"A{best + 1}",
        found=", ".join(typed(value) for value in raw.rows[best] if value != "")[:120],
        allowed=listed([column.heading for column in sheet.required]).replace(" or ", " and "),
        words={"missing": " and ".join(missing)},
    )


def _places(
    sheet: Sheet, wanted: dict[str, Column], titles: Sequence[object], number: int
) -> tuple[tuple[Place, ...], list[Problem]]:
    places: dict[str, Place] = {}
    problems: list[Problem] = []
    strays: dict[str, int] = {}
    for index, title in enumerate(titles):
        name, unit = heading(title)
        column = wanted.get(name)
        if column is None:
            strays.setdefault(name, index)
        elif column.key in places:
            problems.append(_heading_problem("heading-twice", sheet, column, index, number, title))
        else:
            places[column.key] = Place(column, index, unit)
    for name, column in wanted.items():
        if column.key not in places:
            near = difflib.get_close_matches(name, [stray for stray in strays if stray], n=1, cutoff=NEAR)
            problems += [
                _heading_problem("heading-near", sheet, column, strays[stray], number, titles[strays[stray]])
                for stray in near
            ]
    return tuple(places.values()), problems


def _heading_problem(slug: str, sheet: Sheet, column: Column, index: int, row: int, found: object) -> Problem:
    ref = f"{column_letter(index)}{row}"
    return make(
        slug, sheet=sheet.name, ref=ref, column=column.heading, found=typed(found), allowed=column.heading
    )
