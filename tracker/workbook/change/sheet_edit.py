"""Cells put into a sheet's XML: where a new record goes, which format its cells take, and the bytes to exchange."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from tracker.workbook.change.sheet_xml import Cell, Range, Row, SheetXml, range_of, whole
from tracker.workbook.change.styles_edit import Styles
from tracker.workbook.change.values import Value, number_of, text_of
from tracker.workbook.gate import Refused
from tracker.workbook.letters import LAST_ROW, column_letter

LOOK_BACK = 60
"""How many rows above are looked at for the format that a column's cells have."""

_TOTALS = re.compile(
    rb"\b(?:SUM|AVERAGE|SUBTOTAL|AGGREGATE|(?:SUM|AVERAGE|COUNT)IFS?|COUNTA?|MIN|MAX|MEDIAN)\(", re.IGNORECASE
)
_SPAN = re.compile(rb"\$?[A-Z]{1,3}\$?(\d+):\$?[A-Z]{1,3}\$?(\d+)")


@dataclass(frozen=True, slots=True)
class Splice:
    """Bytes to put in the place of those from `start` to `end`."""

    start: int
    end: int
    new: bytes


def spliced(xml: bytes | bytearray, splices: Iterable[Splice]) -> bytes:
    """Exchange the stretches, which do not overlap."""
    pieces: list[bytes | memoryview] = []
    view, at = memoryview(xml), 0
    for splice in sorted(splices, key=lambda splice: splice.start):
        pieces += view[at : splice.start], splice.new
        at = splice.end
    return b"".join([*pieces, view[at:]])


@dataclass(frozen=True, slots=True)
class Cells:
    """The cells that one row is to get: ready XML by column, and the row's number."""

    row: int
    content: Mapping[int, bytes]


def refuse_protected(sheet: SheetXml, name: str) -> None:
    """Raise Refused where the owner has protected the sheet against changes."""
    if any(each.attributes.get(b"sheet") in (b"1", b"true") for each in sheet.elements("sheetProtection")):
        raise Refused("write-protected", sheet=name)


def last_record(
    sheet: SheetXml,
    name: str,
    heading_row: int,
    known: Collection[int],
    columns: range,
    until: int | None = None,
) -> int:
    """The number of the last row in which something stands; the heading row's where none does below it.

    Only what stands in `columns` counts; `until` is a row from which on the sheet holds something else. A row of formats alone does not count, nor
    one of formulas in the owner's own columns, drawn down for records to come. Raises Refused where that row
    adds up the ones above it.
    """
    beyond: list[Row] = []
    last: Row | None = None
    for row in sheet.rows_from_the_end():
        if row.number <= heading_row:
            break
        if until is not None and row.number >= until:
            continue
        own = [cell for cell in row.cells if cell.column in columns]
        if any(cell.filled and cell.column in known for cell in own):
            last = row
            break
        if any(cell.filled for cell in own):
            beyond.append(row)
    _refuse_totals([*beyond, last] if last else beyond, name, heading_row)
    noted = [row for row in beyond if any(cell.constant and cell.column in columns for cell in row.cells)]
    if not noted or (last and _prepared(last, noted, columns)):
        return last.number if last else heading_row
    return noted[0].number


def _prepared(last: Row, noted: Sequence[Row], columns: range) -> bool:
    """Whether rows were numbered in advance, or the like: nothing in them but what every record has too."""
    usual = {cell.column for cell in last.cells if cell.constant}
    said = {cell.column for row in noted for cell in row.cells if cell.constant and cell.column in columns}
    return len(noted) > 1 and noted[-1].number == last.number + 1 and said <= usual


def _refuse_totals(rows: Sequence[Row], name: str, heading_row: int) -> None:
    """Refuse a row that adds up those above it. A record may do so too, but says more than one thing for itself."""
    adding = {}
    for row in rows:
        if sum(cell.constant for cell in row.cells) <= 1:
            for cell in row.cells:
                span = _SPAN.search(cell.element.inner) if _TOTALS.search(cell.element.inner) else None
                if cell.formula and span and heading_row <= int(span[1]) < int(span[2]) < row.number:
                    adding[row.number] = f"{column_letter(cell.column)}{row.number}"
    if len(adding) == 1:  # several rows of them are a formula that was drawn down
        raise Refused("write-totals", sheet=name, ref=next(iter(adding.values())))


