"""Bare records as programs are known to write them, and as the standard also allows."""

from __future__ import annotations

import codecs
import io
import re
from collections.abc import Callable

import openpyxl
from openpyxl.styles import Font

from rich_parts import by_xlsxwriter
from rich_parts.manners import SHEET, Manner, record, styles_of, with_prefix
from rich_parts.packing import CONTENT_TYPES, Package
from rich_parts.record import HEADINGS, HORSE_HEADINGS, TWICE, horses, notes

_MC = "http://schemas.openxmlformats.org/markup-compatibility/2006"
_OFFICE = "http://schemas.microsoft.com/office/spreadsheetml"

EXCEL = Manner(
    root=f' xmlns:mc="{_MC}" mc:Ignorable="x14ac xr" xmlns:x14ac="{_OFFICE}/2009/9/ac" '
    f'xmlns:xr="{_OFFICE}/2014/revision" xr:uid="{{5E0C3C5B-58C1-4C43-9A5B-0C3B2C1D0E01}}"',
    row=' spans="1:11" x14ac:dyDescent="0.25"',
    before='<sheetPr><tabColor rgb="FF336699"/></sheetPr><dimension ref="A1:K1000"/><sheetViews>'
    '<sheetView tabSelected="1" workbookViewId="0"><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" '
    'state="frozen"/><selection pane="bottomLeft" activeCell="A14" sqref="A14"/></sheetView></sheetViews>'
    '<sheetFormatPr defaultRowHeight="15" x14ac:dyDescent="0.25"/><cols><col min="1" max="1" width="13.7109375" '
    'style="1" customWidth="1"/></cols>',
    after='<autoFilter ref="A1:K13"/><conditionalFormatting sqref="F2:F1000"><cfRule type="cellIs" priority="1" '
    'operator="greaterThan"><formula>2</formula></cfRule></conditionalFormatting><dataValidations count="1">'
    '<dataValidation type="list" allowBlank="1" showInputMessage="1" sqref="C2:C1000"><formula1>"stand,walk,trot"'
    '</formula1></dataValidation></dataValidations><pageMargins left="0.7" right="0.7" top="0.75" bottom="0.75" '
    'header="0.3" footer="0.3"/>',
    empty_to=1000,
    shared_formula=True,
)
GOOGLE = Manner(
    root=f' xmlns:mx="http://schemas.microsoft.com/office/mac/excel/2008/main" xmlns:mc="{_MC}" '
    f'xmlns:mv="urn:schemas-microsoft-com:mac:vml" xmlns:x14ac="{_OFFICE}/2009/9/ac"',
    row=' ht="15.75" customHeight="1"',
    before='<sheetPr><outlinePr summaryBelow="0" summaryRight="0"/></sheetPr><sheetViews><sheetView workbookViewId="0">'
    '<pane ySplit="1.0" topLeftCell="A2" activePane="bottomLeft" state="frozen"/><selection activeCell="B3" '
    'sqref="B3" pane="bottomLeft"/></sheetView></sheetViews><sheetFormatPr customHeight="1" '
    'defaultColWidth="12.63" defaultRowHeight="15.75"/><cols><col customWidth="1" min="1" max="1" width="16.0"/></cols>',
    number="{!r}",
    empty_to=1000,
)


def excel() -> bytes:
    """The manner of Excel: shared texts and formulas, spans, extensions to ignore, formats down to row 1000."""
    return record(EXCEL).packed()


def google() -> bytes:
    """The manner of an export from Google Sheets: every row down to 1000 with its height, no dimension."""
    return record(GOOGLE).packed()


