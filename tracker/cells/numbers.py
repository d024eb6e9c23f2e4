"""Numbers as people type them: fractions, decimal commas, units beside them."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from tracker.cells.text import fold
from tracker.sheets import ANGLE, LENGTH, NUMBER, TEMPERATURE, WEIGHT

INCH = 25.4  # mm, exact: international yard and pound agreement, 1959


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, the unit typed beside it ("" if none), and whether it was typed as a fraction.

    `ends` are the two ends of a range, whose middle is the number; empty where one number was typed.
    `about` tells that it was marked as not exact.
    """

    number: float
    unit: str
    fraction: bool
    ends: tuple[float, ...] = ()
    about: bool = False


LONGEST = 100  # signs; a longer text is no measurement, and its figures might be beyond any number

_MIXED = re.compile(r"^(\d+)(?:\s*[-–]\s*|\s+and\s+|\s+)(\d+)\s*/\s*(\d+)\s*(.*)$")
_FRACTION = re.compile(r"^(\d+)\s*/\s*(\d+)\s*(.*)$")
_THOUSANDS = re.compile(r"^([1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?)\s*(.*)$")
_DECIMAL = re.compile(r"^([-+−]?(?:\d+(?:[.,·]\d+)?|[.,]\d+))\s*(.*)$")
_UNTIL = re.compile(r"^(\D*?)\s*(?:[-–—]|\bto\b|\bor\b)\s*(?=[\d.,])(.+)$")


def read_quantity(text: str, *, thousands: bool = False) -> Quantity | None:
    """The number in the text, or None. `thousands` reads 1,100 as eleven hundred rather than 1.1.

    "3 1/2 in", "3½", "3-1/2", "3,5" and "8.9 cm" are all read; a range such as "89-92 mm" as its middle.
    """
    first = _leading(fold(_spell_fractions(text)), thousands) if len(text) <= LONGEST else None
    if first is None:
        return None
    if found := _UNTIL.match(first.unit):
        last = _leading(found[2], thousands)
        if last and last.number > first.number and found[1] in ("", last.unit):
            ends = (first.number, last.number)
            first = Quantity(sum(ends) / 2, last.unit, first.fraction or last.fraction, ends)
    return None if any(map(str.isdecimal, first.unit)) else first


def _leading(line: str, thousands: bool) -> Quantity | None:
    """The number that the folded text begins with; whatever follows it stands as the unit."""
    if (found := _MIXED.match(line)) and int(found[3]):
        return Quantity(int(found[1]) + int(found[2]) / int(found[3]), found[4], fraction=True)
    if (found := _FRACTION.match(line)) and int(found[2]):
        return Quantity(int(found[1]) / int(found[2]), found[3], fraction=True)
    if thousands and (found := _THOUSANDS.match(line)):
        return Quantity(float(found[1].replace(",", "")), found[2], fraction=False)
    if found := _DECIMAL.match(line):
        number = found[1].replace(",", ".").replace("·", ".").replace("−", "-")
        return Quantity(float(number), found[2], fraction=False)
    return None


def _spell_fractions(text: str) -> str:
    """½ spelled as " 1/2". Normalising first would turn 3½ into 31/2."""
    spelled = []
    for char in text:
        whole = unicodedata.normalize("NFKC", char)
        if "⁄" in whole and len(whole) > 1:  # the fraction slash
            spelled.append(" " + whole.replace("⁄", "/"))
        else:
            spelled.append("/" if char == "⁄" else char)
    return "".join(spelled).strip()


Units = dict[str, tuple[str, ...]]

_LENGTHS: Units = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "in": ("in", "ins", "inch", "inches", '"', "''"),
}
_OTHERS: dict[str, Units] = {
    ANGLE: {"°": ("°", "deg", "degs", "degree", "degrees")},
    TEMPERATURE: {
        "°C": ("c", "°c", "° c", "deg c", "celsius"),
        "°F": ("f", "°f", "° f", "deg f", "fahrenheit"),
        "": ("°", "deg", "degree", "degrees"),  # of which scale is not said
    },
    WEIGHT: {"kg": ("kg", "kgs", "kilo", "kilos"), "lb": ("lb", "lbs", "pound", "pounds")},
}
_NUMBERS: dict[str, Units] = {
    "weeks": {"weeks": ("week", "weeks", "wk", "wks", "w")},
    "minutes": {
        "minutes": ("min", "mins", "minute", "minutes"),
        "hours": ("h", "hr", "hrs", "hour", "hours"),
    },
    "of 9": {"of 9": ("/9", "1-9", "1 to 9")},
    "of 5": {"of 5": ("/5", "0-5", "0 to 5")},
    "beats a minute": {"beats a minute": ("bpm", "/min", "beats", "beats a minute", "per minute")},
    "breaths a minute": {"breaths a minute": ("/min", "breaths", "breaths a minute", "per minute", "bpm")},
}
UNIT_NAMES = {
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    "°C": "degrees Celsius",
    "°F": "degrees Fahrenheit",
}
_FACTORS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH, "lb": 0.45359237, "hours": 60.0}


def units_for(holds: str, unit_note: str = "") -> Units:
    """The units a column can have, each with the ways to type it; the canonical one stands first."""
    if holds == LENGTH:
        return _LENGTHS
    if holds == NUMBER:
        return _NUMBERS.get(unit_note, {})
    return _OTHERS.get(holds, {})


def unit_named(text: str, units: Units) -> str | None:
    """The unit that was typed, or None when it is none of these."""
    wanted = fold(text).rstrip(".").replace("–", "-")
    return next((unit for unit, spellings in units.items() if wanted in spellings), None)


def canonical(number: float, unit: str) -> float:
    """The number in the canonical unit: mm, °, °C, kg, minutes."""
    if unit == "°F":
        return (number - 32) / 1.8
    return number * _FACTORS.get(unit, 1.0)
