"""A cell as its owner typed it, as two plain texts: its kind and what it holds."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable

from tracker.cells.raw import CellError, UnsavedFormula

BLANK, TEXT, CODED = "blank", "text", "coded text"
_NUMBER, _TRUTH, _MOMENT, _DAY, _TIME, _SPAN = (
    "number",
    "true or false",
    "date and time",
    "date",
    "time",
    "span",
)
_ERROR, _FORMULA = "error", "formula without a result"

_NOT_WRITTEN = "\ufffd"  # the replacement character of Unicode

KINDS = (BLANK, TEXT, CODED, _NUMBER, _TRUTH, _MOMENT, _DAY, _TIME, _SPAN, _ERROR, _FORMULA)
"""What a cell can be. Coded text is text with signs that UTF-8 cannot hold, written as a JSON string in ASCII."""


def kept(value: object) -> tuple[str, str]:
    """A cell's kind and content."""
    if isinstance(value, str):
        return _kept_text(value)
    if isinstance(value, bool):
        return _TRUTH, "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return _NUMBER, repr(value)
    if isinstance(value, dt.timedelta):
        return _SPAN, f"{value // dt.timedelta(microseconds=1)} microseconds"
    for kind, of in ((_MOMENT, dt.datetime), (_DAY, dt.date), (_TIME, dt.time)):
        if isinstance(value, of):
            return kind, value.isoformat()
    raise TypeError(f"no cell holds {type(value).__name__}")


def _kept_text(text: str) -> tuple[str, str]:
    if not can_be_written(text):
        return CODED, json.dumps(str(text))
    if isinstance(text, CellError):
        return _ERROR, str(text)
    if isinstance(text, UnsavedFormula):
        return _FORMULA, str(text)
    return (TEXT if text else BLANK), text


def can_be_written(text: str) -> bool:
    """Whether UTF-8 and a CSV file can hold the text: no half of a pair of surrogates, no zero sign."""
    return "\0" not in text and not any("\ud800" <= sign <= "\udfff" for sign in text)


def fit(text: str) -> str:
    """The text with a sign in place of each that cannot be written; as it was typed it is among the cells."""
    if can_be_written(text):
        return text
    return "".join(sign if can_be_written(sign) else _NOT_WRITTEN for sign in text)


def value_of(kind: str, text: str) -> object:
    """The cell again. Raises ValueError, KeyError or another error for what `kept` never gives."""
    return _READERS[kind](text)


def _number(text: str) -> int | float:
    return int(text) if text.lstrip("-").isdecimal() else float(text)


_READERS: dict[str, Callable[[str], object]] = {
    BLANK: lambda _: "",
    TEXT: str,
    CODED: lambda text: str(json.loads(text)),
    _NUMBER: _number,
    _TRUTH: {"TRUE": True, "FALSE": False}.__getitem__,
    _MOMENT: dt.datetime.fromisoformat,
    _DAY: dt.date.fromisoformat,
    _TIME: dt.time.fromisoformat,
    _SPAN: lambda text: dt.timedelta(microseconds=int(text.removesuffix(" microseconds"))),
    _ERROR: CellError,
    _FORMULA: UnsavedFormula,
}
