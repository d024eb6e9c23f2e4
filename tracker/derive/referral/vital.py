"""Rules on temperature, heart and breathing rate. Pain relief lowers some of them, and quiets none of these rules."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from tracker.derive.referral import grades
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found
from tracker.derive.referral.rule import MEMORY, NOW, OPINION, PUBLISHED, SAME_DAY, WITHIN_A_WEEK, Rule
from tracker.derive.referral.standing import SAME_DAY_STANDS, Telling, in_one, signs
from tracker.derive.rows import day_of, each
from tracker.reference.body import BREATHING, HEART, TEMPERATURE, Vital
from tracker.reference.urgent import TEMPERATURE_AT_ONCE
from tracker.sheets import BODY
from tracker.terms import HARD_TURN, NO_MOVE, NO_WEIGHT, POINTS, SHIFTS, STILTED

STANDS = SAME_DAY_STANDS
"""A reading tells of its day; for so long nobody is known to have asked about it (our own choice)."""
NEXT_DAY = dt.timedelta(days=1)
ABOUT = dt.timedelta(days=3)  # how near a note of lameness lies to a temperature: our own choice
_LAME_SIGNS = (NO_WEIGHT, NO_MOVE, SHIFTS, STILTED, HARD_TURN, POINTS)
_UNITS = {"temperature": "°C", "heart_rate": "beats a minute", "breathing_rate": "breaths a minute"}


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading; `day` is None where its date is not clear. The sheet keeps no time of day.

    `perhaps` holds where its cell cannot be used as it is typed, and this is the highest that it may have been.
    """

    row: int
    day: dt.date | None
    value: float
    perhaps: bool = False


def taken(facts: Facts, vital: Vital) -> list[Taken]:
    """The horse's readings of one vital sign up to the day of the facts, those of rows that were set aside too."""
    frame = facts.tables[BODY.name].frame
    found = []
    for row in each(frame[frame["horse"] == facts.horse]):
        day, value = day_of(row.date), float(getattr(row, vital.key))
        perhaps = math.isnan(value)
        if perhaps:
            value = float(getattr(row, f"{vital.key}_left_out", value))
        known_later = day is not None and facts.on < day <= facts.today
        if not math.isnan(value) and not known_later:
            found.append(Taken(int(row.Index), day if day and day <= facts.on else None, value, perhaps))
    return found


def single(vital: Vital, fits: Callable[[float], bool]) -> Callable[[Facts], Iterator[Found]]:
    """A rule's finder: one reading is enough."""

    def find(facts: Facts) -> Iterator[Found]:
        yield from _told(facts, vital, [one for one in taken(facts, vital) if fits(one.value)])

    return find


def twice(
    vital: Vital, fits: Callable[[float], bool], *, lame: bool = False
) -> Callable[[Facts], Iterator[Found]]:
    """A rule's finder: two such readings at most a day apart; with `lame`, only near a note of lameness."""

    def find(facts: Facts) -> Iterator[Found]:
        high = [one for one in taken(facts, vital) if fits(one.value)]
        repeated = [one for one in high if any(_again(one, other) for other in high if other is not one)]
        yield from _told(facts, vital, [one for one in repeated if not lame or _lame_about(facts, one.day)])

    return find


def take_again(facts: Facts) -> Iterator[Found]:
    """The latest reading of a vital sign is above its range, and nobody has taken it again."""
    for vital in (TEMPERATURE, HEART, BREATHING):
        readings = taken(facts, vital)
        last = [one for one in readings if not any(_later(other, one) for other in readings)]
        yield from _told(facts, vital, [one for one in last if one.value > vital.high.value + 1e-9])


def _again(one: Taken, other: Taken) -> bool:
    """Whether two readings bear each other out; where a date is not clear they may."""
    return one.day is None or other.day is None or abs(one.day - other.day) <= NEXT_DAY


def _later(other: Taken, one: Taken) -> bool:
    """On one day it is not known which came first, so the higher stands."""
    return one.day is not None and other.day is not None and other.day > one.day


def _lame_about(facts: Facts, day: dt.date | None) -> bool:
    """Whether lameness or an open abscess is recorded within three days of it."""
    about = [note for note in facts.notes if day is None or note.day is None or abs(note.day - day) <= ABOUT]
    lame = any(
        note.worst > 0 or note.left_out > 0 or signs(note, *_LAME_SIGNS) or grades.badly_lame(note)
        for note in about
    )
    return lame or any(
        day is None
        or (episode.first_seen - ABOUT <= day and (episode.comfortable is None or day <= episode.comfortable))
        for episode in facts.episodes
    )


def _told(facts: Facts, vital: Vital, readings: Sequence[Taken]) -> Iterator[Found]:
    telling = [
        Telling(
            one.day, one.row,
            (in_words(vital, one),), (facts.cell(BODY.name, vital.key, one.row),),
        )
        for one in readings
        if one.day is None or one.day == facts.on or not facts.vet_since(one.day)
    ]  # fmt: skip
    yield from in_one(facts, telling, STANDS)


