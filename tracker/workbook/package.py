"""Which parts of the file are the workbook's sheets, and under which names the owner knows them."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from tracker.workbook.gate import Archive, Refused, check_well_formed, without_prefix

_STRICT = "{http://purl.oclc.org/ooxml/"
_USUAL_PLACE = "xl/workbook.xml"
_MOST_STRUCTURE = 8_000_000  # bytes of a list of sheets or of signposts
_COUNTS = re.compile(rb"""\s(?:unique)?count\s*=\s*(?:"[^"]*"|'[^']*')""", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Package:
    """The parts that hold cells, as XML that was looked at.

    `sheets` has names and XML in the owner's order; hidden sheets are among them, sheets that are one
    chart are not. `strings` and `styles` are None where the workbook has none. `strict` is the stricter of
    the two kinds of Open XML, whose names begin otherwise (ISO/IEC 29500-1 against -4).
    """

    sheets: tuple[tuple[str, bytes | bytearray], ...]
    strings: bytes | bytearray | None
    styles: bytes | bytearray | None
    date1904: bool
    strict: bool = False


def read_package(archive: Archive) -> Package:
    """Follow the file's own signposts from the workbook to its parts. Raises Refused."""
    place = place_of_workbook(archive)
    workbook = parsed(archive, place)
    if local_name(workbook.tag) != "workbook":
        raise Refused("file-not-workbook")
    targets = relationships(archive, place)
    return Package(
        sheets=tuple(_sheets(archive, workbook, targets)),
        strings=shared_strings(archive, first_target(targets, "sharedStrings")),
        styles=style_sheet(archive, first_target(targets, "styles")),
        date1904=starts_in_1904(workbook),
        strict=workbook.tag.startswith(_STRICT),
    )


def place_of_workbook(archive: Archive) -> str:
    """Give the name of the workbook's own part. Raises Refused."""
    place = first_target(relationships(archive, ""), "officeDocument") or _USUAL_PLACE
    if place in archive and not place.endswith(".bin"):  # the binary kind is another format
        return place
    is_package = "[Content_Types].xml" in archive and not place.endswith(".bin")
    raise Refused("file-damaged" if is_package else "file-not-workbook")


def relationships(archive: Archive, source: str) -> dict[str, tuple[str, str]]:
    """Give id → (last word of the type, part). The last word is the same in a Strict workbook."""
    folder, name = posixpath.split(source)
    place = posixpath.join(folder, "_rels", f"{name}.rels")
    if place not in archive:
        return {}
    return {
        entry.get("Id", ""): (
            entry.get("Type", "").rpartition("/")[2],
            posixpath.normpath(posixpath.join("/", folder, entry.get("Target", ""))),
        )
        for entry in parsed(archive, place)
        if entry.get("TargetMode") != "External"
    }


def first_target(targets: dict[str, tuple[str, str]], kind: str) -> str | None:
    """Give the first part of a kind, such as "styles"; None where there is none."""
    return next((target for found, target in targets.values() if found == kind), None)


def _sheets(
    archive: Archive, workbook: ElementTree.Element, targets: dict[str, tuple[str, str]]
) -> Iterator[tuple[str, bytes | bytearray]]:
    for sheet in (sheet for group in workbook if local_name(group.tag) == "sheets" for sheet in group):
        ids = [value for key, value in sheet.attrib.items() if local_name(key) == "id"]
        kind, target = targets.get(ids[0] if ids else "", ("", ""))
        if not target:
            raise Refused("file-damaged")
        if kind == "worksheet":
            yield sheet.get("name", ""), archive.read(target)


def starts_in_1904(workbook: ElementTree.Element) -> bool:
    """Whether the workbook's days count from 1904."""
    settings = (element for element in workbook if local_name(element.tag) == "workbookPr")
    return any(element.get("date1904", "").strip() in ("1", "true") for element in settings)


def style_sheet(archive: Archive, place: str | None) -> bytes | bytearray | None:
    """Read the styles' XML; None where the workbook has none."""
    if place is None:
        return None
    content = archive.read(place)
    check_well_formed(content)
    return content


def shared_strings(archive: Archive, place: str | None) -> bytes | bytearray | None:
    """Read the shared texts, and spare them from what the library would do to them.

    It makes room for as many texts as the counts say, true or not, and takes the outer blanks of a text
    away that is not marked to keep them.
    """
    if place is None:
        return None
    content = archive.read(place)
    check_well_formed(content)
    content = without_prefix(content, b"sst").replace(b"<t>", b'<t xml:space="preserve">')
    return re.sub(rb"<sst[^<>]*>", lambda root: _COUNTS.sub(b"", root[0]), content, count=1)


def parsed(archive: Archive, place: str) -> ElementTree.Element:
    """Read a short part as a tree. Raises Refused."""
    try:
        return ElementTree.fromstring(archive.read(place, most=_MOST_STRUCTURE))
    except ElementTree.ParseError as error:
        raise Refused("file-damaged") from error


def local_name(name: str) -> str:
    """An element's or attribute's name without its namespace."""
    return name.rpartition("}")[2]
