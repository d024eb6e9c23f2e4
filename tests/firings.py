"""The warnings of a small workbook that is written in a test as readable tables."""

from __future__ import annotations

import datetime as dt

from books import checked

from tracker.derive.abscess import episodes
from tracker.derive.change import left_right
from tracker.derive.hooves import hoof_records
from tracker.derive.progress.horse import progress
from tracker.derive.referral.facts import Facts, WorkedOut, gather
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.rules import fire
from tracker.derive.relief import courses
from tracker.derive.shoes import shoes_off
from tracker.derive.soundness import comparable_series, scores
from tracker.derive.trims import trims
from tracker.derive.worsening.alternating import alternating
from tracker.derive.worsening.record import watches

HORSES = "Horse | Usual scale\nBramble | 0-5"
TODAY = dt.date(2026, 6, 30)


def facts_of(on: str, horse: str = "Bramble", *, watched: bool = True, **sheets: str) -> Facts:
    """What the rules are given of one horse as of a day. `Pain_relief` names the sheet Pain relief."""
    day = dt.date.fromisoformat(on)
    tables = checked(**{"Horses": HORSES, **sheets}).tables
    relief = courses(tables["Pain relief"], day)
    off = shoes_off(tables["Horses"]).get(horse, {"front": None, "hind": None})
    done = trims(tables["Visits"], day)
    series = [one for one in comparable_series(scores(tables["Soundness"], relief)) if one.horse == horse]
    until = [one for one in series if all(point.date <= day for point in one.points)]
    feet = [one for one in hoof_records(tables["Hooves"]) if one.horse == horse and one.date <= day]
    own = [trim for trim in done if trim.horse == horse]
    known = WorkedOut(
        feet=tuple(feet),
        pairs=tuple(left_right(feet)),
        progress=progress(until, off, own, None, day) if watched else None,
        alternating=alternating(until, day),
    )
    seen = tuple(watches(until, (), [trim.date for trim in own], day)) if watched else ()
    return gather(
        horse,
        day,
        tables,
        episodes(tables["Abscesses"], day),
        relief,
        done,
        off,
        max(TODAY, day),
        seen,
        known,
    )


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
