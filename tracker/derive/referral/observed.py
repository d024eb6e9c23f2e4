"""Rules on what somebody saw: signs, grades, pulses. Pain relief never quiets them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Mapping

from tracker.cells.limbs import label
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.sheets import SOUNDNESS
from tracker.terms import (
    DEFAULT_SCALE,
    HARD_TURN,
    NO_MOVE,
    NO_WEIGHT,
    NOT_SURE,
    OBJECT,
    PULSE_RAISED,
    SCALES,
    SHIFTS,
    STILTED,
    SWEATING,
    WOUND,
)  # fmt: skip

# How long a sign keeps warning while no vet is recorded (our own choice; a vet on the day or later ends it).
NOW_STANDS = dt.timedelta(days=14)
SAME_DAY_STANDS = dt.timedelta(days=7)

Reason = tuple[str, str]  # (what was recorded, the key of its cell)


def _standing(
    facts: Facts, reasons: Callable[[DayNote], list[Reason]], stands: dt.timedelta
) -> Iterator[Found]:
    """One warning for all notes that give a reason and that no vet has followed."""
    telling = [
        (note, found)
        for note in facts.notes
        if (found := reasons(note))
        and (note.day is None or (facts.on - note.day <= stands and not _followed(facts, note)))
    ]
    if telling:
        yield _together(facts, telling)


def _followed(facts: Facts, note: DayNote) -> bool:
    """Whether a vet is recorded since. On the day itself it is not clear which came first, so the warning stays."""
    return facts.on != note.day and facts.vet_since(note.day, _limbs(note))


def _limbs(note: DayNote) -> tuple[str, ...]:
    return () if NOT_SURE in note.limb else note.limb


def _together(facts: Facts, telling: list[tuple[DayNote, list[Reason]]]) -> Found:
    dated = [note.day for note, _ in telling if note.day]
    latest, reasons = max(telling, key=lambda pair: (pair[0].day or dt.date.max, pair[0].row))
    what = " and ".join(dict.fromkeys(words for words, _ in reasons))
    limb = f" ({label(latest.limb)})" if latest.limb else ""
    when = f"on {day(latest.day)}" if latest.day else "on a date that is unclear"
    more = f"; {len(telling)} notes in all" if len(telling) > 1 else ""
    cells = [facts.cell(SOUNDNESS.name, key, note.row) for note, found in telling for _, key in found]
    return Found(
        min(dated, default=None), f"Recorded {when}: {what}{limb}{more}.", tuple(dict.fromkeys(cells))
    )


def _signs(note: DayNote, *wanted: str) -> list[Reason]:
    return [
        (sign, "score" if sign in note.signs_in_score else "signs") for sign in wanted if sign in note.signs
    ]


def _grade(note: DayNote) -> str:
    grade = f"grade {note.worst:g} on the {note.scale} scale"
    return f"{grade}, though the scale is only a guess" if note.scale_assumed else grade


def _perhaps(note: DayNote, limits: Mapping[str, tuple[tuple[float, float], ...]]) -> list[Reason]:
    """A score that cannot be used is left out of everything else, but it may be a red flag.

    `limits` are the grades that are one, from the first up to below the second, on each scale.
    """
    if not any(least <= note.left_out < below for least, below in limits.get(note.left_out_scale, ())):
        return []
    grade = min(note.left_out, SCALES.get(note.left_out_scale, math.inf))
    return [(f"a score that cannot be used as it is typed, perhaps grade {grade:g}", "score")]


# What may be the top grade or more of each scale, and where no scale is known.
_TOP = {"0-5": ((5, math.inf),), "0-10": ((10, math.inf),), "": ((5, 5.5), (10, math.inf))}
_LAME_AT_WALK = {"0-5": ((4, 5),), "": ((4, 5),)}
_LAME_OF_TEN = {"0-10": ((7, 10),), "": ((7, 10),)}


def not_bearing_weight(facts: Facts) -> Iterator[Found]:
    """Will not bear weight, will not move, sweats or trembles, or the top grade of the scale."""

    def reasons(note: DayNote) -> list[Reason]:
        on_five = note.scale_assumed and note.score <= SCALES[DEFAULT_SCALE] <= note.worst
        top = note.worst >= SCALES.get(note.scale, math.inf) or on_five
        graded = [(_grade(note), "score")] if top else _perhaps(note, _TOP)
        return _signs(note, NO_WEIGHT, NO_MOVE, SWEATING) + graded

    yield from _standing(facts, reasons, NOW_STANDS)


def object_in_foot(facts: Facts) -> Iterator[Found]:
    """Something in the foot, or a hole in it."""
    yield from _standing(facts, lambda note: _signs(note, OBJECT), NOW_STANDS)


def wound_near_joint(facts: Facts) -> Iterator[Found]:
    """A wound near a joint."""
    yield from _standing(facts, lambda note: _signs(note, WOUND), NOW_STANDS)


def lame_at_walk(facts: Facts) -> Iterator[Found]:
    """Grade 4 of 5, or 7 of 10 and more at walk, below the top grade."""

    def reasons(note: DayNote) -> list[Reason]:
        at_walk = note.scale == "0-10" and 7 <= note.worst < 10 and note.gait == "walk"
        plain = (note.scale == "0-5" or note.scale_assumed) and 4 <= note.worst < 5
        if plain or at_walk:
            return [(_grade(note), "score")]
        return _perhaps(note, _LAME_AT_WALK) + (_perhaps(note, _LAME_OF_TEN) if note.gait == "walk" else [])

    yield from _standing(facts, reasons, SAME_DAY_STANDS)


def raised_pulses_and_stiff(facts: Facts) -> Iterator[Found]:
    """Raised pulses in two feet and a stiff way of going, in the notes of one day together."""
    by_day: dict[dt.date | int, list[DayNote]] = {}
    for note in facts.notes:
        by_day.setdefault(note.day or note.row, []).append(note)
    telling = []
    for notes in by_day.values():
        first = notes[0]
        if first.day and (facts.on - first.day > NOW_STANDS or _followed(facts, first)):
            continue
        lame = {limb for note in notes if note.score > 0 for limb in note.limb}
        pulses = {
            foot: note for note in notes for foot, pulse in note.pulses.items() if pulse >= PULSE_RAISED
        }
        stiff = {note.row: found for note in notes if (found := _stiff(note, lame))}
        if len(pulses) >= 2 and stiff:
            telling += [(note, _pulse_reasons(note, pulses) + stiff.get(note.row, [])) for note in notes]
    telling = [(note, found) for note, found in telling if found]
    if telling:
        yield _together(facts, telling)


def _stiff(note: DayNote, lame: set[str]) -> list[Reason]:
    both = {"LF", "RF"} <= lame and note.score > 0 and bool({"LF", "RF"} & set(note.limb))
    return _signs(note, NO_MOVE, STILTED, HARD_TURN, SHIFTS) + (
        [("lame in both fronts", "limb")] if both else []
    )


def _pulse_reasons(note: DayNote, pulses: dict[str, DayNote]) -> list[Reason]:
    return [
        (f"raised pulse {foot}", f"pulse_{foot.lower()}") for foot, where in pulses.items() if where is note
    ]
