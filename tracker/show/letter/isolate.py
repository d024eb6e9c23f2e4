"""Text that is written from the right stays within its own words."""

from __future__ import annotations

import unicodedata

_FROM_THE_RIGHT = ("R", "AL", "RLE", "RLO", "RLI", "LRO", "LRE", "LRI", "FSI")
_FIRST_STRONG, _POP = "\u2068", "\u2069"


def isolated(text: str) -> str:
    """The text, set apart from what follows where any sign in it could turn the order round (Unicode UAX 9)."""
    if any(unicodedata.bidirectional(sign) in _FROM_THE_RIGHT for sign in text):
        return f"{_FIRST_STRONG}{text}{_POP}"
    return text
