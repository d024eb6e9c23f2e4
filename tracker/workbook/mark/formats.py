"""Formats for marked cells: each cell's own format, with a fill and a frame instead of its own.

An error is orange in a thick unbroken frame, a doubt yellow in a dashed one: they differ in lightness and in line too,
and so on paper without colour. The colours are of the set of Okabe and Ito (2008), "Color Universal Design".

References: ISO/IEC 29500-1 §18.8.39 (styleSheet, the order of its groups), §18.8.21 (fills), §18.8.5 (borders),
§18.8.10 (cellXfs); WCAG 2.2, 1.4.3 (contrast and relative luminance).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from tracker.problem import DOUBT, ERROR
from tracker.workbook.change.sheet_xml import attributes_of, whole
from tracker.workbook.change.xml_group import appended, elements, figure, members, prefix_of
from tracker.workbook.change.zip_parts import unusual


@dataclass(frozen=True, slots=True)
class Look:
    """How a mark looks: the fill's and the frame's colour as RRGGBB, and the frame's line."""

    fill: str
    frame: str
    line: str


LOOKS: Mapping[str, Look] = {
    ERROR: Look("E69F00", "D55E00", "thick"),
    DOUBT: Look("F0E442", "0072B2", "mediumDashed"),
}

_MAIN = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_BLANK = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<styleSheet xmlns="%s">'
    b'<fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts><fills count="0"></fills>'
    b'<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    b'<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    b'<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs></styleSheet>'
) % _MAIN
_ORDER = ("fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors", "extLst")  # fmt: skip
_RESERVED = ("none", "gray125")
"""The first two fills are these, whatever the file says of them (from memory; every program writes them)."""
_DARK_THEME = (1, 3, 10, 11)  # the two dark inks and the two of links, ISO/IEC 29500-1 §18.8.3
_DARK_INDEXED = (0, 8, 64, 81)  # black, and the ink of windows and of notes, §18.8.27
_LIGHT_TINT = 0.4
"""From here on a dark ink of the theme is turned into a light one (§18.8.3: 0 is as it is, 1 is white)."""
_READABLE = 3.0
"""The least contrast of an own colour of letters to the fill; below it they turn black."""


class MarkFormats:
    """The formats of one workbook, with those that marks need. Raises Refused where they cannot be found."""

    def __init__(self, xml: bytes | bytearray | None) -> None:
        self._old = _BLANK if xml is None else bytes(xml)
        self._prefix = prefix_of(self._old, "styleSheet")
        self._formats = members(self._old, self._prefix, "cellXfs", "xf")
        self._fonts = members(self._old, self._prefix, "fonts", "font")
        if not self._formats:
            raise unusual("it has no formats of cells")
        self._first = {
            group: len(members(self._old, self._prefix, group, name))
            for group, name in (
                ("fonts", "font"),
                ("fills", "fill"),
                ("borders", "border"),
                ("cellXfs", "xf"),
            )
        }
        self._new: dict[str, list[bytes]] = {group: [] for group in self._first}
        self._made: dict[tuple[int, str], int] = {}
        for kind in _RESERVED[self._first["fills"] :]:
            self._add("fills", self._fill(f'patternType="{kind}"'))

    @property
    def xml(self) -> bytes:
        """The part of the formats, the new ones included."""
        xml = self._old
        for group, new in self._new.items():
            xml = appended(xml, self._prefix, group, new, _ORDER[_ORDER.index(group) + 1 :])
        return xml

    def marked(self, style: int, severity: str) -> int:
        """The number of the format that is like that one, and marked."""
        known = (style, severity)
        if known not in self._made:
            self._made[known] = self._add("cellXfs", self._format(style, LOOKS[severity]))
        return self._made[known]

    def _add(self, group: str, element: bytes) -> int:
        new = self._new[group]
        if element not in new:
            new.append(element)
        return self._first[group] + new.index(element)

    def _format(self, style: int, look: Look) -> bytes:
        """The format's own element with another fill, frame and, where its letters would not be seen, font."""
        like = self._formats[style if 0 <= style < len(self._formats) else 0]
        (found,) = elements(like, self._prefix, "xf")
        attributes = attributes_of(found[1])
        font = self._font(whole(attributes.get(b"fontId", b"")), look)
        attributes |= {
            b"fontId": b"%d" % font,
            b"fillId": b"%d" % self._add("fills", self._solid(look)),
            b"borderId": b"%d" % self._add("borders", self._border(look)),
            b"applyFill": b"1",
            b"applyBorder": b"1",
        } | ({b"applyFont": b"1"} if font >= self._first["fonts"] else {})
        text = b"".join(
            b' %s="%s"' % (name, value.replace(b'"', b"&quot;")) for name, value in attributes.items()
        )
        tag = self._prefix + b"xf"
        return b"<%s%s>%s</%s>" % (tag, text, found[2], tag) if found[2] else b"<%s%s/>" % (tag, text)

    def _font(self, number: int, look: Look) -> int:
        font = self._fonts[number] if number < len(self._fonts) else b""
        colours = elements(font, self._prefix, "color")
        if not colours or _readable(attributes_of(colours[0][1]), look.fill):
            return number
        black = b'<%scolor rgb="FF000000"/>' % self._prefix
        return self._add("fonts", font[: colours[0].start()] + black + font[colours[0].end() :])

    def _solid(self, look: Look) -> bytes:
        colours = '<{0}fgColor rgb="FF{1}"/><{0}bgColor indexed="64"/>'.format(
            self._prefix.decode(), look.fill
        )
        return self._fill('patternType="solid"', colours.encode())

    def _fill(self, pattern: str, colours: bytes = b"") -> bytes:
        p = self._prefix
        return b"<%sfill><%spatternFill %s>%s</%spatternFill></%sfill>" % (
            p,
            p,
            pattern.encode(),
            colours,
            p,
            p,
        )

    def _border(self, look: Look) -> bytes:
        p = self._prefix.decode()
        sides = "".join(
            f'<{p}{side} style="{look.line}"><{p}color rgb="FF{look.frame}"/></{p}{side}>'
            for side in ("left", "right", "top", "bottom")
        )
        return f"<{p}border>{sides}<{p}diagonal/></{p}border>".encode()


def _readable(colour: Mapping[bytes, bytes], fill: str) -> bool:
    """Whether letters of that colour are seen well on the fill."""
    if rgb := colour.get(b"rgb"):
        lighter, darker = sorted((luminance(rgb.decode()[-6:]), luminance(fill)), reverse=True)
        return (lighter + 0.05) / (darker + 0.05) >= _READABLE
    if theme := colour.get(b"theme"):
        return whole(theme) in _DARK_THEME and figure(colour.get(b"tint", b"0")) < _LIGHT_TINT
    return b"auto" in colour or whole(colour.get(b"indexed", b"64")) in _DARK_INDEXED


def luminance(rgb: str) -> float:
    """The relative luminance of a colour given as RRGGBB, from 0 (black) to 1 (white), as WCAG 2.2 defines it."""
    if not re.fullmatch(r"[0-9A-Fa-f]{6}", rgb):
        return 1.0
    parts = [int(rgb[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
