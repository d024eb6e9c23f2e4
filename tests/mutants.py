"""Spoilt workbooks: a sound one of each format, changed at random in its bytes or in its XML. The seed is the number."""

from __future__ import annotations

import io
import random
import re
import struct
import zipfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from other_formats import convert, pack_ods, pack_xlsb
from test_workbook_formats import BINARY, keep

KINDS = ("xlsx", "ods", "xls", "xlsb", "csv")
CSV = (
    'Date;Horse;Score;Remarks\r\n2026-03-04;Bramble;2,5;"said ""lame""\r\nand walked"\r\n'
    "2026-03-05;Größe;½;#N/A\r\n;;;\r\n2026-03-06;Bramble;1;3½ in\r\n"
).encode()

_TOKEN = re.compile(rb"<[^>]*>|[^<]+")
_VALUE = re.compile(rb'"[^"]*"')
_FIGURES = re.compile(rb"\d+")
_NUMBERS = [
    b"-1", b"0", b"1", b"255", b"65536", b"1048576", b"1048577", b"16385", b"2147483648", b"4294967295",
    b"18446744073709551616", b"9" * 400, b"1e308", b"1e999", b"-1e999", b"NaN", b"inf", b"", b" ", b"0x1F", b"1.5.2",
    b"2958466", b"-693594", b"\xd9\xa3", b"A0", b"XFD1048576", b"ZZZ99999999", b"2026-02-31", b"true", b"PT99999999999H",
]  # fmt: skip
_ALIEN = [
    b"\0", b"\xff", b"\xc3", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"&", b"&lt;", b"&#0;", b"&#xD800;", b"&#x110000;",
    b"&lf;", b"<", b">", b'"', b"'", b"]]>", b"<![CDATA[<row/>]]>", b"<!-- -- -->", b"<?x?>", b"<!DOCTYPE x>", b"_x0000_",
    b"<c/>", b"<row/>", b"</c>", b"\r\n", b'""', b";", b"=", b"#REF!",
]  # fmt: skip


