"""The new file read by a second reader, cell by cell against the old one, before it takes the old one's place.

The writer exchanges bytes; the reader knows nothing of that, and reads the file as it lies on the disk. Both files
are brought into the plain form from which cells are read. Rows that are the same there hold the same cells; the
others are read to their values and compared one by one.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from xml.etree import ElementTree

from tracker.cells.dates import serial_to_datetime
from tracker.cells.raw import UnsavedFormula
from tracker.workbook.change.editable import Editable
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.sheet_xml import SheetXml, range_of
from tracker.workbook.change.values import AsTyped, Value, number_of
from tracker.workbook.gate import Refused, part_name
from tracker.workbook.plain import PlainSheet
from tracker.workbook.xlsx import read_cells

Place = tuple[int, int]
_NO_ROWS = b"<worksheet><sheetData/></worksheet>"
_NUMBER = re.compile(rb'r="(\d+)"')


def check_written(old: bytes, new: bytes, plan: Plan) -> None:
    """Compare all parts and all cells. Raises Refused("write-not-the-same") for the least difference not asked for."""
    try:
        before, after = Editable(old), Editable(new)
        _check_parts(before, after, plan)
        _check_sheets(before, after, plan)
        _check_grown(before, after, plan)
        place = after.place_of(plan.sheet)
        now = after.xml(place)
        was = before.xml(place) if place in before.parts else _NO_ROWS
        if was is not _NO_ROWS and _around(was) != _around(now):
            raise _differs()
        _check_cells(_Rows(before, plan.sheet, was), _Rows(after, plan.sheet, now), plan, after.date1904)
    except Refused as refusal:
        raise _differs() from refusal


def _differs() -> Refused:
    return Refused("write-not-the-same")


def _check_parts(before: Editable, after: Editable, plan: Plan) -> None:
    """Every entry that was not to change is there, packed as it was, in its old order."""
    changed = {part_name(name) for name in plan.parts}
    old = [entry for entry in before.parts.raw() if part_name(entry[0]) not in changed]
    new = [entry for entry in after.parts.raw() if part_name(entry[0]) not in changed]
    if old != new or before.parts.names != after.parts.names[: len(before.parts.names)]:
        raise _differs()


def _check_sheets(before: Editable, after: Editable, plan: Plan) -> None:
    old, new = before.sheets(), after.sheets()
    added = [] if len(old) == len(new) else [plan.sheet]
    if [*(name for name, _ in old), *added] != [name for name, _ in new]:
        raise _differs()


def _check_grown(before: Editable, after: Editable, plan: Plan) -> None:
    """The other parts that changed have all that they had; what is new comes last in its group."""
    places = (place for place in plan.parts if place in before.parts)
    for place in places:
        if part_name(place) != part_name(after.place_of(plan.sheet)):
            old, new = (ElementTree.fromstring(book.xml(place)) for book in (before, after))
            if not _is_grown(old, new):
                raise _differs()


def _is_grown(old: ElementTree.Element, new: ElementTree.Element) -> bool:
    said, says = dict(old.attrib), dict(new.attrib)
    said.pop("count", None), says.pop("count", None)
    was, now = (range_of(each.pop("ref", "").encode()) for each in (said, says))
    larger = was == now or bool(
        was and now and now.holds(was.right, was.bottom) and now.holds(was.left, was.top)
    )
    same = old.tag == new.tag and (old.text or "") == (new.text or "") and said == says and larger
    return same and len(old) <= len(new) and all(map(_is_grown, old, new))


def _around(xml: bytes | bytearray) -> tuple[bytes, bytes]:
    """What stands before and behind the rows, but for the rectangle that they fill."""
    sheet = SheetXml(xml)
    before = bytes(xml[: sheet.data.start()])
    for each in sheet.elements("dimension"):
        before = before[: each.start] + before[each.end :]
    after = bytes(xml[sheet.rows_end :])
    return before, after.removeprefix(b"</%s>" % sheet.tag("sheetData"))


class _Rows:
    """The rows of a sheet in plain form, each a stretch of XML, and what is remarked of single cells."""

    def __init__(self, book: Editable, name: str, xml: bytes | bytearray) -> None:
        self._package, plain = book.read(name, xml)
        self.remarks = plain.remarks
        self.rows = b"".join(plain.rows).split(b"<row ")[1:]

    def values(self, rows: Sequence[bytes]) -> dict[Place, object]:
        """What stands in the filled cells of these rows, by row (from 1) and column (from 0)."""
        numbers = [number_of_row(row) for row in rows]
        moved = [_moved(row, old, new) for new, (old, row) in enumerate(zip(numbers, rows, strict=True), 1)]
        grid = read_cells(self._package, [PlainSheet([b"<row " + row for row in moved], {})])[0]
        cells: dict[Place, object] = {
            (number, column): value
            for number, line in zip(numbers, grid, strict=False)
            for column, value in enumerate(line)
            if value != ""
        }
        own = set(numbers)
        return cells | {
            (row + 1, column): text for (row, column), text in self.remarks.items() if row + 1 in own
        }


def number_of_row(row: bytes) -> int:
    """The number of a row in plain form."""
    found = _NUMBER.match(row)
    if not found:
        raise _differs()
    return int(found[1])


def _moved(row: bytes, old: int, new: int) -> bytes:
    """The row as if it stood elsewhere, so that the reader need not go through all the blank ones above it."""
    return re.sub(rb'(^r="|<c r="[A-Z]{1,3})%d"' % old, rb'\g<1>%d"' % new, row)


def _check_cells(old: _Rows, new: _Rows, plan: Plan, date1904: bool) -> None:
    """Old cells are as they were, new ones as they were meant, and nothing else is there."""
    first, last = _same_ends(old.rows, new.rows, {row for row, _ in plan.written})
    now, was = new.rows[first : len(new.rows) - last], old.rows[first : len(old.rows) - last]
    around = new.rows[max(first - 1, 0) : len(new.rows) - last + 1]
    if any(upper >= lower for upper, lower in pairwise(map(number_of_row, around))):
        raise _differs()
    before, after = old.values(was), new.values(now)
    touched = {*plan.written, *plan.worked_out}
    if _without(before, touched) != _without(after, touched):
        raise _differs()
    if _without(old.remarks, _from_0(touched)) != _without(new.remarks, _from_0(touched)):
        raise _differs()
    if not all(_reads_as(after.get(at, ""), value, date1904) for at, value in plan.written.items()):
        raise _differs()
    if not all(isinstance(after.get(at), UnsavedFormula) for at in plan.worked_out):
        raise _differs()


def _same_ends(old: Sequence[bytes], new: Sequence[bytes], written: set[int]) -> tuple[int, int]:
    """How many rows are the same at the beginning, and how many at the end; one that was written is always looked at."""

    def differ(a: bytes, b: bytes) -> bool:
        return a != b or number_of_row(b) in written

    shorter = min(len(old), len(new))
    first = next((at for at, (a, b) in enumerate(zip(old, new, strict=False)) if differ(a, b)), shorter)
    ends = zip(reversed(old), reversed(new), strict=False)
    last = next((at for at, (a, b) in enumerate(ends) if differ(a, b)), shorter)
    return first, min(last, shorter - first)


def _without(cells: Mapping[Place, object], touched: set[Place]) -> dict[Place, object]:
    return {at: value for at, value in cells.items() if at not in touched}


def _from_0(touched: set[Place]) -> set[Place]:
    return {(row - 1, column) for row, column in touched}


def _reads_as(found: object, value: Value, date1904: bool) -> bool:
    """Whether the reader gives what was meant."""
    if value is None or value == "":
        return found == ""
    if isinstance(value, bool) or isinstance(found, bool):
        return found is value
    if isinstance(value, AsTyped) and isinstance(found, float):
        return found == float(value)
    if isinstance(value, str):
        return found == value
    number = float(number_of(value, date1904) or "nan")
    if isinstance(found, dt.date):
        moment = found if isinstance(found, dt.datetime) else dt.datetime.combine(found, dt.time())
        wanted = serial_to_datetime(number, date1904)
        return wanted is not None and abs(moment - wanted) <= dt.timedelta(seconds=1)
    return found == number
