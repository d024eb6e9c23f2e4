"""The warnings of a small workbook that is written in a test as readable tables."""

from __future__ import annotations

import datetime as dt

from books import checked

from tracker.derive.referral.facts import Facts, Worked
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.looked_back import LookedBack
from tracker.derive.referral.recorded import Records
from tracker.derive.referral.rules import fire

HORSES = "Horse | Usual scale\nBramble | 0-5"
TODAY = dt.date(2026, 6, 30)


def facts_of(on: str, horse: str = "Bramble", *, watched: bool = True, **sheets: str) -> Facts:
    """What the rules are given of one horse as of a day. `Pain_relief` names the sheet Pain relief."""
    day = dt.date.fromisoformat(on)
    tables = checked(**{"Horses": HORSES, **sheets}).tables
    records = Records(tables, max(TODAY, day))
    return (
        LookedBack(records).facts(horse, day)
        if watched
        else records.of(horse).facts(day, _unwatched(records, horse, day))
    )


def _unwatched(records: Records, horse: str, day: dt.date) -> Worked:
    """What is worked out without the grades' progress and the filter, which take long."""
    back = LookedBack(records).facts(horse, day).worked_out
    return Worked(feet=back.feet, pairs=back.pairs, alternating=back.alternating)


def warnings(
    on: str = "2026-06-10", horse: str = "Bramble", *, watched: bool = True, **sheets: str
) -> list[Firing]:
    """The warnings of one horse as of a day."""
    return fire(facts_of(on, horse, watched=watched, **sheets))


def rules(on: str = "2026-06-10", *, watched: bool = True, **sheets: str) -> list[str]:
    """Only the slugs."""
    return [firing.rule for firing in warnings(on, watched=watched, **sheets)]


NOTES = "Date | Gait | Limb | Scale | Score | Than last time | Pulse LF | Pulse RF | Signs | Warm"


def notes(*lines: str) -> str:
    """A Soundness sheet of these rows."""
    return "\n".join([NOTES, *lines])


def daily(*grades: float, limb: str = "LF", last: str = "2026-06-09", gait: str = "trot") -> list[str]:
    """Notes of grades, a day each, the last on that day."""
    end = dt.date.fromisoformat(last)
    days = [end - dt.timedelta(days=ago) for ago in reversed(range(len(grades)))]
    return [f"@{day} | {gait} | {limb} | 0-5 | {grade}" for day, grade in zip(days, grades, strict=True)]
