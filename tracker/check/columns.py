"""One column at a time: each distinct value that was typed is read once, then laid back over the rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import Any

import numpy as np
import numpy.typing as npt

from tracker import sheets
from tracker.cells import choices, pulses, signs, times
from tracker.cells.dates import WrittenDate, born_year, read_date, run_together
from tracker.cells.limbs import read_limbs
from tracker.cells.raw import CellError, UnsavedFormula
from tracker.cells.reading import NOTHING, Reading
from tracker.cells.text import fold, listed, says_nothing, typed
from tracker.check.headings import Place, is_grade
from tracker.check.locate import Located
from tracker.problem import Problem, make
from tracker.sheets import Column, Sheet
from tracker.terms import NO

ERROR_CODES = frozenset(
    {"#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!", "#GETTING_DATA"}
)


@dataclass(slots=True)
class Note:
    """What is to be said about one cell; the row's place in the column counts from 0."""

    at: int
    slug: str
    allowed: str = ""
    words: dict[str, str] = field(default_factory=dict)
    required: bool = False


@dataclass(slots=True)
class TypedColumn:
    """A column as typed: `uniques[codes[i]]` is the value in spreadsheet row `rows[i]`."""

    sheet: Sheet
    place: Place
    rows: npt.NDArray[np.int64]
    codes: npt.NDArray[np.intp]
    uniques: list[object]
    notes: list[Note] = field(default_factory=list)

    @property
    def column(self) -> Column:
        """The declaration."""
        return self.place.column

    @property
    def blank(self) -> npt.NDArray[np.bool_]:
        """For each unique value whether it says nothing."""
        return np.array([says_nothing(value) for value in self.uniques], dtype=bool)

    def first_at(self) -> dict[int, int]:
        """For each code that occurs the first place where it does."""
        codes, first = np.unique(self.codes, return_index=True)
        return dict(zip(codes.tolist(), first.tolist(), strict=True))

    def where(self, code: int) -> list[int]:
        """All places of a unique value."""
        return [int(at) for at in np.flatnonzero(self.codes == code)]

    def problems(self) -> Iterator[tuple[int, Problem]]:
        """Each note as (spreadsheet row, problem)."""
        for note in self.notes:
            row = int(self.rows[note.at])
            yield (
                row,
                make(
                    note.slug,
                    sheet=self.sheet.name,
                    ref=f"{self.place.letter}{row}",
                    column=self.column.heading,
                    found=typed(self.uniques[self.codes[note.at]]),
                    allowed=note.allowed,
                    required=note.required or self.column.required,
                    words=note.words,
                ),
            )


def typed_columns(located: Located) -> list[TypedColumn]:
    """The sheet's known columns over its records: the rows with something typed in a known cell."""
    body = located.raw.rows[located.heading_row : located.body.end]
    filled = np.zeros(len(body), dtype=bool)
    coded = []
    for place, values in zip(located.places, _columns(body, located.places), strict=True):
        codes, uniques = _coded(values)
        silent = np.array([says_nothing(value) for value in uniques], dtype=bool)
        if len(body):
            filled |= ~silent[codes]
        coded.append((place, codes, uniques))
    filled[[row - located.heading_row - 1 for row in located.body.aside]] = False
    at = np.flatnonzero(filled)
    rows = at + located.heading_row + 1
    return [TypedColumn(located.sheet, place, rows, codes[at], uniques) for place, codes, uniques in coded]


def _columns(body: Sequence[Sequence[object]], places: Sequence[Place]) -> list[list[object]]:
    """The values below the headings, column by column. One flat array is far faster to turn than lists of rows."""
    width = len(body[0]) if body else 0
    grid = np.empty(len(body) * width, dtype=object)
    grid[:] = list(chain.from_iterable(body))
    across = grid.reshape(len(body), width)
    return [across[:, place.index].tolist() if body else [] for place in places]


def _coded(values: list[object]) -> tuple[npt.NDArray[np.intp], list[object]]:
    """Each value's number in the list of distinct ones. TRUE and 1 are equal to Python, but not to their owner."""
    code_of = {value: code for code, value in enumerate(dict.fromkeys(values))}
    if (0 in code_of or 1 in code_of) and bool in set(map(type, values)):
        return _coded([_plain(value) for value in values])
    if len(code_of) == 1:
        return np.zeros(len(values), dtype=np.intp), list(code_of)
    codes = np.fromiter(map(code_of.__getitem__, values), dtype=np.intp, count=len(values))
    return codes, list(code_of)


def _plain(value: object) -> object:
    return typed(value) if isinstance(value, bool) else value


def read_words(column: TypedColumn) -> npt.NDArray[np.object_]:
    """The values of a column of words, limbs, signs or pulses; the notes go to the column."""
    reader = _READERS[column.column.holds]
    used = np.unique(column.codes)
    empty = _EMPTY_OF.get(column.column.holds, "")
    values = np.empty(len(column.uniques), dtype=object)
    for code in used.tolist():
        reading = read_one(column.uniques[code], column.column, reader)
        values[code] = empty if reading.value is None else reading.value
        if reading.slug:
            note = (reading.slug, reading.allowed, reading.words)
            column.notes += [Note(at, *note) for at in column.where(code)]
    return values[column.codes]


def read_one(value: object, column: Column, reader: Callable[[object, Column], Reading]) -> Reading:
    """One cell: errors and unsaved formulas are told, silence is nothing, the rest is for the reader."""
    if isinstance(value, CellError) or (isinstance(value, str) and value.strip().upper() in ERROR_CODES):
        return Reading(None, "cell-error", allowed_in(column))
    if isinstance(value, UnsavedFormula):
        return Reading(None, "formula-unsaved", allowed_in(column))
    if says_nothing(value) and column.holds != sheets.PULSE:
        return NOTHING
    return reader(value, column)


