"""From rows of the Hooves sheet to one record a foot, a day and a stage, with errors and derived partners."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from operator import attrgetter
from statistics import fmean
from typing import Any, NamedTuple

from tracker import terms
from tracker.cells.text import fold
from tracker.derive.photo.several import PhotoReading, of_photos
from tracker.derive.quantities import each_with_derived
from tracker.derive.repeats import own_sds
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
PhotoErrors = Mapping[int, Mapping[str, float]]
_PHOTO = "photo"
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


def hoof_records(hooves: Table, photo_errors: PhotoErrors | None = None) -> list[HoofRecord]:
    """One record a foot, day and stage, sorted by horse, foot and date.

    Rows of the same foot, day and stage are one record: the gauge's angles and the ruler's lengths belong
    together. A measure read several times in one way is their mean, its sd divided by √k, but photographs
    share an error that does not get smaller (`of_photos`); a measure read in two ways is taken from the surer
    one. Where enough was read more than once, the owner's own repeats say how well it is read (`own_sds`); those
    of photographs can only widen the usual error, since they do not show how the horse stood. What was checked on
    the live horse counts before the same photograph marked again. A row that repeats another in every cell was
    typed twice and counts once.

    `photo_errors` holds the photographs' own sds, by the number of the row that came from one and by the name
    of the measure: a measure from a photograph has its own error where that is larger than that of its kind.
    """
    groups: dict[tuple[str, str, date, str], list[_Row]] = defaultdict(list)
    for row in _once(hooves.rows):
        groups[row.cells.horse, row.cells.foot, row.cells.date.date(), row.cells.stage].append(row)
    sds = _Sds(own_sds(_readings(rows) for rows in groups.values() if len(rows) > 1))
    photos = photo_errors or {}
    measured = each_with_derived([_measured(rows, sds, photos) for rows in groups.values()])
    records = (
        _record(*key, rows, measures, sds, photos)
        for (key, rows), measures in zip(groups.items(), measured, strict=True)
    )
    return sorted(records, key=_place)


class _Row(NamedTuple):
    """One row of the sheet: its cells, and of them the measures that it holds, by key."""

    cells: Any
    values: Mapping[str, float]


class _Sds(dict[tuple[str, str], float]):
    """The error of one reading by measure and way: the owner's own where it is known, else the usual one."""

    def __init__(self, own: Own) -> None:
        self.own = own

    def __missing__(self, of: tuple[str, str]) -> float:
        key, way = of
        usual = reading_sd(key, way)
        sd = self.own.get((kind_of(key), way), usual)
        self[of] = max(sd, usual) if way == _PHOTO else sd
        return self[of]


_numbers = attrgetter(*UNITS)
_words = attrgetter(*(column.key for column in HOOVES.columns if column.key not in UNITS))


def _once(rows: Iterable[Any]) -> Iterator[_Row]:
    """Each row that does not repeat an earlier one in every cell."""
    seen = set()
    for cells in rows:
        values = {
            key: value for key, value in zip(UNITS, _numbers(cells), strict=True) if not math.isnan(value)
        }
        told = _words(cells), *values.items()
        if told not in seen:
            seen.add(told)
            yield _Row(cells, values)


def _readings(rows: list[_Row]) -> dict[tuple[str, str], list[float]]:
    """The readings of one occasion by measure and way; a way that is not said may be several.

    A photograph that was read again is no second reading of the foot: the last counts.
    """
    found: dict[tuple[str, str], dict[str, float]] = defaultdict(dict)
    for row in rows:
        if way := row.cells.measured_with:
            source = _photo_of(row) or f"\0{row.cells.Index}"
            for key, value in row.values.items():
                if key != _MARK:
                    found[key, way][source] = value
    return {of: [*values.values()] for of, values in found.items()}


def _photo_of(row: _Row) -> str:
    """The photograph that a row was read from; "" where it is none, or not said."""
    return fold(row.cells.photo) if row.cells.measured_with == _PHOTO else ""


def _place(record: HoofRecord) -> tuple[str, int, date, int]:
    return record.horse, terms.FEET.index(record.foot), record.date, STAGES.index(record.stage)


def _measured(rows: list[_Row], sds: _Sds, photos: PhotoErrors) -> dict[str, Measure]:
    """What was measured on one foot, one day, at one stage."""
    held: dict[str, list[_Row]] = {}
    for row in rows:
        for key in row.values:
            held.setdefault(key, []).append(row)
    return {key: _read(key, _standing(held[key]), sds, photos) for key in MEASURED if key in held}


