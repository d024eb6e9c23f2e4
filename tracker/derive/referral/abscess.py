"""Rules on abscess episodes. The row says that somebody suspects one; the program never finds one."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from dateutil.relativedelta import relativedelta

from tracker.derive.abscess import Episode
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.sheets import ABSCESSES, SOUNDNESS
from tracker.terms import FOOT_WORDS, NOT_SURE

TWO_DAYS = dt.timedelta(days=2)
OPEN_LONG_DAYS = 14
CLEARLY_LOWER = {"0-5": 1.0, "0-10": 2.0}


def _cells(facts: Facts, *episodes: Episode) -> tuple[str, ...]:
    return tuple(facts.cell(ABSCESSES.name, "first_seen", episode.row) for episode in episodes)


def suspected(facts: Facts) -> Iterator[Found]:
    """An open episode that no vet has seen."""
    for episode in facts.episodes:
        if episode.is_open and not facts.vet_since(episode.first_seen, (episode.foot,)):
            foot = FOOT_WORDS[episode.foot]
            because = (
                f"An abscess is suspected in the {foot} since {day(episode.first_seen)}; no vet is recorded."
            )
            yield Found(episode.first_seen, because, _cells(facts, episode))
    for row, first_seen in facts.unclear_abscesses:
        if not facts.vet_since(first_seen):
            since = f"since {day(first_seen)}" if first_seen else "on a date that is unclear"
            because = f"An abscess is suspected {since}, in a row that cannot be used in full; no vet is recorded in it."
            yield Found(first_seen, because, (facts.cell(ABSCESSES.name, "first_seen", row),))


def not_better(facts: Facts) -> Iterator[Found]:
    """Two days after first seen, not comfortable, and nothing says clearly better."""
    for episode in facts.episodes:
        if not episode.is_open or facts.on - episode.first_seen < TWO_DAYS:
            continue
        latest = _latest(facts, episode)
        if latest and _clearly_better(facts, episode, latest):
            continue
        told = (
            f"the latest note outside pain relief, of {day(latest[-1].day or facts.on)}, is not clearly better"
            if latest
            else "no later note outside pain relief says how it goes"
        )
        because = (
            f"{FOOT_WORDS[episode.foot].capitalize()}: first seen {day(episode.first_seen)}, and {told}."
        )
        cells = _cells(facts, episode) + tuple(
            facts.cell(SOUNDNESS.name, "date", note.row) for note in latest
        )
        yield Found(episode.first_seen + TWO_DAYS, because, cells)


def _about(facts: Facts, episode: Episode) -> list[DayNote]:
    """Notes that may be about the episode's foot, from the day before it was seen."""
    start = episode.first_seen - dt.timedelta(days=1)
    return [
        note
        for note in facts.notes
        if note.day and note.day >= start
        and (not note.limb or NOT_SURE in note.limb or episode.foot in note.limb)
        and (not math.isnan(note.score) or note.than_last)
    ]  # fmt: skip


def _latest(facts: Facts, episode: Episode) -> list[DayNote]:
    """The notes of the last day on which one was made outside pain relief."""
    later = [n for n in _about(facts, episode) if n.day and n.day > episode.first_seen and not n.masked]
    last = max((note.day for note in later if note.day), default=None)
    return [note for note in later if note.day == last]


def _clearly_better(facts: Facts, episode: Episode, latest: list[DayNote]) -> bool:
    """Better only by notes outside pain relief; a worse one counts under pain relief too."""
    about, last = _about(facts, episode), latest[0].day
    if any(note.than_last == "worse" for note in about if note.day and last and note.day >= last):
        return False
    if any(note.than_last == "better" for note in latest):
        return True
    until = episode.first_seen + TWO_DAYS
    onset = [n for n in about if n.day and n.day <= until and n not in latest and not n.masked]
    drops = [
        (max(same) - note.score, CLEARLY_LOWER[note.scale])
        for note in latest
        if note.scale in CLEARLY_LOWER and (same := [n.score for n in onset if _seen_alike(n, note)])
    ]
    return bool(drops) and all(drop >= wanted for drop, wanted in drops)


def _seen_alike(one: DayNote, other: DayNote) -> bool:
    """Whether two scores may be compared: the same scale, gait, ground, line and limb."""
    alike = ("scale", "gait", "ground", "line", "limb")
    return all(getattr(one, key) == getattr(other, key) for key in alike) and not math.isnan(one.score)


def open_long(facts: Facts) -> Iterator[Found]:
    """Not comfortable again after more than fourteen days."""
    for episode in facts.episodes:
        if episode.is_open and episode.days > OPEN_LONG_DAYS:
            because = f"{FOOT_WORDS[episode.foot].capitalize()}: first seen {day(episode.first_seen)}, {episode.days} days ago, and not recorded as comfortable again."
            yield Found(
                episode.first_seen + dt.timedelta(days=OPEN_LONG_DAYS + 1), because, _cells(facts, episode)
            )


def again(facts: Facts) -> Iterator[Found]:
    """A second episode in one foot within twelve months, and no vet since it began."""
    for foot in FOOT_WORDS:
        mine = sorted((e for e in facts.episodes if e.foot == foot), key=lambda episode: episode.first_seen)
        if len(mine) < 2:
            continue
        last = mine[-1]
        since = last.first_seen - relativedelta(months=12)
        recent = [episode for episode in mine if episode.first_seen >= since]
        if (
            len(recent) < 2
            or last.first_seen < facts.on - relativedelta(months=12)
            or facts.vet_since(last.first_seen, (foot,))
        ):
            continue
        dates = " and ".join(day(episode.first_seen) for episode in recent)
        because = (
            f"{FOOT_WORDS[foot].capitalize()}: {len(recent)} episodes within 12 months, first seen {dates}."
        )
        yield Found(last.first_seen, because, _cells(facts, *recent))
