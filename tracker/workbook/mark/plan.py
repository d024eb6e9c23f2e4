"""A copy of a workbook in which each cell with a problem has a colour, a frame and a note; the workbook stays as it is.

Bytes are put in as for an entry: the sheets that have problems, their notes, and the formats differ from the workbook;
all other entries of the zip are copied byte for byte. An owner's own notes and conversations are kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tracker.cells.text import squeeze
from tracker.problem import Problem
from tracker.workbook.change.editable import Editable, open_editable
from tracker.workbook.change.sheet_edit import spliced
from tracker.workbook.change.sheet_xml import SheetXml
from tracker.workbook.change.signposts import NewParts
from tracker.workbook.gate import Refused
from tracker.workbook.letters import column_index
from tracker.workbook.mark.cells import ByCell, Place, formatted, uncovered
from tracker.workbook.mark.formats import MarkFormats
from tracker.workbook.mark.note_boxes import blocks_in
from tracker.workbook.mark.notes import SheetNotes

_OTHER_SHEET = ("sheet-twice", "sheet-near")
"""Problems that are about the very sheet that they name; all others name a declared sheet, however it is spelled."""
_STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"


@dataclass(frozen=True, slots=True)
class Marked:
    """A marked copy that is not saved yet.

    `notes` holds the words of each note by sheet and cell, such as ("Soundness", "F14"). `bare` are marked cells
    without a note, since they hold a conversation or their note is full; `placeless` are problems that no
    sheet of the workbook could show. `parts` are the parts that differ.
    """

    content: bytes
    notes: Mapping[tuple[str, str], str]
    bare: tuple[tuple[str, str], ...]
    placeless: tuple[Problem, ...]
    parts: tuple[str, ...]

    @property
    def cells(self) -> int:
        """How many cells are marked."""
        return len(self.notes) + len(self.bare)


NOTHING = Marked(b"", {}, (), (), ())
"""What comes of a workbook without a problem."""


def marked(content: bytes, problems: Iterable[Problem]) -> Marked:
    """Mark the cells of the problems. Raises Refused where the workbook is not one that can be written."""
    book = _opened(content)
    found, placeless = _by_sheet(book, problems)
    formats = MarkFormats(book.styles)
    parts = NewParts(book)
    taken = blocks_in(
        book.archive.read_bytes(name) for name in book.parts.names if name.lower().endswith(".vml")
    )
    notes: dict[tuple[str, str], str] = {}
    bare: list[tuple[str, str]] = []
    for (name, place), by_cell in found.items():
        words = _mark_sheet(book, place, by_cell, parts, formats, taken)
        notes |= {(name, ref): text for ref, text in words.items() if text}
        bare += [(name, ref) for ref, text in words.items() if not text]
    if found:
        _put_formats(book, parts, formats)
    new = book.parts.rebuilt(parts.changed)
    return Marked(new, notes, tuple(bare), placeless, tuple(parts.changed))


def _mark_sheet(
    book: Editable,
    place: str,
    found: ByCell,
    parts: NewParts,
    formats: MarkFormats,
    taken: set[int],
) -> dict[str, str]:
    """Mark one sheet; gives the words put into each cell's note, "" where there could be none."""
    sheet = SheetXml(book.xml(place))
    by_cell = uncovered(sheet, found)
    splices, heights = formatted(sheet, by_cell, formats)
    notes = SheetNotes(book, place, sheet, parts)
    words = notes.write(by_cell, heights, taken)
    parts.put(place, spliced(sheet.xml, [*splices, *notes.splices]))
    return words


def _opened(content: bytes) -> Editable:
    """The workbook to be copied. Raises Refused for every kind that only a plain copy can be made of."""
    try:
        book = open_editable(content)
    except Refused as refusal:
        if refusal.slug == "write-strict":
            raise Refused("write-other-format", reason="its format is Strict Open XML") from refusal
        raise
    if b"macroEnabled" in book.xml("[Content_Types].xml"):  # its copy would have to be one too
        raise Refused("write-other-format", reason="it is a workbook with macros")
    return book


def _by_sheet(
    book: Editable, problems: Iterable[Problem]
) -> tuple[dict[tuple[str, str], dict[Place, list[Problem]]], tuple[Problem, ...]]:
    """The problems by sheet (its name and part) and cell, and those that have no sheet."""
    sheets = book.sheets()
    found: dict[tuple[str, str], dict[Place, list[Problem]]] = {}
    placeless: list[Problem] = []
    for problem in problems:
        if sheet := _sheet_of(problem, sheets):
            found.setdefault(sheet, {}).setdefault(_cell_of(problem), []).append(problem)
        else:
            placeless.append(problem)
    return found, tuple(placeless)


def _sheet_of(problem: Problem, sheets: Sequence[tuple[str, str]]) -> tuple[str, str] | None:
    if problem.sheet is None:
        return None
    if problem.kind in _OTHER_SHEET:
        return next((sheet for sheet in reversed(sheets) if sheet[0] == problem.sheet), None)
    return next((sheet for sheet in sheets if squeeze(sheet[0]) == squeeze(problem.sheet)), None)


def _cell_of(problem: Problem) -> Place:
    """The problem's cell; A1 for one that is about a whole sheet."""
    ref = (problem.cell or "!A1").rpartition("!")[2]
    letters = ref.rstrip("0123456789")
    return int(ref[len(letters) :]), column_index(letters)


def _put_formats(book: Editable, parts: NewParts, formats: MarkFormats) -> None:
    place = book.styles_place
    if place is None:
        place = f"{book.place.rpartition('/')[0]}/styles.xml"
        parts.relate(book.place, "styles", place)
        parts.declare(place, _STYLES_TYPE)
    parts.put(place, formats.xml)