def in_words(vital: Vital, one: Taken) -> str:
    """A reading in words, such as "temperature 39.1 °C"."""
    value = f"{one.value:.3g} {_UNITS[vital.key]}"
    if one.perhaps:
        return f"a {vital.name.lower()} that cannot be used as it is typed, perhaps {value}"
    return f"{vital.name.lower()} {value}"


def _above(limit: float, upto: float = math.inf) -> Callable[[float], bool]:
    return lambda value: limit + 1e-9 < value <= upto + 1e-9


def _from(limit: float) -> Callable[[float], bool]:
    return lambda value: value >= limit - 1e-9


_HIGH, _ASK, _AT_ONCE = TEMPERATURE.high.value, TEMPERATURE.ask_from.value, TEMPERATURE_AT_ONCE.value
_QUIET = "Keep the horse quiet, in the shade, with water. Take the temperature, the heart and the breathing rate again in an hour and write them down with the time."
_COUNT = "Let the horse stand quietly for ten minutes and count again for a whole minute."
_NOW = "Ring the vet now, day or night."
RULES = (
    Rule(
        "temperature-above-40-6", NOW, "vital signs",
        f"{_NOW} Say what the temperature is and when it was taken.", _QUIET,
        "temperature above 40.6 °C (105 °F)",
        TEMPERATURE_AT_ONCE.source, PUBLISHED,
        single(TEMPERATURE, _above(_AT_ONCE)),
    ),
    Rule(
        "temperature-above-38-9", NOW, "vital signs",
        f"{_NOW} Say what the temperature is and when it was taken.", _QUIET,
        "temperature above 38.9 °C (102 °F), and up to 40.6 °C",
        "Purdue Veterinary Hospital, Emergency Services; that it is for now in a lame horse is inferred", PUBLISHED,
        single(TEMPERATURE, _above(_ASK, _AT_ONCE)),
    ),
    Rule(
        "temperature-above-38-6-twice", SAME_DAY, "vital signs",
        "Ring the vet today and give both temperatures.", _QUIET,
        "temperature above 38.6 °C (101.5 °F) in two readings at most a day apart, with lameness or an open abscess within "
        "three days (the sheet keeps no time of day: an hour between them is for you to see to)",
        "Virginia Tech clinician in US Eventing 2021; the hour between is common practice, the days are our own choice",
        OPINION,
        twice(TEMPERATURE, _above(_HIGH), lame=True),
        within=("temperature-above-40-6", "temperature-above-38-9"),
    ),
    Rule(
        "heart-rate-60-twice", NOW, "vital signs",
        f"{_NOW} Say what the heart rate is and how long the horse has stood quietly.", _QUIET,
        "heart rate of 60 a minute or more at rest in two readings at most a day apart",
        HEART.ask_from.source, MEMORY,
        twice(HEART, _from(HEART.ask_from.value)),
    ),
    Rule(
        "heart-rate-60-once", SAME_DAY, "vital signs",
        "Count again in ten minutes. If it is 60 or more again, ring the vet now; else ring today.", _COUNT,
        "heart rate of 60 a minute or more at rest, once",
        HEART.ask_from.source, MEMORY,
        single(HEART, _from(HEART.ask_from.value)),
        within=("heart-rate-60-twice",),
    ),
    Rule(
        "heart-rate-above-44-twice", SAME_DAY, "vital signs",
        "Ring the vet today and give both heart rates.", _COUNT,
        "heart rate above 44 a minute at rest in two readings at most a day apart",
        f"{HEART.high.source} (28 to 44); that it is for the same day is inferred", OPINION,
        twice(HEART, _above(HEART.high.value)),
        within=("heart-rate-60-twice",),
    ),
    Rule(
        "breathing-above-24-twice", SAME_DAY, "vital signs",
        "Ring the vet today and give both breathing rates.",
        f"{_COUNT} Count in the cool, at the flank.",
        "breathing rate above 24 a minute at rest, cool and calm, in two readings at most a day apart",
        f"{BREATHING.high.source}; that it is for the same day is inferred", OPINION,
        twice(BREATHING, _above(BREATHING.high.value)),
    ),
    Rule(
        "vital-sign-to-take-again", WITHIN_A_WEEK, "vital signs",
        "Take it again today. If it is as high again, ring the vet today; else tell the vet this week.",
        _COUNT,
        "the latest temperature above 38.6 °C, heart rate above 44 or breathing rate above 24 a minute, and none taken after it",
        f"{TEMPERATURE.high.source}; {HEART.high.source}; breathing: {BREATHING.high.source}", OPINION,
        take_again,
        within=("temperature-above-40-6", "temperature-above-38-9", "temperature-above-38-6-twice", "heart-rate-60-twice", "heart-rate-60-once", "heart-rate-above-44-twice", "breathing-above-24-twice"),
    ),
)  # fmt: skip
