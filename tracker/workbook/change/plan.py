"""What changes in a workbook's bytes when a record is added, a cell is set, or a sheet is added; nothing is saved yet.

Each plan holds the whole new file. Only the sheet's own part differs from the old one; its table's part where the
table grew; the formats where a date found none. All other entries of the zip are copied byte for byte.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from hashlib import blake2b
from itertools import takewhile

from tracker.workbook.change import new_sheet
from tracker.workbook.change.editable import Editable, open_editable
from tracker.workbook.change.sheet_edit import (
    Cells,
    Formats,
    Splice,
    cell_xml,
    last_record,
    put,
    refuse_in_the_way,
    refuse_protected,
    spliced,
)
from tracker.workbook.change.sheet_xml import Row, SheetXml
from tracker.workbook.change.styles_edit import Styles
from tracker.workbook.change.table_edit import (
    TablePart,
    formula_cells,
    grown,
    own_table,
    refuse_other_tables,
    table_part,
    widened,
)
from tracker.workbook.change.values import AsTyped, Value
from tracker.workbook.gate import Refused
from tracker.workbook.letters import column_letter

__all__ = ["AsTyped", "Plan", "Value", "fingerprint", "plan_append", "plan_heading", "plan_set", "plan_sheet"]


@dataclass(frozen=True, slots=True)
class Plan:
    """A new file that is not saved yet.

    `written` has the values by spreadsheet row and column (counted from 0), `old` what stood there before,
    as the reader gives it. `worked_out` are cells that got a formula of the sheet's own table.
    """

    sheet: str
    row: int
    content: bytes
    written: Mapping[tuple[int, int], Value]
    old: Mapping[tuple[int, int], object]
    worked_out: frozenset[tuple[int, int]] = frozenset()
    parts: tuple[str, ...] = ()

    @property
    def refs(self) -> dict[int, str]:
        """Where each value of the row stands, by column: {5: "F14"}."""
        return {column: f"{column_letter(column)}{row}" for row, column in self.written}

    @property
    def after(self) -> str:
        """The fingerprint of the new file."""
        return fingerprint(self.content)


def fingerprint(content: bytes) -> str:
    """What tells one state of a file from another."""
    return blake2b(content, digest_size=16).hexdigest()


def plan_append(
    content: bytes,
    sheet: str,
    rows: Sequence[Mapping[int, Value]] | Mapping[int, Value],
    *,
    heading_row: int,
    known: Collection[int],
    until: int | None = None,
) -> Plan:
    """Add one record, or several, below the last one.

    Columns count from 0, rows from 1 as in the spreadsheet; `known` are the columns that are read, so that a
    row which has something only in other columns is not taken for a record. `until` is a row from which on
    the sheet holds something else, such as a second table. Raises Refused.
    """
    book = open_editable(content)
    edit = _Edit(book, sheet)
    records = [rows] if isinstance(rows, Mapping) else list(rows)
    tables = [table_part(place, xml) for place, xml in book.tables(edit.place)]
    own = own_table(tables, sheet, heading_row, frozenset(known))
    columns = own.columns if own else edit.block(heading_row, known)
    first = last_record(edit.xml, sheet, heading_row, frozenset(known), columns, until) + 1
    if until is not None and first + len(records) > until:
        ref, reason = f"A{until}", "another table stands there"
        raise Refused("write-in-the-way", sheet=sheet, ref=ref, reason=reason)
    for number, record in enumerate(records, first):
        refuse_other_tables(tables, own, sheet, number, set(record))
    edit.add_rows(records, first, heading_row, own)
    return edit.plan(first)


def plan_set(
    content: bytes, sheet: str, row: int, cells: Mapping[int, Value], *, heading_row: int = 0
) -> Plan:
    """Set cells of a row, or empty them (None). Raises Refused, also where a formula would be lost.

    Above `heading_row`, itself included, no cell is taken for a pattern of how the new ones look.
    """
    edit = _Edit(open_editable(content), sheet)
    edit.set_row(row, cells, heading_row)
    return edit.plan(row)


def plan_heading(content: bytes, sheet: str, heading_row: int, column: int, text: str) -> Plan:
    """Add a heading in a free cell of the heading row, and the column to the table that ends beside it. Raises Refused."""
    book = open_editable(content)
    edit = _Edit(book, sheet)
    tables = [table_part(place, xml) for place, xml in book.tables(edit.place)]
    for table in tables:
        if table.heading_row == heading_row and table.area.right == column - 1:
            refuse_other_tables(tables, table, sheet, heading_row, {column})
            edit.changed[table.place] = widened(table, text)
    edit.set_row(heading_row, {column: text}, heading_row, like=column - 1)
    return edit.plan(heading_row)


def plan_sheet(content: bytes, name: str, headings: Sequence[str]) -> Plan:
    """Add a sheet of that name with nothing but its headings, after all others. Raises Refused."""
    book = open_editable(content)
    changed = new_sheet.parts_of(book, name, headings)
    written: dict[tuple[int, int], Value] = {(1, column): text for column, text in enumerate(headings)}
    new = book.parts.rebuilt(changed)
    return Plan(name, 1, new, written, dict.fromkeys(written, ""), parts=tuple(changed))


class _Edit:
    """The work on one sheet of one workbook, until a plan comes of it."""

    def __init__(self, book: Editable, sheet: str) -> None:
        self.book = book
        self.sheet = sheet
        self.place = book.place_of(sheet)
        self.xml = SheetXml(book.xml(self.place))
        refuse_protected(self.xml, sheet)
        self.styles = Styles(book.styles)
        self.splices: list[Splice] = []
        self.changed: dict[str, bytes] = {}
        self.written: dict[tuple[int, int], Value] = {}
        self.old: dict[tuple[int, int], object] = {}
        self.worked_out: set[tuple[int, int]] = set()

    def block(self, heading_row: int, known: Collection[int]) -> range:
        """The columns of the known headings, and those beside them up to the next one without a heading.

        What stands beyond is no part of the record, however far down it reaches.
        """
        row = self.xml.row(heading_row)
        headed = {*known, *(cell.column for cell in row.cells if cell.filled)} if row else set(known)
        first, last = min(known), max(known)
        while first - 1 in headed:
            first -= 1
        while last + 1 in headed:
            last += 1
        return range(first, last + 1)

    def set_row(
        self, number: int, cells: Mapping[int, Value], heading_row: int, like: int | None = None
    ) -> None:
        """Set cells of one row; `like` is the column whose format they take."""
        row = self.xml.row(number)
        formats = Formats(self.xml, self.styles, number, heading_row)
        ready = {}
        for column, value in cells.items():
            style = formats.of(column if like is None else like, row, value)
            ready[column] = self._cell(column, number, value, style)
        self._put([Cells(number, ready)], {number: row} if row else {}, shown=False)
        self._note(number, row, cells)

    def add_rows(
        self, records: Sequence[Mapping[int, Value]], first: int, heading_row: int, own: TablePart | None
    ) -> None:
        """Put each record into a row of its own, from the row `first` on."""
        last = first + len(records) - 1
        present = {
            row.number: row
            for row in takewhile(lambda row: row.number >= first, self.xml.rows_from_the_end())
            if row.number <= last
        }
        formats = Formats(self.xml, self.styles, first, heading_row)
        above = self.xml.row(first - 1) if own else None
        made: list[Cells] = []
        for number, record in enumerate(records, first):
            row = present.get(number)
            ready = {
                column: self._cell(column, number, value, formats.of(column, row, value))
                for column, value in record.items()
            }
            if own:
                ready |= self._worked_out(own, above, number, row, ready, formats)
            made.append(Cells(number, ready))
            self._note(number, row, record)
        self._put(made, present, shown=True)
        if own and (table := grown(own, self.sheet, first, last)):
            self.changed[own.place] = table

    def _worked_out(
        self,
        own: TablePart,
        above: Row | None,
        number: int,
        row: Row | None,
        ready: Mapping[int, bytes],
        formats: Formats,
    ) -> dict[int, bytes]:
        """The formulas of the table's own calculated columns for a new row."""
        taken = {*ready, *(cell.column for cell in row.cells if cell.formula)} if row else {*ready}
        styles = {column: formats.of(column, row, None) for column in own.formulas}
        cells = formula_cells(self.xml, own, above, number, taken, styles)
        self.worked_out |= {(number, column) for column in cells}
        return cells

    def _cell(self, column: int, row: int, value: Value, style: int) -> bytes:
        as_text = isinstance(value, AsTyped) and self.styles.is_text(style)
        place = f"{column_letter(column)}{row}"
        return cell_xml(self.xml, place, style, value, date1904=self.book.date1904, as_text=as_text)

    def _put(self, made: Sequence[Cells], present: Mapping[int, Row], *, shown: bool) -> None:
        refuse_in_the_way(self.xml, self.sheet, made, present)
        self.splices += put(self.xml, made, present, shown=shown)

    def _note(self, number: int, row: Row | None, values: Mapping[int, Value]) -> None:
        """Keep what is written, and what stood there."""
        before: Sequence[object] = ()
        if row and any(cell.filled and cell.column in values for cell in row.cells):
            before = self.book.row_values(self.sheet, self.xml, row)
        for column, value in values.items():
            self.written[number, column] = value
            self.old[number, column] = before[column] if column < len(before) else ""

    def plan(self, row: int) -> Plan:
        """Put the new file together."""
        if not self.written:
            raise ValueError("nothing is to be written")
        changed: dict[str, bytes] = {self.place: spliced(self.xml.xml, self.splices), **self.changed}
        if self.styles.changed and self.book.styles_place and self.styles.xml:
            changed[self.book.styles_place] = bytes(self.styles.xml)
        new = self.book.parts.rebuilt(changed)
        return Plan(self.sheet, row, new, self.written, self.old, frozenset(self.worked_out), tuple(changed))
