"""Which unit a number without one has: what its size allows, what its column shows, what its row shows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from tracker.cells.numbers import Quantity, canonical
from tracker.check.columns import TypedColumn
from tracker.check.quantities import as_typed, unit_typed
from tracker.sheets import LENGTH, TEMPERATURE, Column

Rows = npt.NDArray[np.bool_]


def units_that_fit(column: Column, quantity: Quantity) -> tuple[str, ...]:
    """The units in which the quantity has a usual size; a fraction of an inch may also be two readings in mm."""
    if quantity.fractions and column.holds == LENGTH:
        return ("in", "mm") if _may_be_two(column, quantity) else ("in",)
    return tuple(unit for unit in _candidates(column) if _fits(column, quantity.number, unit))


def unit_of_column(column: Column, bare: Iterable[Quantity], shown: set[str]) -> str:
    """The unit in which most of the numbers without a unit have a usual size; "" where the column does not show it.

    Where several fit as many of them, `shown` decides: the units that are typed in other cells of the column.
    """
    plain = [quantity for quantity in bare if not (quantity.fractions and column.holds == LENGTH)]
    counts = {unit: sum(_fits(column, q.number, unit) for q in plain) for unit in _candidates(column)}
    best = {unit for unit, count in counts.items() if count == max(counts.values())}
    if len(best) > 1:
        best &= shown
    return best.pop() if len(best) == 1 else ""


def unit_of_cell(
    column: Column, quantity: Quantity, fitting: Sequence[str], in_column: str, in_row: set[str]
) -> str | None:
    """The unit of one number, or None where it is not clear.

    Where several fit it is the column's, unless the row shows only another; where the column shows none it is
    the row's. Where neither does, a whole number is in millimetres: inches and centimetres have a point more often.
    """
    if len(fitting) < 2:
        return fitting[0] if fitting else column.unit
    shown = in_row & set(fitting)
    if in_column in fitting:
        return in_column if not shown or in_column in shown else None
    if shown:
        return shown.pop() if len(shown) == 1 else None
    whole = all(end.is_integer() for end in (quantity.ends or (quantity.number,)))
    return column.unit if column.unit in fitting and whole and not quantity.fractions else None


def units_of_rows(own: Sequence[TypedColumn], besides: TypedColumn) -> Mapping[str, Rows]:
    """For each unit of length the rows in which another column shows it, by its name or by a size that fits no other."""
    shown: dict[str, Rows] = {}
    for column in own:
        if column is besides or column.column.holds != LENGTH:
            continue
        for code, quantity in as_typed(column)[0].items():
            if unit := _sure_unit(column, quantity):
                rows = shown.setdefault(unit, np.zeros(len(column.codes), dtype=bool))
                rows |= column.codes == code
    return shown


def _sure_unit(column: TypedColumn, quantity: Quantity) -> str:
    unit = unit_typed(column.place, quantity)
    if unit != "":
        return unit or ""
    fitting = units_that_fit(column.column, quantity)
    return fitting[0] if len(fitting) == 1 else ""


def _candidates(column: Column) -> tuple[str, ...]:
    return ("°C", "°F") if column.holds == TEMPERATURE else ("mm", "in", "cm")


def _fits(column: Column, number: float, unit: str) -> bool:
    assert column.usual is not None
    return column.usual[0] <= canonical(number, unit) <= column.usual[1]


def _may_be_two(column: Column, quantity: Quantity) -> bool:
    """Whether a fraction such as 30/32 could as well be two readings, 30 and 32 mm."""
    part = quantity.fractions[0]
    single = part.alone and not part.drawn and not quantity.ends
    return single and all(_fits(column, figure, "mm") for figure in (part.upper, part.lower))
