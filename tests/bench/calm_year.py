"""A calm year as an owner would type it, through all the rules: how many warnings a horse that stays as it is gets.

`python -m tests.bench.calm_year [horses]` prints the figures. Grades as in the worlds `sound` and `mild`: one way
of looking, the usual person, no trims, no pain relief, nothing on any other sheet. Slips of the pen are left out:
a 5 that was typed by mistake has to warn, and is no fault of a rule.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))  # `tests` itself is no package

from firings import facts_of

from bench.diary import USUAL, Diaries, keep
from bench.worlds import steady
from tracker.derive.referral.rules import NOW, SAME_DAY, fire

LEVELS = {"sound": (0.0, 0.5), "mild": (1.0, 2.0)}
FIRST = dt.date(2025, 6, 25)
STEP = (
    7  # days between two looks at the warnings; what stands shorter than that may be missed, but the urgent
)
SAID = {-1: "better", 0: "same", 1: "worse"}


@dataclass(frozen=True)
class Year:
    """What one horse's year gave below `same day`, as messages by cause and as single warnings; and what was urgent."""

    messages: Counter[str]
    warnings: Counter[str]
    urgent: tuple[tuple[str, float], ...]


def diaries(world: str, horses: int, seed: int) -> Diaries:
    """A year of grades for each horse, with the usual noise and no slips."""
    rng = np.random.default_rng([seed, horses])
    low, high = LEVELS[world]
    return keep(steady(low, high, horses, 365, rng), rng, compares=True, law=replace(USUAL, slips=0.0))


def rows(found: Diaries, horse: int, until: int) -> Iterator[str]:
    """The notes of one horse up to a day, as they would be typed."""
    for day in range(until + 1):
        if not np.isnan(grade := found.scores[horse, day]):
            said = SAID.get(found.than_last[horse, day], "")
            date = FIRST + dt.timedelta(days=day)
            yield f"@{date} | trot | hard | straight | LF | 0-5 | {grade:g} | {said}"


def year(found: Diaries, horse: int, step: int = STEP) -> Year:
    """The warnings of one horse's year, looked at every so many days, and on every day with grade 4 or more."""
    graded = found.scores[horse]
    looks = {*range(0, 365, step), *(day for day in range(365) if graded[day] >= 4)}
    began: tuple[Counter[str], Counter[str]] = Counter(), Counter()
    standing: tuple[set[str], set[str]] = set(), set()
    urgent: list[tuple[str, float]] = []
    for day in sorted(looks):
        sheet = "\n".join(
            ["Date | Gait | Ground | Line | Limb | Scale | Score | Than last time", *rows(found, horse, day)]
        )
        date = FIRST + dt.timedelta(days=day)
        told = fire(facts_of(date.isoformat(), Soundness=sheet))
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
    horses = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    for world in LEVELS:
        found = years(world, horses)
        mean = sum(sum(one.messages.values()) for one in found) / horses
        most = max(sum(one.messages.values()) for one in found)
        single = sum((one.warnings for one in found), Counter[str]())
        urgent = Counter(rule for one in found for rule, _ in one.urgent)
        print(
            f"{world}: {mean:.2f} messages below same day a horse-year (most {most}), "
            f"{sum(single.values()) / horses:.2f} single warnings {dict(single)}; {dict(urgent)} at or above it"
        )


if __name__ == "__main__":
    main()
