"""Rules on temperature, heart and breathing rate. Pain relief lowers some of them, and quiets none of these rules."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from tracker.derive.referral import grades
from tracker.derive.referral.facts import Facts, Reading
from tracker.derive.referral.firing import Found
from tracker.derive.referral.limit import (
    BREATHING_TWICE,
    HEART_NOW,
    HEART_ONCE,
    HEART_TWICE,
    TEMPERATURE_ASK,
    TEMPERATURE_NOW,
    TEMPERATURE_TWICE,
    Limit,
)
from tracker.derive.referral.rule import MEMORY, NOW, OPINION, PUBLISHED, SAME_DAY, WITHIN_A_WEEK, Rule
from tracker.derive.referral.standing import LAME_SIGNS, SAME_DAY_STANDS, Telling, in_one, signs
from tracker.reference.body import BREATHING, HEART, TEMPERATURE, Vital
from tracker.reference.urgent import TEMPERATURE_AT_ONCE
from tracker.sheets import BODY

STANDS = SAME_DAY_STANDS
"""A reading tells of its day; for so long nobody is known to have asked about it (our own choice)."""
NEXT_DAY = dt.timedelta(days=1)
HOUR = dt.timedelta(hours=1)
ABOUT = dt.timedelta(days=3)  # how near a note of lameness lies to a temperature: our own choice
_UNITS = {"temperature": "°C", "heart_rate": "beats a minute", "breathing_rate": "breaths a minute"}


Fits = Callable[[float, Facts], bool]


def single(vital: Vital, fits: Fits) -> Callable[[Facts], Iterator[Found]]:
    """A rule's finder: one reading is enough."""

    def find(facts: Facts) -> Iterator[Found]:
        yield from _told(facts, vital, [one for one in facts.readings[vital.key] if fits(one.value, facts)])

    return find


def twice(vital: Vital, fits: Fits, *, lame: bool = False) -> Callable[[Facts], Iterator[Found]]:
    """A rule's finder: two such readings at most a day apart; with `lame`, only near a note of lameness."""

    def find(facts: Facts) -> Iterator[Found]:
        high = [one for one in facts.readings[vital.key] if fits(one.value, facts)]
        repeated = [
            one for one in high if any(_again(vital, one, other) for other in high if other is not one)
        ]
        yield from _told(facts, vital, [one for one in repeated if not lame or _lame_about(facts, one.day)])

    return find


def take_again(facts: Facts) -> Iterator[Found]:
    """The latest reading of a vital sign is above its range, and nobody has taken it again."""
    for vital, limit in (
        (TEMPERATURE, TEMPERATURE_TWICE),
        (HEART, HEART_TWICE),
        (BREATHING, BREATHING_TWICE),
    ):
        readings = facts.readings[vital.key]
        last = [one for one in readings if not any(_later(other, one) for other in readings)]
        own = facts.own_limits.get(limit.rule)
        said = f" {limit.own_words(own.value)}" if own else ""
        for found in _told(facts, vital, [one for one in last if _above(limit)(one.value, facts)]):
            yield replace(found, because=f"{found.because}{said}")


def _again(vital: Vital, one: Reading, other: Reading) -> bool:
    """Whether two readings bear each other out; where a date or an hour is not clear they may.

    A temperature that is taken twice within the hour is one reading.
    """
    if vital is TEMPERATURE and one.moment and other.moment:
        return abs(one.moment - other.moment) >= HOUR and _within_a_day(one, other)
    return _within_a_day(one, other)


def _within_a_day(one: Reading, other: Reading) -> bool:
    return one.day is None or other.day is None or abs(one.day - other.day) <= NEXT_DAY


def _later(other: Reading, one: Reading) -> bool:
    """On one day without hours it is not known which came first, so the higher stands."""
    if one.moment and other.moment:
        return other.moment > one.moment
    return one.day is not None and other.day is not None and other.day > one.day


def _lame_about(facts: Facts, day: dt.date | None) -> bool:
    """Whether lameness or an open abscess is recorded within three days of it."""
    about = [note for note in facts.notes if day is None or note.day is None or abs(note.day - day) <= ABOUT]
    lame = any(
        note.worst > 0 or note.left_out > 0 or signs(note, *LAME_SIGNS) or grades.badly_lame(note)
        for note in about
    )
    return (
        lame
        or bool(facts.unclear_abscesses)
        or any(
            day is None
            or (
                episode.first_seen - ABOUT <= day
                and (episode.comfortable is None or day <= episode.comfortable)
            )
            for episode in facts.episodes
        )
    )


def _told(facts: Facts, vital: Vital, readings: Sequence[Reading]) -> Iterator[Found]:
    telling = [
        Telling(
            one.day, one.row,
            (in_words(vital, one),), (facts.cell(BODY.name, vital.key, one.row),),
        )
        for one in readings
        if one.day is None or one.day == facts.on or not facts.vet_since(one.day)
    ]  # fmt: skip
    yield from in_one(facts, telling, STANDS)


