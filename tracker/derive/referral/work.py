"""The rule on work that a horse did on a day when its grade or a sign spoke against it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from tracker.derive.referral import grades
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import WORK_FROM
from tracker.derive.referral.rule import DEVEREUX, PUBLISHED, WITHIN_A_WEEK, Rule
from tracker.derive.referral.standing import SAME_DAY_STANDS, Reason, signs
from tracker.derive.work.sessions import Session, sessions_of
from tracker.sheets import SOUNDNESS, WORK
from tracker.terms import HARD_TURN, JOINT, NO_MOVE, NO_WEIGHT, OBJECT, STILTED, SWELLING, TENDON, WOUND

HAND_WALK = "hand-walk"
BEFORE = dt.timedelta(days=1)
_SIGNS = (NO_WEIGHT, NO_MOVE, STILTED, HARD_TURN, OBJECT, WOUND, SWELLING, JOINT, TENDON)


def worked_lame(facts: Facts) -> Iterator[Found]:
    """Work on the day of such a note, or on the day after it."""
    told: list[tuple[Session, DayNote, list[Reason]]] = []
    lately = facts.on - SAME_DAY_STANDS
    for session in sessions_of(facts.horse, facts.tables[WORK.name], facts.on, lately):
        if not session.is_work or session.minutes == 0:
            continue
        if facts.on != session.date and facts.vet_since(session.date):
            continue
        for note in facts.notes:
            near = note.day and dt.timedelta() <= session.date - note.day <= BEFORE
            if near and (found := _against(note, session, facts.grades(WORK_FROM))):
                told.append((session, note, found))
    if told:
        session, note, found = max(told, key=lambda one: (one[0].date, one[1].day or one[0].date, one[1].row))
        what = " and ".join(words for words, _ in found)
        because = f"{session.kind.capitalize()} on {day(session.date)}; {what} recorded on {day(note.day or session.date)}."
        cells = [facts.cell(WORK.name, "date", one.row) for one, _, _ in told]
        cells += [facts.cell(SOUNDNESS.name, key, one.row) for _, one, why in told for _, key in why]
        yield Found(min(one.date for one, _, _ in told), because, tuple(dict.fromkeys(cells)))


def _against(note: DayNote, session: Session, too_lame: Mapping[str, float]) -> list[Reason]:
    """What in a note speaks against that work; against walking in hand only what calls for a vet at once or today.

    From 3 of 5 a horse is lame at every step of the trot, from 4 of 10 moderately so: which grade forbids work is our own reading.
    """
    if session.kind == HAND_WALK:
        return grades.badly_lame(note) + signs(note, NO_WEIGHT, NO_MOVE, OBJECT, WOUND, TENDON)
    return grades.at_least(note, too_lame) + signs(note, *_SIGNS)


RULES = (
    Rule(
        "worked-while-lame", WITHIN_A_WEEK, "work",
        "Leave the work until a vet has looked at the horse, and ask this week.",
        "Turnout or standing still as the vet has set it; write down how the horse goes each day.",
        "work on the day of a note, or the day after, with grade 3 of 5 or 4 of 10 and more, or a sign of bad lameness, a wound "
        "or a swelling; walking in hand from grade 4 of 5 or 7 of 10 at walk",
        f"{DEVEREUX}, p. 146 (no work for a lame horse until it is looked into); the grades are our own reading", PUBLISHED,
        worked_lame,
        limit=WORK_FROM,
    ),
)  # fmt: skip