def _record(
    horse: str,
    foot: str,
    day: date,
    stage: str,
    rows: list[_Row],
    measures: Mapping[str, Measure],
    sds: _Sds,
    photos: PhotoErrors,
) -> HoofRecord:
    ways = sorted({row.cells.measured_with for row in rows}, key=_WAYS.index)
    counting = _counting(rows)
    return HoofRecord(
        horse=horse,
        foot=foot,
        date=day,
        stage=stage,
        way=_listed(ways),
        rows=tuple(row.cells.Index for row in rows),
        checked=_checked([row.cells.checked_on_the_live_horse for row in counting]),
        photo=_listed(row.cells.photo for row in rows),
        measures=_by_photos_alone(measures, counting, photos) if ways == [_PHOTO] else measures,
        marks=_marks(rows, sds),
    )


def _standing(held: list[_Row]) -> list[_Row]:
    """Of the rows that hold a measure all, but for those of a photograph of which another one was checked."""
    if len(held) < 2:
        return held
    checked = {_photo_of(row) for row in held if _is_checked(row)} - {""}
    return [row for row in held if _is_checked(row) or _photo_of(row) not in checked] if checked else held


def _is_checked(row: _Row) -> bool:
    return row.cells.checked_on_the_live_horse not in ("", "no")


def _counting(rows: list[_Row]) -> list[_Row]:
    """The rows of which something counts; one that holds no measure counts too."""
    if not any(_is_checked(row) for row in rows):
        return rows
    held = ([row for row in rows if key in row.values] for key in MEASURED)
    used = {row.cells.Index for own in held for row in _standing(own)}
    return [row for row in rows if row.cells.Index in used or not row.values.keys() - {_MARK}]


def _by_photos_alone(
    measures: Mapping[str, Measure], rows: list[_Row], photos: PhotoErrors
) -> Mapping[str, Measure]:
    """What was worked out is no surer than the photographs have it, where each of them has its own error."""
    if not all(row.cells.Index in photos for row in rows):
        return measures
    found = dict(measures)
    for name in measures.keys() - {*MEASURED}:
        readings = _photo_readings(
            name, [row for row in rows if name in photos[row.cells.Index]], photos, 0.0
        )
        if readings:
            own = of_photos(readings, measures[name].sd, measures[name].unit)
            found[name] = measures[name]._replace(sd=own.sd)
    return found


def _listed(words: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(word for word in words if word))


def _checked(answers: list[str]) -> str:
    """One "no" leaves the whole record unchecked; else the first who looked."""
    return "no" if "no" in answers else next(filter(None, answers), "")


def _read(key: str, rows: list[_Row], sds: _Sds, photos: PhotoErrors) -> Measure:
    """One measure from the rows that hold it: of its ways of measuring the surest."""
    if len(rows) == 1:
        return _mean(key, rows[0].cells.measured_with, rows, sds, photos)
    by_way: dict[str, list[_Row]] = {}
    for row in rows:
        by_way.setdefault(row.cells.measured_with, []).append(row)
    measures = (_mean(key, way, taken, sds, photos) for way, taken in by_way.items())
    return min(measures, key=lambda measure: measure.sd)


def _mean(key: str, way: str, rows: list[_Row], sds: _Sds, photos: PhotoErrors) -> Measure:
    sd = sds[key, way]
    if way == _PHOTO:
        return of_photos(_photo_readings(key, rows, photos), sd, UNITS[key])
    words = way or NOT_SAID
    if len(rows) == 1:
        return Measure(rows[0].values[key], sd, UNITS[key], words)
    value = fmean(row.values[key] for row in rows)
    return Measure(value, sd / math.sqrt(len(rows)), UNITS[key], f"mean of {len(rows)} by {words}")


def _photo_readings(
    key: str, rows: list[_Row], photos: PhotoErrors, value: float | None = None
) -> list[PhotoReading]:
    """What each row's photograph gives of a measure; `value` where that is of no account."""
    return [
        PhotoReading(
            row.values[key] if value is None else value,
            fold(row.cells.photo),
            photos.get(row.cells.Index, {}).get(key),
        )
        for row in rows
    ]


def _marks(rows: list[_Row], sds: _Sds) -> dict[str, Measure]:
    named: dict[str, str] = {}
    marked: dict[str, list[_Row]] = {}
    for row in rows:
        name = named.setdefault(row.cells.growth_mark.strip().casefold(), row.cells.growth_mark)
        marked.setdefault(name, []).extend([row] if _MARK in row.values else [])
    return {name: _read(_MARK, taken, sds, {}) for name, taken in marked.items() if taken}
