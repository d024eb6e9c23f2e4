"""The notes on a sheet's cells: the part that holds their words. An owner's note keeps its own; ours come below.

References: ISO/IEC 29500-1 §18.7 (comments), §18.4.4 and §18.4.7 (runs of text).
"""

from __future__ import annotations

import re

from tracker.workbook.change.sheet_xml import attributes_of, whole
from tracker.workbook.change.values import MOST_SIGNS, text_of
from tracker.workbook.change.xml_group import appended, elements, members, prefix_of
from tracker.workbook.change.zip_parts import unusual

AUTHOR = "soundness check"
"""Who wrote our notes; it stands above their words too, since an owner's note can have ours below it."""

_THREAD = b"tc="
"""How the author of a note begins that only stands for a conversation (from memory; [MS-XLSX], threaded comments)."""

_MAIN = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_BLANK = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<comments xmlns="%s"><authors></authors><commentList></commentList></comments>'
) % _MAIN
_TAG = re.compile(rb"<[^>]*+>")


class Notes:
    """The notes of one sheet. `xml` is None where it has none."""

    def __init__(self, xml: bytes | bytearray | None) -> None:
        self._xml = _BLANK if xml is None else bytes(xml)
        self._prefix = prefix_of(self._xml, "comments")
        self._authors = members(self._xml, self._prefix, "authors", "author")
        self._old = {
            attributes_of(found[1]).get(b"ref", b"").decode().upper(): found
            for found in reversed(elements(self._xml, self._prefix, "comment"))
        }
        self._longer: dict[str, bytes] = {}
        self._new: list[bytes] = []

    def __contains__(self, ref: str) -> bool:
        return ref in self._old

    def is_longer(self, ref: str) -> bool:
        """Whether words were put below those that the cell's note had."""
        return ref in self._longer

    def stands_for_a_thread(self, ref: str) -> bool:
        """Whether the cell's note is only what older programs show of a conversation."""
        if ref not in self._old:
            return False
        number = whole(attributes_of(self._old[ref][1]).get(b"authorId", b""))
        author = _TAG.sub(b"", self._authors[number]) if number < len(self._authors) else b""
        return author.strip().startswith(_THREAD)

    def add(self, ref: str, text: str) -> bool:
        """Put words into a cell's note, below those that it has; False where there is no room for them.

        Words that it has already are not put in again.
        """
        if ref not in self._old:
            tag = self._prefix.decode()
            note = b"<%stext>%s</%stext>" % (self._prefix, self._run(text), self._prefix)
            opening = f'<{tag}comment ref="{ref}" authorId="{self._own_author()}">'
            self._new.append(opening.encode() + note + f"</{tag}comment>".encode())
            return True
        old = self._old[ref]
        if text_of(text) in old[0]:
            return True
        if len(_TAG.sub(b"", old[0]).decode()) + len(text) + 2 > MOST_SIGNS:
            return False
        self._longer[ref] = self._with_run(old[0], self._run(f"\n\n{text}"))
        return True

    def _own_author(self) -> int:
        names = [_TAG.sub(b"", author) for author in self._authors]
        return names.index(AUTHOR.encode()) if AUTHOR.encode() in names else len(names)

    def _run(self, text: str) -> bytes:
        run = (
            '<{0}r><{0}rPr><{0}sz val="9"/><{0}color indexed="81"/><{0}rFont val="Tahoma"/><{0}family val="2"/></{0}rPr>'
            '<{0}t xml:space="preserve">'
        ).format(self._prefix.decode())  # fmt: skip
        return run.encode() + text_of(text) + b"</%st></%sr>" % (self._prefix, self._prefix)

    def _with_run(self, comment: bytes, run: bytes) -> bytes:
        """The note with one more run; words that stand in no run get one, since they cannot stand before a run."""
        p = self._prefix
        found = next(iter(elements(comment, p, "text")), None)
        if found is None:
            raise unusual("one of its notes has no words")
        inner: bytes = found[2] or b""
        bare = re.match(rb"\s*+(<%st(?=[\s/>]).*?(?:/>|</%st\s*+>))" % (p, p), inner, re.DOTALL)
        if bare:
            inner = b"<%sr>%s</%sr>" % (p, bare[1], p) + inner[bare.end() :]
        last = inner.rfind(b"</%sr>" % p)
        at = last + len(b"</%sr>" % p) if last >= 0 else 0
        text = b"<%stext>%s</%stext>" % (p, inner[:at] + run + inner[at:], p)
        return comment[: found.start()] + text + comment[found.end() :]

    @property
    def xml(self) -> bytes:
        """The part, with all that was put in."""
        xml = self._xml
        for ref, longer in sorted(self._longer.items(), key=lambda each: -self._old[each[0]].start()):
            xml = xml[: self._old[ref].start()] + longer + xml[self._old[ref].end() :]
        if self._new and self._own_author() == len(self._authors):
            author = b"<%sauthor>%s</%sauthor>" % (self._prefix, AUTHOR.encode(), self._prefix)
            xml = appended(xml, self._prefix, "authors", [author], ["commentList"])
        return appended(xml, self._prefix, "commentList", self._new)
