"""Reading an OpenDocument spreadsheet (.ods): its content.xml, walked through once within limits.

The format is OpenDocument 1.3, part 3 (OASIS, 2021), with LibreOffice's mark for errors.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from xml.parsers import expat

from tracker.workbook.formats.grid import Line, grid
from tracker.workbook.formats.opendocument_cell import cell_value
from tracker.workbook.gate import Archive, Refused
from tracker.workbook.letters import LAST_COLUMN, LAST_ROW
from tracker.workbook.raw_workbook import MOST_CELLS, RawSheet, RawWorkbook

_CONTENT, _MANIFEST = "content.xml", "META-INF/manifest.xml"
_LOCKED = "encrypted-package"  # OpenDocument 1.4, part 2
_MOST_MANIFEST = 8_000_000  # bytes
_LONGEST_GAP = 32_767  # blanks in a row; a cell holds no more signs
_MOST_BLANKS = 10_000_000  # that are written as a mere number, in all cells together

# What may stand in a cell or beside the cells and is none of what was typed there.
_STANDS_ASIDE = re.compile(
    r"office:annotation|office:forms|table:shapes|table:tracked-changes|table:dde-links|table:scenario"
    r"|text:note|text:ruby-text|drawing:.*"
)
_ASIDE = "aside"
_MOST_NAMES = 2_000  # of elements and attributes; a spreadsheet uses some hundred
_CELLS = ("table:table-cell", "table:covered-table-cell")
_PARAGRAPHS = ("text:p", "text:h")
# Blanks and breaks that are meant, marked until those of the XML's own layout are taken away (§6.1.2).
_MEANT = {"text:s": "\0", "text:tab": "\1", "text:line-break": "\2"}
_MEANT_TEXT = str.maketrans({"\0": " ", "\1": "\t", "\2": "\n"})
_LAYOUT = re.compile(r"[ \t]*[\r\n][ \t\r\n]*")  # LibreOffice writes the blanks in a text as they are


def is_opendocument(archive: Archive) -> bool:
    """Whether the parts are those of an OpenDocument file."""
    return _CONTENT in archive or _LOCKED in archive


def read_opendocument(path: Path, archive: Archive) -> RawWorkbook:
    """Read every cell of an OpenDocument spreadsheet. Raises Refused."""
    if _LOCKED in archive or b"encryption-data" in _manifest(archive):
        raise Refused("file-password")
    walk = _Walk()
    walk.run(archive.read(_CONTENT))
    if not walk.is_spreadsheet:
        raise Refused("file-not-workbook")
    return RawWorkbook(path, tuple(walk.sheets), walk.date1904, "ods")


def _manifest(archive: Archive) -> bytes | bytearray:
    return archive.read(_MANIFEST, most=_MOST_MANIFEST) if _MANIFEST in archive else b""


def _text(content: str) -> str:
    if content.isprintable():
        return content
    return _LAYOUT.sub("\n", content).strip("\n").replace("\n", " ").translate(_MEANT_TEXT)


class _Names(dict[str, str]):
    """The names of elements and attributes as they are usually written, whatever prefixes the file uses."""

    def __missing__(self, full: str) -> str:
        """Write "urn:…:table:1.0 table-cell" as "table:table-cell", and mark what stands aside."""
        if len(self) > _MOST_NAMES:
            raise Refused("file-damaged")
        space, _, local = full.rpartition(" ")
        words = [word for word in space.split(":") if not word[:1].isdigit()]
        name = f"{words[-1] if words else ''}:{local}"
        self[full] = _ASIDE if _STANDS_ASIDE.fullmatch(name) else name
        return self[full]


class _Walk:
    """The state while the parser walks through the content: table, row, cell, paragraph."""

    def __init__(self) -> None:
        self.sheets: list[RawSheet] = []
        self.is_spreadsheet = self.date1904 = self.in_row = False
        self.left, self.blanks = MOST_CELLS, 0
        self.depth = self.aside = self.table = self.cell = self.paragraph = 0  # the depths of the open ones
        self.lines: list[Line] = []
        self.cells: list[object] = []
        self.paragraphs: list[str] = []
        self.texts: list[str] = []
        self.attributes: dict[str, str] = {}
        self.names = _Names()
        self.starts: dict[str, Callable[[dict[str, str]], None]] = {
            "table:table": self.start_table,
            "table:table-source": self.start_source,
            "table:table-row": self.start_row,
            "table:null-date": self.start_null_date,
            "office:spreadsheet": self.start_spreadsheet,
        } | dict.fromkeys(_CELLS, self.start_cell)

    def run(self, xml: bytes | bytearray) -> None:
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        try:
            parser.Parse(xml, True)
        except expat.ExpatError as error:
            raise Refused("file-damaged") from error

    def start(self, full: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        if self.aside:
            return
        name = self.names[full]
        if name == _ASIDE or (self.cell and name == "table:table"):
            self.aside = self.depth
        elif self.paragraph:
            if name in _MEANT:
                self.meant(name, self.times(self.named(attributes), "text:c", _LONGEST_GAP))
        elif self.cell:
            if name in _PARAGRAPHS and self.depth == self.cell + 1:
                self.paragraph = self.depth
                self.texts = []
        elif name in self.starts:
            self.starts[name](self.named(attributes))

    def meant(self, name: str, times: int) -> None:
        self.blanks += times
        if self.blanks > _MOST_BLANKS:
            raise Refused("file-too-large")
        self.texts.append(_MEANT[name] * times)

    def named(self, attributes: dict[str, str]) -> dict[str, str]:
        names = self.names
        return {names[key]: value for key, value in attributes.items()}

    def end(self, full: str) -> None:
        depth, self.depth = self.depth, self.depth - 1
        if self.aside:
            self.aside = 0 if depth == self.aside else self.aside
        elif depth == self.paragraph:
            self.paragraph = 0
            self.paragraphs.append(_text("".join(self.texts)))
        elif depth == self.cell:
            self.cell = 0
            self.end_cell()
        elif depth == self.table:
            self.table = 0
            self.end_table()
        elif self.table and self.names[full] == "table:table-row":
            self.end_row()

    def characters(self, text: str) -> None:
        if self.paragraph and not self.aside:
            self.texts.append(text)

    def start_spreadsheet(self, _attributes: dict[str, str]) -> None:
        self.is_spreadsheet = True

    def start_null_date(self, attributes: dict[str, str]) -> None:
        self.date1904 = attributes.get("table:date-value", "").startswith("1904")

    def start_table(self, attributes: dict[str, str]) -> None:
        self.must(not self.table)
        self.table = self.depth
        self.in_row = False
        self.sheet_name = attributes.get("table:name", "")
        self.lines = []
        self.row = self.column = self.held = 0
        self.is_copy = False
        self.row_times, self.cells = 1, []

    def start_source(self, _attributes: dict[str, str]) -> None:
        """What another file held when it was last looked at, and no sheet of this one."""
        self.is_copy = True

    def end_table(self) -> None:
        if self.is_copy:
            return
        rows = grid(self.sheet_name, self.lines, self.left)
        self.left -= len(rows) * len(rows[0]) if rows else 0
        self.sheets.append(RawSheet(self.sheet_name, rows))

    def start_row(self, attributes: dict[str, str]) -> None:
        self.must(self.table and not self.in_row)
        self.in_row = True
        self.row_times = self.times(attributes, "table:number-rows-repeated", LAST_ROW)
        self.cells = []
        self.column = 0

    def end_row(self) -> None:
        self.in_row = False
        if self.cells:
            self.lines.append(Line(self.row, self.row_times, self.cells))
            self.held += len(self.cells)
            if self.held > self.left:  # the rectangle cannot be smaller, so this refuses
                grid(self.sheet_name, self.lines, self.left)
        self.row += self.row_times

    def start_cell(self, attributes: dict[str, str]) -> None:
        self.must(self.in_row)
        self.cell = self.depth
        self.attributes, self.paragraphs = attributes, []

    def end_cell(self) -> None:
        times = self.times(self.attributes, "table:number-columns-repeated", LAST_COLUMN)
        value = cell_value(self.attributes, "\n".join(self.paragraphs))
        if value != "":
            self.must(self.column + times <= LAST_COLUMN)
            self.cells += [""] * (self.column - len(self.cells)) + [value] * times
        self.column += times

    @staticmethod
    def must(is_so: object) -> None:
        """Refuse what no such file can hold, such as a row outside a table."""
        if not is_so:
            raise Refused("file-damaged")

    @staticmethod
    def times(attributes: dict[str, str], key: str, most: int) -> int:
        text = attributes.get(key)
        if text is None:
            return 1
        text = text.strip()
        if not text.isascii() or not text.isdigit():
            raise Refused("file-damaged")
        return min(int(text), most) if len(text) < 9 else most
