"""Rules on pulses, warmth, and the way of going that goes with sore feet."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence

from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.rule import DEVEREUX as _DEVEREUX
from tracker.derive.referral.rule import NOW, OPINION, PUBLISHED, SAME_DAY, Rule
from tracker.derive.referral.standing import (
    NOW_STANDS,
    SAME_DAY_STANDS,
    Reason,
    followed,
    in_one,
    of_note,
    signs,
    standing,
)
from tracker.sheets import BODY, HORSES, SOUNDNESS
from tracker.terms import HARD_TURN, NO_MOVE, PAIRS, PULSE_RAISED, SHIFTS, STILTED

FRONTS = frozenset(PAIRS["front"])
OVERWEIGHT = 7.0  # condition of 9: widely used, from memory
_WARM_APART = dt.timedelta(days=1)
_EARLIER = re.compile(r"lamin|founder", re.IGNORECASE)


def raised_pulses_and_stiff(facts: Facts) -> Iterator[Found]:
    """Raised pulses in two feet and a stiff way of going, in the notes of one day together."""
    telling = []
    for notes in _by_day(facts):
        pulses = _pulses(notes)
        if len(pulses) < 2 or all(followed(facts, note) for note in notes):
            continue
        lame = {limb for note in notes if note.score > 0 for limb in note.limb}
        stiff = {note.row: found for note in notes if (found := _stiff(note, lame))}
        if stiff:
            telling += [(note, _pulse_reasons(note, pulses) + stiff.get(note.row, [])) for note in notes]
    yield from in_one(
        facts, [of_note(facts, note, found) for note, found in telling if found], NOW_STANDS, "notes"
    )


def raised_pulses_or_stiff(facts: Facts) -> Iterator[Found]:
    """One of those signs without the others."""
    pulses = {note.row: found for notes in _by_day(facts) for note, found in _two_pulses(notes)}

    def reasons(note: DayNote) -> list[Reason]:
        return signs(note, STILTED, HARD_TURN, SHIFTS) + pulses.get(note.row, [])

    yield from standing(facts, reasons, SAME_DAY_STANDS)


def fronts_warm(facts: Facts) -> Iterator[Found]:
    """Both front feet warm on two days running and not the hinds, in a horse with reason to take care."""
    warm = [
        note for note in facts.notes if set(note.warm) == FRONTS and note.day and not followed(facts, note)
    ]
    days = {note.day for note in warm if note.day}
    twice = [one for one in days if {one - _WARM_APART, one + _WARM_APART} & days]
    recent = [one for one in sorted(twice) if facts.on - one <= SAME_DAY_STANDS]
    why = _reason_to_take_care(facts) if recent else None
    if not why:
        return
    first = recent[0]
    while first - _WARM_APART in days:
        first -= _WARM_APART
    words, cell = why
    rows = [note.row for note in warm if note.day in recent]
    cells = [facts.cell(SOUNDNESS.name, "warm", row) for row in rows]
    because = (
        f"Both front feet were warm on {day(recent[-1])} and on a day beside it, not the hinds; {words}."
    )
    yield Found(first, because, (*cells, cell))


def _reason_to_take_care(facts: Facts) -> tuple[str, str] | None:
    """An earlier illness of the feet that a vet has named, or a high condition score, with its cell."""
    horses, body = facts.tables[HORSES.name], facts.tables[BODY.name]
    own = horses.frame[horses.frame["horse"] == facts.horse]
    for row, said in own["known_conditions"].items():
        if _EARLIER.search(said):
            return "Known conditions names an earlier illness of the feet", facts.cell(
                HORSES.name, "known_conditions", int(str(row))
            )
    scored = body.kept[(body.kept["horse"] == facts.horse) & (body.kept["condition_score"].notna())]
    scored = scored[scored["date"].dt.date <= facts.on].sort_values("date", kind="stable")
    if len(scored) and scored["condition_score"].iloc[-1] >= OVERWEIGHT:
        score, row = scored["condition_score"].iloc[-1], int(scored.index[-1])
        return f"its condition score is {score:g} of 9", facts.cell(BODY.name, "condition_score", row)
    return None


def _by_day(facts: Facts) -> list[list[DayNote]]:
    """The notes of each day together; one whose date is not clear stands alone."""
    days: dict[dt.date | int, list[DayNote]] = {}
    for note in facts.notes:
        days.setdefault(note.day or note.row, []).append(note)
    return [*days.values()]


def _pulses(notes: Sequence[DayNote]) -> dict[str, DayNote]:
    return {foot: note for note in notes for foot, pulse in note.pulses.items() if pulse >= PULSE_RAISED}


def _two_pulses(notes: Sequence[DayNote]) -> Iterator[tuple[DayNote, list[Reason]]]:
    pulses = _pulses(notes)
    if len(pulses) >= 2:
        yield from ((note, found) for note in notes if (found := _pulse_reasons(note, pulses)))


def _stiff(note: DayNote, lame: set[str]) -> list[Reason]:
    both = lame >= FRONTS and note.score > 0 and bool(FRONTS & set(note.limb))
    return signs(note, NO_MOVE, STILTED, HARD_TURN, SHIFTS) + (
        [("lame in both fronts", "limb")] if both else []
    )


def _pulse_reasons(note: DayNote, pulses: dict[str, DayNote]) -> list[Reason]:
    return [
        (f"raised pulse {foot}", f"pulse_{foot.lower()}") for foot, where in pulses.items() if where is note
    ]


RULES = (
    Rule(
        "raised-pulses-and-stiff", NOW, "sore feet",
        "Ring the vet now, day or night. Do not walk the horse.",
        "Keep the horse still on soft ground, with water within reach. Feel the pulse of all four feet and write it down.",
        "pulse 2 or 3 in two or more feet on one day, together with: won't move, short stilted walk, hard to turn, "
        "shifts weight, or lameness in both fronts",
        "Wylie et al. 2016, Vet Rec (raised pulse with both fronts lame; 588 cases, 201 lame controls); the other signs "
        f"{_DEVEREUX}, pp. 146-147; the combination is our own reading, the pulse steps are common practice", OPINION,
        raised_pulses_and_stiff,
    ),
    Rule(
        "raised-pulses-or-stiff", SAME_DAY, "sore feet",
        "Ring the vet today. Do not work the horse.",
        "Keep the horse on soft ground. Feel the pulse of all four feet twice a day and write it down.",
        "short stilted walk, hard to turn, or shifts weight; or pulse 2 or 3 in two or more feet on one day",
        "Vet Times, 21 January 2021 (the signs that best set laminitis apart from other lameness); the pulse steps are "
        "common practice", PUBLISHED,
        raised_pulses_or_stiff,
        within=("raised-pulses-and-stiff",),
    ),
    Rule(
        "both-fronts-warm", SAME_DAY, "sore feet",
        "Ring the vet today, and say how long the front feet have been warm.",
        "Feel all four feet again in the shade, some hours after the sun was on them, and their pulses too.",
        "both fronts, and not the hinds, under Warm on two days running; and a condition score of 7 or more, or an earlier "
        "illness of the feet under Known conditions",
        "Brown 2019, Vet Evidence 4(4), doi 10.18849/VE.V4I4.253 (few experimental studies); laminitis before it and "
        "overweight are read from the same source", OPINION,
        fronts_warm,
    ),
)  # fmt: skip
