"""What the first bytes of a file say it is, whatever its name says."""

from __future__ import annotations

import re

JPEG, PNG, WEBP, HEIC = "JPEG", "PNG", "WebP", "HEIC"
HEIC_FILM = "a moving HEIC picture"

ENDINGS = {JPEG: (".jpg", ".jpeg"), PNG: (".png",), WEBP: (".webp",), HEIC: (".heic", ".heif")}
"""The endings that a file of each format has; the first one is given where it has another."""

NO_PICTURE = "something that is no picture"
_STARTS = (
    (b"\xff\xd8\xff", JPEG),
    (b"\x89PNG\r\n\x1a\n", PNG),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"II*\0", "a TIFF picture or a camera's raw file"),
    (b"MM\0*", "a TIFF picture or a camera's raw file"),
    (b"%PDF", "a PDF"),
    (b"<svg", "an SVG drawing"),
)
_BRANDS = {b"heic": HEIC, b"heix": HEIC, b"heim": HEIC, b"heis": HEIC, b"mif1": HEIC, b"msf1": HEIC_FILM}
_BRANDS |= {b"hevc": HEIC_FILM, b"hevx": HEIC_FILM, b"avif": "an AVIF picture", b"avis": "an AVIF picture"}
_MARKER = re.compile(rb"\xff([^\x00\xff\xd0-\xd7])")
_SCAN, _END = 0xDA, 0xD9


def what_is(content: bytes) -> str:
    """One of the formats that can be used, or in words what it is else.

    References: ITU-T T.81 annex B, W3C PNG §5.2, RFC 9649 §2.4, ISO/IEC 23008-12 annex B (the brands).
    """
    if content[4:8] == b"ftyp":
        return _by_brand(content)
    if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
        return WEBP
    return next((kind for start, kind in _STARTS if content.startswith(start)), NO_PICTURE)


def _by_brand(content: bytes) -> str:
    """The first brand that is known; a picture of any codec may call itself mif1 and name its own brand later."""
    box = content[: min(int.from_bytes(content[:4], "big"), 256)]
    brands = [box[8:12], *(box[at : at + 4] for at in range(16, len(box), 4))]
    known = [_BRANDS[brand] for brand in brands if brand in _BRANDS]
    if brands[0] == b"mif1":
        known.sort(key=lambda kind: kind == HEIC)
    return known[0] if known else "a film"


def scans(jpeg: bytes) -> int:
    """How many times a JPEG goes over its picture; a progressive one of a camera does so about ten times.

    Only the picture itself is looked at, not what lies behind its end, such as a short film (ITU-T T.81 annex B).
    """
    count, at = 0, 2
    while found := _MARKER.search(jpeg, at):
        marker = found[1][0]
        if marker == _END:
            break
        count += marker == _SCAN
        at = found.end() + int.from_bytes(jpeg[found.end() : found.end() + 2], "big")
    return count
