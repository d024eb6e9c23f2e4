"""Quantities of a column together: a number without a unit is recognised by its size, and that is said."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from tracker.cells.figures import exact, in_figures, parted
from tracker.cells.numbers import UNIT_NAMES, Quantity, Units, canonical, read_quantity, unit_named, units_for
from tracker.cells.reading import Reading
from tracker.cells.scores import fold_grade
from tracker.check.columns import Note, TypedColumn, allowed_in, read_one
from tracker.check.headings import Place, is_grade
from tracker.sheets import NUMBER, TEMPERATURE, WEIGHT, Column


def read_quantities(column: TypedColumn) -> npt.NDArray[np.float64]:
    """The column's values in the canonical unit, NaN where empty or left out."""
    declared = column.column
    units = units_for(declared.holds, declared.unit_note)
    quantities = _as_typed(column)
    named = {code: _unit_typed(column, quantity, units) for code, quantity in quantities.items()}
    bare = [q for code, q in quantities.items() if named[code] == "" and not q.fraction]
    guess = _unit_by_size(declared, bare)
    unique = np.full(len(column.uniques), np.nan)
    guessed: dict[str, list[int]] = {}
    for code, quantity in quantities.items():
        unit = named[code]
        if unit is None:
            _note(column, code, _not_its_unit(declared), allowed_in(declared))
            continue
        if not unit and quantity.fraction and "in" in units:
            unit = "in"  # nobody writes a fraction of a millimetre
        elif not unit and declared.usual:
            unit = _own_unit(declared, quantity, guess)
            if unit is None:
                _note(column, code, "unit-unclear", allowed_in(declared))
                continue
            guessed.setdefault(unit, []).append(code)
        unit = unit or declared.unit
        value = canonical(quantity.number, unit)
        ends = [canonical(end, unit) for end in quantity.ends] or [value]
        if not declared.low - 1e-9 <= min(ends) <= max(ends) <= declared.high + 1e-9:
            _note(column, code, "out-of-range", allowed_in(declared))
            continue
        unique[code] = value
        if quantity.ends or quantity.about:
            slug = "number-range" if quantity.ends else "number-about"
            _note(column, code, slug, allowed_in(declared), {"read": f"{quantity.number:g}"})
    _say_guesses(column, guessed, unique)
    return unique[column.codes]


def heading_unit(place: Place) -> str:
    """The unit that a heading names for bare numbers; "" where it names none that the column can have."""
    units = units_for(place.column.holds, place.column.unit_note)
    return unit_named(place.unit, units) or "" if place.unit else ""


def _unit_typed(column: TypedColumn, quantity: Quantity, units: Units) -> str | None:
    """The unit beside the number, or else in the heading; "" where neither names one, None for one it cannot have."""
    beside = unit_named(quantity.unit, units) if quantity.unit else ""
    if beside or beside is None or not column.place.unit:
        return beside
    unit = unit_named(column.place.unit, units)
    other_scale = unit is None and is_grade(column.column) and re.search(r"\d", column.place.unit)
    return None if other_scale else unit or ""


def _not_its_unit(column: Column) -> str:
    return "grade-other-scale" if is_grade(column) else "unit-unknown"


def _as_typed(column: TypedColumn) -> dict[int, Quantity]:
    quantities: dict[int, Quantity] = {}
    for code in np.unique(column.codes).tolist():
        reading = read_one(column.uniques[code], column.column, _read)
        if isinstance(reading.value, Quantity):
            quantities[code] = reading.value
        elif reading.slug:
            _note(column, code, reading.slug, reading.allowed)
    return quantities


def _read(value: object, column: Column) -> Reading:
    if isinstance(value, float):
        return Reading(Quantity(value, "", fraction=False))
    if isinstance(value, dt.date):
        return Reading(None, "number-became-date", allowed_in(column))
    text = exact(str(value))
    large = column.holds in (WEIGHT, NUMBER)
    quantity = _grade(text) if is_grade(column) else read_quantity(text, thousands=large)
    if quantity is None:
        return Reading(None, "number-unreadable", allowed_in(column))
    return Reading(replace(quantity, about=text != str(value)))


def _grade(text: str) -> Quantity | None:
    """A grade such as 5, 5/9, "BCS five" or "5 out of 9": the scale stands as its unit."""
    grade, top = parted(in_figures(fold_grade(text)))
    quantity = read_quantity(re.sub(r"^(?:bcs|cns|score|grade)\s*:?\s*", "", grade))
    if quantity is None or quantity.unit or not top:
        return quantity
    return replace(quantity, unit=f"/{top}")


def _note(
    column: TypedColumn, code: int, slug: str, allowed: str, words: Mapping[str, str] = MappingProxyType({})
) -> None:
    column.notes += [Note(at, slug, allowed, dict(words)) for at in column.where(code)]


def _candidates(column: Column) -> tuple[str, ...]:
    return ("°C", "°F") if column.holds == TEMPERATURE else ("mm", "in", "cm")


def _fits(column: Column, number: float, unit: str) -> bool:
    assert column.usual is not None
    return column.usual[0] <= canonical(number, unit) <= column.usual[1]


def _unit_by_size(column: Column, bare: list[Quantity]) -> str:
    """The unit in which most of the numbers without a unit have a usual size; "" where inches and centimetres tie."""
    if not column.usual or not bare:
        return ""
    counts = {unit: sum(_fits(column, q.number, unit) for q in bare) for unit in _candidates(column)}
    best = [unit for unit, count in counts.items() if count == max(counts.values())]
    return best[0] if len(best) == 1 or best[0] == column.unit else ""


def _own_unit(column: Column, quantity: Quantity, guess: str) -> str | None:
    """The unit of one bare number: the column's guess, else the only one that fits, else the canonical one.

    None where several would fit and the column's guess is not among them.
    """
    fitting = [unit for unit in _candidates(column) if _fits(column, quantity.number, unit)]
    if guess in fitting:
        return guess
    if len(fitting) > 1:
        return None
    return fitting[0] if fitting else column.unit


def _say_guesses(column: TypedColumn, guessed: dict[str, list[int]], values: npt.NDArray[np.float64]) -> None:
    """One doubt a column for each unit other than the canonical one that was recognised by size."""
    for unit, codes in guessed.items():
        codes = [code for code in codes if not np.isnan(values[code])]
        if unit != column.column.unit and codes:
            at = min(column.where(code)[0] for code in codes)
            words = {"unit": UNIT_NAMES[unit], "short": unit.removeprefix("°")}
            column.notes.append(Note(at, "unit-by-size", allowed_in(column.column), words))
