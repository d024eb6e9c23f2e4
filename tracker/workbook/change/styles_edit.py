"""The formats of a workbook's cells: which of them show a date, and one more where a date needs it."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format

from tracker.workbook.change.sheet_xml import whole
from tracker.workbook.change.xml_group import appended, members, prefix_of
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.package import local_name

DAY, DAY_AND_TIME = 14, 22
"""Number formats that every spreadsheet knows, in the owner's own order of day and month (ISO/IEC 29500-1 §18.8.30)."""

_OWN_NUMBER = re.compile(rb"\s(?:numFmtId|applyNumberFormat)\s*=\s*(?:\"[^\"]*\"|'[^']*')")


class Styles:
    """The cell formats of one workbook. `xml` is None where it has none, and grows with `for_date`."""

    def __init__(self, xml: bytes | bytearray | None) -> None:
        self.xml = xml
        self.changed = False
        self._codes = dict(BUILTIN_FORMATS)
        self._formats: list[ElementTree.Element] = []
        for group in ElementTree.fromstring(xml) if xml else ():
            if local_name(group.tag) == "numFmts":
                self._codes |= {
                    whole(code.get("numFmtId", "").encode()): code.get("formatCode", "") for code in group
                }
            if local_name(group.tag) == "cellXfs":
                self._formats = [each for each in group if local_name(each.tag) == "xf"]

    def _number(self, style: int) -> int:
        if not 0 <= style < len(self._formats):
            return 0
        return whole(self._formats[style].get("numFmtId", "").encode())

    def is_date(self, style: int) -> bool:
        """Whether a number in this format is shown as a day, with or without its time; m alone may be minutes."""
        code = self._codes.get(self._number(style), "")
        return is_date_format(code) and any(sign in _bare(code) for sign in ("d", "y", "mmm"))

    def is_text(self, style: int) -> bool:
        """Whether the format keeps what is typed as text."""
        return self._codes.get(self._number(style)) == "@"

    def for_date(self, style: int, *, time: bool) -> int:
        """Give the format that is like this one but shows a date; it is added where there is none. Raises Refused."""
        if self.xml is None or not self._formats:
            raise unusual("it has no formats, so it cannot show a date")
        like = style if 0 <= style < len(self._formats) else 0
        for number, each in enumerate(self._formats):
            if self.is_date(number) and _look(each) == _look(self._formats[like]):
                return number
        self._add(like, DAY_AND_TIME if time else DAY)
        return len(self._formats) - 1

    def _add(self, like: int, number: int) -> None:
        """Put a copy of a format, with another number format, behind all others."""
        xml = bytes(self.xml or b"")
        prefix = prefix_of(xml, "styleSheet")
        written = members(xml, prefix, "cellXfs", "xf")
        if len(written) != len(self._formats):
            raise unusual("its formats cannot be found")
        bare = _OWN_NUMBER.sub(b"", written[like], count=2)
        tag = b"<%sxf" % prefix
        new = tag + b' numFmtId="%d" applyNumberFormat="1"' % number + bare[len(tag) :]
        self.xml = appended(xml, prefix, "cellXfs", [new])
        self._formats.append(_like(self._formats[like], number))
        self.changed = True


def _like(element: ElementTree.Element, number: int) -> ElementTree.Element:
    return ElementTree.Element(element.tag, element.attrib | {"numFmtId": str(number)})


def _look(element: ElementTree.Element) -> tuple[object, ...]:
    """What makes two formats look alike, whatever they make of a number."""
    own = tuple(element.get(name) for name in ("fontId", "fillId", "borderId", "xfId"))
    return own, [(local_name(each.tag), dict(each.attrib)) for each in element]


def _bare(code: str) -> str:
    """A format's code without its quoted words, colours and escaped signs."""
    return re.sub(r'"[^"]*"|\[[^\]]*\]|\\.', "", code.split(";")[0]).lower()
