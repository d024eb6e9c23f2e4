"""All that the Body sheet tells of one horse."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from tracker.derive.body.trend import Reading, Trend, trend_of
from tracker.derive.body.vitals import Sign, VitalSign, vital_sign
from tracker.derive.body.weight import weight_by_tape
from tracker.derive.relief import Course, masking
from tracker.reference.body import ANY, CONDITION_SD, CREST_SD, FORMULAS, VITALS, WEIGHT_SD, Formula
from tracker.table import Table

TAPED, TYPED, CONDITION, CREST = "weight by tape", "weight as written", "condition", "crest"


@dataclass(frozen=True, slots=True)
class BodyRecord:
    """One horse's body; each None where nothing of it was noted.

    `taped` is the weight worked out from girth and body length by `formula`, `typed` the one that was written
    down. `vitals` holds the vital signs that were taken.
    """

    formula: Formula
    taped: Trend | None
    typed: Trend | None
    condition: Trend | None
    crest: Trend | None
    vitals: tuple[VitalSign, ...]

    @property
    def trends(self) -> tuple[Trend, ...]:
        """Those that there are."""
        return tuple(found for found in (self.taped, self.typed, self.condition, self.crest) if found)

    def __bool__(self) -> bool:
        """Whether anything was noted."""
        return bool(self.trends or self.vitals)


def weight_formulas(horses: Table) -> dict[str, str]:
    """The formula that is chosen for each horse; one that is listed twice has the first that is given."""
    found: dict[str, str] = {}
    for row in horses.rows:
        if row.weight_formula:
            found.setdefault(row.horse, row.weight_formula)
    return found


def body_record(
    name: str,
    body: Table,
    relief: Sequence[Course],
    shoes_off: Mapping[str, date | None],
    on: date,
    formula: str = ANY,
) -> BodyRecord:
    """What is known of one horse's body as of the day `on`; `formula` by name, as in `FORMULAS`."""
    rows = [row for row in body.rows_of(name) if row.date.date() <= on]
    since = min((day for day in shoes_off.values() if day and day <= on), default=None)
    signs = (vital_sign(vital, _signs(rows, vital.key, relief, name)) for vital in VITALS)
    return BodyRecord(
        formula=FORMULAS[formula],
        taped=trend_of(TAPED, "kg", _taped(rows, formula), since),
        typed=trend_of(TYPED, "kg", _typed(rows), since),
        condition=trend_of(
            CONDITION,
            "1",
            _scored(rows, "condition_score", CONDITION_SD.value),
            since,
            in_steps=True,
        ),
        crest=trend_of(CREST, "1", _scored(rows, "crest_score", CREST_SD.value), since, in_steps=True),
        vitals=tuple(found for found in signs if found),
    )


def _taped(rows: Sequence[Any], formula: str) -> Iterator[Reading]:
    for row in rows:
        if not math.isnan(row.girth) and not math.isnan(row.body_length):
            found = weight_by_tape(row.girth, row.body_length, formula)
            yield Reading(row.date.date(), found.value, found.sd, (row.Index,))


def _typed(rows: Sequence[Any]) -> Iterator[Reading]:
    for row in rows:
        if not math.isnan(row.weight):
            yield Reading(row.date.date(), row.weight, row.weight * WEIGHT_SD.value / 100, (row.Index,))


def _scored(rows: Sequence[Any], key: str, sd: float) -> Iterator[Reading]:
    for row in rows:
        if not math.isnan(value := getattr(row, key)):
            yield Reading(row.date.date(), value, sd, (row.Index,))


def _signs(rows: Sequence[Any], key: str, relief: Sequence[Course], name: str) -> Iterator[Sign]:
    for row in rows:
        if not math.isnan(value := getattr(row, key)):
            day = row.date.date()
            yield Sign(day, value, masking(relief, name, day) != "", row.Index)
