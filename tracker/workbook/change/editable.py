"""A workbook's bytes, opened to be changed: which part is which sheet, and whether it may be changed at all."""

from __future__ import annotations

from io import BytesIO
from xml.etree import ElementTree

from tracker.cells.text import fold
from tracker.workbook import package
from tracker.workbook.change.sheet_xml import Row, SheetXml, attribute
from tracker.workbook.change.zip_parts import ZipParts, unusual
from tracker.workbook.gate import Archive, Refused
from tracker.workbook.letters import column_letter
from tracker.workbook.package import Package
from tracker.workbook.plain import PlainSheet, plain_sheet
from tracker.workbook.xlsx import read_cells

_STRICT = "http://purl.oclc.org/ooxml/"
_ONLY = "only .xlsx workbooks are"


class Editable:
    """The parts of one workbook. Raises Refused for one that is read but not written."""

    def __init__(self, content: bytes) -> None:
        self.archive = Archive(BytesIO(content))
        self.place = package.place_of_workbook(self.archive)
        self.workbook = package.parsed(self.archive, self.place)
        if self.workbook.tag.startswith("{" + _STRICT):
            raise Refused("write-strict")
        self.targets = package.relationships(self.archive, self.place)
        _refuse_signed(self.archive, self.targets)
        self.parts = ZipParts(content)
        self.date1904 = package.starts_in_1904(self.workbook)
        self.styles_place = package.first_target(self.targets, "styles")
        self.styles = package.style_sheet(self.archive, self.styles_place)

    def sheets(self) -> list[tuple[str, str]]:
        """Each worksheet's name and part, in the owner's order."""
        found = []
        for element in self._sheet_elements():
            ids = [value for key, value in element.attrib.items() if package.local_name(key) == "id"]
            kind, place = self.targets.get(ids[0] if ids else "", ("", ""))
            if kind == "worksheet":
                found.append((element.get("name", ""), place))
        return found

    @property
    def sheet_names(self) -> list[str]:
        """The names of all sheets, those that are one chart included."""
        return [element.get("name", "") for element in self._sheet_elements()]

    def _sheet_elements(self) -> list[ElementTree.Element]:
        groups = (group for group in self.workbook if package.local_name(group.tag) == "sheets")
        return [sheet for group in groups for sheet in group]

    def place_of(self, sheet: str) -> str:
        """The part of a sheet; the first of that name, whatever its capitals. Raises Refused."""
        for name, place in self.sheets():
            if fold(name) == fold(sheet):
                return place
        raise Refused("write-no-sheet", sheet=sheet)

    def xml(self, place: str) -> bytes | bytearray:
        """A part's XML, as `plain_xml` gives it. Raises Refused."""
        return self.archive.read(place)

    def tables(self, place: str) -> list[tuple[str, bytes | bytearray]]:
        """The parts and the XML of the tables on a sheet."""
        related = package.relationships(self.archive, place).values()
        places = [part for kind, part in related if kind == "table" and part in self.archive]
        return [(part, self.archive.read(part)) for part in places]

    def read(self, name: str, xml: bytes | bytearray) -> tuple[Package, PlainSheet]:
        """What the reader of cells needs to read one sheet's XML with this workbook's texts and formats."""
        strings = package.first_target(self.targets, "sharedStrings")
        pack = Package(
            ((name, xml),), package.shared_strings(self.archive, strings), self.styles, self.date1904
        )
        return pack, plain_sheet(name, xml)

    def row_values(self, name: str, sheet: SheetXml, row: Row) -> list[object]:
        """The cells of one row from column A on, as the reader gives them."""
        c = sheet.tag("c")
        cells = b"".join(
            b'<%s r="%s1"%s>%s</%s>'
            % (
                c,
                column_letter(cell.column).encode(),
                _others(cell.element.attributes),
                cell.element.inner,
                c,
            )
            for cell in row.cells
        )
        opening = bytes(sheet.xml[: sheet.data.start()])
        data, root, tag = sheet.tag("sheetData"), sheet.tag("worksheet"), sheet.tag("row")
        xml = b'%s<%s><%s r="1">%s</%s></%s></%s>' % (opening, data, tag, cells, tag, data, root)
        pack, plain = self.read(name, xml)
        return next(iter(read_cells(pack, [plain])[0]), [])


def _others(attributes: dict[bytes, bytes]) -> bytes:
    return b"".join(attribute(name, value) for name, value in attributes.items() if name != b"r")


def _refuse_signed(archive: Archive, targets: dict[str, tuple[str, str]]) -> None:
    kinds = {kind for kind, _ in package.relationships(archive, "").values()}
    macros = package.first_target(targets, "vbaProject")
    if macros:
        kinds |= {kind for kind, _ in package.relationships(archive, macros).values()}
    if "origin" in kinds or any(kind.startswith("vbaProjectSignature") for kind in kinds):
        raise Refused("write-signed")


def open_editable(content: bytes) -> Editable:
    """Open a workbook's bytes to change them. Raises Refused, with a reason why they cannot be changed."""
    if not content.startswith(b"PK"):
        raise Refused("write-other-format", reason=_ONLY)
    try:
        return Editable(content)
    except Refused as refusal:
        if refusal.slug == "file-not-workbook":
            raise Refused("write-other-format", reason=_ONLY) from refusal
        if refusal.slug.startswith("file-"):
            raise unusual("it cannot be read to its end") from refusal
        raise
