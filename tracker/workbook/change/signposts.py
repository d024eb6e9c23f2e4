"""New parts for a workbook, and the places where they must be named: relationships and content types.

References: ISO/IEC 29500-2 §6.5 (relationships), §7.2.3 (content types).
"""

from __future__ import annotations

import posixpath
import re
from itertools import count

from tracker.workbook.change.editable import Editable
from tracker.workbook.change.xml_group import appended, prefix_of

_RELATIONSHIPS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_TYPES = "[Content_Types].xml"
_BLANK = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"></Relationships>'
)


class NewParts:
    """The parts that are new or changed, by name, until the workbook is put together."""

    def __init__(self, book: Editable) -> None:
        self._book = book
        self.changed: dict[str, bytes] = {}

    def put(self, place: str, content: bytes) -> None:
        """Give a part new content."""
        self.changed[place.lstrip("/")] = content

    def _xml(self, place: str, blank: bytes = b"") -> bytes:
        place = place.lstrip("/")
        if place in self.changed:
            return self.changed[place]
        return bytes(self._book.xml(place)) if place in self._book.parts else blank

    def free(self, folder: str, name: str) -> str:
        """A name for a new part: the first free one, counted in the place of {}."""
        names = (posixpath.join(folder, name.format(number)) for number in count(1))
        return next(
            name for name in names if name not in self._book.parts and name.lstrip("/") not in self.changed
        )

    def relate(self, source: str, kind: str, target: str) -> str:
        """Let one part name another; gives the id of the relationship. Raises Refused."""
        folder, base = posixpath.split(source)
        place = posixpath.join(folder, "_rels", f"{base}.rels")
        xml = self._xml(place, _BLANK)
        taken = set(re.findall(rb"\sId\s*=\s*[\"']([^\"']*)", xml))
        link = next(link for number in count(1) if (link := f"rId{number}").encode() not in taken)
        way = posixpath.relpath(target, folder)
        entry = f'Relationship Id="{link}" Type="{_RELATIONSHIPS}/{kind}" Target="{way}"/>'
        prefix = prefix_of(xml, "Relationships")
        self.put(place, appended(xml, prefix, "Relationships", [b"<" + prefix + entry.encode()]))
        return link

    def declare(self, place: str, kind: str) -> None:
        """Say what kind of content a part has. Raises Refused."""
        self._declare(f'Override PartName="/{place.lstrip("/")}" ContentType="{kind}"/>')

    def declare_ending(self, ending: str, kind: str) -> None:
        """Say what kind of content all parts with that ending have, where it is not said yet. Raises Refused."""
        said = rb"<[\w.-]*:?Default\b[^>]*?\bExtension\s*=\s*[\"']%s[\"']" % ending.encode()
        if not re.search(said, self._xml(_TYPES), re.IGNORECASE):
            self._declare(f'Default Extension="{ending}" ContentType="{kind}"/>')

    def _declare(self, entry: str) -> None:
        xml = self._xml(_TYPES)
        prefix = prefix_of(xml, "Types")
        self.put(_TYPES, appended(xml, prefix, "Types", [b"<" + prefix + entry.encode()]))
