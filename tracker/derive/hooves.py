"""From rows of the Hooves sheet to one record a foot, a day and a stage, with errors and derived partners."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from statistics import fmean
from typing import Any

from tracker import terms
from tracker.derive.quantities import with_derived
from tracker.derive.repeats import own_sds
from tracker.derive.rows import each
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import NOT_SAID, kind_of, reading_sd
from tracker.sheets import ANGLE, HOOVES, LENGTH
from tracker.table import Table

# The distance of a growth mark belongs to that one mark, not to the foot.
_MARK = "growth_mark_below_hairline"
_CODES = {LENGTH: "mm", ANGLE: "deg"}
UNITS = {column.key: _CODES[column.holds] for column in HOOVES.columns if column.holds in _CODES}
MEASURED = tuple(key for key in UNITS if key != _MARK)

_WAYS = (*HOOVES.by_key["measured_with"].choices, "")
Own = Mapping[tuple[str, str], float]
STAGES = ("before trim", "", "between", "after trim")


@dataclass(frozen=True, slots=True)
class HoofRecord:
    """Everything measured on one foot, one day, at one stage, and what follows from it.

    `rows` are the workbook's rows it was read from; `way` names the ways they were measured. `measures`
    holds the columns' own keys and, after them, the derived quantities. `marks` holds each growth mark's
    distance below the hairline, by the mark's name as first typed ("" where it has none).
    """

    horse: str
    foot: str
    date: date
    stage: str
    way: str
    rows: tuple[int, ...]
    checked: str
    photo: str
    measures: Mapping[str, Measure]
    marks: Mapping[str, Measure]


def hoof_records(hooves: Table) -> list[HoofRecord]:
    """One record a foot, day and stage, sorted by horse, foot and date.

    Rows of the same foot, day and stage are one record: the gauge's angles and the ruler's lengths belong
    together. A measure read several times in one way is their mean, its sd divided by √k; a measure read
    in two ways is taken from the surer one. Where enough was read more than once, the owner's own repeats
    say how well it is read (`own_sds`). A row that repeats another in every cell was typed twice and counts once.
    """
    groups: dict[tuple[str, str, date, str], list[Any]] = defaultdict(list)
    for row in each(hooves.kept.drop_duplicates()):
        groups[row.horse, row.foot, row.date.date(), row.stage].append(row)
    own = own_sds(_readings(rows) for rows in groups.values())
    return sorted((_record(*key, rows, own) for key, rows in groups.items()), key=_place)


def _readings(rows: list[Any]) -> dict[tuple[str, str], list[float]]:
    """The readings of one occasion by measure and way; a way that is not said may be several."""
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for row in rows:
        for key in MEASURED:
            if row.measured_with and not math.isnan(value := getattr(row, key)):
                found[key, row.measured_with].append(value)
    return found


def _place(record: HoofRecord) -> tuple[str, int, date, int]:
    return record.horse, terms.FEET.index(record.foot), record.date, STAGES.index(record.stage)


def _record(horse: str, foot: str, day: date, stage: str, rows: list[Any], own: Own) -> HoofRecord:
    ways = sorted({row.measured_with for row in rows}, key=_WAYS.index)
    read = {
        key: _read(key, [(row.measured_with, getattr(row, key)) for row in rows], own) for key in MEASURED
    }
    return HoofRecord(
        horse=horse,
        foot=foot,
        date=day,
        stage=stage,
        way=_listed(ways),
        rows=tuple(row.Index for row in rows),
        checked=_checked([row.checked_on_the_live_horse for row in rows]),
        photo=_listed(row.photo for row in rows),
        measures=with_derived({key: measure for key, measure in read.items() if measure}),
        marks=_marks(rows, own),
    )


def _listed(words: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(word for word in words if word))


def _checked(answers: list[str]) -> str:
    """One "no" leaves the whole record unchecked; else the first who looked."""
    return "no" if "no" in answers else next(filter(None, answers), "")


def _read(key: str, readings: list[tuple[str, float]], own: Own) -> Measure | None:
    """One measure from its readings, each a way and a value; None where none was taken."""
    by_way: dict[str, list[float]] = defaultdict(list)
    for way, value in readings:
        if not math.isnan(value):
            by_way[way].append(value)
    measures = [_mean(key, way, values, own) for way, values in by_way.items()]
    return min(measures, key=lambda measure: measure.sd, default=None)


def _mean(key: str, way: str, values: list[float], own: Own) -> Measure:
    words = way or NOT_SAID
    how = words if len(values) == 1 else f"mean of {len(values)} by {words}"
    sd = own.get((kind_of(key), way), reading_sd(key, way))
    return Measure(fmean(values), sd / math.sqrt(len(values)), UNITS[key], how)


def _marks(rows: list[Any], own: Own) -> dict[str, Measure]:
    named: dict[str, str] = {}
    readings: dict[str, list[tuple[str, float]]] = defaultdict(list)
    for row in rows:
        name = named.setdefault(row.growth_mark.strip().casefold(), row.growth_mark)
        readings[name].append((row.measured_with, getattr(row, _MARK)))
    read = {name: _read(_MARK, taken, own) for name, taken in readings.items()}
    return {name: measure for name, measure in read.items() if measure}
