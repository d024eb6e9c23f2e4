"""What is written into a cell: its kind and its content, as a spreadsheet program would keep it."""

from __future__ import annotations

import datetime as dt
import math
import re
from html import escape

from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, to_excel

from tracker.workbook.gate import Refused

MOST_SIGNS = 32_767
"""What a cell holds at most (Microsoft, "Excel specifications and limits")."""


class AsTyped(str):
    """Text as somebody types it into a cell: a plain figure becomes a number unless the cell's format is Text."""

    __slots__ = ()


Value = str | float | bool | dt.date | None
"""A value for a cell; None empties it. A date may have its time, an int is a number, AsTyped is told by its kind."""

_FIGURE = re.compile(r"-?(?:0|[1-9]\d{0,14})(?:\.\d{1,10})?", re.ASCII)
_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)|[\x00-\x08\x0b-\x1f]")
_NO_SIGN = re.compile(r"[\ufffe\uffff\ud800-\udfff]")


def number_of(value: Value, date1904: bool) -> str | None:
    """The figure that stands in the cell for a number or a date; None for what is no number.

    Raises Refused for a day before the workbook's first one, ValueError for a number that is not finite.
    """
    if isinstance(value, dt.date):
        epoch = CALENDAR_MAC_1904 if date1904 else CALENDAR_WINDOWS_1900
        moment = value if isinstance(value, dt.datetime) else dt.datetime.combine(value, dt.time())
        serial = float(to_excel(moment.replace(tzinfo=None), epoch))  # type: ignore[no-untyped-call]
        if serial < (0 if date1904 else 1):
            raise Refused("write-not-a-value", found=f"a day before {1904 if date1904 else 1900}")
        return _plain(serial)
    if isinstance(value, AsTyped):
        return str(value) if _FIGURE.fullmatch(value) else None
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _plain(float(value))
    return None


def _plain(number: float) -> str:
    if not math.isfinite(number):
        raise ValueError(f"{number} cannot stand in a cell")
    return str(int(number)) if float(number).is_integer() and abs(number) < 1e15 else repr(float(number))


def text_of(value: str) -> bytes:
    """The text as XML.

    A sign that XML cannot hold is written by its number, and so is the first sign of what would be taken
    for such a number (ISO/IEC 29500-1 §22.9.2.19). Raises Refused for a text that no cell can hold.
    """
    if found := _NO_SIGN.search(value):
        raise Refused("write-not-a-value", found=f"the sign U+{ord(found[0]):04X}")
    if len(value.encode("utf-16-le", "surrogatepass")) // 2 > MOST_SIGNS:
        raise Refused("write-too-long")
    spelled = _ESCAPED.sub(lambda found: f"_x{ord(found[0]):04X}_", value)
    return escape(spelled, quote=False).encode()
