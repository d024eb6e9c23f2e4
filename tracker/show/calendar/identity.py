"""Which event is which, so that a calendar program that is given it again changes it and adds no second one.

An event is known by what it is, never by its day or its row's number: the horse (its name, and the year it was born
where that is given) and the kind, and then
- the next trim, a note that is asked for: nothing more, there is one of each for a horse, and it moves;
- a day that a visit named: the visit's own day, its role and purpose, and which of several alike ones it is;
- a step of a plan: its name, and which of several of that name it is, by their first days;
- the end of a quiet: the warning, its feet or its first day as the answer names them.

So a mended day of a visit, or a new name of a horse or a step, makes another event. Two workbooks that hold a horse
of one name and year have the same events: whoever takes in both should give each a calendar of its own.
"""

from __future__ import annotations

import uuid

from tracker.cells.text import fold

_OURS = uuid.UUID("6f0a4c1e-2a55-4f0b-9b0e-5a7c6d1d3e28")
"""Drawn once, for all events of this program (RFC 9562, 5.5: names within a namespace)."""

TRIM, NOTE, VISIT, STEP, QUIET = "trim due", "note asked for", "visit named", "plan step", "quiet ends"


def uid(horse: str, born: int | None, kind: str, *more: object) -> str:
    """An event's UID (RFC 5545, 3.8.4.7; RFC 7986, 5.3 asks for a UUID)."""
    names = [fold(horse), "" if born is None else str(born), kind, *(fold(str(one)) for one in more)]
    return str(uuid.uuid5(_OURS, "\x1f".join(names)))
