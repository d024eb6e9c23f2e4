"""Rules on how an abscess goes on: fever, swelling, worse, not better once it has opened, back again."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial

from tracker.derive.abscess import Episode
from tracker.derive.referral.abscess import CLEARLY_LOWER, latest_notes, notes_about, seen_alike
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import BACK_WITHIN, TEMPERATURE_ABSCESS, whole_days
from tracker.derive.referral.rule import DEVEREUX, NOW, OPINION, PUBLISHED, SAME_DAY, Rule
from tracker.derive.referral.standing import (
    NOW_STANDS,
    SAME_DAY_STANDS,
    Reason,
    Telling,
    in_one,
    of_note,
    signs,
)
from tracker.derive.referral.vital import in_words
from tracker.reference.body import TEMPERATURE
from tracker.sheets import ABSCESSES, BODY
from tracker.terms import FOOT_WORDS, NOT_SURE, OFF_FEED, PUS, SWELLING

ONE_DAY = dt.timedelta(days=1)


def fever_or_off_feed(facts: Facts) -> Iterator[Found]:
    """A high temperature, or off feed, while an abscess is open; in a row that was set aside it may be, too."""
    for episode in _open(facts):
        telling = _ill(facts, partial(_counts, facts, episode))
        yield from _with_episode(facts, episode, in_one(facts, telling, NOW_STANDS, "records"))
    for one in facts.unclear_abscesses:
        telling = _ill(facts, partial(_may_count, facts, one.first_seen))
        cell = facts.cell(ABSCESSES.name, "first_seen", one.row)
        for found in in_one(facts, telling, NOW_STANDS, "records"):
            because = f"An abscess is recorded in a row that cannot be used in full. {found.because}"
            yield Found(found.since, because, (*found.cells, cell))


def _ill(facts: Facts, counts: Callable[[dt.date | None], bool]) -> list[Telling]:
    notes = [
        of_note(facts, note, found)
        for note in facts.notes
        if (found := signs(note, OFF_FEED)) and counts(note.day)
    ]
    high = [
        Telling(
            one.day, one.row,
            (in_words(TEMPERATURE, one),), (facts.cell(BODY.name, "temperature", one.row),),
        )
        for one in facts.readings[TEMPERATURE.key]
        if one.value > facts.limit(TEMPERATURE_ABSCESS) + 1e-9 and counts(one.day)
    ]  # fmt: skip
    return [*notes, *high]


def worse(facts: Facts) -> Iterator[Found]:
    """Swelling up the leg, or worse than last time, while an abscess is open."""
    for episode in _open(facts):
        notes = [
            of_note(facts, note, found)
            for note in facts.notes
            if _may_be_of(episode, note) and (found := _bad_signs(note)) and _counts(facts, episode, note.day)
        ]
        yield from _with_episode(facts, episode, in_one(facts, notes, SAME_DAY_STANDS, "notes"))


def opened_not_better(facts: Facts) -> Iterator[Found]:
    """A day after it opened: no note since says better, nor is a whole grade lower than on the days before."""
    for episode in _open(facts):
        opened = episode.opened
        if not opened or facts.on - opened < ONE_DAY or _vet_after(facts, episode, opened):
            continue
        latest = [note for note in latest_notes(facts, episode) if note.day and note.day > opened]
        if (
            latest
            and not any(note.than_last == "worse" for note in latest)
            and _better(facts, episode, opened, latest)
        ):
            continue
        because = (
            f"{FOOT_WORDS[episode.foot].capitalize()}: opened {day(opened)}, and no note since, outside pain relief, "
            "says that it is clearly better."
        )
        yield Found(
            opened + ONE_DAY, because, (facts.cell(ABSCESSES.name, "opened", episode.row),), episode.foot
        )


def back(facts: Facts) -> Iterator[Found]:
    """Pus, worse, or lamer by a whole grade within two weeks of the first comfortable day."""
    for episode in facts.episodes:
        over = episode.comfortable
        if not over:
            continue
        last, calm = over + whole_days(facts.limit(BACK_WITHIN)), _calm(facts, episode)
        notes = [
            of_note(facts, note, found)
            for note in facts.notes
            if note.day and over < note.day <= last
            and _may_be_of(episode, note) and (found := _bad_again(calm, note))
            and not _vet_after(facts, episode, note.day)
        ]  # fmt: skip
        found_back = in_one(facts, notes, SAME_DAY_STANDS, "notes")
        yield from _with_episode(facts, episode, found_back, "comfortable_again")


def _open(facts: Facts) -> list[Episode]:
    return [episode for episode in facts.episodes if episode.is_open]


def _counts(facts: Facts, episode: Episode, seen: dt.date | None) -> bool:
    """Whether something seen on that day falls into the episode and no vet has followed it; with no clear day it may."""
    return seen is None or (seen >= episode.first_seen - ONE_DAY and not _vet_after(facts, episode, seen))


def _may_count(facts: Facts, first_seen: dt.date | None, seen: dt.date | None) -> bool:
    """The same of an abscess whose foot, or whose first day, is not clear."""
    if seen is None:
        return True
    began = first_seen is None or seen >= first_seen - ONE_DAY
    return began and (facts.on == seen or not facts.vet_since(seen))


def _vet_after(facts: Facts, episode: Episode, seen: dt.date) -> bool:
    """On the day itself it is not clear which came first."""
    return facts.on != seen and facts.vet_since(seen, (episode.foot,))


def _may_be_of(episode: Episode, note: DayNote) -> bool:
    return not note.limb or NOT_SURE in note.limb or episode.foot in note.limb


def _bad_signs(note: DayNote) -> list[Reason]:
    said: list[Reason] = [("worse than last time", "than_last_time")] if note.than_last == "worse" else []
    return signs(note, SWELLING) + said


def _calm(facts: Facts, episode: Episode) -> list[DayNote]:
    """The notes of the first comfortable day."""
    return [note for note in notes_about(facts, episode) if note.day == episode.comfortable]


def _bad_again(calm: Sequence[DayNote], note: DayNote) -> list[Reason]:
    found = signs(note, PUS) + _bad_signs(note)
    then = [other.score for other in calm if seen_alike(other, note)]
    if then and note.score >= min(then) + CLEARLY_LOWER.get(note.scale, math.inf):
        found.append((f"grade {note.score:g} after {min(then):g}", "score"))
    return found


def _better(facts: Facts, episode: Episode, opened: dt.date, latest: list[DayNote]) -> bool:
    if any(note.than_last == "better" for note in latest):
        return True
    before = [n for n in notes_about(facts, episode) if n.day and n.day <= opened and not n.masked]
    drops = [
        (max(same) - note.score, CLEARLY_LOWER[note.scale])
        for note in latest
        if note.scale in CLEARLY_LOWER and (same := [n.score for n in before if seen_alike(n, note)])
    ]
    return bool(drops) and all(drop >= wanted for drop, wanted in drops)


def _with_episode(
    facts: Facts, episode: Episode, found: Iterator[Found], key: str = "first_seen"
) -> Iterator[Found]:
    """The finding with the episode's foot and cell."""
    cell = facts.cell(ABSCESSES.name, key, episode.row)
    words = {
        "first_seen": f"An abscess is recorded in the {FOOT_WORDS[episode.foot]} since {day(episode.first_seen)}.",
        "comfortable_again": f"The abscess in the {FOOT_WORDS[episode.foot]} was over on {day(episode.comfortable or facts.on)}.",
    }  # fmt: skip
    for one in found:
        yield Found(one.since, f"{words[key]} {one.because}", (*one.cells, cell), episode.foot)


