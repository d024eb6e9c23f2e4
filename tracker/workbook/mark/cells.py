"""The cells of one sheet that get the format of a mark; whatever else they hold stays as it is."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, pairwise

from tracker.problem import ERROR, Problem
from tracker.workbook.change.sheet_edit import Cells, Splice, cell_xml, put
from tracker.workbook.change.sheet_xml import Cell, Row, SheetXml, attributes_of, range_of, whole
from tracker.workbook.change.xml_group import ATTRIBUTES, figure
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.letters import column_letter
from tracker.workbook.mark.formats import MarkFormats

Place = tuple[int, int]
"""A cell: its row from 1, its column from 0."""

_NUMBER = re.compile(rb"\sr\s*=\s*[\"'](\d+)")

ByCell = Mapping[Place, Sequence[Problem]]


@dataclass(frozen=True, slots=True)
class Column:
    """What a sheet says of its columns `first` to `last`, counted from 1."""

    first: int
    last: int
    style: int
    attributes: Mapping[bytes, bytes]


def columns_of(sheet: SheetXml) -> list[Column]:
    """What the sheet says of its columns."""
    found = (each.attributes for each in sheet.elements("col"))
    return [
        Column(whole(a.get(b"min", b"")), whole(a.get(b"max", b"")), whole(a.get(b"style", b"")), a)
        for a in found
    ]


def uncovered(sheet: SheetXml, found: ByCell) -> dict[Place, list[Problem]]:
    """The problems by the cell in which they can be seen: the first of those that it is merged with."""
    merged = [range_of(each.attributes.get(b"ref", b"")) for each in sheet.elements("mergeCell")]
    areas = [area for area in merged if area]
    by_cell: dict[Place, list[Problem]] = {}
    for (row, column), problems in found.items():
        area = next((area for area in areas if area.holds(column, row)), None)
        by_cell.setdefault((area.top, area.left) if area else (row, column), []).extend(problems)
    return by_cell


def formatted(
    sheet: SheetXml, by_cell: ByCell, formats: MarkFormats
) -> tuple[list[Splice], dict[int, float]]:
    """The exchanges that mark the cells; and the heights, in points, of the sheet's rows."""
    wanted: dict[int, dict[int, str]] = {}
    for (row, column), problems in by_cell.items():
        severities = [problem.severity for problem in problems]
        wanted.setdefault(row, {})[column] = ERROR if ERROR in severities else severities[0]
    present, heights = _rows(sheet, wanted)
    columns = columns_of(sheet)
    made = [
        Cells(number, _marked(sheet, number, present.get(number), severities, columns, formats))
        for number, severities in sorted(wanted.items())
    ]
    return put(sheet, made, present, shown=False), heights


def _rows(sheet: SheetXml, wanted: Collection[int]) -> tuple[dict[int, Row], dict[int, float]]:
    """The rows that the sheet has of those wanted, and the heights that are said of any row, in points."""
    places: dict[int, tuple[int, int]] = {}
    heights: dict[int, float] = {}
    for (number, start, attributes), (_, end, _) in pairwise(chain(_tags(sheet), [(0, sheet.rows_end, b"")])):
        if number in wanted:
            places[number] = (start, end)
        if b"ht" in attributes or b"hidden" in attributes:
            heights |= _height(number, attributes_of(attributes))
    return _parsed(sheet, places), heights


def _tags(sheet: SheetXml) -> Iterator[tuple[int, int, bytes]]:
    """Each row's number, the place where it begins, and its attributes; without a number it follows the one before."""
    tag = re.compile(rb"<%s(?=[\s/>])(%s)/?>" % (re.escape(sheet.tag("row")), ATTRIBUTES))
    number = 0
    for found in () if sheet.empty else tag.finditer(sheet.xml, sheet.data.end(), sheet.rows_end):
        said = _NUMBER.search(found[1])
        number = int(said[1]) if said else number + 1
        yield number, found.start(), found[1]


def _height(number: int, attributes: Mapping[bytes, bytes]) -> dict[int, float]:
    if attributes.get(b"hidden") in (b"1", b"true"):
        return {number: 0.0}
    return {number: figure(attributes[b"ht"])} if b"ht" in attributes else {}


def _parsed(sheet: SheetXml, places: Mapping[int, tuple[int, int]]) -> dict[int, Row]:
    """The rows at these places. Only they are parsed: a sheet may have a hundred thousand others."""
    pieces = [bytes(sheet.xml[start:end]) for start, end in places.values()]
    before, behind = bytes(sheet.xml[: sheet.data.end()]), bytes(sheet.xml[sheet.rows_end :])
    few = SheetXml(before + b"".join(pieces) + behind)
    found = list(few.rows_from_the_end())[::-1] if pieces else []
    if len(found) != len(pieces):
        raise unusual("a row of the sheet cannot be read")
    rows: dict[int, Row] = {}
    at = few.data.end()
    for (number, (start, end)), row in zip(places.items(), found, strict=True):
        moved = replace(row.element, start=row.element.start + start - at, end=row.element.end + start - at)
        rows[number] = replace(row, number=number, element=moved)
        at += end - start
    return rows


def _marked(
    sheet: SheetXml,
    number: int,
    row: Row | None,
    severities: Mapping[int, str],
    columns: Sequence[Column],
    formats: MarkFormats,
) -> dict[int, bytes]:
    """The cells of one row as XML, by column; one that is not there is made."""
    own = {cell.column: cell for cell in row.cells} if row else {}
    made: dict[int, bytes] = {}
    for column, severity in severities.items():
        ref = f"{column_letter(column)}{number}"
        cell = own.get(column)
        style = formats.marked(cell.style if cell else _style(row, column, columns), severity)
        made[column] = (
            _as_it_is(sheet, cell, ref, style)
            if cell
            else cell_xml(sheet, ref, style, None, date1904=False, as_text=False)
        )
    return made


def _as_it_is(sheet: SheetXml, cell: Cell, ref: str, style: int) -> bytes:
    """A cell with all that it has, in another format."""
    others = ((name, value) for name, value in cell.element.attributes.items() if name not in (b"r", b"s"))
    text = b"".join(b' %s="%s"' % (name, value.replace(b'"', b"&quot;")) for name, value in others)
    tag = sheet.tag("c")
    opening = b'<%s r="%s" s="%d"%s' % (tag, ref.encode(), style, text)
    return b"%s>%s</%s>" % (opening, cell.element.inner, tag) if cell.element.inner else opening + b"/>"


def _style(row: Row | None, column: int, columns: Sequence[Column]) -> int:
    """The format that a cell has which is not there: its row's, else its column's."""
    if row and row.element.attributes.get(b"customFormat") in (b"1", b"true"):
        return whole(row.element.attributes.get(b"s", b""))
    return next((each.style for each in columns if each.first <= column + 1 <= each.last), 0)