@cache
def sound(kind: str) -> bytes:
    """The sound workbook of a kind."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "horse.xlsx"
        if kind == "csv":
            return CSV
        if kind == "xlsb":
            return pack_xlsb(path.with_suffix(".xlsb"), BINARY).read_bytes()
        keep(path, worked_out=kind == "xlsx")
        if kind == "xlsx":
            return path.read_bytes()
        converted = convert(path, kind)
        if kind == "ods":  # all but the cells is left out
            with zipfile.ZipFile(converted) as archive:
                pack_ods(converted, archive.read("content.xml"))
        return converted.read_bytes()


def mutant(kind: str, number: int) -> bytes:
    """The workbook of that kind and number."""
    chance = random.Random(f"{kind} {number}")
    content = sound(kind)
    if kind == "csv":
        return _several(chance, content, (*_BYTES, _alien, _number))
    if kind == "xls" or chance.random() < 0.2:
        return _several(chance, content, _BYTES)
    return _with_spoilt_part(chance, content)


def _with_spoilt_part(chance: random.Random, content: bytes) -> bytes:
    """Change a part, or two, and pack all of them anew with sound checksums."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    names = [name for name in parts if name.endswith((".xml", ".rels", ".bin"))]
    for _ in range(chance.choice((1, 1, 1, 2))):
        name = chance.choices(names, [4 if "sheet" in name or "content" in name else 1 for name in names])[0]
        ways = _BYTES if name.endswith(".bin") or chance.random() < 0.1 else _XML
        parts[name] = _several(chance, parts[name], ways)
    if chance.random() < 0.05:
        del parts[chance.choice(names)]
    spoilt = io.BytesIO()
    with zipfile.ZipFile(spoilt, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return spoilt.getvalue()


Change = Callable[[random.Random, bytes], bytes]


def _several(chance: random.Random, content: bytes, ways: tuple[Change, ...]) -> bytes:
    for _ in range(chance.choice((1, 1, 2, 4, 8))):
        content = chance.choice(ways)(chance, content) or content
    return content


# Bytes


def _span(chance: random.Random, content: bytes, most: int = 64) -> tuple[int, int]:
    start = chance.randrange(len(content) + 1)
    return start, min(len(content), start + chance.randint(1, most))


def _flip(chance: random.Random, content: bytes) -> bytes:
    spoilt = bytearray(content)
    for _ in range(chance.choice((1, 1, 2, 8, 32))):
        spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


def _overwrite(chance: random.Random, content: bytes) -> bytes:
    number = chance.choice((0, 1, 0x7F, 0xFF, 0x7FFF, 0xFFFF, 0x10000, 0x7FFFFFFF, 0xFFFFFFFE, 0xFFFFFFFF))
    start, _ = _span(chance, content)
    packed = struct.pack("<Q", number)[: chance.choice((1, 2, 4, 8))]
    return content[:start] + packed + content[start + len(packed) :]


def _cut(chance: random.Random, content: bytes) -> bytes:
    start, end = _span(chance, content, 2000)
    return content[:start] + content[end:]


def _cut_off(chance: random.Random, content: bytes) -> bytes:
    return content[: chance.randrange(1, len(content) + 1)]


def _again(chance: random.Random, content: bytes) -> bytes:
    start, end = _span(chance, content, 500)
    return content[:end] + content[start:end] * chance.choice((1, 2, 50, 5000)) + content[end:]


def _noise(chance: random.Random, content: bytes) -> bytes:
    start, _ = _span(chance, content)
    return content[:start] + chance.randbytes(chance.choice((1, 4, 100))) + content[start:]


_BYTES: tuple[Change, ...] = (_flip, _flip, _overwrite, _cut, _cut_off, _again, _noise)


# XML


def _tokens(content: bytes) -> list[bytes]:
    return _TOKEN.findall(content) or [content]


def _element(chance: random.Random, tokens: list[bytes]) -> tuple[int, int]:
    """Where an element begins and where it ends, or where a few tokens do."""
    start = chance.randrange(len(tokens))
    name = re.match(rb"<([\w:.-]+)", tokens[start])
    if name and not tokens[start].endswith(b"/>"):
        closing = b"</" + name[1]
        for end in range(start, len(tokens)):
            if tokens[end].startswith(closing):
                return start, end + 1
    return start, start + 1


def _drop(chance: random.Random, content: bytes) -> bytes:
    tokens = _tokens(content)
    start, end = _element(chance, tokens)
    return b"".join(tokens[:start] + tokens[end:])


def _double(chance: random.Random, content: bytes) -> bytes:
    tokens = _tokens(content)
    start, end = _element(chance, tokens)
    element = b"".join(tokens[start:end])
    times = chance.choice((1, 3, 100, 2_000_000 // (len(element) + 1)))
    return b"".join(tokens[:end]) + element * times + b"".join(tokens[end:])


def _swap(chance: random.Random, content: bytes) -> bytes:
    tokens = _tokens(content)
    one, other = chance.randrange(len(tokens)), chance.randrange(len(tokens))
    tokens[one], tokens[other] = tokens[other], tokens[one]
    return b"".join(tokens)


def _nest(chance: random.Random, content: bytes) -> bytes:
    tokens = _tokens(content)
    start, end = _element(chance, tokens)
    name = re.match(rb"<([\w:.-]+)", tokens[start])
    tag, depth = name[1] if name else b"a", chance.choice((1, 5, 1000, 50_000))
    inside = b"".join(tokens[start:end])
    nested = b"<%s>" % tag * depth + inside + b"</%s>" % tag * depth
    return b"".join(tokens[:start]) + nested + b"".join(tokens[end:])


def _attribute(chance: random.Random, content: bytes) -> bytes:
    """Drop, double or exchange the value of an attribute."""
    found = list(_VALUE.finditer(content))
    if not found:
        return content
    one, other = chance.choice(found), chance.choice(found)
    start = content.rfind(b" ", 0, one.start())
    new = chance.choice(
        (other[0], b'"%s"' % chance.choice(_NUMBERS), b"", one[0] + content[start : one.end()])
    )
    return content[: one.start()] + new + content[one.end() :]


def _number(chance: random.Random, content: bytes) -> bytes:
    found = list(_FIGURES.finditer(content))
    if not found:
        return content
    one = chance.choice(found)
    return content[: one.start()] + chance.choice(_NUMBERS) + content[one.end() :]


def _alien(chance: random.Random, content: bytes) -> bytes:
    start, _ = _span(chance, content)
    return content[:start] + chance.choice(_ALIEN) * chance.choice((1, 1, 2, 40_000)) + content[start:]


_XML: tuple[Change, ...] = (
    _drop, _double, _swap, _nest, _attribute, _attribute, _number, _number, _number, _alien, _flip,
)  # fmt: skip
