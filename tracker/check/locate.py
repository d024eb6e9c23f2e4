"""Find the declared sheets and columns in a workbook that somebody laid out by hand."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.cells.text import fold, heading, listed, squeeze, typed
from tracker.check.headings import (
    NEAR,
    Place,
    heading_of,
    heading_problems,
    places_in,
    required_in,
    second_block,
)
from tracker.check.layout import Body, body_of
from tracker.problem import Problem, make
from tracker.sheets import SHEETS, Sheet
from tracker.workbook.read import RawSheet, RawWorkbook


@dataclass(frozen=True, slots=True)
class Located:
    """One declared sheet found in the workbook; `heading_row` counts from 1 as the spreadsheet does."""

    sheet: Sheet
    raw: RawSheet
    heading_row: int
    places: tuple[Place, ...]
    body: Body


def locate_sheets(workbook: RawWorkbook) -> tuple[list[Located], list[Problem]]:
    """Every declared sheet that the workbook holds, in the declared order."""
    found: list[Located] = []
    problems: list[Problem] = []
    names = [(squeeze(raw.name), raw) for raw in workbook.sheets]
    declared = {squeeze(sheet.name) for sheet in SHEETS}
    for sheet in SHEETS:
        raws = [raw for name, raw in names if name == squeeze(sheet.name)]
        problems += [_sheet_problem("sheet-twice", sheet, raw) for raw in raws[1:]]
        if raws:
            located, more = _locate_columns(sheet, raws[0])
            found += [located] if located else []
            problems += more
        else:
            strays = {fold(raw.name): raw for name, raw in names if name not in declared}
            near = difflib.get_close_matches(fold(sheet.name), strays, n=1, cutoff=NEAR)
            problems += [_sheet_problem("sheet-near", sheet, strays[name]) for name in near]
    return found, problems


def _sheet_problem(slug: str, sheet: Sheet, raw: RawSheet) -> Problem:
    problem = make(slug, sheet=sheet.name, found=raw.name, allowed=sheet.name)
    return Problem(**{**_fields(problem), "sheet": raw.name, "cell": f"{raw.name}!A1"})


def _fields(problem: Problem) -> dict[str, str]:
    return {name: getattr(problem, name) for name in Problem.__slots__}


def _locate_columns(sheet: Sheet, raw: RawSheet) -> tuple[Located | None, list[Problem]]:
    fitting = ((number, row) for number, row in enumerate(raw.rows, 1) if required_in(sheet, row))
    first = next(fitting, None)
    if first is None:
        return None, [_no_heading_row(sheet, raw)] if _holds_something(raw) else []
    number, row = first
    if _known(sheet, row) == 1:  # such as a lone "Date" in a line above the table
        number, row = next((found for found in fitting if _known(sheet, found[1]) > 1), first)
    end = second_block(sheet, row)
    places, _ = places_in(sheet, row[:end])
    body = body_of(sheet, raw.rows, number, places, end)
    return Located(sheet, raw, number, places, body), [
        *heading_problems(sheet, row, number, places, end),
        *body.problems,
    ]


def _known(sheet: Sheet, row: Sequence[object]) -> int:
    return len({column.key for value in row if (column := heading_of(sheet, value))})


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
