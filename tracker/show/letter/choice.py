"""What the sender wants in a letter, and what stays in the barn unless it is asked for."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.show.pdf import PAPERS

# Every part of a letter, in its order, with what it is called where somebody chooses.
PARTS = {
    "who": "Who the horse is",
    "question": "Your question",
    "warnings": "Open warnings",
    "course": "Soundness since the shoes came off",
    "signs": "Signs written down",
    "abscesses": "Abscesses",
    "feet": "The four feet",
    "growth": "Growth of the wall",
    "trims": "Trims",
    "relief": "Pain relief",
    "work": "Work and the plan",
    "body": "Body and vital signs",
    "changes": "Changes in the horse's life",
    "visits": "Visits",
    "lacks": "What the record lacks",
}
ALWAYS = ("who", "question")
# What is left out unless the sender puts it in, with why it may be private.
EXTRAS = {
    "remarks": "Remarks, in your own words",
    "names": "Names of people",
    "phones": "Phone numbers",
    "photos": "Photographs, made small and without place or camera",
}


@dataclass(frozen=True, slots=True)
class Choice:
    """What goes into a letter: without the parts `without`, with the extras `extras`.

    `since` and `until` are the first and last day it tells of; None leaves it to the record. Raises ValueError
    for a part, an extra or a paper that there is not.
    """

    question: str = ""
    without: frozenset[str] = frozenset()
    extras: frozenset[str] = frozenset()
    since: dt.date | None = None
    until: dt.date | None = None
    paper: str = PAPERS[0]

    def __post_init__(self) -> None:
        """Refuse what is not to be chosen."""
        for given, known in (
            (self.without, [*PARTS][len(ALWAYS) :]),
            (self.extras, [*EXTRAS]),
            ({self.paper}, PAPERS),
        ):
            if unknown := sorted(set(given) - set(known)):
                raise ValueError(f"{', '.join(unknown)}: one of {', '.join(known)}")
