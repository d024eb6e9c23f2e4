"""Rules on what somebody saw: signs and the worst grades. Pain relief never quiets them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from tracker.derive.referral import grades
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found
from tracker.derive.referral.limit import LAME_FROM, SWOLLEN_FROM
from tracker.derive.referral.rule import DEVEREUX, NOW, PRACTICE, PUBLISHED, SAME_DAY, WITHIN_A_WEEK, Rule
from tracker.derive.referral.standing import (
    LAME_SIGNS,
    NOW_STANDS,
    SAME_DAY_STANDS,
    Reason,
    Telling,
    followed,
    in_one,
    of_note,
    signs,
    standing,
)  # fmt: skip
from tracker.sheets import HORSES, VISITS
from tracker.terms import (
    JOINT,
    JOINT_FLUID,
    LIES_DOWN,
    NO_MOVE,
    NO_WEIGHT,
    OBJECT,
    OFF_FEED,
    POINTS,
    PUS,
    SWEATING,
    SWELLING,
    TENDON,
    WOUND,
)  # fmt: skip

# From when to when a wound near a joint is looked at once more: the wound may let the horse go nearly level until then.
ASK_AGAIN = dt.timedelta(days=7), dt.timedelta(days=14)
_NOT_KNOWN = re.compile(
    r"\b(no|not|never|none|unknown|unsure|overdue|lapsed|expired|ask)\b|n't\b|\?", re.IGNORECASE
)
_TETANUS = {HORSES.name: ("known_conditions", "remarks"), VISITS.name: ("findings", "advice", "remarks")}


def not_bearing_weight(facts: Facts) -> Iterator[Found]:
    """Will not bear weight, will not move, sweats or trembles, or the top grade of the scale."""

    def reasons(note: DayNote) -> list[Reason]:
        return signs(note, NO_WEIGHT, NO_MOVE, SWEATING) + grades.top_grade(note)

    yield from standing(facts, reasons, NOW_STANDS)


def object_in_foot(facts: Facts) -> Iterator[Found]:
    """Something in the foot, or a hole in it."""
    yield from standing(facts, lambda note: signs(note, OBJECT), NOW_STANDS)


def wound_near_joint(facts: Facts) -> Iterator[Found]:
    """A wound near a joint, or joint fluid."""
    yield from standing(facts, lambda note: signs(note, WOUND, JOINT_FLUID), NOW_STANDS)


def wound_again(facts: Facts) -> Iterator[Found]:
    """A wound near a joint a week ago, whoever has seen it since."""
    first, last = ASK_AGAIN
    telling = [
        of_note(facts, note, found)
        for note in facts.notes
        if note.day and (found := signs(note, WOUND)) and first <= facts.on - note.day <= last
    ]
    yield from in_one(facts, telling, last, "notes")


def joint_swollen_and_lame(facts: Facts) -> Iterator[Found]:
    """A swollen joint and lameness, in the notes of one day."""
    yield from _with_lameness(facts, JOINT, {"0-5": 0.5, "0-10": 0.5}, LAME_SIGNS)


def leg_badly_swollen(facts: Facts) -> Iterator[Found]:
    """A tendon that is swollen or sore, or a swollen leg and clear lameness in the notes of one day."""
    telling = [
        of_note(facts, note, found)
        for note in facts.notes
        if (found := signs(note, TENDON)) and not followed(facts, note)
    ]
    swollen = _telling_with_lameness(facts, SWELLING, facts.grades(SWOLLEN_FROM), (NO_WEIGHT, NO_MOVE))
    yield from in_one(facts, [*telling, *swollen], NOW_STANDS, "notes")


def _with_lameness(
    facts: Facts, sign: str, least: dict[str, float], lame: tuple[str, ...]
) -> Iterator[Found]:
    yield from in_one(facts, _telling_with_lameness(facts, sign, least, lame), NOW_STANDS, "notes")


def _telling_with_lameness(
    facts: Facts, sign: str, least: dict[str, float], lame_signs: tuple[str, ...]
) -> list[Telling]:
    """The notes with the sign, and those of the same day that show the lameness; a note without a day stands alone."""
    found = []
    for note in facts.notes:
        if not (own := signs(note, sign)) or followed(facts, note):
            continue
        alike = [other for other in facts.notes if other is note or (note.day and other.day == note.day)]
        lame = {id(other): grades.at_least(other, least) + signs(other, *lame_signs) for other in alike}
        if any(lame.values()):
            found.append(of_note(facts, note, own + lame[id(note)]))
            found += [
                of_note(facts, other, why)
                for other in alike
                if other is not note and (why := lame[id(other)])
            ]
    return found


def leg_swollen(facts: Facts) -> Iterator[Found]:
    """A swollen leg, or a swollen joint, whatever else is seen."""
    yield from standing(facts, lambda note: signs(note, SWELLING, JOINT), SAME_DAY_STANDS)


def lame_at_walk(facts: Facts) -> Iterator[Found]:
    """Grade 4 of 5, or 7 of 10 and more at walk, below the top grade."""
    own = facts.own_grades(LAME_FROM)

    def reasons(note: DayNote) -> list[Reason]:
        return grades.lame_at_walk(note) or grades.lame_by_own(note, own)

    yield from standing(facts, reasons, SAME_DAY_STANDS)


def tetanus_not_known(facts: Facts) -> Iterator[Found]:
    """A wound, and nowhere in the workbook a word on tetanus."""
    found = [*standing(facts, lambda note: signs(note, OBJECT, WOUND), NOW_STANDS)]
    if found and not _mentions_tetanus(facts):
        yield from found


def _mentions_tetanus(facts: Facts) -> bool:
    """Whether tetanus is mentioned anywhere as something that is known."""
    for sheet, keys in _TETANUS.items():
        frame = facts.tables[sheet].frame
        for key in keys:
            said = frame.loc[
                (frame["horse"] == facts.horse) & frame[key].str.contains("tetanus", case=False), key
            ]
            if any(not _NOT_KNOWN.search(text) for text in said):
                return True
    return False


def other_signs(facts: Facts) -> Iterator[Found]:
    """A sign that calls for a word to the vet, though nothing urgent stands with it."""
    yield from standing(facts, lambda note: signs(note, POINTS, LIES_DOWN, PUS, OFF_FEED), SAME_DAY_STANDS)


_STILL = "Keep the horse still where it is, with water and hay within reach."
_RING = "Ring the vet now, day or night."

RULES = (
    Rule(
        "not-bearing-weight", NOW, "lameness",
        f"{_RING} Keep the horse still where it is.",
        f"{_STILL} Do not walk or trot it up to grade it. Feel the pulse of the opposite foot.",
        "a sign of not bearing weight, not moving, or sweating or trembling; or grade 5 of 5; or 10 of 10",
        f"{DEVEREUX}, pp. 146-147", PUBLISHED,
        not_bearing_weight,
    ),
    Rule(
        "object-or-hole-in-foot", NOW, "wound",
        f"{_RING} Keep the horse still, and do not pull anything out before the vet says so.",
        "Do not pull a nail before the vet says so. If it must not be stepped on deeper, ask on the telephone how to "
        "guard it. If it has come out, mark where and how deep it was, and keep it.",
        "the sign is recorded",
        f"{DEVEREUX}, pp. 146-147; Findley et al. 2014, Equine Vet J, doi 10.1111/evj.12124; American Association of "
        "Equine Practitioners 2010, 63 penetrating injuries", PUBLISHED,
        object_in_foot,
    ),
    Rule(
        "wound-near-a-joint", NOW, "wound",
        f"{_RING} Do so even if the horse goes nearly level.",
        f"{_STILL} Cover the wound with something clean and put nothing into it.",
        "the sign of a wound near a joint, or of joint fluid, is recorded",
        f"{DEVEREUX}, pp. 146-147; American College of Veterinary Surgeons, Septic Synovitis", PUBLISHED,
        wound_near_joint,
    ),
    Rule(
        "joint-swollen-and-lame", NOW, "swelling",
        f"{_RING} Do not walk the horse.",
        _STILL,
        "the sign of a swollen joint on a day with any lameness: a grade above 0, or a sign of it",
        f"{DEVEREUX}, pp. 146-147; American College of Veterinary Surgeons, Septic Synovitis", PUBLISHED,
        joint_swollen_and_lame,
    ),
    Rule(
        "tendon-or-badly-swollen-leg", NOW, "swelling",
        f"{_RING} Do not walk the horse.",
        _STILL,
        "the sign of a swollen or sore tendon; or a swollen leg on a day with grade 3 of 5, 6 of 10, not bearing weight "
        "or not moving (how lame makes a swelling severe is our own reading)",
        f"{DEVEREUX}, pp. 146-147", PUBLISHED,
        leg_badly_swollen,
        limit=SWOLLEN_FROM,
    ),
    Rule(
        "leg-or-joint-swollen", SAME_DAY, "swelling",
        "Ring the vet today. Do not work the horse.",
        "Mark how far up the swelling reaches and look again in the evening. Feel whether it is warm.",
        "the sign of a swollen leg or a swollen joint",
        "Swiftsure Equine, hoof abscess care sheet (heat or swelling that goes up the leg)", PUBLISHED,
        leg_swollen,
        within=("joint-swollen-and-lame", "tendon-or-badly-swollen-leg"),
    ),
    Rule(
        "lame-at-walk", SAME_DAY, "lameness",
        "Ring the vet today. Do not work the horse.",
        "Keep the horse in a small, dry place. Feel all four feet for warmth and pulse, and write it down.",
        "grade 4 of 5; or 7 of 10 and more at walk (the latter is inferred, not published)",
        f"{DEVEREUX}, pp. 146-147; AAEP lameness scale", PUBLISHED,
        lame_at_walk,
        limit=LAME_FROM,
    ),
    Rule(
        "wound-and-tetanus-not-known", SAME_DAY, "wound",
        "Ask the vet today whether tetanus cover is in date, and write the day of it under Known conditions.",
        "Look in the horse's papers for the day of the last tetanus vaccination.",
        "a wound near a joint, or an object or hole in the foot, and the word tetanus nowhere on the sheets Horses and Visits",
        f"{DEVEREUX}, p. 215", PUBLISHED,
        tetanus_not_known,
    ),
    Rule(
        "wound-to-look-at-again", WITHIN_A_WEEK, "wound",
        "Look at the wound and the joint again today, and tell the vet this week how they are; ring now if the horse is "
        "lamer, or anything leaks.",
        "Note how the horse walks, and whether the joint is warm or fuller than the other.",
        "7 to 14 days after a wound near a joint was recorded, whoever has seen it since",
        "Tufts University, large animal news (lameness may come only 7 to 10 days later)", PUBLISHED,
        wound_again,
    ),
    Rule(
        "other-warning-sign", WITHIN_A_WEEK, "other signs",
        "Tell the vet this week. Ring today if it is new and the horse is lamer, or does not eat.",
        "Take the temperature, feel all four feet for warmth and pulse, and write both down.",
        "pointing a foot, lying down more, pus or discharge, or off feed, each by itself",
        f"a vet wants to know of them ({DEVEREUX}, pp. 147-149); how soon is our own choice", PRACTICE,
        other_signs,
    ),
)  # fmt: skip
