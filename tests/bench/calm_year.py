"""A calm year as an owner would type it, through all the rules: how many warnings a horse that stays as it is gets.

`python -m tests.bench.calm_year [horses [seed [days between two looks]]]` prints the figures. Grades as in the worlds `sound` and `mild`: one way
of looking, the usual person, no trims, no pain relief, nothing on any other sheet. Slips of the pen are left out:
a 5 that was typed by mistake has to warn, and is no fault of a rule.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))  # `tests` itself is no package

from books import checked

from bench.diary import USUAL, Diaries, keep
from bench.worlds import steady
from tracker.derive.progress.horse import Progress
from tracker.derive.progress.standstill import standstill
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.looked_back import LookedBack, WorkedOutOn
from tracker.derive.referral.recorded import Records
from tracker.derive.referral.rules import NOW, SAME_DAY, fire
from tracker.derive.soundness import Series
from tracker.derive.worsening.record import NONE, STALE, Watch, watches

LEVELS = {"sound": (0.0, 0.5), "mild": (1.0, 2.0)}
FIRST = dt.date(2025, 6, 25)
LAST = FIRST + dt.timedelta(days=364)
STEP = 7  # days between two looks at the warnings; what stands shorter may be missed, but not what is urgent
SAID = {-1: "better", 0: "same", 1: "worse"}
HORSE = "Bramble"


@dataclass(frozen=True)
class Year:
    """What one horse's year gave below `same day`, as messages by cause and as single warnings; and what was urgent."""

    messages: Counter[str]
    warnings: Counter[str]
    urgent: tuple[tuple[str, float], ...]

    @property
    def told(self) -> int:
        """How many messages below `same day`."""
        return sum(self.messages.values())


def diaries(world: str, horses: int, seed: int) -> Diaries:
    """A year of grades for each horse, with the usual noise and no slips."""
    rng = np.random.default_rng([seed, horses])
    low, high = LEVELS[world]
    return keep(steady(low, high, horses, 365, rng), rng, compares=True, law=replace(USUAL, slips=0.0))


def rows(found: Diaries, horse: int) -> Iterator[str]:
    """The notes of one horse's year, as they would be typed."""
    for day in range(min(365, found.scores.shape[1])):
        if not np.isnan(grade := found.scores[horse, day]):
            said = SAID.get(found.than_last[horse, day], "")
            date = FIRST + dt.timedelta(days=day)
            yield f"@{date} | trot | hard | straight | LF | 0-5 | {grade:g} | {said}"


class _Quick(WorkedOutOn):
    """The same as of any day, but what takes long is worked out only where the rules would look at it."""

    def __init__(self, back: _Back, day: dt.date) -> None:
        super().__init__(back, HORSE, day)
        self._signals, self._known = back.signals, back.still

    @cached_property
    def watches(self) -> tuple[Watch, ...]:
        """The filter runs forward: a signal of some day is the same whatever was noted after it."""
        recent = [one for one in self._signals if self._day - STALE <= one <= self._day]
        return super().watches if recent else ()

    @cached_property
    def progress(self) -> Progress | None:
        """Without months and trims where no series stands still, on the day or in the weeks before."""
        mondays = (self._day - dt.timedelta(days=self._day.weekday() + 7 * back) for back in range(9))
        flat = any(self._stands_still(one, day) for one in self._series for day in (self._day, *mondays))
        return super().progress if flat else None

    def _stands_still(self, series: Series, day: dt.date) -> bool:
        """The series grows by later notes only, which have no part in it."""
        found = self._known.get(day)
        if found is None:
            found = self._known[day] = standstill(series, day) is not None
        return found


class _Back(LookedBack):
    """One horse's year, with the days on which the filter signalled."""

    def __init__(self, records: Records) -> None:
        super().__init__(records)
        self.still: dict[dt.date, bool] = {}

    def facts_on(self, day: dt.date) -> list[Firing]:
        """What fires on that day."""
        return fire(self.records.of(HORSE).facts(day, _Quick(self, day)))

    @cached_property
    def signals(self) -> list[dt.date]:
        """The days with any signal."""
        return [FIRST + dt.timedelta(days=day) for day in self.signalled]

    @cached_property
    def signalled(self) -> dict[int, str]:
        """Each of them, as days since the first, with its signal."""
        whole = watches(self.series.get(HORSE, ()), (), [], LAST)
        days = (day for one in whole for day in one.days)
        return {(day.date - FIRST).days: day.signal for day in days if day.signal != NONE}


def back_of(found: Diaries, horse: int) -> _Back:
    """One horse's year, to be looked back at."""
    sheet = "\n".join(
        ["Date | Gait | Ground | Line | Limb | Scale | Score | Than last time", *rows(found, horse)]
    )
    tables = checked(today=LAST, Horses=f"Horse | Usual scale\n{HORSE} | 0-5", Soundness=sheet).tables
    return _Back(Records(tables, LAST))


def year(found: Diaries, horse: int, step: int = STEP) -> Year:
    """The warnings of one horse's year, looked at every so many days, and on every day with grade 4 or more."""
    graded = found.scores[horse]
    back = back_of(found, horse)
    looks = {*range(0, 365, step), *(day for day in range(365) if graded[day] >= 4)}
    began: tuple[Counter[str], Counter[str]] = Counter(), Counter()
    standing: tuple[set[str], set[str]] = set(), set()
    urgent: list[tuple[str, float]] = []
    for day in sorted(looks):
        date = FIRST + dt.timedelta(days=day)
        told = back.facts_on(date)
        urgent += [
            (one.rule, float(graded[day]))
            for one in told
            if one.urgency in (NOW, SAME_DAY) and one.since == date
        ]
        calm = [one for one in told if one.urgency not in (NOW, SAME_DAY)]
        now = {one.cause for one in calm}, {one.rule for one in calm}
        for count, new, old in zip(began, now, standing, strict=True):
            count.update(new - old)
        standing = now
    return Year(*began, tuple(urgent))


def years(world: str, horses: int, seed: int = 11, step: int = STEP) -> list[Year]:
    """The years of some horses."""
    found = diaries(world, horses, seed)
    return [year(found, horse, step) for horse in range(horses)]


def main() -> None:
    """Prints the figures."""
    given = [int(text) for text in sys.argv[1:]]
    horses, seed, step = [*given, *(10, 11, STEP)[len(given) :]]
    for world in LEVELS:
        found = years(world, horses, seed, step)
        spread = Counter(one.told for one in found)
        single = sum((one.warnings for one in found), Counter[str]())
        urgent = Counter(rule for one in found for rule, _ in one.urgent)
        print(
            f"{world}: {sum(one.told for one in found) / horses:.2f} messages below same day a horse-year; "
            f"horses with 0, 1, ...: {[spread[number] for number in range(max(spread) + 1)]}; "
            f"{sum(single.values()) / horses:.2f} single warnings {dict(single)}; {dict(urgent)} at or above it"
        )


if __name__ == "__main__":
    main()
