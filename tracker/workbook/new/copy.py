"""A copy as .xlsx of whatever can be read: every sheet in its order, every cell in its place.

Only what a cell says is copied. The copy is read back and compared before it gets its name.
"""

from __future__ import annotations

import datetime as dt
import itertools
import re
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.exceptions import FileCreateError
from xlsxwriter.worksheet import Worksheet

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.cells.text import typed
from tracker.problem import NotWritten
from tracker.workbook.change.disk import push_folder, write_through
from tracker.workbook.new.lay_out import DAY, DAY_AND_TIME, Look
from tracker.workbook.raw_workbook import RawWorkbook, Rows
from tracker.workbook.read import read_workbook

_LONGEST_NAME = 31  # of a sheet (Microsoft, "Excel specifications and limits")
_RESERVED = "history"  # Microsoft, "Rename a worksheet"
_NOT_IN_A_NAME = re.compile(r"[\[\]:*?/\\]")
_WRITTEN_ERRORS = ("#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!")
_FIRST_DAY, _FIRST_DAY_1904 = (
    dt.date(1900, 1, 2),
    dt.date(1904, 1, 2),
)  # the one before is a time without a day
_MOMENT = dt.timedelta(milliseconds=1)  # a cell holds a time no more exactly
_NARROW, _WIDE, _LOOKED_AT = 9, 40, 500  # signs; rows


@dataclass(frozen=True, slots=True)
class Copied:
    """What went into a copy: filled cells of each sheet, and what could not be copied as it was.

    `renamed` maps the names that a sheet of .xlsx cannot have to their new ones. The numbers count formulas
    without a result, errors that .xlsx does not know, and days before its calendar: as text, as #VALUE!, as text.
    """

    cells: dict[str, int]
    renamed: dict[str, str]
    unsaved: int
    unknown_errors: int
    early_days: int


def copy_workbook(workbook: RawWorkbook, path: Path) -> Copied:
    """Write the copy. Raises FileExistsError, another OSError, or NotWritten."""
    if path.exists():  # said before the work, and again by the system after it
        raise FileExistsError(path)
    names = list(_names(sheet.name for sheet in workbook.sheets))
    with tempfile.TemporaryDirectory() as folder:
        draft = Path(folder) / "copy.xlsx"
        _write(workbook, names, draft)
        back = read_workbook(draft)
        if not _same(workbook, back):
            raise NotWritten("write-not-the-same", path=workbook.path.name)
        write_through(path, draft.read_bytes())
        push_folder(path.parent)
    return _copied(workbook, names)


def _names(wanted: Iterable[str]) -> Iterator[str]:
    """Give each sheet a name that it can have in .xlsx, its own wherever possible."""
    used = {_RESERVED}
    for name in wanted:
        allowed = _cut(_NOT_IN_A_NAME.sub("-", name), _LONGEST_NAME) or "Sheet"
        others = (f"{_cut(allowed, _LONGEST_NAME - 4)} {number}" for number in itertools.count(2))
        free = next(one for one in (allowed, *itertools.islice(others, 1000)) if one.casefold() not in used)
        used.add(free.casefold())
        yield free


def _cut(name: str, longest: int) -> str:
    """The name's beginning, counted as the format counts; it may not begin or end with an apostrophe."""
    units = name.strip("'").encode("utf-16-le")[: 2 * longest]
    return units.decode("utf-16-le", "ignore").strip("'")


def _write(workbook: RawWorkbook, names: list[str], path: Path) -> None:
    with _only_oserror(), Workbook(path, {"date_1904": workbook.date1904}) as book:
        look = Look(book)
        for sheet, name in zip(workbook.sheets, names, strict=True):
            page = book.add_worksheet(name)
            for number, width in enumerate(_widths(sheet.rows)):
                page.set_column(number, number, width)
            for row, cells in enumerate(sheet.rows):
                for column, value in enumerate(cells):
                    if value != "":
                        _write_cell(page, look, row, column, value)


@contextmanager
def _only_oserror() -> Iterator[None]:
    """Let the system's error through that XlsxWriter wraps in one of its own."""
    try:
        yield
    except FileCreateError as error:
        raise error.args[0] from error


