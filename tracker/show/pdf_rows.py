"""The first cell with words in a table's row becomes the row's head, which the compiler cannot be told by its library.

Only the tags change, in a file as the compiler writes it: a plain table of places, and tags that are not packed. Any
other file is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

_END = re.compile(rb"startxref\s+(\d+)\s+%%EOF\s*\Z")
_PLACES = re.compile(rb"xref\n0 (\d+)\n")
# Both from a part's beginning, since typed words further on may read alike
_ROW = re.compile(rb"\d+ 0 obj\s+<</Type/StructElem/S/TR/P \d+ 0 R/K\[([^\]]*)\]")
_TREE = re.compile(rb"\d+ 0 obj\s+<</Type/StructTreeRoot\b")
_CELL = re.compile(rb"/S/TD(/P \d+ 0 R)")
_HEADS = re.compile(rb"/Headers\[((?:\([^()]*\))*)\]")
_NAMES = re.compile(rb"/IDTree<</Names\[([^\]]*)\]")
_NAMED = re.compile(rb"(\([^()]*\))(\d+ 0 R)")
_CHILD = re.compile(rb"(\d+) 0 R")
_ENTRY = 20  # bytes of one place

Parts = dict[int, bytes]


def with_row_heads(content: bytes) -> bytes:
    """The PDF with heads for the rows of its tables."""
    found = _parts(content)
    if not found:
        return content
    parts, begins, ends = found
    named = dict(_heads(parts))
    tree = next((number for number, part in parts.items() if _TREE.match(part) and _NAMES.search(part)), None)
    if not named or tree is None:
        return content
    parts[tree] = _NAMES.sub(lambda known: _with(known[1], named), parts[tree], count=1)
    return _joined(content[:begins], parts, content[ends:])


def _parts(content: bytes) -> tuple[Parts, int, int] | None:
    """The file's numbered parts in their order, where the first begins, and where the table of places does."""
    end = _END.search(content)
    places = _PLACES.match(content, int(end[1])) if end else None
    if end is None or places is None:
        return None
    first = places.end()
    offsets = {
        number: int(content[first + number * _ENTRY :][:10])
        for number in range(1, int(places[1]))
        if content[first + number * _ENTRY + 17 :][:1] == b"n"
    }
    order = sorted(offsets, key=offsets.__getitem__)
    ends = [*(offsets[number] for number in order[1:]), places.start()]
    parts = {number: content[offsets[number] : end] for number, end in zip(order, ends, strict=True)}
    return parts, offsets[order[0]], places.start()


def _heads(parts: Parts) -> Iterator[tuple[bytes, int]]:
    """Make the heads, and name them; each other cell of the row names its head."""
    for number, part in [*parts.items()]:
        row = _ROW.match(part)
        cells = [int(child) for child in _CHILD.findall(row[1])] if row else []
        if not cells or not all(_CELL.search(parts[cell]) and _HEADS.search(parts[cell]) for cell in cells):
            continue
        head = next((cell for cell in cells if b"/K[]" not in parts[cell]), None)
        if head is None:
            continue
        name = b"(R%d)" % number
        made = _CELL.sub(rb"/S/TH\1/ID" + name, parts[head], count=1)
        parts[head] = made.replace(b"/O/Table", b"/O/Table/Scope/Row", 1)
        for cell in cells:
            if cell != head:
                parts[cell] = _HEADS.sub(rb"/Headers[\1" + name + b"]", parts[cell], count=1)
        yield name, head


def _with(known: bytes, named: dict[bytes, int]) -> bytes:
    """The names of all heads, in their order."""
    both = dict(_NAMED.findall(known)) | {name: b"%d 0 R" % head for name, head in named.items()}
    return b"/IDTree<</Names[" + b"".join(name + both[name] for name in sorted(both)) + b"]"


def _joined(before: bytes, parts: Parts, after: bytes) -> bytes:
    """The file with its table of places written anew."""
    body, offsets = [before], {}
    at = len(before)
    for number, part in parts.items():
        offsets[number] = at
        body.append(part)
        at += len(part)
    first = _PLACES.match(after)
    assert first is not None
    places = bytearray(after)
    for number, offset in offsets.items():
        start = first.end() + number * _ENTRY
        places[start : start + 10] = b"%010d" % offset
    return b"".join(body) + _END.sub(b"startxref\n%d\n%%%%EOF" % at, bytes(places))
