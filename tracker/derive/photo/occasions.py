"""When a foot was photographed: the day and the stage of the trim, in their order, and what is compared with what."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.derive.hooves import STAGES
from tracker.terms import FEET


@dataclass(frozen=True, slots=True)
class Occasion:
    """A day, and a stage of `STAGES`."""

    day: dt.date
    stage: str

    @property
    def place(self) -> tuple[dt.date, int]:
        """Its place in time: of one day, before the trim comes before after it."""
        return self.day, STAGES.index(self.stage)


def occasion(foot: str, date: str, stage: str) -> Occasion | None:
    """When that was; None where it has no day, or is of no foot. An unknown stage counts as not given."""
    try:
        day = dt.date.fromisoformat(date)
    except ValueError:
        return None
    return Occasion(day, stage if stage in STAGES else "") if foot in FEET else None


def baseline(occasions: Sequence[Occasion], now: Occasion, shoes_off: dt.date | None) -> Occasion | None:
    """The one that `now` is compared with: the first since the shoes came off, at the same stage if there is one.

    Where the day of the shoes is not known, `now` is older, or none was taken since, the first of all.
    """
    earlier = sorted((each for each in occasions if each.place < now.place), key=lambda each: each.place)
    bare = [each for each in earlier if shoes_off and now.day >= shoes_off and each.day >= shoes_off]
    found = bare or earlier
    same = [each for each in found if each.stage == now.stage]
    return next(iter(same or found), None)
