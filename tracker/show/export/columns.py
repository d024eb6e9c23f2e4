"""The workbook's columns as Table Schema has them, made from their declaration."""

from __future__ import annotations

import math
from typing import Any

from tracker import sheets
from tracker.sheets import Column
from tracker.show.export.part import DAY, LIST, MOMENT, NUMBER, TEXT, WHOLE, Field
from tracker.workbook.exported.layout import heading_of

_TYPES = {
    sheets.DATE: DAY,
    sheets.MOMENT: MOMENT,
    sheets.BORN: WHOLE,
    sheets.PULSE: WHOLE,
    sheets.SCORE: NUMBER,
    sheets.LIMBS: LIST,
    sheets.LIMBS_OR_YES: LIST,
    sheets.SIGNS: LIST,
    **dict.fromkeys(sheets.QUANTITIES, NUMBER),
}
_CLOSED = (sheets.CHOICE, sheets.FOOT)
_UCUM = {
    "mm": "mm",
    "°": "deg",
    "°C": "Cel",
    "kg": "kg",
    "weeks": "wk",
    "minutes": "min",
    "beats a minute": "{beats}/min",
    "breaths a minute": "{breaths}/min",
    "of 9": "1",
    "of 5": "1",
}


def field_of(column: Column) -> Field:
    """A column of a checked table."""
    return Field(
        name=heading_of(column),
        type=_TYPES.get(column.holds, TEXT),
        about=_about(column),
        unit=_UCUM.get(column.unit, ""),
        required=column.required,
        more={"constraints": limits} if (limits := _limits(column)) else {},
    )


def typed_field(column: Column) -> Field:
    """The same column in a row that was set aside: any text, since nothing in it need be right."""
    return Field(column.heading, TEXT, f"As it was typed. {column.hint}")


def _about(column: Column) -> str:
    if column.holds == sheets.MOMENT:
        return f"{column.hint} A date where no time of day is known."
    open_words = column.choices and column.holds not in (*_CLOSED, sheets.PULSE)
    return f"{column.hint} Usual: {', '.join(column.choices)}." if open_words else column.hint


def _limits(column: Column) -> dict[str, Any]:
    if column.holds in _CLOSED:
        return {"enum": [*column.choices]}
    if column.holds == sheets.PULSE:
        return {"minimum": int(column.choices[0]), "maximum": int(column.choices[-1])}
    ends = {"minimum": column.low, "maximum": column.high}
    return {name: _plain(end) for name, end in ends.items() if math.isfinite(end)}


def _plain(end: float) -> float | int:
    return int(end) if float(end).is_integer() else end
