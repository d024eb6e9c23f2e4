"""One cell that is not in the plain form: what it becomes for the reader, and what must be said of it."""

from __future__ import annotations

import re
from html import unescape

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.workbook.gate import Refused

Remark = CellError | UnsavedFormula

ATTRIBUTES = rb'(?:[ ][\w:]++="[^"<>]*+")*+'
ODD_CELL = re.compile(
    rb"""<c[ ]r="(?P<column>[A-Z]{1,3}+)(?P<row>[1-9]\d{0,6}+)"(?P<attributes>%s)(?:/>|>
    (?:<f%s(?:/>|>(?P<formula>[^<]*+)</f>))?+
    (?:<v%s(?:/>|>(?P<value>[^<]*+)</v>))?+
    (?:<is>(?:<t(?:[ ]xml:space="preserve")?+>(?P<inline>[^<]*+)</t>)?+</is>)?+
    </c>)"""
    % (ATTRIBUTES, ATTRIBUTES, ATTRIBUTES),
    re.VERBOSE,
)
_NUMBER = re.compile(rb"[+-]?+(?:\d++\.?+\d*+|\.\d++)(?:[eE][+-]?+\d{1,3})?+")
_DATABLE = 1e8  # far beyond it the library makes neither a date nor a number, but stops


def plain_cell(
    place: bytes,
    *,
    kind: bytes = b"",
    style: bytes = b"",
    formula: bytes | None = None,
    value: bytes | None = None,
) -> tuple[bytes, Remark | None]:
    """Give the plain XML of a cell, and the error or the formula without a result that it holds.

    `kind` and `style` are its t and s; a text that stands in the cell itself has kind "str". `formula` and
    `value` are None where the cell has no such element; they are escaped as in XML. Raises Refused.
    """
    if kind == b"e" and value:
        return _text(place, value), CellError(unescape(value.decode()))
    if formula is not None and not value and (kind != b"str" or value is None):
        return _text(place, b"="), UnsavedFormula("=" + unescape(formula.decode()))
    if not value:
        return b'<c r="%s"/>' % place, None
    if kind in (b"", b"n"):
        return _number(place, style, value), None
    if kind == b"s" and not value.strip().isdigit():
        raise Refused("file-damaged")
    if kind == b"d":  # a moment of the clock on the wall; the library knows no zone
        value = value.strip().removesuffix(b"Z")
    if kind in (b"s", b"b", b"d"):
        return b'<c r="%s" t="%s"><v>%s</v></c>' % (place, kind, value.strip()), None
    return _text(place, value), None


def _text(place: bytes, text: bytes) -> bytes:
    return b'<c r="%s" t="str"><v>%s</v></c>' % (place, text)


def _number(place: bytes, style: bytes, value: bytes) -> bytes:
    """Keep a number's style only where a date can come of it; what is no number stays a text."""
    number = value.strip()
    if not _NUMBER.fullmatch(number) or float(number) in (float("inf"), float("-inf")):
        return _text(place, value)
    if style and style.isdigit() and 0 <= float(number) < _DATABLE:
        return b'<c r="%s" s="%s"><v>%s</v></c>' % (place, style, number)
    return b'<c r="%s"><v>%s</v></c>' % (place, number)
