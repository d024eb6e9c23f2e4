"""Rules on abscess episodes. The row says that somebody suspects one; the program never finds one."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator

from dateutil.relativedelta import relativedelta

from tracker.derive.abscess import Episode
from tracker.derive.abscesses.place import same_spot
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import (
    NOT_BETTER,
    OLDER_FROM,
    OPEN_LONG,
    OTHER_FOOT_WITHIN,
    SAME_FOOT_WITHIN,
    whole_days,
)
from tracker.derive.referral.rule import (
    DEVEREUX,
    NEXT_VISIT,
    OPINION,
    PRACTICE,
    PUBLISHED,
    SAME_DAY,
    WITHIN_A_WEEK,
    Rule,
)
from tracker.sheets import ABSCESSES, HORSES, SOUNDNESS
from tracker.terms import FOOT_WORDS, NOT_SURE

ONE_DAY = dt.timedelta(days=1)
TWO_DAYS = dt.timedelta(days=2)
STANDS_DAYS = 14
HAIRLINE = "hairline"
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
            yield Found(episode.first_seen, because, _cells(facts, episode), episode.foot)
    for row, first_seen in ((one.row, one.first_seen) for one in facts.unclear_abscesses if not one.seen):
        if not facts.vet_since(first_seen):
            since = f"since {day(first_seen)}" if first_seen else "on a date that is unclear"
            because = f"An abscess is suspected {since}, in a row that cannot be used in full; no vet is recorded in it."
            yield Found(first_seen, because, (facts.cell(ABSCESSES.name, "first_seen", row),))


def look_again(facts: Facts) -> Iterator[Found]:
    """A day after first seen, not comfortable, and nothing says clearly better yet."""
    for episode in facts.episodes:
        if episode.is_open and facts.on - episode.first_seen == ONE_DAY and not _is_better(facts, episode):
            because = f"{FOOT_WORDS[episode.foot].capitalize()}: first seen {day(episode.first_seen)}, and nothing yet says that it is clearly better."
            yield Found(facts.on, because, _cells(facts, episode), episode.foot)


def _is_better(facts: Facts, episode: Episode) -> bool:
    latest = latest_notes(facts, episode)
    return bool(latest) and _clearly_better(facts, episode, latest)


def not_better(facts: Facts) -> Iterator[Found]:
    """Two days after first seen, not comfortable, and nothing says clearly better."""
    waits = whole_days(facts.limit(NOT_BETTER) / 24)
    for episode in facts.episodes:
        if not episode.is_open or facts.on - episode.first_seen < waits or _is_better(facts, episode):
            continue
        latest = latest_notes(facts, episode)
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
        yield Found(episode.first_seen + waits, because, cells, episode.foot)


def notes_about(facts: Facts, episode: Episode) -> list[DayNote]:
    """Notes that may be about the episode's foot, from the day before it was seen."""
    start = episode.first_seen - dt.timedelta(days=1)
    return [
        note
        for note in facts.notes
        if note.day and note.day >= start
        and (not note.limb or NOT_SURE in note.limb or episode.foot in note.limb)
        and (not math.isnan(note.score) or note.than_last)
    ]  # fmt: skip


def latest_notes(facts: Facts, episode: Episode) -> list[DayNote]:
    """The notes of the last day on which one was made outside pain relief."""
    later = [n for n in notes_about(facts, episode) if n.day and n.day > episode.first_seen and not n.masked]
    last = max((note.day for note in later if note.day), default=None)
    return [note for note in later if note.day == last]


def _clearly_better(facts: Facts, episode: Episode, latest: list[DayNote]) -> bool:
    """Better only by notes outside pain relief; a worse one counts under pain relief too."""
    about, last = notes_about(facts, episode), latest[0].day
    if any(note.than_last == "worse" for note in about if note.day and last and note.day >= last):
        return False
    if any(note.than_last == "better" for note in latest):
        return True
    until = episode.first_seen + TWO_DAYS
    onset = [n for n in about if n.day and n.day <= until and n not in latest and not n.masked]
    drops = [
        (max(same) - note.score, CLEARLY_LOWER[note.scale])
        for note in latest
        if note.scale in CLEARLY_LOWER and (same := [n.score for n in onset if seen_alike(n, note)])
    ]
    return bool(drops) and all(drop >= wanted for drop, wanted in drops)