def _write_cell(page: Worksheet, look: Look, row: int, column: int, value: object) -> None:
    if isinstance(value, CellError):
        shown = _error(value)
        page.write_formula(row, column, f"={shown}", None, shown)
    elif isinstance(value, bool):
        page.write_boolean(row, column, value)
    elif isinstance(value, int | float):
        page.write_number(row, column, _Exact(value))
    elif isinstance(value, dt.date | dt.time | dt.timedelta) and not _is_early(value, page.date_1904):
        page.write_datetime(row, column, value, look.format(num_format=_date_format(value)))
    else:
        if page.write_string(row, column, typed(value)):  # it is cut off
            raise NotWritten("write-too-long")


class _Exact(float):
    """A number that is written to its last digit; XlsxWriter writes 16 of up to 17."""

    def __format__(self, _spec: str) -> str:
        return float.__repr__(self)


def _error(error: CellError) -> str:
    return error if error in _WRITTEN_ERRORS else "#VALUE!"


def _is_early(value: dt.date | dt.time | dt.timedelta, date1904: bool) -> bool:
    if isinstance(value, dt.timedelta):
        return value < dt.timedelta()
    day = value.date() if isinstance(value, dt.datetime) else value
    return isinstance(day, dt.date) and day < (_FIRST_DAY_1904 if date1904 else _FIRST_DAY)


def _date_format(value: dt.date | dt.time | dt.timedelta) -> str:
    if isinstance(value, dt.timedelta):
        return "[h]:mm:ss"
    if isinstance(value, dt.time):
        return "h:mm:ss" if value.second or value.microsecond else "h:mm"
    if isinstance(value, dt.datetime):
        return f"{DAY_AND_TIME}:ss" if value.second or value.microsecond else DAY_AND_TIME
    return DAY


def _widths(rows: Rows) -> list[int]:
    """How wide each column must be for its dates to be seen and its words to be read."""
    width = len(rows[0]) if rows else 0
    return [
        max(_NARROW, *(min(_WIDE, len(typed(row[column])) + 2) for row in rows[:_LOOKED_AT]))
        for column in range(width)
    ]


def _same(workbook: RawWorkbook, back: RawWorkbook) -> bool:
    if not workbook.sheets:
        return not any(sheet.rows for sheet in back.sheets)
    return back.date1904 == workbook.date1904 and all(
        len(ours.rows) == len(theirs.rows)
        and all(
            len(one) == len(other) and all(map(_same_cell, one, other, itertools.repeat(workbook.date1904)))
            for one, other in zip(ours.rows, theirs.rows, strict=True)
        )
        for ours, theirs in zip(workbook.sheets, back.sheets, strict=True)
    )


def _same_cell(ours: object, theirs: object, date1904: bool) -> bool:
    if isinstance(ours, CellError):
        return isinstance(theirs, CellError) and theirs == _error(ours)
    if not isinstance(ours, dt.date | dt.time | dt.timedelta):
        return ours == theirs and _kind(ours) is _kind(theirs)
    if _is_early(ours, date1904):
        return theirs == typed(ours)
    return _kind(ours) is _kind(theirs) and abs(_span(ours) - _span(theirs)) < _MOMENT


def _kind(value: object) -> type:
    """What a value is, where a day with a time and one without are the same, and so are all texts."""
    return next(
        kind
        for kind in (bool, float, int, CellError, str, dt.date, dt.time, object)
        if isinstance(value, kind)
    )


def _span(value: object) -> dt.timedelta:
    if isinstance(value, dt.timedelta):
        return value
    if isinstance(value, dt.time):
        return dt.datetime.combine(dt.date.min, value) - dt.datetime.min
    assert isinstance(value, dt.date)
    moment = value if isinstance(value, dt.datetime) else dt.datetime.combine(value, dt.time())
    return moment - dt.datetime.min


def _copied(workbook: RawWorkbook, names: list[str]) -> Copied:
    cells = {
        name: [cell for row in sheet.rows for cell in row if cell != ""]
        for name, sheet in zip(names, workbook.sheets, strict=True)
    }
    everything = list(itertools.chain.from_iterable(cells.values()))
    return Copied(
        cells={name: len(own) for name, own in cells.items()},
        renamed={
            sheet.name: name for name, sheet in zip(names, workbook.sheets, strict=True) if name != sheet.name
        },
        unsaved=sum(isinstance(cell, UnsavedFormula) for cell in everything),
        unknown_errors=sum(isinstance(cell, CellError) and cell != _error(cell) for cell in everything),
        early_days=sum(
            isinstance(cell, dt.date | dt.timedelta) and _is_early(cell, workbook.date1904)
            for cell in everything
        ),
    )