_LARGE_LENGTH = "a length, such as 1850, 185 cm or 73 in"
_EXAMPLES = {
    sheets.DATE: "a date, such as 4 Mar 2026 or 2026-03-04",
    sheets.MOMENT: "a date, or a date and a time, such as 4 Mar 2026 19:00",
    sheets.BORN: "a year, or a date",
    sheets.TIME: times.ALLOWED,
    sheets.FOOT: "one of LF, RF, LH, RH",
    sheets.SCORE: "a whole or half grade, such as 2 or 2.5, with or without its scale, such as 2/5",
    sheets.LENGTH: "a length, such as 89, 89 mm, 8.9 cm or 3 1/2 in",
    sheets.ANGLE: "an angle in degrees, such as 52",
    sheets.TEMPERATURE: "a temperature, such as 37.9 or 100.2 F",
    sheets.WEIGHT: "a weight, such as 480 or 1,100 lb",
    sheets.NUMBER: "a number",
}


def allowed_in(column: Column) -> str:
    """What a column may hold, in words, with its limits."""
    if column.choices and column.holds not in _EXAMPLES:
        return listed(column.choices)
    text = (
        _LARGE_LENGTH
        if column.holds == sheets.LENGTH and column.low >= 500
        else _EXAMPLES.get(column.holds, "any words")
    )
    if is_grade(column):
        top = column.unit_note.removeprefix("of ")
        return f"a grade from {column.low:g} to {top}, such as 3 or 3/{top}"
    if column.holds in sheets.QUANTITIES and np.isfinite(column.low):
        unit = f" {column.unit}" if column.unit and column.unit != "°" else column.unit
        text = f"{text}; from {column.low:g} to {column.high:g}{unit}"
    return text


def _text(value: object, column: Column) -> Reading:
    return Reading(" ".join(typed(value).split()) if column.holds == sheets.HORSE else typed(value).strip())


def _choice(value: object, column: Column) -> Reading:
    return choices.read_choice(value, column.choices)


def _limbs(value: object, column: Column) -> Reading:
    if fold(typed(value)) in NO:
        return Reading(())
    limbs = read_limbs(value)
    return Reading(None, "limb-unknown", allowed_in(column)) if limbs is None else Reading(limbs)


def _foot(value: object, column: Column) -> Reading:
    limbs = read_limbs(value)
    if limbs is None:
        return Reading(None, "limb-unknown", allowed_in(column))
    if len(limbs) != 1 or limbs[0] not in column.choices:
        return Reading(None, "foot-not-one" if len(limbs) > 1 else "limb-unknown", allowed_in(column))
    return Reading(limbs[0])


def _born(value: object, column: Column) -> Reading:
    year = born_year(value)
    if year is None:
        return Reading(None, "date-unreadable", allowed_in(column))
    if not 1960 <= year < 2100:
        return Reading(None, "date-out-of-range", allowed_in(column))
    words = {"read": f"{year:.0f}", "other": _other_year(value)}
    if words["other"] in ("", words["read"]):
        return Reading(year)
    if run_together(value):
        return Reading(None, "date-run-together", allowed_in(column), words)
    return Reading(year, "date-year-first", allowed_in(column), words)


def _other_year(value: object) -> str:
    """The other year that 26-06-01 or 40326 may mean; "" where there is none."""
    if days := run_together(value):
        return str(min(days).year)
    written = read_date(value)
    other = written.year_first() if isinstance(written, WrittenDate) and written.between == "-" else None
    return str(other.year) if other else ""


_READERS: dict[str, Callable[[object, Column], Reading]] = {
    sheets.TEXT: _text,
    sheets.HORSE: _text,
    sheets.CHOICE: _choice,
    sheets.LIMBS: _limbs,
    sheets.FOOT: _foot,
    sheets.BORN: _born,
    sheets.SIGNS: lambda value, _: signs.read_signs(value),
    sheets.PULSE: lambda value, _: pulses.read_pulse(value),
    sheets.CHECKED: lambda value, _: choices.read_checked(value),
    sheets.TIME: lambda value, _: times.read_time(value),
    sheets.LIMBS_OR_YES: lambda value, column: choices.read_limbs_or_yes(value, column.choices),
}
_EMPTY_OF: dict[str, object] = {
    sheets.LIMBS: (),
    sheets.SIGNS: (),
    sheets.LIMBS_OR_YES: (),
    sheets.PULSE: np.nan,
    sheets.BORN: np.nan,
}


def empty_values(column: Column, length: int) -> npt.NDArray[Any]:
    """The values of a declared column that the workbook does not have."""
    if column.holds in (sheets.DATE, sheets.MOMENT):
        return np.full(length, np.datetime64("NaT", "us"))
    if column.holds in (*sheets.QUANTITIES, sheets.SCORE, sheets.PULSE, sheets.BORN):
        return np.full(length, np.nan)
    values = np.empty(length, dtype=object)
    values[:] = [_EMPTY_OF.get(column.holds, "")] * length
    return values


def required_empty(columns: Iterable[TypedColumn]) -> None:
    """Note the empty cells of the columns that a record cannot do without."""
    for column in columns:
        if column.column.required:
            empty = column.blank[column.codes]
            allowed = allowed_in(column.column)
            column.notes += [Note(int(at), "required-empty", allowed) for at in np.flatnonzero(empty)]
