"""A sheet's XML by its places: where its rows and cells begin and end, so that a few bytes can be exchanged.

Nothing is parsed into a tree and written out again: what is not asked for stays as it is, byte for byte. The
XML is in the form that `plain_xml` gives, without comments and CDATA, so `<` stands only where a tag begins.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from tracker.workbook.change.xml_group import ATTRIBUTES
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.letters import column_index

_ATTRIBUTE = re.compile(rb"""([\w:.-]+)\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_ROOT = re.compile(rb"\s*+(?:<\?[^<>]*+>\s*+)*+<([\w.-]++:)?worksheet\b")
_REFERENCE = re.compile(rb"([A-Za-z]{1,3})([1-9]\d{0,6})")
_RANGE = re.compile(rb"\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?")


@dataclass(frozen=True, slots=True)
class Range:
    """A rectangle of cells: columns from 0, rows from 1, both ends included."""

    left: int
    top: int
    right: int
    bottom: int

    def holds(self, column: int, row: int) -> bool:
        """Whether the cell lies in it."""
        return self.left <= column <= self.right and self.top <= row <= self.bottom


@dataclass(frozen=True, slots=True)
class Element:
    """One element: its attributes, its content ("" where it closes itself), and where it stands in the XML."""

    attributes: dict[bytes, bytes]
    inner: bytes
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of a row; `column` counts from 0. `formula` and `filled` tell what stands in it."""

    element: Element
    column: int
    formula: bool
    filled: bool

    @property
    def style(self) -> int:
        """The number of its format, 0 where it has none."""
        return whole(self.element.attributes.get(b"s", b""))

    @property
    def constant(self) -> bool:
        """Whether something was typed into it, rather than worked out."""
        return self.filled and not self.formula


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its number from 1, and its place; the first byte of its tag to the one after its end."""

    number: int
    element: Element
    cells: tuple[Cell, ...]


