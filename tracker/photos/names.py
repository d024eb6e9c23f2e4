"""Names for files that Windows, macOS and Linux all take, whatever the telephone called them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator
from itertools import count

from tracker.cells.text import fold

LONGEST = 140
"""Bytes in UTF-8; the file systems take 255 or so, some encrypted ones 143."""

_NO_NAME = "photo"
_FORBIDDEN = re.compile(r'[<>:"|?*]')  # Microsoft, "Naming Files, Paths, and Namespaces"
_RESERVED = re.compile(r"(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³])\s*(\.|$)", re.IGNORECASE)
_UNSEEN = re.compile(
    "[\u061c\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff]"
)  # hides which ending a name has, or makes two names look alike
_NO_START = " .~=+-@"  # a spreadsheet may work out what begins so (OWASP, "CSV Injection")
_NO_END = " .~"
_ENDING = re.compile(r"\.(jpe?g|jfif|png|webp|hei[cf]|gif|bmp|tiff?|avif)$", re.IGNORECASE)


def harmless(name: str, endings: tuple[str, ...]) -> str:
    """The name without any path, and with one of the endings; letters of every script stay."""
    stem = _cleaned(re.split(r"[/\\]", name)[-1]).rstrip(" .")
    found = _ENDING.search(stem)
    ending = endings[0]
    if found:
        ending = found[0] if found[0].lower() in endings else ending
        stem = stem[: found.start()]
    return _fitting(stem, ending)


def free_names(name: str, taken: Collection[str]) -> Iterator[str]:
    """The name, then the same with 2, 3 and so on behind it, but for those that are taken in any spelling."""
    folded = {fold(other) for other in taken}
    stem, dot, ending = name.rpartition(".")
    for number in count(1):
        candidate = name if number == 1 else _fitting(stem, f" {number}{dot}{ending}")
        if fold(candidate) not in folded:
            yield candidate


def _cleaned(text: str) -> str:
    text = unicodedata.normalize("NFC", text)
    text = _UNSEEN.sub("", _FORBIDDEN.sub("-", text))
    text = "".join(" " if sign.isspace() else sign for sign in text)
    kept = (sign for sign in text if unicodedata.category(sign) not in ("Cc", "Cs") and not _unassigned(sign))
    return " ".join("".join(kept).split())


def _unassigned(sign: str) -> bool:
    """Whether Unicode sets this code point aside for never being a sign."""
    return 0xFDD0 <= ord(sign) <= 0xFDEF or ord(sign) & 0xFFFE == 0xFFFE


def _fitting(stem: str, ending: str) -> str:
    """Both together, short enough, and no name that Windows keeps for itself."""
    stem = stem.lstrip(_NO_START).rstrip(_NO_END) or _NO_NAME
    if _RESERVED.match(stem):
        stem = f"{_NO_NAME} {stem}"
    room = LONGEST - len(ending.encode())
    return (stem.encode()[:room].decode(errors="ignore").rstrip(_NO_END) or _NO_NAME) + ending
