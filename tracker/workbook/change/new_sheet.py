"""One more sheet for a workbook: its part, and the few places in other parts where it must be named.

References: ISO/IEC 29500-1 §12.3.24 (worksheet part), §18.2.20 (sheets).
"""

from __future__ import annotations

import posixpath
from collections.abc import Sequence
from html import escape

from tracker.workbook.change.editable import Editable
from tracker.workbook.change.sheet_xml import attributes_of, whole
from tracker.workbook.change.signposts import NewParts
from tracker.workbook.change.values import text_of
from tracker.workbook.change.xml_group import appended, elements, prefix_of
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.gate import Refused
from tracker.workbook.letters import column_letter
from tracker.workbook.package import local_name

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_RELATIONSHIPS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"


def parts_of(book: Editable, name: str, headings: Sequence[str]) -> dict[str, bytes]:
    """The parts that change, and the new one.

    Raises Refused where there is such a sheet already, or the owner has protected the list of sheets.
    """
    if any(name.casefold() == known.casefold() for known in book.sheet_names):
        raise Refused("write-in-the-way", sheet=name, ref="A1", reason="there is such a sheet already")
    for element in book.workbook:
        if local_name(element.tag) == "workbookProtection" and element.get("lockStructure") in ("1", "true"):
            raise unusual("its list of sheets is protected against changes")
    new = NewParts(book)
    place = new.free(posixpath.join(posixpath.dirname(book.place), "worksheets"), "sheet{}.xml")
    new.put(place, _sheet(headings))
    new.declare(place, _TYPE)
    new.put(book.place, _listed(book, name, new.relate(book.place, "worksheet", place)))
    return new.changed


def _sheet(headings: Sequence[str]) -> bytes:
    cells = b"".join(
        b'<c r="%s1" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>'
        % (column_letter(number).encode(), text_of(text))
        for number, text in enumerate(headings)
    )
    return (
        b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
        b'<worksheet xmlns="%s"><dimension ref="A1:%s1"/><sheetData><row r="1">%s</row></sheetData></worksheet>'
        % (_MAIN.encode(), column_letter(max(len(headings) - 1, 0)).encode(), cells)
    )


def _listed(book: Editable, name: str, link: str) -> bytes:
    """The workbook's own part with the sheet at the end of its list."""
    xml = bytes(book.xml(book.place))
    prefix = prefix_of(xml, "workbook")
    known = (attributes_of(sheet[1]).get(b"sheetId", b"") for sheet in elements(xml, prefix, "sheet"))
    number = max(map(whole, known), default=0) + 1
    text = f'sheet xmlns:r="{_RELATIONSHIPS}" name="{escape(name)}" sheetId="{number}" r:id="{link}"/>'
    return appended(xml, prefix, "sheets", [b"<" + prefix + text.encode()])