class SheetXml:
    """Places in one sheet's XML. Raises Refused where the XML is of a kind that this cannot find its way in."""

    def __init__(self, xml: bytes | bytearray) -> None:
        root = _ROOT.match(xml)
        if not root:
            raise unusual("the sheet begins in an unknown manner")
        self.xml = xml
        self.prefix = root[1] or b""
        name = rb"<%ssheetData\b" % re.escape(self.prefix)
        opening = list(re.finditer(rb"%s(%s)(/)?+>" % (name, ATTRIBUTES), xml))
        if len(opening) != 1:
            raise unusual("the sheet's rows cannot be found")
        (self.data,) = opening
        self.empty = self.data[2] is not None
        closing = b"</%ssheetData" % self.prefix
        self.rows_end = self.data.end() if self.empty else xml.find(closing, self.data.end())
        if self.rows_end < 0:
            raise unusual("the sheet's rows have no end")
        fill = {b"p": re.escape(self.prefix), b"attributes": ATTRIBUTES}
        self._row = re.compile(rb"<%(p)srow\b(%(attributes)s)(/)?+>" % fill)
        self._row_end = re.compile(rb"</%(p)srow\s*+>" % fill)
        self._unnumbered = re.compile(rb"<%(p)srow(?=[\s/>])(?![^>]*\sr\s*=)" % fill)
        self._cell = re.compile(
            rb"<%(p)sc\b(?P<a>%(attributes)s)(?:/>|>(?P<inner>.*?)</%(p)sc\s*+>)" % fill, re.DOTALL
        )
        self._says = re.compile(rb"<%(p)s(?:v|is)\b[^>]*+>\s*+[^<\s]|<%(p)st\b[^>]*+>\s*+[^<\s]" % fill)
        self._wide = re.compile(rb"<%(p)sf(?=\s[^<>]*\bref\s*=)(%(attributes)s)" % fill)
        self._formula = re.compile(rb"<%(p)sf[\s/>]" % fill)

    def tag(self, name: str) -> bytes:
        """An element's name as this sheet writes it."""
        return self.prefix + name.encode()

    def elements(self, name: str) -> Iterator[Element]:
        """Every element of that name outside the rows."""
        tag = re.escape(self.tag(name))
        pattern = re.compile(rb"<%s\b(%s)(?:/>|>(?:(.*?)</%s\s*+>)?)" % (tag, ATTRIBUTES, tag), re.DOTALL)
        for start, end in ((0, self.data.start()), (self.rows_end, len(self.xml))):
            for found in pattern.finditer(self.xml, start, end):
                yield Element(attributes_of(found[1]), found[2] or b"", found.start(), found.end())

    def areas(self, name: str) -> list[Range]:
        """The rectangles that elements of that name outside the rows speak of."""
        found = (range_of(each.attributes.get(b"ref", b"")) for each in self.elements(name))
        return [area for area in found if area]

    def formula_areas(self) -> list[Range]:
        """The rectangles that are filled by one formula: an array, a spilled result, a table of data."""
        spoken = (attributes_of(found[1]) for found in self._wide.finditer(self.xml, self.data.end()))
        areas = (range_of(each[b"ref"]) for each in spoken if each.get(b"t") in (b"array", b"dataTable"))
        return [area for area in areas if area]

    def rows_from_the_end(self) -> Iterator[Row]:
        """The rows, the last one first."""
        if self.empty:
            return
        opening = b"<%srow" % self.prefix
        end = self.rows_end
        numbers = self._numbers()
        while (start := self.xml.rfind(opening, self.data.end(), end)) >= 0:
            if row := self._row_at(start, end, numbers):
                yield row
            end = start

    def _numbers(self) -> dict[int, int] | None:
        """Each row's number by its place, counted where it is not said (ISO/IEC 29500-1 §18.3.1.73).

        None where every row says its own.
        """
        if not self._unnumbered.search(self.xml, self.data.end(), self.rows_end):
            return None
        numbers: dict[int, int] = {}
        number = 0
        for row in self._row.finditer(self.xml, self.data.end(), self.rows_end):
            number = whole(attributes_of(row[1]).get(b"r", b"")) or number + 1
            numbers[row.start()] = number
        return numbers

    def _row_at(self, start: int, end: int, numbers: dict[int, int] | None) -> Row | None:
        opening = self._row.match(self.xml, start, end)
        if not opening:
            return None
        attributes = attributes_of(opening[1])
        number = whole(attributes[b"r"]) if numbers is None else numbers[start]
        if opening[2] is not None:
            return Row(number, Element(attributes, b"", start, opening.end()), ())
        closing = self._row_end.search(self.xml, opening.end(), end)
        if not closing:
            raise unusual("a row of the sheet has no end")
        inner = bytes(self.xml[opening.end() : closing.start()])
        cells = tuple(self._cells(inner))
        return Row(number, Element(attributes, inner, start, closing.end()), cells)

    def _cells(self, inner: bytes) -> Iterator[Cell]:
        """The row's cells; a place counts from the beginning of the row's content."""
        column = -1
        for found in self._cell.finditer(inner):
            attributes = attributes_of(found["a"])
            content = found["inner"] or b""
            reference = _REFERENCE.fullmatch(attributes.get(b"r", b""))
            column = column_index(reference[1].decode().upper()) if reference else column + 1
            element = Element(attributes, content, found.start(), found.end())
            formula, filled = self._formula.search(content), self._says.search(content)
            yield Cell(element, column, formula is not None, filled is not None)

    def row(self, number: int) -> Row | None:
        """The row of that number, where the sheet has it."""
        if self.empty:
            return None
        numbers = self._numbers()
        if numbers is None:
            said = rb"<%srow\b(?=[^>]*\sr\s*=\s*[\"']%d[\"'])" % (re.escape(self.prefix), number)
            found = re.compile(said).search(self.xml, self.data.end(), self.rows_end)
            start = found.start() if found else None
        else:
            start = next((at for at, other in numbers.items() if other == number), None)
        return None if start is None else self._row_at(start, self.rows_end, numbers)


def attributes_of(text: bytes) -> dict[bytes, bytes]:
    """The attributes of a tag, as written."""
    return {found[1]: found[2] if found[2] is not None else found[3] for found in _ATTRIBUTE.finditer(text)}


def attribute(name: bytes, value: bytes) -> bytes:
    """An attribute as it is written in a tag; the value is escaped already, but may hold the other quotes."""
    return b' %s="%s"' % (name, value.replace(b'"', b"&quot;"))


def whole(text: bytes) -> int:
    """A whole number, 0 where there is none."""
    return int(text) if text.strip().isdigit() else 0


def range_of(text: bytes) -> Range | None:
    """Read "A1:C9" or "A1"; None for anything else."""
    found = _RANGE.fullmatch(text.strip())
    if not found:
        return None
    left, top = column_index(found[1].decode()), int(found[2])
    if found[3] is None:
        return Range(left, top, left, top)
    return Range(left, top, column_index(found[3].decode()), int(found[4]))