def refuse_in_the_way(sheet: SheetXml, name: str, made: Sequence[Cells], present: Mapping[int, Row]) -> None:
    """Raise Refused where a cell lies under merged ones, holds a formula, or beyond the end of the grid."""
    merged = sheet.areas("mergeCell")
    arrays = sheet.formula_areas()
    for cells in made:
        row = present.get(cells.row)
        formulas = {cell.column for cell in row.cells if cell.formula} if row else set()
        for column in cells.content:
            if reason := _in_the_way(column, cells.row, merged, arrays, formulas):
                ref = f"{column_letter(column)}{cells.row}"
                raise Refused("write-in-the-way", sheet=name, ref=ref, reason=reason)


def _in_the_way(
    column: int, row: int, merged: Sequence[Range], arrays: Sequence[Range], formulas: Collection[int]
) -> str:
    if row > LAST_ROW:
        return "the sheet is full"
    if column in formulas or any(area.holds(column, row) for area in arrays):
        return "the cell holds a formula, or the result of one"
    first = [(area.left, area.top) for area in merged if area.holds(column, row)]
    return "the cell is merged with others" if any(place != (column, row) for place in first) else ""


class Formats:
    """The formats that new cells take: the row's own, else those of the column's cells above, else the column's."""

    def __init__(self, sheet: SheetXml, styles: Styles, number: int, heading_row: int) -> None:
        self._styles = styles
        above_by_column: dict[int, list[int]] = {}
        above = (row for row in sheet.rows_from_the_end() if heading_row < row.number < number)
        for row in islice(above, LOOK_BACK):
            for cell in row.cells:
                above_by_column.setdefault(cell.column, []).append(cell.style)
        self._above = {column: _usual_first(styles) for column, styles in above_by_column.items()}
        self._columns = list(_column_styles(sheet))

    def _candidates(self, column: int, row: Row | None) -> Iterator[int]:
        if row:
            yield from (cell.style for cell in row.cells if cell.column == column)
        yield from self._above.get(column, ())
        yield from (style for first, last, style in self._columns if first <= column + 1 <= last)
        yield 0

    def of(self, column: int, row: Row | None, value: Value) -> int:
        """The format for that value in that column of that row, made where a date finds none. Raises Refused.

        A date takes one that shows dates, everything else one that does not: a figure must not turn into a day.
        """
        candidates = list(dict.fromkeys(self._candidates(column, row)))
        if isinstance(value, dt.date):
            time = isinstance(value, dt.datetime) and value.time() != dt.time()
            dates = (style for style in candidates if self._styles.is_date(style))
            found = next(dates, None)
            return self._styles.for_date(candidates[0], time=time) if found is None else found
        if value is None:
            return candidates[0]
        return next((style for style in candidates if not self._styles.is_date(style)), 0)


def _usual_first(styles: list[int]) -> list[int]:
    """The format that most of the last five cells have, then all from the lowest up: one cell may be coloured by hand."""
    last = styles[:5]
    return [max(last, key=last.count), *styles]


def _column_styles(sheet: SheetXml) -> Iterator[tuple[int, int, int]]:
    for each in sheet.elements("col"):
        style = whole(each.attributes.get(b"style", b""))
        yield whole(each.attributes.get(b"min", b"")), whole(each.attributes.get(b"max", b"")), style


def cell_xml(
    sheet: SheetXml, place: str, style: int, value: Value, *, date1904: bool, as_text: bool
) -> bytes:
    """A cell as XML; `as_text` keeps a typed figure a text. Raises Refused for a text that is too long."""
    c, v = sheet.tag("c"), sheet.tag("v")
    how = b' r="%s"' % place.encode() + (b' s="%d"' % style if style else b"")
    if value is None or value == "":
        return b"<%s%s/>" % (c, how)
    if isinstance(value, bool):
        return b'<%s%s t="b"><%s>%d</%s></%s>' % (c, how, v, value, v, c)
    number = None if as_text and isinstance(value, str) else number_of(value, date1904)
    if number is not None:
        return b"<%s%s><%s>%s</%s></%s>" % (c, how, v, number.encode(), v, c)
    assert isinstance(value, str)
    i, t = sheet.tag("is"), sheet.tag("t")
    text = b'<%s><%s xml:space="preserve">%s</%s></%s>' % (i, t, text_of(value), t, i)
    return b'<%s%s t="inlineStr">%s</%s>' % (c, how, text, c)


