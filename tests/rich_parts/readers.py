"""Workbooks as others read them: cells, packed entries, rows as bytes, and what a checker of packages says."""

from __future__ import annotations

import datetime as dt
import io
import re
import warnings
import zipfile
from collections import Counter
from functools import cache
from pathlib import Path

import openpyxl
from openxml_audit import OpenXmlValidator
from python_calamine import CalamineWorkbook

from tracker.workbook.read import read_workbook

Cells = dict[tuple[int, int], object]


@cache
def by_openpyxl(workbook: bytes, *, saved: bool = False) -> dict[str, Cells]:
    """Every cell of every sheet: formulas as formulas, or by their saved results."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what openpyxl would lose if it saved
        book = openpyxl.load_workbook(io.BytesIO(workbook), data_only=saved, rich_text=False)
    return {
        sheet.title: {
            (cell.row, cell.column - 1): getattr(cell.value, "text", cell.value)
            for row in sheet.iter_rows()
            for cell in row
            if cell.value is not None
        }
        for sheet in book.worksheets
    }


@cache
def by_calamine(workbook: bytes) -> dict[str, Cells]:
    """Every cell of every sheet as calamine gives it; blanks are left out."""
    book = CalamineWorkbook.from_filelike(io.BytesIO(workbook))
    return {
        name: cells_of(book.get_sheet_by_name(name).to_python(skip_empty_area=False))
        for name in _sheets_of(book)
    }


def _sheets_of(book: CalamineWorkbook) -> list[str]:
    return [sheet.name for sheet in book.sheets_metadata if "WorkSheet" in str(sheet.typ)]


def by_us(workbook: bytes, folder: Path) -> dict[str, Cells]:
    """Every cell of every sheet as the program reads it; blanks are left out."""
    path = folder / "read.xlsx"
    path.write_bytes(workbook)
    return {sheet.name: cells_of(sheet.rows) for sheet in read_workbook(path).sheets}


def cells_of(rows: list[list[object]]) -> Cells:
    """Cells by row (from 1) and column (from 0); blanks are left out."""
    return {
        (row, column): moment(value)
        for row, values in enumerate(rows, 1)
        for column, value in enumerate(values)
        if value != ""
    }


def moment(value: object) -> object:
    """Days as moments, and times to the second: the libraries differ in the rest."""
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return dt.datetime.combine(value, dt.time())
    if isinstance(value, dt.datetime):
        return (value + dt.timedelta(microseconds=500_000)).replace(microsecond=0)
    return value


def same(found: object, wanted: object) -> bool:
    """Whether a reader gives what was written, or for empty nothing."""
    # openpyxl takes no escape out of a text that stands in its cell (ST_Xstring, ISO/IEC 29500-1 §22.9.2.19).
    return moment(found) == moment(wanted) or found == str(wanted).replace("_x0041_", "_x005F_x0041_")


def entries(workbook: bytes) -> dict[str, tuple[object, ...]]:
    """Each entry of a zip: its packed bytes, and what the directory says of it."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as archive:
        return {
            info.filename: (
                info.date_time, info.compress_type, info.comment, info.extra, info.create_system, info.create_version,
                info.extract_version, info.flag_bits, info.internal_attr, info.external_attr, info.CRC, info.compress_size,
                info.file_size, _packed(workbook, info),
            )
            for info in archive.infolist()
        }  # fmt: skip


def _packed(workbook: bytes, info: zipfile.ZipInfo) -> bytes:
    names = int.from_bytes(workbook[info.header_offset + 26 : info.header_offset + 28], "little")
    extra = int.from_bytes(workbook[info.header_offset + 28 : info.header_offset + 30], "little")
    start = info.header_offset + 30 + names + extra
    return workbook[start : start + info.compress_size]


def around(xml: bytes) -> tuple[bytes, dict[int, bytes], bytes]:
    """What stands before the rows, each row by its number, and what stands after them."""
    found = re.fullmatch(rb"(.*?<(?:\w+:)?sheetData\s*>)(.*)(</(?:\w+:)?sheetData\s*>.*)", xml, re.DOTALL)
    assert found
    rows: dict[int, bytes] = {}
    number = 0
    for row in re.findall(rb"<(?:\w+:)?row[\s>/].*?(?=<(?:\w+:)?row[\s>/]|$)", found[2], re.DOTALL):
        said = re.match(rb"<(?:\w+:)?row [^>]*?\br\s*=\s*[\"'](\d+)", row)
        number = int(said[1]) if said else number + 1
        rows[number] = row.strip()
    return found[1], rows, found[3]


def formats(row: bytes) -> dict[bytes, bytes]:
    """The format of each cell of a row that says where it stands."""
    return dict(re.findall(rb'<c r="([A-Z]+\d+)" s="(\d+)"', row))


def findings(workbook: bytes, folder: Path) -> Counter[str]:
    """What the checker says of a workbook.

    That texts standing in their cells would be better off in a list of their own is advice, not a mistake
    (inlineStr: ISO/IEC 29500-1 §18.18.11), and is left out.
    """
    path = folder / "audited.xlsx"
    path.write_bytes(workbook)
    said = map(str, OpenXmlValidator().validate(path).errors)
    return Counter(finding for finding in said if "Emit shared strings instead of inlineStr" not in finding)
