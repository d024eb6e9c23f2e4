"""The hour of a reading as people type it; what may be morning or evening is not guessed."""

from __future__ import annotations

import datetime as dt
import re

from tracker.cells.reading import Reading
from tracker.cells.text import fold, typed

ALLOWED = "a time of day, such as 14:30 or 2:30 pm"
_CLOCK = re.compile(r"(\d{1,2})\s*[:.h]\s*(\d{2})(?::\d{2}(?:[.,]\d+)?)?\s*(am|pm|h)?")
_HOUR = re.compile(r"(\d{1,2})\s*(am|pm|h|hrs?|o'clock)")
_FOUR = re.compile(r"([01]\d|2[0-3])([0-5]\d)\s*(h|hrs?)?")
_NAMED = {"noon": dt.time(12), "midday": dt.time(12)}


def read_time(value: object) -> Reading:
    """A time of day as "14:30"."""
    time = _time(value)
    return Reading(None, "time-unreadable", ALLOWED) if time is None else Reading(f"{time:%H:%M}")


def _time(value: object) -> dt.time | None:
    if isinstance(value, dt.time):
        return value
    if isinstance(value, dt.datetime):  # with its day, or the day that a spreadsheet counts from
        return value.time() if value.time() != dt.time() else None
    if isinstance(value, float):
        return _of_day(value) if 0 < value < 1 else None
    text = re.sub(r"\b([ap])\s*\.?\s*m\b\.?", r"\1m", fold(typed(value))).removeprefix("at ").strip()
    if text in _NAMED:
        return _NAMED[text]
    if found := _CLOCK.fullmatch(text):
        return _at(int(found[1]), int(found[2]), found[3] or "")
    if found := _HOUR.fullmatch(text):
        return _at(int(found[1]), 0, found[2])
    if (found := _FOUR.fullmatch(text)) and isinstance(value, str):
        return dt.time(int(found[1]), int(found[2]))
    return None


def _of_day(part: float) -> dt.time:
    """A part of a day, as a spreadsheet keeps a time."""
    minutes = min(round(part * 24 * 60), 24 * 60 - 1)
    return dt.time(minutes // 60, minutes % 60)


def _at(hour: int, minute: int, half: str) -> dt.time | None:
    if half in ("am", "pm"):
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    return dt.time(hour, minute) if hour <= 23 and minute <= 59 else None