def in_words(vital: Vital, one: Reading) -> str:
    """A reading in words, such as "temperature 39.1 °C"."""
    at = f" at {one.time:%H:%M}" if one.time else ""
    value = f"{one.value:.4g} {_UNITS[vital.key]}{at}"
    if one.up_to:
        return f"{vital.name.lower()} up to {value}"
    if one.perhaps:
        return f"a {vital.name.lower()} that cannot be used as it is typed, perhaps {value}"
    return f"{vital.name.lower()} {value}"


def _above(limit: Limit, upto: Limit | None = None) -> Fits:
    """Above the one limit, and up to the other."""

    def fits(value: float, facts: Facts) -> bool:
        top = facts.limit(upto) if upto else math.inf
        return facts.limit(limit) + 1e-9 < value <= top + 1e-9

    return fits


def _from(limit: Limit) -> Fits:
    return lambda value, facts: value >= facts.limit(limit) - 1e-9


_QUIET = "Keep the horse quiet, in the shade, with water. Take the temperature, the heart and the breathing rate again in an hour and write them down with the time."
_COUNT = "Let the horse stand quietly for ten minutes and count again for a whole minute."
_NOW = "Ring the vet now, day or night."
RULES = (
    Rule(
        "temperature-above-40-6", NOW, "vital signs",
        f"{_NOW} Say what the temperature is and when it was taken.", _QUIET,
        "temperature above 40.6 °C (105 °F)",
        TEMPERATURE_AT_ONCE.source, PUBLISHED,
        single(TEMPERATURE, _above(TEMPERATURE_NOW)),
        limit=TEMPERATURE_NOW,
    ),
    Rule(
        "temperature-above-38-9", NOW, "vital signs",
        f"{_NOW} Say what the temperature is and when it was taken.", _QUIET,
        "temperature above 38.9 °C (102 °F), and up to 40.6 °C",
        "Purdue Veterinary Hospital, Emergency Services; that it is for now in a lame horse is inferred", PUBLISHED,
        single(TEMPERATURE, _above(TEMPERATURE_ASK, TEMPERATURE_NOW)),
        limit=TEMPERATURE_ASK,
    ),
    Rule(
        "temperature-above-38-6-twice", SAME_DAY, "vital signs",
        "Ring the vet today and give both temperatures.", _QUIET,
        "temperature above 38.6 °C (101.5 °F) in two readings at most a day apart, with lameness or an open abscess within "
        "three days; at least an hour apart where their hours are written",
        "Virginia Tech clinician in US Eventing 2021; the hour between is common practice, the days are our own choice",
        OPINION,
        twice(TEMPERATURE, _above(TEMPERATURE_TWICE), lame=True),
        limit=TEMPERATURE_TWICE,
        within=("temperature-above-40-6", "temperature-above-38-9"),
    ),
    Rule(
        "heart-rate-60-twice", NOW, "vital signs",
        f"{_NOW} Say what the heart rate is and how long the horse has stood quietly.", _QUIET,
        "heart rate of 60 a minute or more at rest in two readings at most a day apart",
        HEART.ask_from.source, MEMORY,
        twice(HEART, _from(HEART_NOW)),
        limit=HEART_NOW,
    ),
    Rule(
        "heart-rate-60-once", SAME_DAY, "vital signs",
        "Count again in ten minutes. If it is 60 or more again, ring the vet now; else ring today.", _COUNT,
        "heart rate of 60 a minute or more at rest, once",
        HEART.ask_from.source, MEMORY,
        single(HEART, _from(HEART_ONCE)),
        limit=HEART_ONCE,
        within=("heart-rate-60-twice",),
    ),
    Rule(
        "heart-rate-above-44-twice", SAME_DAY, "vital signs",
        "Ring the vet today and give both heart rates.", _COUNT,
        "heart rate above 44 a minute at rest in two readings at most a day apart",
        f"{HEART.high.source} (28 to 44); that it is for the same day is inferred", OPINION,
        twice(HEART, _above(HEART_TWICE)),
        limit=HEART_TWICE,
        within=("heart-rate-60-twice",),
    ),
    Rule(
        "breathing-above-24-twice", SAME_DAY, "vital signs",
        "Ring the vet today and give both breathing rates.",
        f"{_COUNT} Count in the cool, at the flank.",
        "breathing rate above 24 a minute at rest, cool and calm, in two readings at most a day apart",
        f"{BREATHING.high.source}; that it is for the same day is inferred", OPINION,
        twice(BREATHING, _above(BREATHING_TWICE)),
        limit=BREATHING_TWICE,
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
