"""A sheet that is written in another manner than the plain one: parsed, and rewritten cell by cell."""

from __future__ import annotations

import re
from html import escape
from xml.parsers import expat

from tracker.workbook.cell import Remark, plain_cell
from tracker.workbook.gate import Refused
from tracker.workbook.letters import LAST_COLUMN, LAST_ROW, column_index, column_letter

_REFERENCE = re.compile(r"([A-Za-z]{1,3})([1-9]\d{0,6})", re.ASCII)
_ROW = re.compile(r"[1-9]\d{0,6}", re.ASCII)


def rewrite(xml: bytes | bytearray) -> tuple[list[bytes], dict[tuple[int, int], Remark]]:
    """Give the plain rows of any sheet, and what must be said of its cells by (row, column) from 0.

    The sheet's own elements have no prefix. A row or cell without a reference stands after the one before
    it. Raises Refused.
    """
    return _Rewriter().run(xml)


class _Rewriter:
    """The state while the parser walks through one sheet: worksheet, sheetData, row, c, and what c holds."""

    def __init__(self) -> None:
        self.rows: list[bytes] = []
        self.remarks: dict[tuple[int, int], Remark] = {}
        self.depth = 0
        self.in_data = False
        self.phonetic = 0
        self.row = 0
        self.column = -1
        self.cells: list[bytes] = []
        self.attributes: dict[str, str] = {}
        self.texts: dict[str, str] = {}
        self.element = ""

    def run(self, xml: bytes | bytearray) -> tuple[list[bytes], dict[tuple[int, int], Remark]]:
        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        try:
            parser.Parse(xml, True)
        except expat.ExpatError as error:
            raise Refused("file-damaged") from error
        return self.rows, self.remarks

    def start(self, name: str, attributes: dict[str, str]) -> None:
        depth = self.depth = self.depth + 1
        if depth == 2:
            self.in_data = name == "sheetData"
        if not self.in_data or depth < 3:
            return
        if depth == 5:
            self.element = name
            self.texts[name] = ""
        elif depth == 4:
            self.start_cell(attributes)
        elif depth == 3:
            self.start_row(attributes.get("r"))
        elif name == "rPh":  # how a name is pronounced, not what was typed
            self.phonetic = depth

    def end(self, _name: str) -> None:
        depth, self.depth = self.depth, self.depth - 1
        if not self.in_data:
            return
        if depth == 5:
            self.element = ""
        elif depth == 4:
            self.end_cell()
        elif depth == 3:
            self.rows.append(b'<row r="%d">%s</row>' % (self.row, b"".join(self.cells)))
        elif depth == self.phonetic:
            self.phonetic = 0

    def characters(self, text: str) -> None:
        if self.element and not self.phonetic:
            self.texts[self.element] += text

    def start_row(self, reference: str | None) -> None:
        if reference is not None and not _ROW.fullmatch(reference):
            raise Refused("file-damaged")
        self.row = int(reference) if reference else self.row + 1
        self.column = -1
        self.cells = []

    def start_cell(self, attributes: dict[str, str]) -> None:
        self.attributes, self.texts = attributes, {}
        if "r" not in attributes:
            self.column, self.cell_row = self.column + 1, self.row
        elif found := _REFERENCE.fullmatch(attributes["r"]):
            self.column, self.cell_row = column_index(found[1].upper()), int(found[2])
        else:
            raise Refused("file-damaged")
        if self.column >= LAST_COLUMN or self.cell_row > LAST_ROW:  # no such cell exists in any workbook
            raise Refused("file-damaged")

    def end_cell(self) -> None:
        kind = self.attributes.get("t", "")
        inline = kind == "inlineStr"
        formula, value = self.texts.get("f"), self.texts.get("is" if inline else "v")
        cell, remark = plain_cell(
            b"%s%d" % (column_letter(self.column).encode(), self.cell_row),
            kind=b"str" if inline else kind.encode(),
            style=self.attributes.get("s", "").encode(),
            formula=None if formula is None else _escaped(formula),
            value=None if value is None else _escaped(value),
        )
        self.cells.append(cell)
        if remark is not None:
            self.remarks[self.cell_row - 1, self.column] = remark


def _escaped(text: str) -> bytes:
    return escape(text, quote=False).encode()
