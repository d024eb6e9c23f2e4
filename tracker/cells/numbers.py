"""Numbers as people type them: fractions, decimal commas, units beside them."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from tracker.cells.text import fold, spell_fractions
from tracker.sheets import ANGLE, LENGTH, NUMBER, TEMPERATURE, WEIGHT

INCH = 25.4  # mm, exact: international yard and pound agreement, 1959


@dataclass(frozen=True, slots=True)
class Fraction:
    """Two figures with a stroke between them, as typed; `alone` where no whole number stands before them.

    `drawn` tells that it was one sign such as ¾, which cannot be two numbers.
    """

    upper: int
    lower: int
    alone: bool
    drawn: bool = False

    @property
    def halved(self) -> bool:
        """Whether it parts one whole by halving, as inches are parted: 3/4 does, 45/50 and 5/4 do not."""
        return 0 < self.upper < self.lower and self.lower in (2, 4, 8, 16, 32, 64)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, the unit typed beside it ("" if none), and the fractions that it was typed with.

    `ends` are the two ends of a range, whose middle is the number; empty where one number was typed.
    `about` tells that it was marked as not exact, `or_more` that it may be more.
    """

    number: float
    unit: str
    fractions: tuple[Fraction, ...] = ()
    ends: tuple[float, ...] = ()
    about: bool = False
    or_more: bool = False


LONGEST = 100  # signs; a longer text is no measurement, and its figures might be beyond any number

_MIXED = re.compile(r"^(\d+)(?:\s*[-–]\s*|\s+and\s+|\s+)(\d+)\s*/\s*(\d+)\s*(.*)$")
_FRACTION = re.compile(r"^(\d+)\s*/\s*(\d+)\s*(.*)$")
_THOUSANDS = re.compile(r"^([1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?)\s*(.*)$")
_DECIMAL = re.compile(r"^([-+−]?(?:\d+(?:[.,·]\d+)?|[.,]\d+))\s*(.*)$")
_RAISED = re.compile("[⁰¹²³⁴-⁹₀-₉]")  # 8² is no 82
_SPAN = re.compile(r"(\d+)\s*(?:h|hrs?|hours?)\.?\s*(?:and\s+)?([0-5]?\d)\s*(?:m|mins?|minutes?)?\.?")
_UNTIL = re.compile(r"^(\D*?)\s*(?:[-–—]|\bto\b|\bor\b)\s*(?=[\d.,])(.+)$")


def read_quantity(text: str, *, thousands: bool = False) -> Quantity | None:
    """The number in the text, or None. `thousands` reads 1,100 as eleven hundred rather than 1.1.

    "3 1/2 in", "3½", "3-1/2", "3,5" and "8.9 cm" are all read; a range such as "89-92 mm" as its middle.
    """
    spelled = spell_fractions(text) if len(text) <= LONGEST else ""
    first = None if _RAISED.search(spelled) else _leading(fold(spelled), thousands)
    if first is None:
        return None
    if found := _UNTIL.match(first.unit):
        last = _leading(found[2], thousands)
        if last and last.number > first.number and found[1] in ("", last.unit):
            ends = (first.number, last.number)
            first = Quantity(sum(ends) / 2, last.unit, first.fractions + last.fractions, ends)
    if any(map(str.isdecimal, first.unit)):
        return None
    drawn = bool(first.fractions) and "/" not in text
    return replace(first, fractions=tuple(replace(part, drawn=drawn) for part in first.fractions))


def _leading(line: str, thousands: bool) -> Quantity | None:
    """The number that the folded text begins with; whatever follows it stands as the unit."""
    if (found := _MIXED.match(line)) and int(found[3]):
        part = Fraction(int(found[2]), int(found[3]), alone=False)
        return Quantity(int(found[1]) + part.upper / part.lower, found[4], (part,))
    if (found := _FRACTION.match(line)) and int(found[2]):
        part = Fraction(int(found[1]), int(found[2]), alone=True)
        return Quantity(part.upper / part.lower, found[3], (part,))
    if thousands and (found := _THOUSANDS.match(line)):
        return Quantity(float(found[1].replace(",", "")), found[2])
    if found := _DECIMAL.match(line):
        number = found[1].replace(",", ".").replace("·", ".").replace("−", "-")
        return Quantity(float(number), found[2])
    return None


def read_span(text: str) -> Quantity | None:
    """A span of hours and minutes, such as "1h30" or "1 hr 30 min", in minutes; None where it is none."""
    found = _SPAN.fullmatch(fold(text)) if len(text) <= LONGEST else None
    return Quantity(int(found[1]) * 60 + int(found[2]), "minutes") if found else None


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
        "minutes": ("min", "mins", "minute", "minutes", "m"),
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
