"""Quantities of a column together: a number without a unit is recognised by its size, and that is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tracker.cells.numbers import UNIT_NAMES, Quantity, canonical
from tracker.check.columns import Note, TypedColumn, allowed_in
from tracker.check.headings import is_grade
from tracker.check.quantities import as_typed, heading_unit, unit_typed
from tracker.check.sizes import Rows, unit_of_cell, unit_of_column, units_of_rows, units_that_fit
from tracker.sheets import LENGTH, NUMBER, WEIGHT, Column

__all__ = ["heading_unit", "read_quantities"]

# A bare weight in kg: more than the first is rare in a horse; beside one, more than the second may be pounds too.
# Common practice, no published source.
HEAVIEST_USUAL, HEAVY = 1000, 700
# Below so many bare minutes a part of one is more likely one of an hour: 1.5, 1 1/2, or 1.30 for 1 h 30 (our own choice).
FEW_MINUTES = 5
_SHORT = {WEIGHT: "lb", NUMBER: "min"}  # how the unit is written in a heading; lengths are the others


@dataclass(frozen=True, slots=True)
class Read:
    """One distinct value at some of its places (None: at all of them), in the unit that it was read in.

    `slug` says why it cannot be used; `by_size` that nobody named the unit.
    """

    code: int
    unit: str
    slug: str = ""
    by_size: bool = False
    places: list[int] | None = None


def read_quantities(column: TypedColumn, own: Sequence[TypedColumn] = ()) -> npt.NDArray[np.float64]:
    """The column's values in the canonical unit, NaN where empty or left out.

    `own` are the columns of the same sheet: what neither a length nor its column shows of its unit, its row may.
    """
    quantities, refused = as_typed(column)
    for code, reading in refused.items():
        _note(column, Read(code, "", reading.slug))
    unique = np.full(len(column.uniques), np.nan)
    by_row: list[tuple[list[int], float]] = []
    guessed: dict[str, list[int]] = {}
    for read in _units(column, quantities, own):
        value = _value(column, read, quantities[read.code])
        if read.places is None:
            unique[read.code] = value
        else:
            by_row.append((read.places, value))
        if read.by_size and read.unit != column.column.unit and not np.isnan(value):
            guessed.setdefault(read.unit, []).append(_places(column, read)[0])
    _say_guesses(column, guessed)
    values = unique[column.codes]
    for places, value in by_row:
        values[places] = value
    return values


def _units(
    column: TypedColumn, quantities: Mapping[int, Quantity], own: Sequence[TypedColumn]
) -> Iterator[Read]:
    """The unit of each distinct value, or why it has none."""
    declared = column.column
    named = {code: unit_typed(column.place, quantity) for code, quantity in quantities.items()}
    bare: dict[int, Quantity] = {}
    for code, quantity in quantities.items():
        unit = named[code]
        if unit is None:
            yield Read(code, "", "grade-other-scale" if is_grade(declared) else "unit-unknown")
        elif not _is_plain(declared, quantity, unit):
            yield Read(code, "", "fraction-unclear")
        elif unit:
            yield Read(code, unit)
        else:
            bare[code] = quantity
    if declared.usual:
        yield from _by_size(column, bare, {unit for unit in named.values() if unit}, own)
    else:
        yield from _as_declared(declared, bare)


def _is_plain(column: Column, quantity: Quantity, unit: str) -> bool:
    """Whether the value was typed without a fraction, or with one that its unit is measured in.

    Inches are parted by halving, and so are hours. Nobody measures half a millimetre as 1/2 mm, and 20/30
    may be two numbers; but 12 1/2 is a number wherever it is no metric length.
    """
    if not quantity.fractions:
        return True
    if unit in ("mm", "cm", "m") or not all(part.halved for part in quantity.fractions):
        return False
    alone = any(part.alone for part in quantity.fractions)
    return not alone or unit in ("in", "hours") or (not unit and column.holds == LENGTH)


def _as_declared(column: Column, bare: Mapping[int, Quantity]) -> Iterator[Read]:
    """Numbers in the column's own unit, but for weights that may be in pounds and minutes that may be hours."""
    weights = bare.values() if column.holds == WEIGHT else ()
    possible = {quantity.number for quantity in weights if canonical(quantity.number, "lb") <= column.high}
    most = HEAVY if max(possible, default=0.0) > HEAVIEST_USUAL else HEAVIEST_USUAL
    for code, quantity in bare.items():
        unclear = quantity.number in possible and quantity.number > most
        unclear |= column.unit_note == "minutes" and _may_be_hours(quantity)
        yield Read(code, column.unit, "unit-unclear" if unclear else "")