def seen_alike(one: DayNote, other: DayNote) -> bool:
    """Whether two scores may be compared: the same scale, gait, ground, line and limb."""
    alike = ("scale", "gait", "ground", "line", "limb")
    return all(getattr(one, key) == getattr(other, key) for key in alike) and not math.isnan(one.score)


def open_long(facts: Facts) -> Iterator[Found]:
    """Not comfortable again after more than fourteen days."""
    days = int(facts.limit(OPEN_LONG))
    for episode in facts.episodes:
        if episode.is_open and episode.days > days:
            because = f"{FOOT_WORDS[episode.foot].capitalize()}: first seen {day(episode.first_seen)}, more than {days} days ago, and not recorded as comfortable again."
            since = episode.first_seen + dt.timedelta(days=days + 1)
            yield Found(since, because, _cells(facts, episode), episode.foot)


def opened_high(facts: Facts) -> Iterator[Found]:
    """One that opened at the hairline, or two openings of one foot, within two weeks and no vet since."""
    for episode in facts.typed_episodes:
        opened = episode.opened
        if not opened or (facts.on - opened).days > STANDS_DAYS or facts.vet_since(opened, (episode.foot,)):
            continue
        others = [
            other
            for other in facts.typed_episodes
            if other.foot == episode.foot
            and other.opened
            and (other.opened, other.first_seen, other.row) < (opened, episode.first_seen, episode.row)
            and (opened - other.opened).days <= STANDS_DAYS
        ]
        if episode.opened_at == HAIRLINE or others:
            where = "at the hairline" if episode.opened_at == HAIRLINE else "in more than one place"
            because = f"{FOOT_WORDS[episode.foot].capitalize()}: opened {where}, {day(opened)}."
            cells = [facts.cell(ABSCESSES.name, "opened", one.row) for one in (episode, *others)]
            yield Found(opened, because, tuple(cells), episode.foot)


def again(facts: Facts) -> Iterator[Found]:
    """A second episode in one foot within twelve months, and no vet since it began."""
    months = int(facts.limit(SAME_FOOT_WITHIN))
    for foot in FOOT_WORDS:
        own = [episode for episode in facts.episodes if episode.foot == foot]
        recent = _recent(own, facts.on, months)
        if len(recent) < 2 or facts.vet_since(recent[-1].first_seen, (foot,)):
            continue
        same = any(same_spot(recent[-1].where, earlier.where) for earlier in recent[:-1])
        because = (
            f"{FOOT_WORDS[foot].capitalize()}: {len(recent)} episodes within {months} months, first seen {_dates(recent)}"
            f"{', the last where one was before' if same else ''}."
        )
        yield Found(recent[-1].first_seen, because, _cells(facts, *recent), foot)


def again_elsewhere(facts: Facts) -> Iterator[Found]:
    """Episodes in two feet or more within twelve months, and no vet since the last began."""
    if not _is_older(facts):
        yield from _elsewhere(facts)


def again_in_older_horse(facts: Facts) -> Iterator[Found]:
    """The same in a horse of fifteen years or more."""
    if _is_older(facts):
        yield from _elsewhere(facts)


def _elsewhere(facts: Facts) -> Iterator[Found]:
    months = int(facts.limit(OTHER_FOOT_WITHIN))
    recent = _recent(facts.episodes, facts.on, months)
    if len({episode.foot for episode in recent}) < 2 or facts.vet_since(recent[-1].first_seen):
        return
    feet = " and ".join(FOOT_WORDS[foot] for foot in FOOT_WORDS if foot in {one.foot for one in recent})
    because = f"{len(recent)} episodes within {months} months ({feet}), first seen {_dates(recent)}."
    yield Found(recent[-1].first_seen, because, _cells(facts, *recent))


def _recent(episodes: Iterable[Episode], on: dt.date, months: int) -> list[Episode]:
    """The latest episode and those of the months before it; none where it is itself older than a year."""
    ordered = sorted(episodes, key=lambda episode: episode.first_seen)
    if not ordered or ordered[-1].first_seen < on - relativedelta(months=12):
        return []
    since = ordered[-1].first_seen - relativedelta(months=months)
    return [episode for episode in ordered if episode.first_seen >= since]


