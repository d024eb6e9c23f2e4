"""Rules on the foot opposite a badly lame limb: it carries what the other does not.

They ask neither for pain relief nor for a better grade: the opposite foot is at risk for weeks after the worst day.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from tracker.derive.referral import grades
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import FEEL_FROM, OPPOSITE_FROM, Limit, whole_days
from tracker.derive.referral.rule import NOW, OPINION, PUBLISHED, WITHIN_A_WEEK, Rule
from tracker.derive.referral.standing import (
    NOW_STANDS,
    SAME_DAY_STANDS,
    Reason,
    followed,
    in_one,
    of_note,
    signs,
)
from tracker.sheets import SOUNDNESS
from tracker.terms import FOOT_WORDS, NO_WEIGHT, PAIRS, POINTS, PULSE_RAISED, SHIFTS

OTHER = {foot: other for pair in PAIRS.values() for foot, other in (pair, pair[::-1])}


@dataclass(frozen=True, slots=True)
class BadlyLame:
    """One limb that was badly lame from `first` to `last`, and the cells that say so."""

    limb: str
    first: dt.date
    last: dt.date
    cells: tuple[str, ...]


def changed(facts: Facts) -> Iterator[Found]:
    """Heat, a raised pulse, or less weight on the foot opposite a limb that has been badly lame since two days or more."""
    at_risk = _after_first(facts, OPPOSITE_FROM)
    for spell in _spells(facts):
        foot = OTHER[spell.limb]
        telling = [
            of_note(facts, note, found)
            for note in facts.notes
            if (found := _signs_of(note, foot))
            and not followed(facts, note)
            and (note.day is None or spell.first + at_risk <= note.day <= spell.last + NOW_STANDS)
        ]
        for one in in_one(facts, telling, NOW_STANDS, "notes"):
            because = (
                f"The {FOOT_WORDS[spell.limb]} has been badly lame since {day(spell.first)}. {one.because}"
            )
            yield Found(one.since, because, (*one.cells, *spell.cells), foot)


def to_feel(facts: Facts) -> Iterator[Found]:
    """The third day of a badly lame limb, and while it was badly lame within the last week."""
    at_risk = _after_first(facts, FEEL_FROM)
    for spell in _spells(facts):
        if facts.on >= spell.first + at_risk and facts.on - spell.last <= SAME_DAY_STANDS:
            foot = OTHER[spell.limb]
            because = (
                f"The {FOOT_WORDS[spell.limb]} has been badly lame since {day(spell.first)}; "
                f"the {FOOT_WORDS[foot]} carries for it."
            )
            yield Found(spell.first + at_risk, because, spell.cells, foot)


def _after_first(facts: Facts, limit: Limit) -> dt.timedelta:
    """How long after the first bad grade, whose day is day 1.

    The earliest published onset is 4 days; day 3 is inferred from it.
    """
    return whole_days(facts.limit(limit) - 1)


def _spells(facts: Facts) -> list[BadlyLame]:
    """Every spell of bad lameness of each limb; a pause of up to two weeks does not end one."""
    found: list[BadlyLame] = []
    bad = [(note, why) for note in facts.notes if note.limb and (why := _bad(note))]
    for limb in OTHER:
        notes = [(note.day, note.row, why) for note, why in bad if limb in note.limb and note.day]
        spells: list[list[tuple[dt.date, int, list[Reason]]]] = []
        for seen in sorted(notes):
            if spells and seen[0] - spells[-1][-1][0] <= NOW_STANDS:
                spells[-1].append(seen)
            else:
                spells.append([seen])
        for own in spells:
            cells = (facts.cell(SOUNDNESS.name, key, row) for _, row, why in own for _, key in why)
            found.append(BadlyLame(limb, own[0][0], own[-1][0], tuple(dict.fromkeys(cells))))
    return found


def _bad(note: DayNote) -> list[Reason]:
    return grades.badly_lame(note) + signs(note, NO_WEIGHT)


def _signs_of(note: DayNote, foot: str) -> list[Reason]:
    words = FOOT_WORDS[foot]
    told: list[Reason] = []
    if foot in note.warm and OTHER[foot] not in note.warm:
        told.append((f"{words} warm", "warm"))
    if note.pulses[foot] >= PULSE_RAISED:
        told.append((f"raised pulse {foot}", f"pulse_{foot.lower()}"))
    if foot in note.limb:
        told += signs(note, POINTS, SHIFTS, NO_WEIGHT)
    return told


_SOURCE = (
    "Wylie et al. 2014, Vet Rec (onset 4 to 100 days after the first trouble, not only where no weight is borne); "
    "Virgin, American Association of Equine Practitioners 2011"
)
RULES = (
    Rule(
        "opposite-foot-changed", NOW, "opposite foot",
        "Ring the vet now, day or night, and say that the opposite foot has changed.",
        "Keep the horse still on deep, soft ground. Do not make it walk.",
        "from day 3 of grade 4 of 5, 7 of 10 at walk, or not bearing weight: the opposite foot warm without the lame one, "
        "its pulse 2 or 3, or pointing or shifting of that limb; up to two weeks after the last such grade (our own choice)",
        f"{_SOURCE}; day 3 is inferred from the earliest onset", PUBLISHED,
        changed,
        limit=OPPOSITE_FROM,
    ),
    Rule(
        "opposite-foot-to-feel", WITHIN_A_WEEK, "opposite foot",
        "Feel the warmth and the pulse of the opposite foot twice a day from today, and write them down. Ask the vet this "
        "week how to spare it.",
        "Deep, soft ground underfoot asks nobody's leave. Look whether the horse still shifts its weight from foot to foot.",
        "from day 3 of grade 4 of 5, 7 of 10 at walk, or not bearing weight, until a week after the last such grade",
        f"{_SOURCE}; twice a day from day 3 is inferred", OPINION,
        to_feel,
        limit=FEEL_FROM,
    ),
)  # fmt: skip
