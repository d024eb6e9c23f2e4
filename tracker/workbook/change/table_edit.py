"""The tables that a spreadsheet program keeps on a sheet: they grow with a new record, calculated columns too."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape, unescape
from xml.etree import ElementTree

from openpyxl.formula.tokenizer import TokenizerError
from openpyxl.formula.translate import Translator, TranslatorError

from tracker.workbook.change.sheet_edit import written
from tracker.workbook.change.sheet_xml import Range, Row, SheetXml, attributes_of, range_of, whole
from tracker.workbook.change.xml_group import appended, elements, prefix_of
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.gate import Refused
from tracker.workbook.letters import column_letter
from tracker.workbook.package import local_name

_OWN_COLUMN = re.compile(
    r"(?<![\w.\\])\[\[#"
)  # a cell's formula names the table, the table's own may leave it out


@dataclass(frozen=True, slots=True)
class TablePart:
    """One table: its part, its XML, the rectangle that it says it fills, and its formulas by column.

    `heading_row` is the row of its headings, above the rectangle where the table does not count them in.
    """

    place: str
    xml: bytes | bytearray
    area: Range
    heading_row: int
    totals: bool
    formulas: Mapping[int, str]

    @property
    def columns(self) -> range:
        """Its columns, from 0."""
        return range(self.area.left, self.area.right + 1)


def table_part(place: str, xml: bytes | bytearray) -> TablePart:
    """Read a table's part. Raises Refused where it does not say where it lies."""
    try:
        root = ElementTree.fromstring(xml)
    except ElementTree.ParseError as error:
        raise unusual("a table of it cannot be read") from error
    area = range_of(root.get("ref", "").encode())
    if area is None:
        raise unusual("a table does not say where it lies")
    formulas: dict[int, str] = {}
    name = root.get("displayName", root.get("name", ""))
    for group in (group for group in root if local_name(group.tag) == "tableColumns"):
        for number, column in enumerate(group):
            for each in column:
                if local_name(each.tag) == "calculatedColumnFormula" and each.text:
                    formulas[area.left + number] = _OWN_COLUMN.sub(f"{name}[[#", each.text)
    totals = whole(root.get("totalsRowCount", "0").encode()) > 0
    heading_row = area.top if root.get("headerRowCount") != "0" else area.top - 1
    return TablePart(place, xml, area, heading_row, totals, formulas)


def own_table(
    tables: list[TablePart], name: str, heading_row: int, known: frozenset[int]
) -> TablePart | None:
    """The table whose headings are the sheet's. Raises Refused where it ends with a row of totals."""
    here = [table for table in tables if table.heading_row == heading_row and known & set(table.columns)]
    table = max(here, key=lambda table: len(known & set(table.columns)), default=None)
    if table and table.totals:
        ref = f"{column_letter(table.area.left)}{table.area.bottom}"
        raise Refused("write-totals", sheet=name, ref=ref)
    return table


def refuse_other_tables(
    tables: list[TablePart], own: TablePart | None, name: str, row: int, columns: set[int]
) -> None:
    """Raise Refused where a cell would fall into another table."""
    for table in tables:
        hit = [column for column in sorted(columns) if table.area.holds(column, row)]
        if table is not own and hit:
            ref = f"{column_letter(hit[0])}{row}"
            raise Refused("write-in-the-way", sheet=name, ref=ref, reason="another table stands there")


def grown(table: TablePart, name: str, row: int, last: int) -> bytes | None:
    """The table's XML with its rectangle down to the row `last`; None where it reaches there already.

    `row` is the first that is new. Raises Refused where the table does not end just above it.
    """
    if last <= table.area.bottom:
        return None
    if row > table.area.bottom + 1:
        ref = f"{column_letter(table.area.left)}{table.area.bottom + 1}"
        raise Refused("write-in-the-way", sheet=name, ref=ref, reason="something is written below the table")
    old = written(table.area)
    new = written(Range(table.area.left, table.area.top, table.area.right, last))
    return _with_area(table, old, new)


def _with_area(table: TablePart, old: bytes, new: bytes) -> bytes:
    """The table's XML with its rectangle, and that of its filter where it is the same, exchanged."""
    return re.sub(rb"(\sref\s*=\s*[\"'])%s(?=[\"'])" % old, lambda found: found[1] + new, bytes(table.xml))


def widened(table: TablePart, heading: str) -> bytes:
    """The table's XML with one more column at its right, of that heading. Raises Refused."""
    area = table.area
    new = written(Range(area.left, area.top, area.right + 1, area.bottom))
    xml = _with_area(table, written(area), new)
    prefix = prefix_of(xml, "table")
    known = (attributes_of(column[1]).get(b"id", b"") for column in elements(xml, prefix, "tableColumn"))
    number = max(map(whole, known), default=0) + 1
    column = b'<%stableColumn id="%d" name="%s"/>' % (prefix, number, escape(heading).encode())
    return appended(xml, prefix, "tableColumns", [column])


def formula_cells(
    sheet: SheetXml, table: TablePart, above: Row | None, row: int, taken: set[int], styles: Mapping[int, int]
) -> dict[int, bytes]:
    """A new row's cells for the table's calculated columns, by column; the spreadsheet program works them out.

    A formula that cannot be continued is left out, and its cell stays blank.
    """
    cells = {}
    c, f = sheet.tag("c"), sheet.tag("f")
    for column, formula in table.formulas.items():
        if column in taken:
            continue
        letter = column_letter(column)
        moved = _moved(formula, "A1", "A2")
        if moved != formula:  # it speaks of cells by their place, which only the row above tells
            own = _formula_above(sheet, above, column) if above else None
            moved = _moved(own, f"{letter}{above.number}", f"{letter}{row}") if above and own else None
        if moved is None:
            continue
        style = b' s="%d"' % styles[column] if styles.get(column) else b""
        text = escape(moved, quote=False).encode()
        cells[column] = b'<%s r="%s%d"%s><%s ca="1">%s</%s></%s>' % (
            c,
            letter.encode(),
            row,
            style,
            f,
            text,
            f,
            c,
        )
    return cells


def _moved(formula: str, from_cell: str, to_cell: str) -> str | None:
    """The formula as it reads when it is copied from one cell to another; None where that cannot be told."""
    try:
        return str(Translator(f"={formula}", from_cell).translate_formula(to_cell))[1:]
    except (TokenizerError, TranslatorError):
        return None


def _formula_above(sheet: SheetXml, row: Row, column: int) -> str | None:
    f = re.escape(sheet.tag("f"))
    for cell in row.cells:
        if cell.column == column:
            found = re.search(rb"<%s(?:\s[^>]*)?>([^<]+)</%s>" % (f, f), cell.element.inner)
            return unescape(found[1].decode()) if found else None
    return None
