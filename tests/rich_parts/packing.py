"""A workbook's parts taken apart and packed again, by hand and in every manner that a zip allows."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from dataclasses import dataclass, field
from functools import cache

CONTENT_TYPES = "[Content_Types].xml"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
MICROSOFT = "http://schemas.microsoft.com/office"
_RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"
_EMPTY = f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<Relationships xmlns="{_RELATIONSHIPS}"></Relationships>'
_MADE = (2026, 3, 4, 12, 0, 0)


@dataclass
class Package:
    """A workbook's parts by name, in the order of the zip."""

    parts: dict[str, bytes] = field(default_factory=dict)

    @classmethod
    def unpacked(cls, content: bytes) -> Package:
        """Take a workbook apart."""
        return cls(parts_of(content))

    def packed(self, **manner: object) -> bytes:
        """Pack the parts; see `pack` for the manners."""
        return pack(self.parts, **manner)  # type: ignore[arg-type]

    def sheet(self, name: str) -> str:
        """The part of the sheet with this name."""
        book = self.parts["xl/workbook.xml"].decode()
        found = re.search(rf'<(?:\w+:)?sheet [^>]*?name="{name}"[^>]*r:id="([^"]+)"', book)
        assert found, name
        rels = self.parts["xl/_rels/workbook.xml.rels"].decode()
        target = next(
            entry for entry in re.findall(r"<Relationship [^>]*>", rels) if f'Id="{found[1]}"' in entry
        )
        return posixpath.join("xl", re.search(r'Target="/?(?:xl/)?([^"]+)"', target)[1])  # type: ignore[index]

    def change(self, part: str, old: str, new: str) -> None:
        """Replace what stands once in a part, or several times the same: the first one."""
        text = self.parts[part].decode()
        assert old in text, f"{part} has no {old}"
        self.parts[part] = text.replace(old, new, 1).encode()

    def add(self, name: str, content: str | bytes, kind: str) -> None:
        """Add a part with its content type."""
        self.parts[name] = content.encode() if isinstance(content, str) else content
        self.change(CONTENT_TYPES, "</Types>", f'<Override PartName="/{name}" ContentType="{kind}"/></Types>')

    def default(self, extension: str, kind: str) -> None:
        """Declare what every part with this ending is, if that is not yet done."""
        entry = f'<Default Extension="{extension}" ContentType="{kind}"/>'
        if f'Extension="{extension}"' not in self.parts[CONTENT_TYPES].decode():
            self.change(CONTENT_TYPES, "<Override ", f"{entry}<Override ")

    def relate(self, source: str, kind: str, target: str, *, external: bool = False) -> str:
        """Add a relationship from one part (or "", the package) to another; give its id."""
        folder, name = posixpath.split(source)
        place = posixpath.join(folder, "_rels", f"{name}.rels")
        rels = self.parts.setdefault(place, _EMPTY.encode()).decode()
        if rels.rstrip().endswith("/>"):
            rels = _EMPTY
        number = max((int(found) for found in re.findall(r'Id="rId(\d+)"', rels)), default=0) + 1
        mode = ' TargetMode="External"' if external else ""
        entry = f'<Relationship Id="rId{number}" Type="{kind}" Target="{target}"{mode}/>'
        self.parts[place] = rels.replace("</Relationships>", f"{entry}</Relationships>").encode()
        return f"rId{number}"


class _OneWay(io.RawIOBase):
    """A file that cannot seek, such as a pipe: what is written to it has data descriptors."""

    def __init__(self) -> None:
        self.content = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, data) -> int:  # type: ignore[no-untyped-def]
        self.content += data
        return len(data)


def pack(
    parts: dict[str, bytes],
    *,
    streamed: bool = False,
    stored: bool = False,
    comment: bytes = b"",
    level: int = 6,
) -> bytes:
    """Pack parts as one zip: streamed (sizes after the data), stored (not pressed), with a comment."""
    file = _OneWay() if streamed else io.BytesIO()
    with zipfile.ZipFile(file, "w", compresslevel=level) as archive:  # type: ignore[arg-type]
        archive.comment = comment
        for name, content in parts.items():
            entry = zipfile.ZipInfo(name, _MADE)
            entry.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
            entry.external_attr = 0o600 << 16
            archive.writestr(entry, content)
    return bytes(file.content) if isinstance(file, _OneWay) else file.getvalue()


@cache
def _parts_of(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = archive.namelist()
        assert len(names) == len(set(names)), "a part stands twice in the zip"
        return {name: archive.read(name) for name in names}


def parts_of(content: bytes) -> dict[str, bytes]:
    """Every part unpacked, in the order of the zip; no name twice."""
    return dict(_parts_of(content))
