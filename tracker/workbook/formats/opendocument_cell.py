"""One cell of an OpenDocument spreadsheet: what its attributes and its text say that it holds."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from math import isfinite

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.workbook.raw_workbook import ERRORS

_NUMBERED_ERROR = re.compile(r"Err:\d{3}")  # LibreOffice Help, "Error Codes in LibreOffice Calc"
_DURATION = re.compile(r"(-?)P(?:(\d{1,6})D)?T(?:(\d{1,8})H)?(?:(\d{1,10})M)?(?:(\d{1,12}(?:[.,]\d+)?)S)?")
_DAY = dt.timedelta(days=1)


def cell_value(attributes: Mapping[str, str], text: str) -> object:
    """Give what RawSheet has for a cell; `text` is what it shows, its paragraphs parted by line breaks.

    The value in the attributes counts. Where they are not as the format wants them, what is shown counts.
    """
    formula = attributes.get("table:formula")
    if _shows_error(attributes, text):
        return CellError(text or "#VALUE!")
    kind = attributes.get("office:value-type", "")
    if formula is not None and not kind and not text:
        return UnsavedFormula("=" + formula.partition("=")[2])
    if kind in _READERS:
        name, reader = _READERS[kind]
        with suppress(ValueError, OverflowError):
            return reader(attributes.get(f"office:{name}", "").strip())
    return attributes.get("office:string-value") or text


def _shows_error(attributes: Mapping[str, str], text: str) -> bool:
    """LibreOffice marks an error; other programs only show its name where a formula stands."""
    if attributes.get("calcext:value-type") == "error":
        return True
    return "table:formula" in attributes and (text in ERRORS or bool(_NUMBERED_ERROR.fullmatch(text)))


def _number(text: str) -> float:
    number = float(text)
    if not isfinite(number):
        raise ValueError(text)
    return number


def _date(text: str) -> dt.date:
    text = text.removesuffix("Z")
    return dt.datetime.fromisoformat(text) if "T" in text else dt.date.fromisoformat(text)


def _time(text: str) -> dt.time | dt.timedelta:
    """A time of the day, or a span where it is longer than one. The format writes both alike."""
    found = _DURATION.fullmatch(text)
    if not found:
        raise ValueError(text)
    sign, days, hours, minutes, seconds = found.groups(default="0")
    span = dt.timedelta(int(days), float(seconds.replace(",", ".")), minutes=int(minutes), hours=int(hours))
    if sign == "-":
        return -span
    return (dt.datetime.min + span).time() if span < _DAY else span


def _truth(text: str) -> bool:
    if text not in ("true", "false"):
        raise ValueError(text)
    return text == "true"


_READERS: dict[str, tuple[str, Callable[[str], object]]] = {
    "float": ("value", _number),
    "percentage": ("value", _number),
    "currency": ("value", _number),
    "date": ("date-value", _date),
    "time": ("time-value", _time),
    "boolean": ("boolean-value", _truth),
}
