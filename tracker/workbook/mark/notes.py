"""The notes of one sheet's marks: their words, their boxes, and where the sheet must name them.

References: ISO/IEC 29500-1 §18.3.1.99 (the order of a worksheet's elements), §18.3.1.51 (legacyDrawing).
"""

from __future__ import annotations

import posixpath
from collections.abc import Mapping, Sequence
from xml.parsers import expat

from tracker.problem import Problem
from tracker.workbook import package
from tracker.workbook.change.editable import Editable
from tracker.workbook.change.sheet_edit import Splice
from tracker.workbook.change.sheet_xml import SheetXml
from tracker.workbook.change.signposts import NewParts
from tracker.workbook.change.zip_parts import unusual
from tracker.workbook.gate import Refused
from tracker.workbook.letters import column_letter
from tracker.workbook.mark.cells import ByCell
from tracker.workbook.mark.comments import AUTHOR, Notes
from tracker.workbook.mark.note_boxes import Box, Grid, with_boxes, with_room

_AFTER = ("legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls", "webPublishItems", "tableParts", "extLst")  # fmt: skip
"""What comes behind a sheet's legacyDrawing."""
_RELATIONSHIPS = b"http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_NOTES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
_BOXES_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing"
_LONGEST_FOUND = 200
"""Signs of what stands in the cell that are told again beside it."""


class SheetNotes:
    """The notes of one sheet; what changes goes into `parts` and, in the sheet itself, into `splices`."""

    def __init__(self, book: Editable, place: str, sheet: SheetXml, parts: NewParts) -> None:
        self._book, self._place, self._sheet, self._parts = book, place, sheet, parts
        self._related = package.relationships(book.archive, place)
        self._part = package.first_target(self._related, "comments")
        self._notes = Notes(None if self._part is None else book.xml(self._part))
        self._threads = self._cells_with_threads()
        self.splices: list[Splice] = []

    def write(self, by_cell: ByCell, heights: Mapping[int, float], taken: set[int]) -> dict[str, str]:
        """Write the notes; gives the words put into each cell's, "" where there could be none. Raises Refused.

        `heights` are those of rows, in points; `taken` the blocks of ids that boxes have in this workbook.
        """
        grid = Grid(self._sheet, heights)
        words: dict[str, str] = {}
        boxes: list[Box] = []
        longer: dict[tuple[int, int], str] = {}
        for (row, column), problems in sorted(by_cell.items()):
            ref = f"{column_letter(column)}{row}"
            text = note_text(problems)
            words[ref] = text if self._may_have(ref) and self._notes.add(ref, text) else ""
            if words[ref] and ref not in self._notes:
                boxes.append(grid.box(row - 1, column, text))
            elif self._notes.is_longer(ref):
                longer[row - 1, column] = text
        if any(words.values()):
            self._put_words()
            self._put_boxes(boxes, longer, taken)
        return words

    def _may_have(self, ref: str) -> bool:
        """Whether our words may go into the cell's note: one that stands for a conversation must stay as it is."""
        return ref not in self._threads and not self._notes.stands_for_a_thread(ref)

    def _cells_with_threads(self) -> set[str]:
        places = [place for kind, place in self._related.values() if kind == "threadedComment"]
        roots = (package.parsed(self._book.archive, place) for place in places)
        return {each.get("ref", "").upper() for root in roots for each in root}

    def _put_words(self) -> None:
        if self._part is None:
            self._part = self._parts.free(self._folder(), "comments{}.xml")
            self._parts.relate(self._place, "comments", self._part)
            self._parts.declare(self._part, _NOTES_TYPE)
        self._parts.put(self._part, self._notes.xml)

    def _put_boxes(
        self, boxes: Sequence[Box], longer: Mapping[tuple[int, int], str], taken: set[int]
    ) -> None:
        drawing = self._drawing()
        if drawing is not None:
            xml = with_room(self._book.archive.read_bytes(drawing), longer)
            self._parts.put(drawing, with_boxes(xml, boxes, taken) if boxes else xml)
        elif boxes:
            self._put_new_boxes(with_boxes(None, boxes, taken))

    def _put_new_boxes(self, xml: bytes) -> None:
        drawing = self._parts.free(posixpath.join(self._folder(), "drawings"), "vmlDrawing{}.vml")
        link = self._parts.relate(self._place, "vmlDrawing", drawing)
        self._parts.declare_ending("vml", _BOXES_TYPE)
        self._parts.put(drawing, xml)
        tag, at = self._sheet.tag("legacyDrawing"), place_before(self._sheet, _AFTER)
        self.splices.append(
            Splice(at, at, b'<%s xmlns:r="%s" r:id="%s"/>' % (tag, _RELATIONSHIPS, link.encode()))
        )

    def _drawing(self) -> str | None:
        """The part with the boxes that the sheet has. Raises Refused where it is named but not there."""
        for each in self._sheet.elements("legacyDrawing"):
            ids = [value for name, value in each.attributes.items() if name.rpartition(b":")[2] == b"id"]
            _, place = self._related.get(ids[0].decode() if ids else "", ("", ""))
            if place not in self._book.parts:
                raise unusual("the boxes of its notes cannot be found")
            return place
        return None

    def _folder(self) -> str:
        return posixpath.dirname(posixpath.dirname(self._place))


def note_text(problems: Sequence[Problem]) -> str:
    """The words of a cell's note: its problems as the check prints them."""
    return "\n\n".join([f"{AUTHOR}:", *map(_told, problems)])


def _told(problem: Problem) -> str:
    shown = str(problem)
    if len(problem.found) > _LONGEST_FOUND:
        shown = shown.replace(problem.found, f"{problem.found[:_LONGEST_FOUND]} …", 1)
    return "\n".join(line.strip() for line in shown.splitlines()).replace("found:   ", "found: ", 1)


def place_before(sheet: SheetXml, names: Sequence[str]) -> int:
    """Where an element goes that stands before those of these names, and behind all others of the sheet.

    What stands in an AlternateContent, for those programs that know it, counts as if it stood there itself
    (ISO/IEC 29500-3 §7.6).
    """
    after_rows = sheet.data.end() if sheet.empty else sheet.xml.index(b">", sheet.rows_end) + 1
    head = bytes(sheet.xml[: sheet.data.start()])
    path: list[str] = []
    child = 0
    found: list[int] = []

    def begins(name: str, _: object) -> None:
        nonlocal child
        path.append(name.rpartition(":")[2])
        if len(path) == 2:
            child = parser.CurrentByteIndex
        if path[-1] in names and (len(path) == 2 or "AlternateContent" in path[1:2]):
            found.append(child)

    def ends(_: str) -> None:
        path.pop()
        if not path:
            found.append(parser.CurrentByteIndex)

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler = begins, ends
    try:
        parser.Parse(head + bytes(sheet.xml[after_rows:]), True)
    except expat.ExpatError as error:
        raise Refused("file-damaged") from error
    return found[0] - len(head) + after_rows
