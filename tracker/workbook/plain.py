"""A sheet's cells in one plain form, with every cell in its place and none too far away.

The library that reads the cells is fast, but it loses errors and formulas that were never worked out, stops
at an error it does not know or a date too far away, and ends the whole process on a cell at the far end of
the grid. So a sheet reaches it only in the form of `_CELL`. Nearly all sheets have that form as they stand
and are only looked over; single cells that have not are rewritten; a sheet written in another manner (another
order of attributes, prefixes, cells without a reference) is parsed and rewritten as a whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tracker.workbook.cell import ATTRIBUTES, ODD_CELL, Remark, plain_cell
from tracker.workbook.gate import Refused, check_well_formed, without_prefix
from tracker.workbook.letters import LAST_COLUMN, LAST_ROW, column_index
from tracker.workbook.raw_workbook import MOST_CELLS
from tracker.workbook.rewrite import rewrite

_FAR = 0.01
"""A cell is called far away where this part of the grid lies empty before it: 164 columns or 10,486 rows."""

_SHORTEST = len("<c><v>1</v></c>")
_FORMULA = rb"(?:<f%s(?:/>|>[^<]*+</f>))?+" % ATTRIBUTES
_NUMBER = rb"\d{1,8}+(?:\.\d++(?:E-\d++)?+)?+"
_BARE_TEXT = rb"(?![\s\x80-\xff])[^<]*+(?<![\s\x80-\xff])"  # the library would take its outer blanks away
_CELL = (
    rb"""<c[ ]r="NEAR(?:"|"[ ]s="\d++")
      (?: > (?:<v>NUMBER</v></c> | FORMULA<v>NUMBER</v></c>)
        | />
        | [ ]t=" (?: s"><v>\d++</v></c>
                   | [nb]">FORMULA<v>NUMBER</v></c>
                   | [nsb]"[ ]s="\d++" (?:><v>NUMBER</v></c>|/>)
                   | str">FORMULA<v>TEXT</v></c>
                   | inlineStr"><is>(?:<t[ ]xml:space="preserve">[^<]*+|<t>BARE)</t></is></c> ) )
    | <c[ ]r="[A-Z]{1,3}+\d{1,7}+"(?:[ ]s="\d++")?+/>
""".replace(b"FORMULA", _FORMULA)
    .replace(b"NUMBER", _NUMBER)
    .replace(b"BARE", _BARE_TEXT)
)
_ROW = rb'<row[ ]r="\d{1,7}+"%s' % ATTRIBUTES
_OPEN_ROW = rb"\s*+(?:%s/>\s*+)*+%s>\s*+" % (_ROW, _ROW)

_FIRST_ROW = re.compile(rb"<sheetData>" + _OPEN_ROW, re.VERBOSE)
_END = re.compile(rb"</row>\s*+(?:%s/>\s*+)*+</sheetData>" % _ROW, re.VERBOSE)
_LAST_ROW = re.compile(rb'<row r="(\d+)')
_FILLED = re.compile(rb'<c r="([A-Z]+)(\d+)"[^<>]*(?<!/)>')
_ATTRIBUTE = re.compile(rb' (\w+)="([^"]*)"')


@dataclass(frozen=True, slots=True)
class PlainSheet:
    """A sheet's rows in plain form, in pieces that begin and end between cells; and what must be said.

    `remarks` stand by (row, column), counted from 0. Each has a text in its cell, so the reader finds room.
    """

    rows: list[bytes | memoryview]
    remarks: dict[tuple[int, int], Remark]


@dataclass(frozen=True, slots=True)
class _Shape:
    """How far from A1 a cell may stand to be passed over without a look at its place."""

    columns: int
    rows: int
    cells: re.Pattern[bytes]


def _shape(columns: int, rows: int, near: bytes, text: bytes) -> _Shape:
    cell = _CELL.replace(b"NEAR", near).replace(b"TEXT", text)
    return _Shape(columns, rows, re.compile(rb"(?:%s|</row>%s)*+" % (cell, _OPEN_ROW), re.VERBOSE))


# No rectangle of the first two shapes is larger than MOST_CELLS, so nothing in them needs counting. In the
# third a formula that gives an empty text, perhaps drawn down to the end of the grid, must not count as filled.
_WIDE = _shape(702, 9_999, rb"[A-Z]{1,2}+\d{1,4}+", rb"[^<]*+")
_TALL = _shape(78, 101_999, rb"[AB]?[A-Z](?:10[01]\d\d\d|\d{1,5}+)", rb"[^<]*+")
_ANY = _shape(LAST_COLUMN, LAST_ROW, rb"[A-Z]{1,3}+\d{1,7}+", rb"[^<]++")


def plain_sheet(name: str, xml: bytes | bytearray) -> PlainSheet:
    """Bring a sheet into the plain form. Raises Refused where it is damaged or a cell stands too far away."""
    xml = without_prefix(xml, b"worksheet")
    if len(xml) > MOST_CELLS * _SHORTEST and xml.count(b"</c>") > MOST_CELLS:
        raise Refused("file-too-large")
    sheet = _looked_over(name, xml)
    if sheet is None:
        rows, remarks = rewrite(xml)
        _check_distance(name, rows)
        sheet = PlainSheet(list(rows), remarks)
    return sheet


def _looked_over(name: str, xml: bytes | bytearray) -> PlainSheet | None:
    """Look over a sheet that is plain but for single cells; None if it is not."""
    first = _FIRST_ROW.search(xml)
    if not first:
        return None
    shape = _shape_of(xml)
    columns, rows = shape.columns, shape.rows
    pieces: list[bytes | memoryview] = []
    remarks: dict[tuple[int, int], Remark] = {}
    view, done = memoryview(xml), first.start() + len(b"<sheetData>")
    end = _end_of_run(shape, xml, first.end())
    while odd := ODD_CELL.match(xml, end):
        cell, remark = _rewritten(odd)
        column, row = column_index(odd["column"].decode()), int(odd["row"])
        if not cell.endswith(b"/>"):
            columns, rows = max(columns, column + 1), max(rows, row)
        if remark is not None:
            remarks[row - 1, column] = remark
        pieces += view[done:end], cell
        done = odd.end()
        end = _end_of_run(shape, xml, done)
    closing = _END.match(xml, end)
    if not closing or xml.find(b"<sheetData", closing.end()) >= 0:
        return None
    pieces.append(view[done : closing.end() - len(b"</sheetData>")])
    check_well_formed(xml[: first.start()], b"<sheetData/>", xml[closing.end() :])
    if columns * rows > MOST_CELLS:
        _check_distance(name, pieces)
    return PlainSheet(pieces, remarks)


def _shape_of(xml: bytes | bytearray) -> _Shape:
    last = _LAST_ROW.match(xml, xml.rfind(b'<row r="'))
    height = int(last[1]) if last else LAST_ROW
    return next((shape for shape in (_WIDE, _TALL) if height <= shape.rows), _ANY)


def _end_of_run(shape: _Shape, xml: bytes | bytearray, start: int) -> int:
    run = shape.cells.match(xml, start)
    assert run is not None  # it matches nothing at all, too
    return run.end()


def _rewritten(odd: re.Match[bytes]) -> tuple[bytes, Remark | None]:
    attributes = dict(_ATTRIBUTE.findall(odd["attributes"]))
    kind, inline = attributes.get(b"t", b""), attributes.get(b"t") == b"inlineStr"
    empty_value = b"" if odd["value"] is None and b"<v" in odd[0] else None
    return plain_cell(
        odd["column"] + odd["row"],
        kind=b"str" if inline else kind,
        style=attributes.get(b"s", b""),
        formula=odd["formula"] or (b"" if b"<f" in odd[0] else None),
        value=odd["inline"] if inline else odd["value"] or empty_value,
    )


def _check_distance(name: str, rows: Sequence[bytes | memoryview]) -> None:
    """Refuse a rectangle of filled cells that is too large, and name the cell that makes it so."""
    letters: set[bytes] = set()
    numbers: set[bytes] = set()
    for piece in rows:
        for cell in _FILLED.finditer(piece):
            letters.add(cell[1])
            numbers.add(cell[2])
    columns = {column_index(letter.decode()) + 1: letter for letter in letters}
    lines = {int(number): number for number in numbers}
    if max(columns, default=0) * max(lines, default=0) <= MOST_CELLS:
        return
    column_gap, row_gap = _widest_gap(columns) / LAST_COLUMN, _widest_gap(lines) / LAST_ROW
    if max(column_gap, row_gap) < _FAR:
        raise Refused("file-too-large")
    place = rb"%s\d+" % columns[max(columns)] if column_gap >= row_gap else rb"[A-Z]+%s" % lines[max(lines)]
    far = re.compile(rb'<c r="(%s)"[^<>]*(?<!/)>' % place)
    reference = next(found[1] for piece in rows if (found := far.search(piece)))
    raise Refused("file-far-cell", sheet=name, ref=reference.decode())


def _widest_gap(used: Iterable[int]) -> int:
    return max(later - earlier for earlier, later in pairwise(sorted({0, *used})))
