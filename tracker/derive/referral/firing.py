"""What comes of a rule: what it found in one horse's records, and the warning made of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.derive.referral.answer import Answer


@dataclass(frozen=True, slots=True)
class Found:
    """What a rule found: since when (None where the date cannot be read), why, and the cells.

    `part` is the foot that it is about, where there may be a warning for each.
    """

    since: dt.date | None
    because: str
    cells: tuple[str, ...]
    part: str = ""


@dataclass(frozen=True, slots=True)
class Firing:
    """One warning about one horse. `cause` is what it has in common with others that are told with it.

    `answers` are those of the Follow-up sheet that mean it, the oldest first. `again` is the last day on which it
    was recorded after the last of them; `answered` holds where there is no such day, `quiet` while it is folded away.
    """

    rule: str
    urgency: str
    horse: str
    since: dt.date | None
    because: str
    cells: tuple[str, ...]
    words: str
    source: str
    sure: str
    waiting: str = ""
    speaks_to: str = ""
    cause: str = ""
    answers: tuple[Answer, ...] = ()
    again: dt.date | None = None
    name: str = ""
    answered: bool = False
    quiet: bool = False


def day(date: dt.date) -> str:
    """A date in words, such as 4 Mar 2026."""
    return f"{date.day} {date:%b %Y}"
