"""Quantities as typed, before anything else of the column, or of the row, is looked at."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import numpy as np

from tracker.cells.figures import exact, in_figures, or_more, parted, with_fractions
from tracker.cells.numbers import Quantity, read_quantity, read_span, unit_named, units_for
from tracker.cells.reading import Reading
from tracker.cells.scores import fold_grade
from tracker.check.columns import TypedColumn, allowed_in, read_one
from tracker.check.headings import Place, is_grade
from tracker.sheets import NUMBER, WEIGHT, Column


def as_typed(column: TypedColumn) -> tuple[dict[int, Quantity], dict[int, Reading]]:
    """Each distinct quantity by its code; and what cannot be read as one, with the reason."""
    quantities: dict[int, Quantity] = {}
    refused: dict[int, Reading] = {}
    for code in np.unique(column.codes).tolist():
        reading = read_one(column.uniques[code], column.column, _read)
        if isinstance(reading.value, Quantity):
            quantities[code] = reading.value
        elif reading.slug:
            refused[code] = reading
    return quantities, refused


def heading_unit(place: Place) -> str:
    """The unit that a heading names for bare numbers; "" where it names none that the column can have."""
    units = units_for(place.column.holds, place.column.unit_note)
    return unit_named(place.unit, units) or "" if place.unit else ""


def unit_typed(place: Place, quantity: Quantity) -> str | None:
    """The unit beside the number, or else in the heading; "" where neither names one, None for one it cannot have."""
    units = units_for(place.column.holds, place.column.unit_note)
    beside = unit_named(quantity.unit, units) if quantity.unit else ""
    if beside or beside is None or not place.unit:
        return beside
    unit = unit_named(place.unit, units)
    other_scale = unit is None and is_grade(place.column) and re.search(r"\d", place.unit)
    return None if other_scale else unit or ""


def _read(value: object, column: Column) -> Reading:
    if isinstance(value, float):
        return Reading(Quantity(value, ""))
    if isinstance(value, dt.date):
        return Reading(None, "number-became-date", allowed_in(column))
    typed = str(value) if is_grade(column) else with_fractions(str(value))
    about = exact(typed)
    plain = or_more(about)
    quantity = _number(plain, column)
    if quantity is None:
        return Reading(None, "number-unreadable", allowed_in(column))
    return Reading(replace(quantity, about=about != typed, or_more=plain != about))


def _number(text: str, column: Column) -> Quantity | None:
    if is_grade(column):
        return _grade(text)
    if column.unit_note == "minutes" and (span := read_span(text)):
        return span
    return read_quantity(text, thousands=column.holds in (WEIGHT, NUMBER))


def _grade(text: str) -> Quantity | None:
    """A grade such as 5, 5/9, "BCS five" or "5 out of 9": the scale stands as its unit."""
    grade, top = parted(in_figures(fold_grade(text)))
    quantity = read_quantity(re.sub(r"^(?:bcs|cns|score|grade)\s*:?\s*", "", grade))
    if quantity is None or quantity.unit or not top:
        return quantity
    return replace(quantity, unit=f"/{top}")
