"""One row of headings: which declared column each cell names, and with which unit."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tracker.cells.numbers import unit_named, units_for
from tracker.cells.scores import scale_named
from tracker.cells.text import heading, listed, squeeze, typed
from tracker.problem import Problem, make
from tracker.sheets import BY_NAME, QUANTITIES, SCORE, Column, Sheet
from tracker.workbook.letters import column_letter

NEAR = 0.8  # how alike two names must be before one is taken for a slip of the other
LONGEST = 80  # signs of a heading; a longer text is none

Row = Sequence[object]


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


@lru_cache(maxsize=10_000)
def _named(sheet: str, text: str) -> tuple[Column | None, str]:
    name, unit = heading(text)
    columns = BY_NAME[sheet].columns
    for column in columns:
        if squeeze(column.heading) == name.replace(" ", ""):
            return column, unit
    for column in columns:
        rest = name.removeprefix(column.heading.lower())
        if rest != name and not unit and (behind := _unit_behind(column, rest)):
            return column, behind
    return None, unit


def named(sheet: Sheet, value: object) -> tuple[Column | None, str]:
    """The column that a heading names, and its unit. "Toe length mm" and "Score /5" need no brackets."""
    if not isinstance(value, str) or not 0 < len(value) <= LONGEST:
        return None, ""
    return _named(sheet.name, str(value))


def is_grade(column: Column) -> bool:
    """Whether a number is a grade on a scale of its own, such as the condition score."""
    return column.unit_note.startswith("of ")


def _unit_behind(column: Column, rest: str) -> str:
    """The unit at a heading's end, where it can be nothing else; "" otherwise."""
    text = rest.strip(" ,;:-–")
    if column.holds == SCORE:
        return text if scale_named(text) and not text.isdecimal() else ""  # Score 5 may be the fifth
    units = units_for(column.holds, column.unit_note)
    known = (unit for unit in (text, text.removeprefix("in ")) if unit_named(unit, units))
    return next(known, "") if rest[:1] in " ,;:-–" else ""


def heading_of(sheet: Sheet, value: object) -> Column | None:
    """The column that a cell names, if it names one."""
    return named(sheet, value)[0]


def required_in(sheet: Sheet, row: Row) -> bool:
    """Whether the row has all the headings that the sheet needs."""
    keys = {column.key for value in row if (column := heading_of(sheet, value))}
    return {column.key for column in sheet.required} <= keys


def places_in(sheet: Sheet, row: Row) -> tuple[tuple[Place, ...], dict[int, Column]]:
    """Where each column first stands, and the columns that stand once more."""
    places: dict[str, Place] = {}
    more: dict[int, Column] = {}
    for index, value in enumerate(row):
        column, unit = named(sheet, value)
        if column is None:
            continue
        if column.key in places:
            more[index] = column
        else:
            places[column.key] = Place(column, index, unit)
    return tuple(places.values()), more


def second_block(sheet: Sheet, row: Row) -> int:
    """The column where a second table begins beside the first, or the row's length.

    Tables are parted by a column without a heading, and each has all the headings that the sheet needs.
    """
    full = [block for block in _blocks(row) if required_in(sheet, row[block[0] : block[1]])]
    return full[1][0] if len(full) > 1 else len(row)


def _blocks(row: Row) -> list[tuple[int, int]]:
    filled = "".join("x" if typed(value).strip() else " " for value in row)
    return [found.span() for found in re.finditer("x+", filled)]


def heading_problems(sheet: Sheet, row: Row, number: int, places: Sequence[Place], end: int) -> list[Problem]:
    """Headings that stand twice, that look like one that is missing, and units that a column cannot have."""
    _, more = places_in(sheet, row[:end])
    problems = [
        _problem("heading-twice", sheet, column, index, number, row) for index, column in more.items()
    ]
    if end < len(row):
        beside = {"rest": f"column {column_letter(end)}"}
        problems.append(_problem("second-table", sheet, places[0].column, end, number, row, words=beside))
    missing = [column for column in sheet.columns if column not in {place.column for place in places}]
    strays = _strays(sheet, row[:end])
    for column in missing:
        near = difflib.get_close_matches(column.heading.lower(), strays, n=1, cutoff=NEAR)
        problems += [_problem("heading-near", sheet, column, strays[stray], number, row) for stray in near]
    for place in places:
        if place.unit and (allowed := _units_allowed(place)):
            problems.append(
                _problem("heading-unit-unknown", sheet, place.column, place.index, number, row, allowed)
            )
    return problems


def _strays(sheet: Sheet, row: Row) -> dict[str, int]:
    strays: dict[str, int] = {}
    for index, value in enumerate(row):
        name = heading(value)[0]
        if name and heading_of(sheet, value) is None:
            strays.setdefault(name, index)
    return strays


def _units_allowed(place: Place) -> str:
    """The units that a column can have, where its heading names another one; "" where all is well."""
    column = place.column
    if column.holds == SCORE:
        return "" if scale_named(place.unit) or not re.search(r"\d", place.unit) else "0-5 or 0-10"
    if column.holds not in QUANTITIES or is_grade(column):
        return ""
    units = units_for(column.holds, column.unit_note)
    return listed(unit for unit in units if unit) if units and unit_named(place.unit, units) is None else ""


def _problem(
    slug: str, sheet: Sheet, column: Column, index: int, number: int, row: Row, allowed: str = "",
    words: dict[str, str] | None = None,
) -> Problem:  # fmt: skip
    return make(
        slug, sheet=sheet.name, ref=f"{column_letter(index)}{number}", column=column.heading,
        found=typed(row[index]), allowed=allowed or column.heading, words=words or {},
    )  # fmt: skip
