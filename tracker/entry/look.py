"""Look an entry over before it is written: the workbook's own check, run with the entry in its place."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from types import MappingProxyType

import pandas as pd

from tracker import sheets
from tracker.book import Book, check_all
from tracker.cells.text import listed, suggestion
from tracker.cells.text import typed as typed_again
from tracker.check.book import Checked, check_workbook
from tracker.derive.referral.firing import Firing, day
from tracker.entry.form import BY_PROGRAM, key_of, sheet_named
from tracker.entry.page import Page, page_of, workbook_with
from tracker.entry.warn import points_to, warnings_of
from tracker.problem import ERROR, SET_ASIDE, Problem, make
from tracker.sheets import FOLLOW_UP, LIMITS, Column, Sheet
from tracker.workbook.change.values import text_of
from tracker.workbook.gate import Refused
from tracker.workbook.read import RawWorkbook, read_workbook

NOT_TAKEN = "The entry is not written until it is mended."

BESIDE = "the column must stay blank, since another table stands beside it"

Entry = str | dt.date | None
"""What goes into a cell: a true date or moment, the text exactly as typed, or None to clear the cell."""


@dataclass(frozen=True, slots=True)
class Look:
    """What came of looking an entry over.

    `values` is what would be written, by heading, dates as they were read. `warnings` are those that the
    entry calls for, even where it is refused. `added` are the headings that the sheet would be
    given, `adds_sheet` whether the sheet itself would be. Cells of warnings in `row` are the entry's own.
    """

    sheet: str
    row: int | None
    values: Mapping[str, Entry]
    problems: tuple[Problem, ...]
    warnings: tuple[Firing, ...]
    added: tuple[str, ...] = ()
    adds_sheet: bool = False

    @property
    def shown(self) -> dict[str, str]:
        """What would stand in each cell, in words, by heading: dates as they were read."""
        return {heading: shown(value) for heading, value in self.values.items()}

    @property
    def refused(self) -> bool:
        """Whether an error keeps the entry from being written."""
        return any(problem.severity == ERROR for problem in self.problems)


def look_over(
    source: Book | RawWorkbook | str | os.PathLike[str],
    sheet: str,
    typed: Mapping[str, str],
    row: int | None = None,
    *,
    add_column: bool = False,
    to_remarks: bool = False,
    add_sheet: bool = False,
    today: dt.date | None = None,
    now: dt.datetime | None = None,
    day_first: bool | None = None,
) -> Look:
    """Check what was typed, by heading or key, as if it stood in the workbook already.

    `row` is the record that is changed, None for a new one; in a changed record "" clears a cell. A missing
    column is added, or its value goes into Remarks, or the entry is refused. `day_first` settles a date such
    as 4/3/26 where the workbook does not show its order. Raises Unreadable for a file
    that cannot be read, KeyError for a sheet that is not declared.
    """
    declared = sheet_named(sheet)
    raw = _raw(source)
    page = page_of(raw, declared)
    now = now or dt.datetime.now()
    today = today or now.date()
    draft = _draft(page, typed, row, today)
    refusals = _refusals(page, draft, typed, row, add_sheet)
    if refusals:
        return _refused(declared, row, refusals)
    lacking = [declared.by_key[key] for key in draft if key not in page.places]
    check = partial(_checked, raw, row=row, today=today, day_first=day_first)
    checked, number = check(page.with_columns(lacking), draft)
    warnings = warnings_of(
        checked, declared.name, number, today
    )  # of the whole entry, wherever it will stand
    problems = _problems(checked, declared, number, tuple(draft) if row else ())
    moved = {} if add_column else _into_remarks(page, draft, lacking, row)
    if moved and to_remarks and (unfit := _unfit(declared, moved)):
        return Look(declared.name, row, MappingProxyType({}), tuple(unfit), warnings)
    if moved:
        checked_moved, _ = check(page, moved)
        told_moved = _problems(checked_moved, declared, number, tuple(moved) if row else ())
        if _errors(told_moved) > _errors(problems):  # a record no more: its remarks alone say nothing
            moved = {}
        elif to_remarks:
            draft, lacking, checked, problems = moved, [], checked_moved, told_moved
    if lacking and not add_column:
        problems += [_no_column(page, column, draft[column.key], bool(moved)) for column in lacking]
    elif ref := page.with_columns(lacking).crowded:
        problems.append(_crowded(page, ref))
    values = _values(checked, declared, number, draft)
    mark = BY_PROGRAM.get(declared.name, "")
    if row is None and mark in page.places and mark not in draft:
        values[declared.by_key[mark].heading] = now.replace(microsecond=0, tzinfo=None)
        values = {
            column.heading: values[column.heading] for column in declared.columns if column.heading in values
        }
    return Look(
        sheet=declared.name,
        row=row,
        values=values,
        problems=tuple(problems),
        warnings=tuple(_own_row(warning, declared.name, number, row) for warning in warnings),
        added=tuple(column.heading for column in lacking),
        adds_sheet=page.is_new,
    )


def _raw(source: Book | RawWorkbook | str | os.PathLike[str]) -> RawWorkbook:
    if isinstance(source, RawWorkbook):
        return source
    return read_workbook(source.path if isinstance(source, Book) else source)


def _draft(page: Page, typed: Mapping[str, str], row: int | None, today: dt.date) -> dict[str, str]:
    """What was typed for columns that are declared, by key. A new record without a Date is of today."""
    named = {key_of(name): text for name, text in typed.items()}
    draft = {key: named[key] for key in page.sheet.by_key if key in named}
    if row is not None:
        return {key: text if text.strip() else "" for key, text in draft.items()}
    draft = {key: text for key, text in draft.items() if text.strip()}
    date = page.sheet.by_key.get("date")
    if draft and date and date.required and "date" not in draft:
        draft = {"date": today.isoformat()} | draft
    return draft


def _refusals(
    page: Page, draft: Mapping[str, str], typed: Mapping[str, str], row: int | None, add_sheet: bool
) -> list[Problem]:
    """Find what keeps the entry from being looked at as a record."""
    sheet = page.sheet
    headings = [column.heading for column in sheet.columns]
    found = [
        make("entry-no-field", sheet=sheet.name, found=name, allowed=", ".join(headings),
             words={"suggestion": suggestion(name, headings)})
        for name in typed
        if key_of(name) not in sheet.by_key
    ]  # fmt: skip
    if page.is_new and not add_sheet:
        found.append(make("entry-no-sheet", sheet=sheet.name, allowed=sheet.name))
    elif not page.heading_row:
        needed = [column.heading for column in sheet.required]
        words = {"missing": " and ".join(needed)}
        allowed = listed(needed).replace(" or ", " and ")
        found.append(make("heading-missing", sheet=sheet.name, allowed=allowed, words=words))
    elif row is not None and not page.record(row):
        found.append(make("entry-no-row", sheet=sheet.name, found=f"row {row}", words={"row": str(row)}))
    found += _unfit(sheet, draft)
    if not found and not draft:
        found.append(make("entry-nothing", sheet=sheet.name, allowed=sheet.about))
    return found


def _unfit(sheet: Sheet, draft: Mapping[str, str]) -> list[Problem]:
    """The texts that no cell can hold."""
    found = []
    for key, text in draft.items():
        try:
            text_of(text)
        except Refused as refusal:
            shown = refusal.words.get("found", f"{text[:40]}…")
            heading = sheet.by_key[key].heading
            found.append(make(refusal.slug, sheet=sheet.name, column=heading, found=shown))
    return found


def _refused(sheet: Sheet, row: int | None, problems: list[Problem]) -> Look:
    return Look(sheet.name, row, MappingProxyType({}), tuple(problems), ())


def _checked(
    raw: RawWorkbook,
    page: Page,
    draft: Mapping[str, str],
    *,
    row: int | None,
    today: dt.date,
    day_first: bool | None,
) -> tuple[Checked, int]:
    with_entry, number = page.with_row(draft, row)
    said = page.sheet in (FOLLOW_UP, LIMITS)  # only these need the warnings that they name
    check = check_all if said else check_workbook
    return check(workbook_with(raw, with_entry), today, day_first), number


def _into_remarks(
    page: Page, draft: dict[str, str], lacking: Sequence[Column], row: int | None
) -> dict[str, str]:
    """The draft with what has no column moved into Remarks, as "Heading: value"; {} where there is nothing to move."""
    if not lacking or "remarks" not in page.places:
        return {}
    moved = [f"{column.heading}: {draft[column.key]}" for column in lacking]
    before = draft.get("remarks") or (typed_again(page.record(row).get("remarks", "")) if row else "")
    kept = {key: text for key, text in draft.items() if key in page.places}
    return kept | {"remarks": "; ".join(part for part in (before, *moved) if part)}


def _crowded(page: Page, ref: str) -> Problem:
    """Another table beside leaves no room for a heading that would be read."""
    words = {"ref": ref, "reason": BESIDE}
    return make("write-in-the-way", sheet=page.sheet.name, ref=ref, words=words)


def _errors(problems: Iterable[Problem]) -> set[str]:
    return {problem.kind for problem in problems if problem.severity == ERROR}


def _no_column(page: Page, column: Column, text: str, fits_remarks: bool) -> Problem:
    other = ", or put it into Remarks (--to-remarks)" if fits_remarks else ""
    headings = ", ".join(page.sheet.by_key[key].heading for key in page.places)
    return make(
        "entry-no-column", sheet=page.sheet.name, column=column.heading, found=text, allowed=headings,
        words={"other": other},
    )  # fmt: skip


def _problems(checked: Checked, sheet: Sheet, row: int, only: tuple[str, ...]) -> list[Problem]:
    """The problems of that row, placed at their fields. Of a changed record, those of what was changed."""
    headings = {sheet.by_key[key].heading for key in only}
    found = [
        replace(problem, cell=None, message=problem.message.replace(SET_ASIDE, NOT_TAKEN))
        for problem in checked.problems
        if problem.cell
        and points_to(problem.cell, sheet.name, row)
        and (not only or problem.column in headings)
    ]
    if row in checked.tables[sheet.name].frame.index:
        return found
    # What was typed would be read as no record: it says nothing, or looks like headings or totals.
    nothing = make("entry-nothing", sheet=sheet.name, allowed=sheet.about)
    return [replace(problem, severity=ERROR) for problem in found] or [nothing]


def _values(checked: Checked, sheet: Sheet, row: int, draft: Mapping[str, str]) -> dict[str, Entry]:
    """What would be written, by heading: true dates where they could be read, all else as it was typed."""
    frame = checked.tables[sheet.name].frame
    return {
        column.heading: _date(frame, column, row) or draft[column.key] or None
        for column in sheet.columns
        if column.key in draft
    }


def _date(frame: pd.DataFrame, column: Column, row: int) -> dt.date | None:
    """The true date or moment that a column of dates was read as; None where it is none."""
    if column.holds not in (sheets.DATE, sheets.MOMENT) or row not in frame.index:
        return None
    found = frame[column.key].loc[row]
    if pd.isna(found):
        return None
    moment: dt.datetime = found.to_pydatetime()
    return moment.date() if moment.time() == dt.time() else moment


def shown(value: Entry | float) -> str:
    """A value in words: 4 Mar 2026, 4 Mar 2026 19:00, or as it was typed; "" for nothing."""
    if isinstance(value, dt.datetime):
        return f"{day(value)} {value:%H:%M}"
    return day(value) if isinstance(value, dt.date) else "" if value is None else typed_again(value)


def _own_row(warning: Firing, sheet: str, number: int, row: int | None) -> Firing:
    """A new record has no cells yet: they are left out of its warnings."""
    if row is not None:
        return warning
    return replace(warning, cells=tuple(cell for cell in warning.cells if not points_to(cell, sheet, number)))