def _dates(episodes: Iterable[Episode]) -> str:
    return " and ".join(day(episode.first_seen) for episode in episodes)


def _is_older(facts: Facts) -> bool:
    born = [row.born for row in facts.tables[HORSES.name].all_rows if row.horse == facts.horse]
    return any(facts.on.year - year >= facts.limit(OLDER_FROM) for year in born)


_WAIT = "Keep the foot clean and dry, do not dig in the sole, and feel the opposite foot."
RULES = (
    Rule(
        "abscess-suspected", SAME_DAY, "abscess",
        "Ring the vet or your hoof-care practitioner today. Look for a wound, and ask whether tetanus cover is in date.",
        f"{_WAIT} Do not pull a nail before the vet says so.",
        "an open row on the Abscesses sheet that no vet has seen",
        f"{DEVEREUX}, p. 212", PUBLISHED,
        suspected,
    ),
    Rule(
        "abscess-not-better-48-h", SAME_DAY, "abscess",
        "Ring the vet today: it is not clearly better after two days.",
        _WAIT,
        "two days and more since first seen, not comfortable, and the latest note outside pain relief neither says "
        "better nor is a whole grade lower (two of ten)",
        f"{DEVEREUX}, p. 147, says a day or two; the 48 h", PRACTICE,
        not_better,
        limit=NOT_BETTER,
    ),
    Rule(
        "abscess-look-again-24-h", WITHIN_A_WEEK, "abscess",
        "Look again today and tomorrow, and write a note each time. If it is not clearly better by tomorrow, ring the vet.",
        _WAIT,
        "one day since first seen, not comfortable, and the latest note outside pain relief is not clearly better",
        f"a reminder before the 48 h ({DEVEREUX}, p. 147, says a day or two)", PRACTICE,
        look_again,
    ),
    Rule(
        "abscess-open-14-days", WITHIN_A_WEEK, "abscess",
        "Ask the vet this week, and ask whether radiographs are wanted.",
        _WAIT,
        "more than 14 days from first seen, not comfortable again",
        "Swiftsure Equine, hoof abscess care sheet ('up to 2 weeks'); the rule itself is inferred", OPINION,
        open_long,
        limit=OPEN_LONG,
    ),
    Rule(
        "abscess-opened-high", WITHIN_A_WEEK, "abscess",
        "Tell the vet this week where it opened.",
        "Measure how far below the hairline the opening is, so that the crack can be followed down.",
        "opened at the hairline, or in two places of one foot, within two weeks, and no vet seen since",
        "Cole et al. 2019, Vet Rec 184:251 (openings at the coronet took longer, several places gave more trouble)", PUBLISHED,
        opened_high,
    ),
    Rule(
        "abscess-again-same-foot", WITHIN_A_WEEK, "abscess again",
        "Tell the vet this week that it is the same foot again, and ask whether radiographs are wanted.",
        "Write down where in the foot each one was.",
        "two or more in one foot within 12 months, and no vet seen since the last began (the window is inferred)",
        "equine practices' advice on abscesses that return in one place; no published rate", OPINION,
        again,
        limit=SAME_FOOT_WITHIN,
    ),
    Rule(
        "abscess-again-older-horse", WITHIN_A_WEEK, "abscess again",
        "Tell the vet this week how many there were, and how old the horse is, and ask what else should be looked into.",
        "Write down how much the horse drinks, and whether its coat or its condition has changed.",
        "abscesses in two or more feet within 12 months in a horse of 15 years or more, and no vet seen since the last began "
        "(the counts and the age are inferred)",
        "Vet Times, 12 January 2021; EQUUS, Hoof Abscesses", OPINION,
        again_in_older_horse,
        limit=OLDER_FROM,
    ),
    Rule(
        "abscess-again-other-foot", NEXT_VISIT, "abscess again",
        "Tell the vet at the next visit how many there were, and ask what else should be looked into.",
        "Write down where in each foot they were, and what the ground was like before.",
        "abscesses in two or more feet within 12 months, and no vet seen since the last began (the counts are inferred)",
        "Vet Times, 12 January 2021; EQUUS, Hoof Abscesses", OPINION,
        again_elsewhere,
        limit=OTHER_FOOT_WITHIN,
    ),
)  # fmt: skip