def by_openpyxl() -> bytes:
    """The bare record as openpyxl writes it: its formulas have no saved results."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Soundness"
    sheet.append(HEADINGS)
    for row, note in enumerate(notes(), 2):
        for column, value in note.items():
            cell = sheet.cell(row, column + 1, value)  # type: ignore[arg-type]
            if isinstance(value, str):
                cell.data_type = "s"  # a text that begins with = is no formula
        sheet.cell(row, TWICE + 1, f"=F{row}*2")
    sheet["A1"].font = Font(bold=True)
    sheet.freeze_panes = "A2"
    page = book.create_sheet("Horses")
    page.append(HORSE_HEADINGS)
    for horse in horses():
        page.append(horse)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def prefixed() -> bytes:
    """Every element of the sheets has a prefix."""
    return record(Manner(prefix="x")).packed()


def prefixed_everywhere() -> bytes:
    """Every element of every part of the workbook has a prefix, and no format shows a date."""
    book = record(Manner(prefix="x"), styles_of(0, 0))
    for name in ("xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml"):
        book.parts[name] = with_prefix(book.parts[name].decode(), "x").encode()
    return book.packed()


def prefixed_table(content: bytes) -> bytes:
    """The workbook with a prefix on every element of its tables and their sheets."""
    book = Package.unpacked(content)
    for name in book.parts:
        if name.startswith("xl/tables/"):
            book.parts[name] = with_prefix(book.parts[name].decode(), "x").encode()
    return book.packed()


def without_references() -> bytes:
    """Neither rows nor cells say where they stand."""
    return record(Manner(references=False)).packed()


def rows_without_references() -> bytes:
    """The rows do not say where they stand, the cells do."""
    book = record(Manner())
    book.parts[SHEET] = re.sub(rb'<row r="\d+"', b"<row", book.parts[SHEET])
    return book.packed()


def year1904() -> bytes:
    """Days count from 1904."""
    return record(Manner(year1904=True)).packed()


def utf16() -> bytes:
    """The sheet is in UTF-16, which a part may be (ISO/IEC 29500-2 §8.2.4)."""
    book = record(Manner())
    text = book.parts[SHEET].decode().replace('encoding="UTF-8"', 'encoding="UTF-16"')
    book.parts[SHEET] = codecs.BOM_UTF16_LE + text.encode("utf-16-le")
    return book.packed()


def byte_order_mark() -> bytes:
    """The sheet begins with the mark of UTF-8."""
    book = record(Manner())
    book.parts[SHEET] = codecs.BOM_UTF8 + book.parts[SHEET]
    return book.packed()


def asides() -> bytes:
    """Comments, CDATA and instructions stand inside the sheet, and a comment looks like the end of the rows."""
    book = record(Manner(shared=False))
    text = book.parts[SHEET].decode()
    text = text.replace("</sheetData>", "<!-- </sheetData> <row r='14'> --></sheetData><!-- the end -->", 1)
    text = text.replace('<t xml:space="preserve">dry</t>', '<t xml:space="preserve"><![CDATA[dry]]></t>')
    text = text.replace("<sheetData>", "<?keep me?><!-- <sheetData> --><sheetData>", 1)
    book.parts[SHEET] = text.encode()
    return book.packed()


def single_quotes() -> bytes:
    """Attributes in single quotes, blanks before them and line breaks between the elements."""
    book = record(Manner())
    text = book.parts[SHEET].decode()
    start = text.index("<sheetData>")
    rows = re.sub(r' (\w+)="([^"]*)"', r"  \1 = '\2'", text[start:].replace("xml:space", "\0"))
    rows = rows.replace("\0", "xml:space").replace("</row>", "</row \n>").replace("<row", "\n  <row")
    book.parts[SHEET] = (text[:start] + rows).encode()
    return book.packed()


def odd_names() -> bytes:
    """Names of parts with backslashes and capitals, which do not count (ISO/IEC 29500-2 §6.2.2)."""
    parts = {
        name
        if name == CONTENT_TYPES
        else name.replace("/", "\\").replace("worksheets", "WorkSheets"): content
        for name, content in record(Manner()).parts.items()
    }
    return Package(parts).packed()


def absolute_targets() -> bytes:
    """The signposts give their targets from the package's root."""
    book = record(Manner())
    rels = book.parts["xl/_rels/workbook.xml.rels"]
    book.parts["xl/_rels/workbook.xml.rels"] = rels.replace(b'Target="', b'Target="/xl/')
    return book.packed()


def no_dimension_wrong_dimension(dimension: str) -> bytes:
    """A dimension that is not where the cells are."""
    return record(Manner(before=f'<dimension ref="{dimension}"/>')).packed()


def empty_rows() -> bytes:
    """The sheet of horses is there and has nothing in it, not even a heading."""
    book = record(Manner())
    text = book.parts["xl/worksheets/sheet2.xml"].decode()
    book.parts["xl/worksheets/sheet2.xml"] = re.sub(
        r"<sheetData>.*</sheetData>", "<sheetData/>", text
    ).encode()
    return book.packed()


def no_date_style() -> bytes:
    """No format of the workbook shows a date: the days are plain numbers and the owner types new ones."""
    return record(Manner(), styles_of(0, 0)).packed()


def no_styles() -> bytes:
    """The workbook has no part of formats at all, which none must have."""
    book = record(Manner())
    del book.parts["xl/styles.xml"]
    rels = book.parts["xl/_rels/workbook.xml.rels"].decode()
    book.parts["xl/_rels/workbook.xml.rels"] = re.sub(r"<Relationship [^>]*styles[^>]*/>", "", rels).encode()
    types = book.parts[CONTENT_TYPES].decode()
    book.parts[CONTENT_TYPES] = re.sub(r"<Override [^>]*styles[^>]*/>", "", types).encode()
    for name in (SHEET, "xl/worksheets/sheet2.xml"):
        book.parts[name] = re.sub(rb' s="\d+"', b"", book.parts[name])
    return book.packed()


HABITS: dict[str, Callable[[], bytes]] = {
    "excel": excel,
    "google": google,
    "openpyxl": by_openpyxl,
    "xlsxwriter": by_xlsxwriter.plain,
    "xlsxwriter-constant-memory": lambda: by_xlsxwriter.plain(constant_memory=True),
    "texts-in-the-cells": lambda: record(Manner(shared=False)).packed(),
    "prefixes": prefixed,
    "prefixes-everywhere": prefixed_everywhere,
    "no-references": without_references,
    "rows-without-references": rows_without_references,
    "year-1904": year1904,
    "utf-16": utf16,
    "byte-order-mark": byte_order_mark,
    "comments-and-cdata": asides,
    "single-quotes": single_quotes,
    "odd-names": odd_names,
    "absolute-targets": absolute_targets,
    "streamed": lambda: record(Manner()).packed(streamed=True),
    "stored": lambda: record(Manner()).packed(stored=True),
    "zip-comment": lambda: record(Manner()).packed(comment=b"kept by hand"),
    "no-dimension": lambda: record(Manner()).packed(),
    "wrong-dimension": lambda: no_dimension_wrong_dimension("A1:B2"),
    "dimension-of-one-cell": lambda: no_dimension_wrong_dimension("A1"),
    "empty-sheet": empty_rows,
    "no-date-style": no_date_style,
    "no-styles": no_styles,
}
