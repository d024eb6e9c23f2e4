"""A workbook with all that XlsxWriter can put around a record, and the bare record as it writes it."""

from __future__ import annotations

import datetime as dt
import io
import struct
import zlib

from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from rich_parts.record import HEADINGS, HOOF_HEADINGS, HORSE_HEADINGS, NOTES, TWICE, hooves, horses, notes

HEADING_ROW = 4
"""Of the Soundness sheet among the riches, counted from 1: a title block stands above it."""

_MADE = dt.datetime(2026, 3, 4, 12)


def picture(red: int = 120, size: int = 24) -> bytes:
    """A PNG of one colour (W3C, Portable Network Graphics, third edition)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">L", len(data)) + kind + data + struct.pack(">L", zlib.crc32(kind + data))

    line = b"\0" + bytes((red, 90, 60)) * size
    head = struct.pack(">LLBBBBB", size, size, 8, 2, 0, 0, 0)
    pixels = zlib.compress(line * size)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")


def plain(*, constant_memory: bool = False) -> bytes:
    """The bare record."""
    file = io.BytesIO()
    book = Workbook(file, {"in_memory": not constant_memory, "constant_memory": constant_memory})
    _soundness(book, 1)
    _horses(book)
    book.close()
    return file.getvalue()


def everything(macros: bytes | None = None, signature: bytes | None = None) -> bytes:
    """The record with all around it; with `macros` as a workbook of macros, signed if `signature` is given."""
    file = io.BytesIO()
    book = Workbook(file, {"in_memory": True})
    if macros and signature:
        book.add_signed_vba_project(io.BytesIO(macros), io.BytesIO(signature), True, True)
    elif macros:
        book.add_vba_project(io.BytesIO(macros), True)
    _describe(book)
    first = book.add_worksheet("Read me")
    notes = _soundness(book, HEADING_ROW)
    _horses(book)
    _hooves(book)
    _abscesses(book)
    _totals(book, "Visits")
    _totals(book, "Costs")
    _around(book, notes)
    _pictures(book, first)
    _chart_sheet(book)
    hidden = book.add_worksheet("Lists")
    hidden.write_column(0, 0, ["dry", "wet", "frost"])
    hidden.hide()
    book.close()
    return file.getvalue()


def _describe(book: Workbook) -> None:
    book.set_properties(
        {"title": "Clover", "author": "Wren Sedge", "comments": "kept by hand", "created": _MADE}
    )
    book.set_custom_property("Yard", "Lower Meadow")
    book.set_custom_property("Checked on", _MADE)
    book.set_custom_property("Stalls", 7)
    book.set_calc_mode("auto")


def _soundness(book: Workbook, heading_row: int) -> Worksheet:
    sheet = book.add_worksheet("Soundness")
    bold = book.add_format({"bold": True, "bg_color": "#DDE8F0"})
    day, moment = (
        book.add_format({"num_format": "d mmm yyyy"}),
        book.add_format({"num_format": "d mmm yyyy h:mm"}),
    )
    sheet.write_row(heading_row - 1, 0, HEADINGS, bold)
    for row, note in enumerate(notes(), heading_row):
        for column, value in note.items():
            if isinstance(value, dt.datetime):
                sheet.write_datetime(row, column, value, moment if column == 7 else day)
            elif isinstance(value, str):
                sheet.write_string(row, column, value)
            else:
                sheet.write(row, column, value)
        sheet.write_formula(row, TWICE, f"={xl_rowcol_to_cell(row, 5)}*2", None, note[5] * 2)  # type: ignore[operator]
    return sheet


def _horses(book: Workbook) -> None:
    sheet = book.add_worksheet("Horses")
    sheet.write_row(0, 0, HORSE_HEADINGS)
    day = book.add_format({"num_format": 14})
    for row, (name, born, off, scale) in enumerate(horses(), 1):
        sheet.write_row(row, 0, (name, born))
        sheet.write_datetime(row, 2, off, day)
        sheet.write_string(row, 3, scale)


def _hooves(book: Workbook) -> None:
    """A table with a calculated column; it is drawn over the record alone."""
    sheet = book.add_worksheet("Hooves")
    day = book.add_format({"num_format": 14})
    rows = list(hooves())
    columns: list[dict[str, object]] = [{"header": heading} for heading in HOOF_HEADINGS]
    columns[0]["format"] = day
    columns[5]["formula"] = "=[@[Toe angle]]-[@[Heel angle]]"
    sheet.add_table(
        0,
        0,
        len(rows),
        len(columns) - 1,
        {"name": "HoofTable", "columns": columns, "style": "Table Style Medium 4"},
    )
    for row, (when, horse, foot, toe, heel) in enumerate(rows, 1):
        sheet.write_datetime(row, 0, when, day)
        sheet.write_row(row, 1, (horse, foot, toe, heel))
        sheet.write_formula(
            row,
            5,
            "=HoofTable[[#This Row],[Toe angle]]-HoofTable[[#This Row],[Heel angle]]",
            None,
            toe - heel,
        )


def _abscesses(book: Workbook) -> None:
    sheet = book.add_worksheet("Abscesses")
    sheet.write_row(0, 0, ("Horse", "Foot", "First seen", "Opened", "Remarks"))
    sheet.write_row(1, 0, ("Clover", "LF"))
    sheet.write_datetime(1, 2, dt.datetime(2026, 2, 20), book.add_format({"num_format": 14}))
    sheet.write_string(1, 4, "poultice")
    sheet.write_row(2, 0, ("Old Tom", "RH", "21 Feb 2026"))


def _totals(book: Workbook, name: str) -> None:
    sheet = book.add_worksheet(name)
    columns = [
        {"header": "Date", "total_string": "Total"},
        {"header": "Name"},
        {"header": "Paid", "total_function": "sum", "total_value": 95},
    ]
    data = [["3 Mar 2026", "R. Farrow", 45], ["4 Apr 2026", "R. Farrow", 50]]
    sheet.add_table("A1:C4", {"data": data, "columns": columns, "total_row": True, "name": f"{name}Table"})


def _around(book: Workbook, sheet: Worksheet) -> None:
    """All that stands around the daily notes on their own sheet."""
    first, last = HEADING_ROW, HEADING_ROW + NOTES - 1
    sheet.merge_range(0, 0, 0, 8, "Clover's daily notes", book.add_format({"bold": True, "font_size": 16}))
    sheet.write_rich_string("A2", "kept since ", book.add_format({"italic": True}), "her shoes came off")
    sheet.merge_range("K1:M2", "see the chart beside")
    sheet.freeze_panes(HEADING_ROW, 2)
    sheet.autofilter(first - 1, 0, last, TWICE)
    sheet.set_column("A:A", 13)
    sheet.set_column("I:I", 40, book.add_format({"text_wrap": True}))
    sheet.set_column("J:J", 12, None, {"level": 1})
    sheet.set_column("L:M", 9, None, {"hidden": True, "level": 2})
    sheet.set_row(first + 2, 30, None, {"level": 1})
    sheet.set_row(first + 3, 20, None, {"level": 1, "hidden": True})
    sheet.data_validation(first, 2, 999, 2, {"validate": "list", "source": ["stand", "walk", "trot"]})
    sheet.data_validation(first, 9, 999, 9, {"validate": "list", "source": "=Lists!$A$1:$A$3"})
    worse = book.add_format({"bg_color": "#F4C7C3"})
    sheet.conditional_format(first, 5, 999, 5, {"type": "cell", "criteria": ">", "value": 2, "format": worse})
    sheet.conditional_format(first, 5, 999, 5, {"type": "data_bar", "data_bar_2010": True, "bar_solid": True})
    sheet.conditional_format(first, 10, 999, 10, {"type": "icon_set", "icon_style": "3_arrows"})
    sheet.write_comment(first, 3, "looked twice", {"author": "Wren"})
    sheet.write_comment(
        first + 1,
        8,
        "[Threaded comment]\n\nWas it wet?",
        {"author": "tc={6F0C3C5B-58C1-4C43-9A5B-0C3B2C1D0E01}"},
    )
    sheet.insert_textbox(first, 14, "Ring the vet first.", {"width": 180, "height": 60})
    sheet.insert_button(first + 4, 14, {"caption": "Print"})
    sheet.add_sparkline(
        2, 5, {"range": f"Soundness!F{first + 1}:F{last + 1}", "markers": True, "type": "line"}
    )
    sheet.insert_image(first + 7, 14, "clover.png", {"image_data": io.BytesIO(picture())})
    chart = book.add_chart({"type": "line"})
    chart.add_series(
        {"categories": ["Soundness", first, 0, last, 0], "values": ["Soundness", first, 5, last, 5]}
    )
    sheet.insert_chart(first + 12, 14, chart)
    sheet.write_url(1, 8, "https://example.org/yard", None, "the yard")
    sheet.ignore_errors({"number_stored_as_text": "F5:F999"})
    sheet.set_landscape()
    sheet.center_horizontally()
    sheet.set_paper(9)
    sheet.print_area(0, 0, 200, TWICE)
    sheet.repeat_rows(HEADING_ROW - 1)
    sheet.set_header("&L&A&R&D", {})
    sheet.set_footer("&CPage &P of &N")
    sheet.set_h_pagebreaks([30, 60])
    sheet.set_tab_color("#336699")
    book.define_name("Scores", f"=Soundness!$F${first + 1}:$F$999")
    book.define_name("Soundness!Latest", f"=Soundness!$A${last + 1}")


def _pictures(book: Workbook, sheet: Worksheet) -> None:
    sheet.write("A1", "What this workbook holds")
    sheet.embed_image("B2", "in-the-cell.png", {"image_data": io.BytesIO(picture(200))})
    sheet.embed_image("B3", "in-the-cell-too.png", {"image_data": io.BytesIO(picture(30))})
    sheet.insert_image(
        "D2", "clover.png", {"image_data": io.BytesIO(picture(80)), "description": "a bay mare"}
    )
    sheet.set_background(io.BytesIO(picture(250)))
    sheet.set_header("&C&G", {"image_center": "head.png", "image_data_center": io.BytesIO(picture(10))})
    sheet.write_dynamic_array_formula("F1:F3", "=SORT(Lists!A1:A3)", None, "dry")
    sheet.write_array_formula("G1:G1", "{=SUM(Soundness!F5:F8*2)}", None, 6)
    sheet.write_formula("H1", "=COUNTA(Soundness!A5:A999)", None, NOTES)
    sheet.write_formula("H2", "=1/0", None, "#DIV/0!")
    sheet.write_boolean("H3", True)
    sheet.insert_checkbox("H4", True)
    chart = book.add_chart({"type": "scatter", "subtype": "smooth"})
    chart.add_series(
        {
            "categories": "=Soundness!$A$5:$A$16",
            "values": "=Soundness!$F$5:$F$16",
            "trendline": {"type": "linear"},
        }
    )
    sheet.insert_chart("D10", chart)


def _chart_sheet(book: Workbook) -> None:
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "=Hooves!$D$2:$D$9", "name": "Toe angle"})
    book.add_chartsheet("Angles").set_chart(chart)
