"""Text that a spreadsheet program would take for a formula, made safe, and as it was again.

After OWASP, "CSV Injection": a cell that begins with = + - @, a tab, a carriage return or a line feed, or with one
of the four signs in full width, gets an apostrophe in front. So does a text that begins with apostrophes before such
a sign, else the two could not be told apart. It is undone by taking away the first apostrophe of a text that
has one or more of them before such a sign. A plain number such as -3 is no formula and stays as it is.
"""

from __future__ import annotations

import re

_FORMULA = r"[=+\-@\t\r\n＝＋－＠]"
_TO_GUARD = re.compile(rf"'*{_FORMULA}")
_GUARDED = re.compile(rf"'+{_FORMULA}")
_NUMBER = re.compile(r"[-+]\d+(?:[.,]\d+)?\Z")


def guarded(text: str) -> str:
    """The text with an apostrophe in front where a spreadsheet program might work it out."""
    return f"'{text}" if _TO_GUARD.match(text) and not _NUMBER.match(text) else text


def unguarded(text: str) -> str:
    """The text that `guarded` was given."""
    return text[1:] if _GUARDED.match(text) else text
