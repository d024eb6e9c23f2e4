"""What comes of a rule: what it found in one horse's records, and the warning made of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Found:
    """What a rule found: since when (None where the date cannot be read), why, and the cells."""

    since: dt.date | None
    because: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Firing:
    """One warning about one horse."""

    rule: str
    urgency: str
    horse: str
    since: dt.date | None
    because: str
    cells: tuple[str, ...]
    words: str
    source: str
    sure: str


def day(date: dt.date) -> str:
    """A date in words, such as 4 Mar 2026."""
    return f"{date.day} {date:%b %Y}"
