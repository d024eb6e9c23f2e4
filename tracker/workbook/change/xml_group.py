"""Elements put at the end of a group in a part's XML, such as one more font among the fonts; all else stays as it is.

The XML is in the form that `plain_xml` gives, without comments and CDATA.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tracker.workbook.change.zip_parts import unusual

ATTRIBUTES = rb"""(?:\s++[\w:.-]++\s*+=\s*+(?:"[^"]*+"|'[^']*+'))*+\s*+"""


def prefix_of(xml: bytes, root: str) -> bytes:
    """The prefix that the root element is written with, such as b"x:". Raises Refused where there is no such root."""
    found = re.match(rb"\s*+(?:<\?[^<>]*+>\s*+)*+<([\w.-]++:)?+%s(?=[\s/>])" % root.encode(), xml)
    if not found:
        raise unusual(f"its part {root} begins in an unknown manner")
    return found[1] or b""


def elements(xml: bytes, prefix: bytes, name: str) -> list[re.Match[bytes]]:
    """Every element of that name: group 1 has its attributes, group 2 its content (None where it closes itself)."""
    tag = re.escape(prefix + name.encode())
    pattern = rb"<%s(?=[\s/>])(%s)(?:/>|>(.*?)</%s\s*+>)" % (tag, ATTRIBUTES, tag)
    return list(re.finditer(pattern, xml, re.DOTALL))


def members(xml: bytes, prefix: bytes, group: str, name: str) -> list[bytes]:
    """The elements of that name in the first group of that name, as they are written."""
    groups = elements(xml, prefix, group)
    return [found[0] for found in elements(groups[0][2] or b"", prefix, name)] if groups else []


def appended(
    xml: bytes, prefix: bytes, group: str, new: Sequence[bytes], before: Sequence[str] = ()
) -> bytes:
    """The XML with new elements at the end of the group; its count is kept true.

    A group that is not there is put before the first of the elements named in `before`, or last in the
    root. Raises Refused where the group has no place.
    """
    if not new:
        return xml
    content, tag = b"".join(new), prefix + group.encode()
    opening = re.search(rb"<%s(?=[\s/>])(%s)(/?)>" % (re.escape(tag), ATTRIBUTES), xml)
    if not opening:
        at = _place(xml, prefix, before)
        made = b'<%s count="%d">%s</%s>' % (tag, len(new), content, tag)
        return xml[:at] + made + xml[at:]
    head = b"<%s%s>" % (tag, _counted(opening[1].rstrip(), len(new)))
    if opening[2]:
        return xml[: opening.start()] + head + content + b"</%s>" % tag + xml[opening.end() :]
    closing = re.compile(rb"</%s\s*+>" % re.escape(tag)).search(xml, opening.end())
    if not closing:
        raise unusual(f"its {group} have no end")
    return b"".join(
        (xml[: opening.start()], head, xml[opening.end() : closing.start()], content, xml[closing.start() :])
    )


def _counted(attributes: bytes, more: int) -> bytes:
    return re.sub(
        rb"(\scount\s*=\s*[\"'])(\d+)",
        lambda found: b"%s%d" % (found[1], int(found[2]) + more),
        attributes,
        count=1,
    )


def _place(xml: bytes, prefix: bytes, before: Sequence[str]) -> int:
    for name in before:
        if found := re.search(rb"<%s(?=[\s/>])" % re.escape(prefix + name.encode()), xml):
            return found.start()
    at = xml.rfind(b"</")
    if at < 0:
        raise unusual("one of its parts has no end")
    return at


def figure(text: bytes) -> float:
    """A figure such as a height or a width, 0 where there is none."""
    found = re.match(rb"\s*(\d+(?:\.\d+)?)", text)
    return float(found[1]) if found else 0.0
