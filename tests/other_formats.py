"""Workbooks of other formats: OpenDocument and binary ones packed by hand, others converted by LibreOffice."""

from __future__ import annotations

import struct
import subprocess
import zipfile
from collections.abc import Sequence
from pathlib import Path

from packed import PACKAGE, RELATIONSHIPS, pack, signposts

_OASIS = "urn:oasis:names:tc:opendocument:xmlns"
_CALC = "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"
# ISO/IEC 29500-1 and -4: the names of the stricter kind of Open XML and of the usual one.
STRICT = {
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main": "http://purl.oclc.org/ooxml/spreadsheetml/main",
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships": "http://purl.oclc.org/ooxml/officeDocument/relationships",
    "http://schemas.openxmlformats.org/drawingml/2006/main": "http://purl.oclc.org/ooxml/drawingml/main",
}


def table(rows: str, name: str = "Soundness") -> str:
    """A table's XML from the XML of its rows."""
    return f'<table:table table:name="{name}">{rows}</table:table>'


def row(cells: str, times: int = 1) -> str:
    """A row's XML."""
    return f'<table:table-row table:number-rows-repeated="{times}">{cells}</table:table-row>'


def cell(shown: str, *attributes: str) -> str:
    """A cell's XML: what it shows, and its attributes, those of the office: kind without a prefix."""
    named = " ".join(text if ":" in text.partition("=")[0] else f"office:{text}" for text in attributes)
    return f"<table:table-cell {named}><text:p>{shown}</text:p></table:table-cell>"


def content(tables: str, body: str = "spreadsheet") -> str:
    """The content.xml of these tables."""
    names = "".join(f' xmlns:{word}="{_OASIS}:{word}:1.0"' for word in ("office", "table", "text", "drawing"))
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content{names} xmlns:calcext="{_CALC}" '
        f'xmlns:draw="{_OASIS}:drawing:1.0" xmlns:dc="http://purl.org/dc/elements/1.1/" office:version="1.3">'
        f"<office:body><office:{body}>{tables}</office:{body}></office:body></office:document-content>"
    )


def pack_ods(path: Path, xml: str | bytes, manifest: str = "") -> Path:
    """Pack a content.xml as an OpenDocument spreadsheet."""
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    entries = (
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
        f'<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml">{manifest}'
        "</manifest:file-entry>"
    )
    return pack(
        path,
        {
            "mimetype": kind,
            "content.xml": xml,
            "META-INF/manifest.xml": f'<manifest:manifest xmlns:manifest="{_OASIS}:manifest:1.0">{entries}</manifest:manifest>',
        },
    )


def convert(path: Path, ending: str) -> Path:
    """Let LibreOffice save a workbook in another format, beside the first; once."""
    made, profile = path.with_suffix(f".{ending}"), path.parent / "profile"
    if made.exists():
        return made
    subprocess.run(
        [
            "soffice", "--headless", f"-env:UserInstallation={profile.as_uri()}",
            "--convert-to", ending, "--outdir", path.parent, path,
        ],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    return made


def make_strict(path: Path) -> Path:
    """Rewrite a workbook in place with the names of Strict Open XML."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    for usual, strict in STRICT.items():
        parts = {name: part.replace(usual.encode(), strict.encode()) for name, part in parts.items()}
    return pack(path, parts)


# The records of a binary workbook: [MS-XLSB] §2.3.2, §2.4
BEGIN_BOOK, END_BOOK, BEGIN_SHEETS, END_SHEETS, SHEET, SETTINGS = 131, 132, 143, 144, 156, 153
BEGIN_SHEET, END_SHEET, EXTENT, BEGIN_DATA, END_DATA, ROW = 129, 130, 148, 145, 146, 0
BLANK, ERROR, TRUTH, NUMBER, TEXT, FORMULA_ERROR = 1, 3, 4, 5, 6, 11
BEGIN_FORMATS, END_FORMATS, FORMAT = 617, 618, 47
BEGIN_STYLES, END_STYLES = 278, 279


def record(kind: int, body: bytes = b"") -> bytes:
    """One record: kind and length, seven bits to a byte, and what it holds (§2.1.4)."""
    return _seven_bits(kind) + _seven_bits(len(body)) + body


def _seven_bits(number: int) -> bytes:
    low, rest = number & 0x7F, number >> 7
    return bytes([low | 0x80]) + _seven_bits(rest) if rest else bytes([low])


def wide(text: str) -> bytes:
    """A text with its length before it (XLWideString, §2.5.169)."""
    units = text.encode("utf-16-le")
    return struct.pack("<L", len(units) // 2) + units


def binary_cell(column: int, value: object, style: int = 0) -> bytes:
    """A cell's record. An error is given as bytes: its code."""
    head = struct.pack("<LL", column, style)
    if isinstance(value, bytes):
        return record(ERROR, head + value)
    if isinstance(value, bool):
        return record(TRUTH, head + bytes([value]))
    if isinstance(value, str):
        return record(TEXT, head + wide(value))
    assert isinstance(value, float)
    return record(NUMBER, head + struct.pack("<d", value))


def binary_row(number: int, cells: bytes) -> bytes:
    """A row's record, counted from 0, and its cells."""
    return record(ROW, struct.pack("<LLHHBL", number, 0, 300, 0, 0, 0)) + cells


def pack_xlsb(path: Path, sheets: Sequence[tuple[str, bytes]], *, date1904: bool = False) -> Path:
    """Pack a binary workbook of these sheets, each the records of its rows. Style 1 is a day."""
    numbers = range(1, len(sheets) + 1)
    bundle = b"".join(
        record(SHEET, struct.pack("<LL", 0, number) + wide(f"rId{number}") + wide(name))
        for number, (name, _) in zip(numbers, sheets, strict=True)
    )
    kinds = {f"rId{number}": ("worksheet", f"worksheets/sheet{number}.bin") for number in numbers}
    kinds["rId0"] = ("styles", "styles.bin")
    entries = "".join(
        f'<Relationship Id="{key}" Type="{RELATIONSHIPS}/{kind}" Target="{target}"/>'
        for key, (kind, target) in kinds.items()
    )
    formats = b"".join(
        record(FORMAT, struct.pack("<HHHHHLH", 0, number, 0, 0, 0, 0, 0)) for number in (0, 14)
    )
    return pack(
        path,
        {
            "_rels/.rels": signposts(officeDocument="xl/workbook.bin"),
            "xl/workbook.bin": record(BEGIN_BOOK)
            + record(SETTINGS, struct.pack("<LL", int(date1904), 0) + wide(""))
            + record(BEGIN_SHEETS) + bundle + record(END_SHEETS) + record(END_BOOK),
            "xl/_rels/workbook.bin.rels": f'<Relationships xmlns="{PACKAGE}/relationships">{entries}</Relationships>',
            "xl/styles.bin": record(BEGIN_STYLES)
            + record(BEGIN_FORMATS, struct.pack("<L", 2)) + formats + record(END_FORMATS) + record(END_STYLES),
        }
        | {
            f"xl/worksheets/sheet{number}.bin": record(BEGIN_SHEET)
            + record(EXTENT, struct.pack("<LLLL", 0, 9, 0, 9)) + record(BEGIN_DATA) + rows
            + record(END_DATA) + record(END_SHEET)
            for number, (_, rows) in zip(numbers, sheets, strict=True)
        },
    )  # fmt: skip