_WAIT = "Keep the horse still and the foot clean and dry. Feel the opposite foot, and take the temperature."
_CARE_SHEET = "Swiftsure Equine, hoof abscess care sheet"
RULES = (
    Rule(
        "abscess-and-fever-or-off-feed", NOW, "abscess",
        "Ring the vet now, day or night, and say that an abscess is being looked after.",
        _WAIT,
        "an open abscess, and from the day before it a temperature above 38.6 °C or the sign off feed",
        f"{_CARE_SHEET}; that it is for now is inferred", OPINION,
        fever_or_off_feed,
        limit=TEMPERATURE_ABSCESS,
    ),
    Rule(
        "abscess-worse", SAME_DAY, "abscess",
        "Ring the vet today and say since when it is worse.",
        _WAIT,
        "an open abscess, and from the day before it swelling up the leg, or worse than last time",
        f"{_CARE_SHEET}; {DEVEREUX}, p. 215", PUBLISHED,
        worse,
    ),
    Rule(
        "abscess-opened-not-better-24-h", SAME_DAY, "abscess",
        "Ring the vet today: it has opened and is not clearly better a day later.",
        _WAIT,
        "a day and more since it opened, not comfortable, and no note since, outside pain relief, says better or is a whole "
        "grade lower (two of ten); no vet since the day it opened",
        "an equine practice's sheet on hoof abscesses (relief within 24 h of opening); the rule itself is inferred", OPINION,
        opened_not_better,
    ),
    Rule(
        "abscess-back", SAME_DAY, "abscess",
        "Ring the vet today and say that it has come back.",
        _WAIT,
        "within two weeks of Comfortable again: pus or discharge, swelling up the leg, worse than last time, or a whole grade "
        "more (two of ten) than on that day",
        "an equine practice's sheet on hoof abscesses; the two weeks are our own choice", OPINION,
        back,
        limit=BACK_WITHIN,
    ),
)  # fmt: skip