def _may_be_hours(quantity: Quantity) -> bool:
    """Whether a bare number of minutes has a part of one, and is so small that hours may be meant."""
    return any(end < FEW_MINUTES and not end.is_integer() for end in quantity.ends or (quantity.number,))


def _by_size(
    column: TypedColumn, bare: Mapping[int, Quantity], named: set[str], own: Sequence[TypedColumn]
) -> Iterator[Read]:
    declared = column.column
    fitting = {code: units_that_fit(declared, quantity) for code, quantity in bare.items()}
    fractions = {"in" for code, units in fitting.items() if bare[code].fractions and units == ("in",)}
    in_column = unit_of_column(declared, bare.values(), named | fractions)
    open_codes = [code for code, units in fitting.items() if len(units) > 1]
    in_rows = units_of_rows(own, column) if open_codes else {}
    for code, quantity in bare.items():
        fraction = bool(quantity.fractions) and declared.holds == LENGTH
        answers: dict[str | None, list[int] | None] = {}
        if len(fitting[code]) > 1:
            answers |= _row_by_row(column, code, quantity, fitting[code], in_column, in_rows)
        else:
            answers[unit_of_cell(declared, quantity, fitting[code], in_column, set())] = None
        for unit, places in answers.items():
            if unit is None or (fraction and unit != "in"):
                yield Read(code, "", "fraction-unclear" if fraction else "unit-unclear", places=places)
            else:
                yield Read(code, unit, by_size=not fraction, places=places)


def _row_by_row(
    column: TypedColumn,
    code: int,
    quantity: Quantity,
    fitting: Sequence[str],
    in_column: str,
    in_rows: Mapping[str, Rows],
) -> dict[str | None, list[int]]:
    """The places of a value of several possible units, by the unit that it has there."""
    answers: dict[str | None, list[int]] = {}
    for at in column.where(code):
        in_row = {unit for unit, rows in in_rows.items() if rows[at]}
        unit = unit_of_cell(column.column, quantity, fitting, in_column, in_row)
        answers.setdefault(unit, []).append(at)
    return answers


def _value(column: TypedColumn, read: Read, quantity: Quantity) -> float:
    """The number in the canonical unit, NaN where it is left out; with what is to be said about it."""
    declared = column.column
    if read.slug:
        _note(column, read, {"short": _SHORT.get(declared.holds, "in")})
        return float("nan")
    value = canonical(quantity.number, read.unit)
    ends = [canonical(end, read.unit) for end in quantity.ends] or [value]
    if not declared.low - 1e-9 <= min(ends) <= max(ends) <= declared.high + 1e-9:
        _note(column, Read(read.code, "", "out-of-range", places=read.places))
        return float("nan")
    slug = "number-range" if quantity.ends else "number-or-more" if quantity.or_more else ""
    if slug or quantity.about:
        told = Read(read.code, "", slug or "number-about", places=read.places)
        _note(column, told, {"read": f"{quantity.number:g}"})
    return value


def _places(column: TypedColumn, read: Read) -> list[int]:
    return column.where(read.code) if read.places is None else read.places


def _note(column: TypedColumn, read: Read, words: Mapping[str, str] | None = None) -> None:
    allowed = allowed_in(column.column)
    column.notes += [Note(at, read.slug, allowed, dict(words or {})) for at in _places(column, read)]


def _say_guesses(column: TypedColumn, guessed: Mapping[str, list[int]]) -> None:
    """One doubt a column for each unit other than the canonical one that was recognised by size."""
    for unit, places in guessed.items():
        words = {"unit": UNIT_NAMES[unit], "short": unit.removeprefix("°")}
        column.notes.append(Note(min(places), "unit-by-size", allowed_in(column.column), words))