def put(sheet: SheetXml, made: Sequence[Cells], present: Mapping[int, Row], *, shown: bool) -> list[Splice]:
    """The exchanges that put cells into their rows; `present` are those rows that the sheet has already.

    `shown`: a row that was hidden until it is needed is hidden no longer.
    """
    splices = _grown_dimension(sheet, made)
    new = {cells.row: _new_row(sheet, cells) for cells in made if cells.row not in present}
    splices += [_in_row(sheet, present[cells.row], cells, shown) for cells in made if cells.row in present]
    if sheet.empty:
        start, end = sheet.data.span()
        tag = sheet.tag("sheetData")
        return [*splices, Splice(start, end, b"<%s>%s</%s>" % (tag, b"".join(new.values()), tag))]
    for at, rows in _places(sheet, new).items():
        splices.append(Splice(at, at, b"".join(rows)))
    return splices


def _new_row(sheet: SheetXml, cells: Cells) -> bytes:
    tag = sheet.tag("row")
    content = b"".join(cells.content[column] for column in sorted(cells.content))
    return b'<%s r="%d">%s</%s>' % (tag, cells.row, content, tag)


def _places(sheet: SheetXml, new: Mapping[int, bytes]) -> dict[int, list[bytes]]:
    """The new rows by the place in the XML where they go: behind the row that comes before them."""
    places: dict[int, list[bytes]] = {}
    rows = sheet.rows_from_the_end()
    before = next(rows, None)
    for number in sorted(new, reverse=True):
        while before and before.number > number:
            before = next(rows, None)
        places.setdefault(before.element.end if before else sheet.data.end(), []).insert(0, new[number])
    return places


def _in_row(sheet: SheetXml, row: Row, cells: Cells, shown: bool) -> Splice:
    """The row with the new cells among its own, in the order of the columns."""
    pieces: dict[int, bytes] = {}
    inner = row.element.inner
    for cell in row.cells:
        pieces[cell.column] = _at_its_place(sheet, cell, inner, row.number)
    pieces |= cells.content
    rest = inner[row.cells[-1].element.end :] if row.cells else inner  # such as an extension list
    content = b"".join(pieces[column] for column in sorted(pieces)) + rest
    tag = sheet.tag("row")
    attributes = _attributes(row.element.attributes, cells, shown)
    return Splice(row.element.start, row.element.end, b"<%s%s>%s</%s>" % (tag, attributes, content, tag))


def _at_its_place(sheet: SheetXml, cell: Cell, inner: bytes, row: int) -> bytes:
    """A cell of the row as it stands; one that counted on its neighbours for its place now says it."""
    text = inner[cell.element.start : cell.element.end]
    if b"r" in cell.element.attributes:
        return text
    tag = sheet.tag("c")
    place = f"{column_letter(cell.column)}{row}".encode()
    return b'<%s r="%s"%s' % (tag, place, text[len(tag) + 1 :])


def _attributes(attributes: dict[bytes, bytes], cells: Cells, shown: bool) -> bytes:
    """The row's attributes as they are, but for a hint of which columns it spans, which must stay true."""
    changed = {name: value for name, value in attributes.items() if not (shown and name == b"hidden")}
    if b"spans" in changed:
        ends = [whole(part) for part in re.split(rb"[:\s]+", changed[b"spans"].strip())]
        ends += [column + 1 for column in cells.content]
        changed[b"spans"] = b"%d:%d" % (min(ends), max(ends))
    return b"".join(b' %s="%s"' % (name, value.replace(b'"', b"&quot;")) for name, value in changed.items())


def _grown_dimension(sheet: SheetXml, made: Sequence[Cells]) -> list[Splice]:
    columns = [column for cells in made for column in cells.content]
    rows = [cells.row for cells in made]
    for each in sheet.elements("dimension"):
        ref = each.attributes.get(b"ref", b"")
        if old := range_of(ref):
            left, right = min(old.left, *columns), max(old.right, *columns)
            new = Range(left, min(old.top, *rows), right, max(old.bottom, *rows))
            text = bytes(sheet.xml[each.start : each.end]).replace(ref, written(new), 1)
            return [Splice(each.start, each.end, text)]
    return []


def written(area: Range) -> bytes:
    """A rectangle of cells as a spreadsheet writes it: A1:C9."""
    first, last = (
        f"{column_letter(column)}{row}" for column, row in ((area.left, area.top), (area.right, area.bottom))
    )
    return (first if first == last else f"{first}:{last}").encode()
