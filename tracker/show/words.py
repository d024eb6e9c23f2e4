"""Values in the barn's words: dates, spans, measures with their error, changes."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable

from tracker.derive.change import Change
from tracker.derive.statistics.interval import Estimate
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE
from tracker.sheets import HOOVES
from tracker.terms import FOOT_WORDS, PULSES

FOOT_NAMES = FOOT_WORDS
PULSE_STEPS = PULSES

CAUTION = (
    "This record is no substitute for an examination by a vet. It keeps and compares what people wrote down; "
    "who may diagnose, treat or trim is for the law of your country to say."
)
ERROR_NOTE = "± is the measuring error: the true value lies within it 19 times in 20."

NO_WARNING = (
    "No rule fires on what is recorded. That does not mean that nothing is wrong: "
    "the rules see only what was written down."
)

URGENCY_WORDS = {
    "now": "Ring the vet now",
    "same day": "Ring today",
    "within a week": "Ask the vet this week",
    "next visit": "Arrange or ask at the next visit",
}

# What a derived quantity is, in a few words beside its name.
EXPLAINED = {
    "heel_lag": "toe angle minus heel angle",
    "axis_break": "pastern angle minus toe angle; above 0 the hoof is lower than the pastern",
    "toe_heel_ratio": "toe length ÷ heel length",
    "heel_run": "how far the heel runs forward along the ground",
    "heel_height": "straight up from the ground",
    "toe_height": "straight up from the ground",
    "heel_toe_height_percent": "heel height in per cent of toe height",
    "hairline_angle_model": "worked out from toe and heel; a check, not a measurement",
    "hairline_length": "worked out from toe and heel",
    "width_length_ratio": "hoof width ÷ hoof length",
    "frog_ratio": "frog width ÷ frog length",
    "heel_length_difference": "inner heel minus outer heel",
    "wall_angle_difference": "inner wall minus outer wall",
    "toe_flare": "upper front wall minus lower: above 0 the wall flares",
    "line_lean": "how much steeper the lines stand for each cm further back",
    "hairline_tilt": "how far the hairline slopes to one side",
}
_UNIT_SIGNS = {"deg": "°", "deg/cm": "°/cm", "mm": " mm", "%": " %", "1": ""}


def day(date: dt.date | None) -> str:
    """4 Mar 2026, or a dash."""
    return f"{date.day} {date:%b %Y}" if date else "–"


def value(cell: object) -> str:
    """What a cell is given, in words: a day, a moment, or as it was typed."""
    if isinstance(cell, dt.datetime):
        return f"{day(cell)} {cell:%H:%M}"
    return day(cell) if isinstance(cell, dt.date) else str(cell)


def span(days: int) -> str:
    """Days, and weeks beyond a month: "12 days", "7 weeks"."""
    if days <= 31:
        return f"{days} day" if days == 1 else f"{days} days"
    return f"{days // 7} weeks"


def counted(number: int, thing: str) -> str:
    """1 day, 2 days."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def warning_name(name: str) -> str:
    """A warning's name in words: "trim past 8 weeks", "temperature above 38.9"; the foot or day behind it stays."""
    slug, *behind = name.split(" ", 1)
    return " ".join((re.sub(r"(?<=\d) (?=\d)", ".", slug.replace("-", " ")), *behind))


def name(key: str) -> str:
    """A quantity's name: "Toe angle", "Heel lag"."""
    column = HOOVES.by_key.get(key)
    return column.heading if column else key.replace("_", " ").capitalize()


def number(value: float, error: float, unit: str, *, sign: bool = False) -> str:
    """A figure with as many decimals as its error deserves, and its unit.

    A difference (`sign`) always has one: "+2 within the error" beside "+2 beyond it" would be a riddle.
    """
    decimals = 2 if unit == "1" else 1 if sign or error < 2 else 0
    rounded = round(value, decimals) + 0.0  # never "-0"
    return f"{rounded:{'+' if sign and rounded else ''}.{decimals}f}{_UNIT_SIGNS.get(unit, ' ' + unit)}"


def measure(found: Measure) -> str:
    """In words: "38° ± 3°": the value and the error, within which the true value lies 19 times in 20."""
    error = COVERAGE * found.sd
    return f"{number(found.value, error, found.unit)} ± {number(error, error, found.unit)}"


def difference(found: Measure) -> str:
    """In words: "+1.5° ± 2.2°": a difference and its error, with as many decimals."""
    error = COVERAGE * found.sd
    return f"{number(found.value, error, found.unit, sign=True)} ± {number(error, 0.0, found.unit)}"


def change(found: Change) -> str:
    """In words: "+2.0° since 3 Mar 2026, at least the measuring error", or that it is within it."""
    moved = number(found.value, found.detectable, found.unit, sign=True)
    if found.beyond_error:
        return f"{moved} since {day(found.since)}, at least the measuring error"
    return f"{moved} since {day(found.since)}, within the measuring error"


def step(value: float, size: str, less: str = "lower", more: str = "higher") -> str:
    """In words: "0.4 lower": how large a difference is and which way it lies; its size alone where that rounds to 0."""
    return size if not float(size.split()[0]) else f"{size} {less if value < 0 else more}"


def limits(found: Estimate, of: Callable[[float], str], unit: str = "") -> str:
    """In words: "0.4 lower to 0.1 higher", "2 times or more" where the interval is open; `of` says one of its ends."""
    ends = [f"{of(end)}" for end in (found.low, found.high) if math.isfinite(end)]
    if len(ends) == 2:
        return f"{ends[0]} to {ends[1]}{unit}"
    if not ends:
        return "no range that holds it"
    return f"{ends[0]}{unit} or {'more' if math.isfinite(found.low) else 'less'}"


def score(value: float, scale: str) -> str:
    """In words: "2 on 0-5": a grade never stands without its scale."""
    return f"{value:g} on {scale}"


def looked(gait: str, ground: str, line: str) -> str:
    """How the horse was looked at: "trot, hard, straight"; says so where nothing is given."""
    return ", ".join(part for part in (gait, ground, line) if part) or "gait not given"
