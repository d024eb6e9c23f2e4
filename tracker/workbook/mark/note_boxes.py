"""The boxes in which a sheet's notes are shown: shapes of the old drawing language that notes still need.

References: ISO/IEC 29500-4 §19.4 (the ClientData of a shape), §19.1 and §19.2 (VML); the manner of the ids, a block of
1024 for each number in the list `idmap`, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from tracker.workbook.change.sheet_xml import SheetXml
from tracker.workbook.change.xml_group import figure
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.letters import LAST_COLUMN, LAST_ROW
from tracker.workbook.mark.cells import columns_of

_BLOCK = 1024
_WIDE, _SIGNS_A_LINE, _LINE, _MARGIN = (
    360,
    52,
    15,
    12,
)  # of a box, in pixels; and how much of Tahoma 9 fits a line
_NAMES = {
    "v": "urn:schemas-microsoft-com:vml",
    "o": "urn:schemas-microsoft-com:office:office",
    "x": "urn:schemas-microsoft-com:office:excel",
}
_DECLARED = "".join(f' xmlns:{prefix}="{name}"' for prefix, name in _NAMES.items())
_TYPE = (
    '<v:shapetype id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe"{names}>'
    '<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>'
)
_SHAPE = (
    '<v:shape id="_x0000_s{number}" type="#_x0000_t202" style="position:absolute;margin-left:80pt;margin-top:5pt;'
    'width:270pt;height:{height}pt;z-index:{order};visibility:hidden" fillcolor="#ffffe1" o:insetmode="auto"{names}>'
    '<v:fill color2="#ffffe1"/><v:shadow on="t" color="black" obscured="t"/><v:path o:connecttype="none"/>'
    '<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox>'
    '<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/><x:Anchor>{anchor}</x:Anchor>'
    "<x:AutoFill>False</x:AutoFill><x:Row>{row}</x:Row><x:Column>{column}</x:Column></x:ClientData></v:shape>"
)

_NOTE = re.compile(
    rb"<([\w.-]*:?)ClientData\s[^>]*?ObjectType\s*=\s*[\"']Note[\"'].*?</\1ClientData", re.DOTALL
)
_PLACE = re.compile(rb"Row>\s*(\d+)\s*<.*?Column>\s*(\d+)\s*<", re.DOTALL)
_BOTTOM = re.compile(rb"(Anchor>(?:\s*\d+\s*,){6}\s*)(\d+)")
_USUAL_ROW = 20  # pixels


@dataclass(frozen=True, slots=True)
class Box:
    """A box for the note of one cell, both counted from 0; `height` in pixels, `anchor` its corners in the grid."""

    row: int
    column: int
    height: int
    anchor: str


class Grid:
    """How wide the columns of a sheet are and how high its rows, in pixels, to lay out boxes over them."""

    def __init__(self, sheet: SheetXml, heights: Mapping[int, float]) -> None:
        general = [each.attributes for each in sheet.elements("sheetFormatPr")]
        first = general[0] if general else {}
        self._wide = _width(first.get(b"defaultColWidth", b"8.43"))
        self._high = round(figure(first.get(b"defaultRowHeight", b"15")) * 4 / 3)
        self._heights = heights
        self._widths = [(each.first, each.last, _shown(each.attributes)) for each in columns_of(sheet)]

    def box(self, row: int, column: int, text: str) -> Box:
        """A box of a fit size beside a cell; row and column count from 0."""
        height = height_of(text) + _MARGIN
        left, top = min(column + 1, LAST_COLUMN - 1), max(row - 1, 0)
        right = _reach(left, 15 + _WIDE, self._width, LAST_COLUMN - 1)
        bottom = _reach(top, 10 + height, self._height, LAST_ROW - 1)
        return Box(
            row, column, height, f"{left}, 15, {top}, 10, {right[0]}, {right[1]}, {bottom[0]}, {bottom[1]}"
        )

    def _width(self, column: int) -> int:
        widths = (wide for first, last, wide in self._widths if first <= column + 1 <= last)
        return next((wide for wide in widths if wide is not None), self._wide)

    def _height(self, row: int) -> int:
        points = self._heights.get(row + 1)
        return self._high if points is None else round(points * 4 / 3)


def height_of(text: str) -> int:
    """How high the words stand in a box of ours, in pixels."""
    return sum(len(line) // _SIGNS_A_LINE + 1 for line in text.split("\n")) * _LINE


def _shown(column: Mapping[bytes, bytes]) -> int | None:
    if column.get(b"hidden") in (b"1", b"true"):
        return 0
    return _width(column[b"width"]) if b"width" in column else None


def _width(signs: bytes) -> int:
    """Pixels of a width in digits of the usual font (ISO/IEC 29500-1 §18.3.1.13)."""
    return int(figure(signs) * 7 + 5)


def _reach(start: int, pixels: int, size: Callable[[int], int], last: int) -> tuple[int, int]:
    """The column or row in which so many pixels from the beginning of the first one end, and how far in it."""
    at = start
    while pixels > size(at) and at < last:
        pixels -= size(at)
        at += 1
    return at, pixels


def blocks_in(drawings: Iterable[bytes | bytearray]) -> set[int]:
    """The blocks of ids that are taken in the drawings."""
    taken = {0}
    for xml in drawings:
        for found in re.finditer(rb"<[\w.-]*:?idmap\b[^>]*?\bdata\s*=\s*[\"']([\d,\s]+)", xml):
            taken |= {int(part) for part in found[1].replace(b",", b" ").split()}
        taken |= {int(found[1]) // _BLOCK for found in re.finditer(rb"_s(\d{1,9})\b", xml)}
    return taken


def with_boxes(xml: bytes | bytearray | None, boxes: Sequence[Box], taken: set[int]) -> bytes:
    """The drawing with more boxes, and ids of blocks that are not taken, which then are. Raises Refused."""
    blocks = [next(number for number in count(1) if number not in taken)]
    while len(boxes) > len(blocks) * (_BLOCK - 1):
        blocks.append(next(number for number in count(blocks[-1]) if number not in {*taken, *blocks}))
    taken.update(blocks)
    data = ",".join(map(str, blocks))
    if xml is None:
        layout = f'<o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="{data}"/></o:shapelayout>'
        xml = f"<xml{_DECLARED}>{layout}</xml>".encode()
    else:
        listed = rb"(<[\w.-]*:?idmap\b[^>]*?\bdata\s*=\s*[\"'][\d,\s]+)"
        xml = re.sub(listed, lambda found: b"%s,%s" % (found[1], data.encode()), bytes(xml), count=1)
    at = xml.rfind(b"</xml")
    if at < 0:
        raise unusual("the boxes of its notes cannot be found")
    names = "" if all(f'xmlns:{p}="{name}"'.encode() in xml for p, name in _NAMES.items()) else _DECLARED
    kind = "" if b'id="_x0000_t202"' in xml else _TYPE.format(names=names)
    shapes = (
        _SHAPE.format(
            number=blocks[index // (_BLOCK - 1)] * _BLOCK + 1 + index % (_BLOCK - 1), order=index + 1,
            height=round(box.height * 0.75), anchor=box.anchor, row=box.row, column=box.column, names=names,
        )
        for index, box in enumerate(boxes)
    )  # fmt: skip
    return xml[:at] + (kind + "".join(shapes)).encode() + xml[at:]


def with_room(xml: bytes | bytearray, longer: Mapping[tuple[int, int], str]) -> bytes:
    """The drawing in which the boxes of these cells (row, column from 0) reach further down, for more words."""

    def taller(client: re.Match[bytes]) -> bytes:
        place = _PLACE.search(client[0])
        text = longer.get((int(place[1]), int(place[2]))) if place else None
        if text is None:
            return client[0]
        rows = -(-height_of(text) // _USUAL_ROW)
        return _BOTTOM.sub(lambda found: b"%s%d" % (found[1], int(found[2]) + rows), client[0], count=1)

    return _NOTE.sub(taller, bytes(xml))
