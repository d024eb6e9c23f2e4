"""From the sheets as typed to checked tables: the whole check in one visible function."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

import pandas as pd

from tracker import sheets
from tracker.cells.text import squeeze
from tracker.check import (
    abscesses,
    at_worst,
    body,
    contradict,
    dates,
    hooves,
    horses,
    left_out,
    merged,
    remarks,
    rows,
    scores,
    units,
    work,
)
from tracker.check import columns as col
from tracker.check.columns import TypedColumn
from tracker.check.locate import Located, locate_sheets
from tracker.problem import ERROR, Problem, Unreadable
from tracker.sheets import ABSCESSES, BODY, HOOVES, HORSES, PLAN, SHEETS, SOUNDNESS, VISITS, WORK
from tracker.table import Table
from tracker.workbook.read import RawWorkbook

Keyed = dict[str, TypedColumn]


@dataclass(frozen=True, slots=True)
class Checked:
    """Every declared sheet as a table (an empty one where the workbook lacks it), and all problems.

    `rows` counts, for the sheets that the workbook has, the records read and those set aside.
    """

    tables: dict[str, Table]
    problems: tuple[Problem, ...]
    rows: dict[str, tuple[int, int]]


def check_workbook(workbook: RawWorkbook, today: dt.date, day_first: bool | None = None) -> Checked:
    """Check the workbook column by column, then row by row.

    Dates after `today` are doubted. `day_first` says which way round dates such as 4/3/26 are, where they
    do not show it. Raises Unreadable where no sheet of a soundness record is found.
    """
    located, problems = locate_sheets(workbook)
    if not located and not problems:
        ours = any(squeeze(raw.name) in {squeeze(sheet.name) for sheet in SHEETS} for raw in workbook.sheets)
        raise Unreadable("file-no-records" if ours else "file-other-content", path=workbook.path.name)
    typed = {place.sheet.name: col.typed_columns(place) for place in located}
    for found in located:
        col.required_empty(typed[found.sheet.name])
        merged.note_merged(found, typed[found.sheet.name])
    frames = _frames(typed, workbook.date1904, today, day_first)
    more = horses.name_horses(frames, typed)
    for name, frame in frames.items():
        _check_rows(name, frame, typed[name], frames)
    by_sheet = {name: _problems(own) for name, own in typed.items()}
    aside = {
        name: {row for row, problem in found if problem.severity == ERROR} for name, found in by_sheet.items()
    }
    for told in by_sheet.values():
        problems += [problem for _, problem in told]
    return Checked(
        tables=_tables(located, frames, aside),
        problems=_in_order(problems + more, [found.sheet.name for found in located]),
        rows={name: (len(frame), len(aside[name])) for name, frame in frames.items()},
    )


def _frames(
    typed: dict[str, list[TypedColumn]], date1904: bool, today: dt.date, day_first: bool | None
) -> dict[str, pd.DataFrame]:
    written = {
        (name, column.column.key): dates.read_written(column, date1904, today)
        for name, own in typed.items()
        for column in own
        if column.column.holds in (sheets.DATE, sheets.MOMENT)
    }
    shown = {order for column in written.values() if (order := dates.shown_order(column.values()))}
    elsewhere = shown.pop() if len(shown) == 1 else ""
    frames = {}
    for name, own in typed.items():
        values: dict[str, object] = {}
        for column in own:
            key, holds = column.column.key, column.column.holds
            if holds in (sheets.DATE, sheets.MOMENT):
                values[key] = dates.settle(column, written[name, key], elsewhere, day_first, today)
            elif holds in sheets.QUANTITIES:
                values[key] = units.read_quantities(column, own)
            elif holds == sheets.SCORE:
                values[key] = scores.read_scores(column)
            else:
                values[key] = col.read_words(column)
        frames[name] = _frame(sheets.BY_NAME[name], values, own)
    return frames


def _frame(sheet: sheets.Sheet, values: dict[str, object], own: list[TypedColumn]) -> pd.DataFrame:
    index = pd.Index(own[0].rows, name="row") if own else pd.Index([], dtype="int64", name="row")
    data = {
        column.key: pd.Series(
            values.get(column.key, col.empty_values(column, len(index))), index=index, dtype=_dtype(column)
        )
        for column in sheet.columns
    }
    return pd.DataFrame(data, index=index)


def _dtype(column: sheets.Column) -> str:
    if column.holds in (sheets.DATE, sheets.MOMENT):
        return "datetime64[us]"
    if column.holds in (*sheets.QUANTITIES, sheets.PULSE, sheets.BORN):
        return "float64"
    if column.holds in (sheets.LIMBS, sheets.LIMBS_OR_YES, sheets.SIGNS, sheets.SCORE):
        return "object"
    return "str"


def _check_rows(
    name: str, frame: pd.DataFrame, own: list[TypedColumn], frames: dict[str, pd.DataFrame]
) -> None:
    keyed: Keyed = {column.column.key: column for column in own}
    if name == SOUNDNESS.name:
        if "score" in keyed:
            scores.settle_scales(keyed["score"], frame, _usual_scales(frames), keyed.get("scale"))
        else:
            frame["score"] = frame["score"].astype("float64")
            at_worst.lay_nothing_beside(frame)
        remarks.count_signs_in_remarks(keyed, frame)
        rows.note_nothing_observed(keyed, frame)
        contradict.note_contradictions(keyed, frame)
    if name == HOOVES.name:
        hooves.note_hooves(keyed, frame)
    if name == ABSCESSES.name:
        abscesses.note_abscesses(keyed, frame)
    if name == BODY.name:
        body.note_other_unit(keyed, frame)
        left_out.lay_left_out_beside(keyed, frame)
    if name == VISITS.name:
        rows.note_no_feet(keyed, frame)
    if name == WORK.name:
        work.note_long_days(keyed, frame)
    if name == PLAN.name:
        work.note_plan(keyed, frame)
    rows.note_date_order(name, keyed, frame)
    rows.note_same_rows(name, own)


def _usual_scales(frames: dict[str, pd.DataFrame]) -> dict[str, str]:
    if HORSES.name not in frames:
        return {}
    known = frames[HORSES.name]
    return {
        horse: scale
        for horse, scale in zip(known["horse"], known["usual_scale"], strict=True)
        if horse and scale
    }


def _problems(own: list[TypedColumn]) -> list[tuple[int, Problem]]:
    return [found for column in own for found in column.problems()]


def _tables(
    located: list[Located], frames: dict[str, pd.DataFrame], aside: dict[str, set[int]]
) -> dict[str, Table]:
    letters = {
        found.sheet.name: {place.column.key: place.letter for place in found.places} for found in located
    }
    named = {
        found.sheet.name: {
            place.column.key: unit for place in found.places if (unit := units.heading_unit(place))
        }
        for found in located
    }
    return {
        sheet.name: Table(
            sheet,
            frames[sheet.name] if sheet.name in frames else _frame(sheet, {}, []),
            frozenset(aside.get(sheet.name, ())),
            letters.get(sheet.name, {}),
            named.get(sheet.name, {}),
        )
        for sheet in SHEETS
    }


def with_more(checked: Checked, problems: Iterable[Problem]) -> Checked:
    """The same with problems that only the files beside the workbook show, each in its place among the others."""
    return replace(checked, problems=_in_order([*checked.problems, *problems], checked.rows))


def _in_order(problems: Iterable[Problem], names: Iterable[str]) -> tuple[Problem, ...]:
    """Sheet by sheet as declared, row by row, column by column; what concerns the whole workbook first."""
    order = {name: place for place, name in enumerate(names)}

    def place(problem: Problem) -> tuple[int, int, int, str]:
        ref = (problem.cell or "!A0").rpartition("!")[2]
        letters = ref.rstrip("0123456789")
        return order.get(problem.sheet or "", -1), int(ref[len(letters) :]), len(letters), letters

    return tuple(sorted(problems, key=place))
