"""What stands below the headings and is no record: rows of totals, and a second table."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.cells.dates import read_date
from tracker.cells.raw import CellError, UnsavedFormula
from tracker.cells.text import fold, says_nothing, typed
from tracker.check.headings import Place, heading_of
from tracker.problem import Problem, make
from tracker.sheets import DATE, FOOT, HORSE, MOMENT, TEXT, Column, Sheet
from tracker.workbook.letters import column_letter

if TYPE_CHECKING:
    from tracker.check.locate import Located

Row = Sequence[object]

_TOTAL = r"(?:grand |sub-?)?totals?|sums?|averages?|avg|mean|median"
_LIKE_TOTAL = r"count|number|min|max|minimum|maximum"  # a horse may be called Max
_WHOLE = re.compile(rf"(?:{_TOTAL}|{_LIKE_TOTAL})\.?\s*[:=]?")
_WHOLE_NAME = re.compile(rf"(?:{_TOTAL})\.?\s*[:=]?")
_BEGINNING = re.compile(rf"(?:{_TOTAL})\b|(?:{_LIKE_TOTAL})\.?\s*[:=]?$")


@dataclass(frozen=True, slots=True)
class Body:
    """The records' rows: those after the headings up to `end`, without the `totals`; all count from 1."""

    end: int
    totals: tuple[int, ...]
    problems: tuple[Problem, ...]

    @property
    def aside(self) -> frozenset[int]:
        """The rows that are no record."""
        return frozenset(self.totals)


def totals_row(located: Located) -> int | None:
    """The spreadsheet row of the first row of totals below the last record of a table, or None.

    A new record cannot be put below the last one without coming between the records and their totals.
    """
    indexes = [place.index for place in located.places]
    found = None
    for number in range(located.body.end, located.heading_row, -1):
        if number in located.body.totals:
            found = number
        elif not all(says_nothing(located.raw.rows[number - 1][index]) for index in indexes):
            break
    return found


def body_of(
    sheet: Sheet, rows: Sequence[Row], heading_row: int, places: Sequence[Place], end_column: int
) -> Body:
    """Look through the rows below the headings; the table reaches to the column before `end_column`."""
    own = {place.index: place.column for place in places}
    totals: list[int] = []
    problems: list[Problem] = []
    end = len(rows)
    for number in _candidates(sheet, rows, heading_row, own):
        row = rows[number - 1]
        if (at := _heading_in(sheet, row, own)) is not None:
            found = ", ".join(typed(value) for value in row if value != "")
            problems.append(_problem("second-table", sheet, at, number, own, found, rest=f"row {number}"))
            end = _last_before(rows, number, heading_row, own)
            break
        if (at := _label_of_totals(sheet, row[:end_column], own)) is not None:
            totals.append(number)
            problems.append(_problem("totals-row", sheet, at, number, own, typed(row[at])))
    totals = [number for number in totals if number <= end]
    return Body(end, tuple(totals), tuple(problems))


def _candidates(sheet: Sheet, rows: Sequence[Row], heading_row: int, own: Mapping[int, Column]) -> list[int]:
    """The rows that may be no record: those with a blank, or with words alone, where a record has its first need."""
    index = _main_index(sheet, own)
    below = rows[heading_row:]
    distinct = {row[index] for row in below}
    may = {value for value in distinct if _may_be_none(value)}
    numbers = (number for number, row in enumerate(below, heading_row + 1) if row[index] in may)
    return [number for number in numbers if any(value != "" for value in rows[number - 1])]


def _may_be_none(value: object) -> bool:
    if isinstance(value, str):
        return not any(map(str.isdecimal, value)) or _BEGINNING.match(fold(value)) is not None
    return isinstance(value, float) and read_date(value) is None


def _main_index(sheet: Sheet, own: Mapping[int, Column]) -> int:
    """The column of the date that every record needs, or else of the first of its needs."""
    needed = {column.key: index for index, column in own.items() if column.required}
    dated = [column.key for column in sheet.required if column.holds in (DATE, MOMENT)]
    return needed[(dated or [column.key for column in sheet.required])[0]]


def _heading_in(sheet: Sheet, row: Row, own: Mapping[int, Column]) -> int | None:
    """Where the first heading stands, if the row has every heading that the sheet needs.

    A lone heading must stand in its own column among words alone, and not be Horse, which may be what
    somebody calls the horse.
    """
    found = {index: column for index, value in enumerate(row) if (column := heading_of(sheet, value))}
    keys = {column.key for column in found.values()}
    if not {column.key for column in sheet.required} <= keys:
        return None
    in_place = any(own.get(index) is column and column.holds != HORSE for index, column in found.items())
    sure = len(keys) > 1 or (in_place and all(isinstance(value, str) for value in row))
    return min(found) if sure else None


def _is_title(row: Row, own: Mapping[int, Column]) -> bool:
    """Whether a row is blank, or has nothing but one cell of words that say nothing about a horse."""
    filled = [index for index, value in enumerate(row) if not says_nothing(value)]
    if len(filled) != 1:
        return not filled
    value, column = row[filled[0]], own.get(filled[0])
    if column and column.holds not in (TEXT, HORSE, DATE, MOMENT):
        return False
    return isinstance(value, str) and read_date(value) is None


def _last_before(rows: Sequence[Row], number: int, heading_row: int, own: Mapping[int, Column]) -> int:
    """The last row above a second table's headings that is neither blank nor its title."""
    last = number - 1
    while last > heading_row and _is_title(rows[last - 1], own):
        last -= 1
    return last


def _label_of_totals(sheet: Sheet, row: Row, own: Mapping[int, Column]) -> int | None:
    """Where a row of totals says so: in place of the date, or else in the first filled cell."""
    first = next((index for index, value in enumerate(row) if not says_nothing(value)), None)
    for at in (_main_index(sheet, own), first):
        if at is not None and isinstance(row[at], str) and _says_total(str(row[at]), own.get(at)):
            rest = [(own[i], row[i]) for i in own if i != at and not says_nothing(row[i])]
            only_a_name = at in own and own[at].holds == HORSE and not rest
            of_a_record = any(_is_of_a_record(column, value) for column, value in rest)
            return None if only_a_name or of_a_record else at
    return None


def _says_total(text: str, column: Column | None) -> bool:
    if column and column.holds in (DATE, MOMENT):
        return _BEGINNING.match(fold(text)) is not None
    whole = _WHOLE_NAME if column and column.holds == HORSE else _WHOLE
    return whole.fullmatch(fold(text)) is not None


def _is_of_a_record(column: Column, value: object) -> bool:
    """Whether a cell holds what a record needs, or words, such as a sign, that no sum or mean can be."""
    if isinstance(value, CellError | UnsavedFormula):
        return False
    if isinstance(value, str):
        return column.required or (column.holds not in (TEXT, HORSE) and not any(map(str.isdecimal, value)))
    dated = column.holds in (DATE, MOMENT) and read_date(value) is not None
    return column.required and (dated or column.holds not in (DATE, MOMENT, FOOT))


def _problem(
    slug: str, sheet: Sheet, at: int, number: int, own: Mapping[int, Column], found: str, rest: str = ""
) -> Problem:
    return make(
        slug, sheet=sheet.name, ref=f"{column_letter(at)}{number}", column=own[at].heading if at in own else None,
        found=found[:120], allowed="one table on a sheet, with a record in each row", words={"rest": rest},
    )  # fmt: skip
