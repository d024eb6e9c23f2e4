"""The warnings of one horse on any day, from the tables alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import cached_property

from tracker.derive.change import PairDifference, left_right
from tracker.derive.hooves import HoofRecord, hoof_records
from tracker.derive.progress.horse import Progress, progress
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.recorded import Records, Tables
from tracker.derive.referral.rules import fire
from tracker.derive.rows import by_horse
from tracker.derive.shoes import shoes_off
from tracker.derive.soundness import Series, comparable_series, scores
from tracker.derive.trims import Trim
from tracker.derive.worsening.alternating import Alternating, alternating
from tracker.derive.worsening.record import Watch, until, watches
from tracker.derive.written import LATE, when_written, written_shares
from tracker.sheets import HOOVES, HORSES, SOUNDNESS


class LookedBack:
    """What the rules look at of every horse on any day; each part is worked out when a rule first asks for it."""

    def __init__(self, records: Records) -> None:
        self.records = records
        self._known: dict[tuple[str, dt.date], Facts] = {}

    def facts(self, horse: str, day: dt.date) -> Facts:
        """What the rules look at of one horse on that day."""
        if (horse, day) not in self._known:
            self._known[horse, day] = self.records.of(horse).facts(day, WorkedOutOn(self, horse, day))
        return self._known[horse, day]

    @cached_property
    def feet(self) -> Mapping[str, Sequence[HoofRecord]]:
        """All hoof records by horse, by the table's errors: those of single photographs are not known here."""
        return by_horse(hoof_records(self.records.tables[HOOVES.name]))

    @cached_property
    def series(self) -> Mapping[str, Sequence[Series]]:
        """All series by horse; what was made under pain relief does not change with the day."""
        courses = [course for own in self.records.all() for course in own.courses]
        return by_horse(comparable_series(scores(self.records.tables[SOUNDNESS.name], courses)))

    @cached_property
    def late(self) -> frozenset[int]:
        """The rows of the notes that were written days later."""
        when = when_written(self.records.tables[SOUNDNESS.name])
        return frozenset(row for row, said in when.items() if said == LATE)


class WorkedOutOn:
    """What is worked out of one horse as of one day."""

    def __init__(self, back: LookedBack, horse: str, day: dt.date) -> None:
        self._back, self._horse, self._day = back, horse, day

    @cached_property
    def feet(self) -> tuple[HoofRecord, ...]:
        """Its hoof records up to the day."""
        return tuple(one for one in self._back.feet.get(self._horse, ()) if one.date <= self._day)

    @cached_property
    def pairs(self) -> tuple[PairDifference, ...]:
        """Left beside right of each of them."""
        return tuple(left_right(self.feet))

    @cached_property
    def _series(self) -> list[Series]:
        return [*until(self._back.series.get(self._horse, ()), self._day)]

    @cached_property
    def progress(self) -> Progress | None:
        """What its grades say about progress."""
        tables = self._back.records.tables
        off = shoes_off(tables[HORSES.name]).get(self._horse, {"front": None, "hind": None})
        shares = written_shares(tables[SOUNDNESS.name], self._day)
        return progress(self._series, off, self._trims, shares.get(self._horse), self._day)

    @cached_property
    def alternating(self) -> Alternating | None:
        """Whether the lame leg changes."""
        return alternating(self._series, self._day)

    @cached_property
    def watches(self) -> tuple[Watch, ...]:
        """What the filter makes of its grades."""
        return watches(self._series, self._back.late, [trim.date for trim in self._trims], self._day)

    @property
    def _trims(self) -> tuple[Trim, ...]:
        return tuple(trim for trim in self._back.records.of(self._horse).trims if trim.date <= self._day)


def firings_at_once(tables: Tables, horse: str, today: dt.date) -> list[Firing]:
    """What the rows themselves call for today, without the rules for which much has to be worked out first."""
    return fire(Records(tables, today).of(horse).facts(today))


def firings_on(tables: Tables, horse: str, day: dt.date, today: dt.date) -> list[Firing]:
    """What fires on that day, by what is recorded now."""
    return fire(LookedBack(Records(tables, today)).facts(horse, day))
