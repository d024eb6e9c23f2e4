"""The referral rules, declared once as rows: when each fires, how urgent it is, why, and who says so.

A rule records and warns. It names no disease as found, advises no treatment, and is never quieted
by pain relief. To add a rule, write the function that finds it and add a row to RULES.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tracker.derive.referral import abscess, observed, trimming, worsening
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Firing, Found

NOW, SAME_DAY, WITHIN_A_WEEK, NEXT_VISIT = "now", "same day", "within a week", "next visit"
URGENCIES = (NOW, SAME_DAY, WITHIN_A_WEEK, NEXT_VISIT)

PUBLISHED, OPINION, PRACTICE = "published", "expert opinion", "common practice, no published source"
OWN = "our own, no published source"

_DEVEREUX = "Devereux, The Veterinary Care of the Horse"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its slug, urgency, plain words, threshold, and source with how sure that source makes it."""

    slug: str
    urgency: str
    words: str
    threshold: str
    source: str
    sure: str
    find: Callable[[Facts], Iterator[Found]]


RULES = (
    Rule(
        "not-bearing-weight", NOW,
        "Ring the vet now, day or night. Keep the horse still where it is.",
        "a sign of not bearing weight, not moving, or sweating or trembling; or grade 5 of 5; or 10 of 10",
        f"{_DEVEREUX}, pp. 146-147", PUBLISHED,
        observed.not_bearing_weight,
    ),
    Rule(
        "object-or-hole-in-foot", NOW,
        "Ring the vet now, day or night. Keep the horse still, and do not pull anything out before the vet says so.",
        "the sign is recorded",
        f"{_DEVEREUX}, pp. 146-147; Findley et al. 2014, Equine Vet J, doi 10.1111/evj.12124", PUBLISHED,
        observed.object_in_foot,
    ),
    Rule(
        "wound-near-a-joint", NOW,
        "Ring the vet now, day or night, even if the horse goes nearly level.",
        "the sign is recorded",
        f"{_DEVEREUX}, pp. 146-147; American College of Veterinary Surgeons, Septic Synovitis", PUBLISHED,
        observed.wound_near_joint,
    ),
    Rule(
        "raised-pulses-and-stiff", NOW,
        "Ring the vet now, day or night. Do not walk the horse.",
        "pulse 2 or 3 in two or more feet on one day, together with: won't move, short stilted walk, hard to turn, "
        "shifts weight, or lameness in both fronts",
        "Wylie et al. 2016, Vet Rec (raised pulse with both fronts lame; 588 cases, 201 lame controls); the other signs "
        f"{_DEVEREUX}, pp. 146-147; the combination is our own reading, the pulse steps are common practice", OPINION,
        observed.raised_pulses_and_stiff,
    ),
    Rule(
        "lame-at-walk", SAME_DAY,
        "Ring the vet today. Do not work the horse.",
        "grade 4 of 5; or 7 of 10 and more at walk (the latter is inferred, not published)",
        f"{_DEVEREUX}, pp. 146-147; AAEP lameness scale", PUBLISHED,
        observed.lame_at_walk,
    ),
    Rule(
        "abscess-suspected", SAME_DAY,
        "Ring the vet or your hoof-care practitioner today. Look for a wound, and ask whether tetanus cover is in date.",
        "an open row on the Abscesses sheet that no vet has seen",
        f"{_DEVEREUX}, p. 212", PUBLISHED,
        abscess.suspected,
    ),
    Rule(
        "abscess-not-better-48-h", SAME_DAY,
        "Ring the vet today: it is not clearly better after two days.",
        "two days and more since first seen, not comfortable, and the latest note outside pain relief neither says "
        "better nor is a whole grade lower (two of ten)",
        f"{_DEVEREUX}, p. 147, says a day or two; the 48 h", PRACTICE,
        abscess.not_better,
    ),
    Rule(
        "abscess-open-14-days", WITHIN_A_WEEK,
        "Ask the vet this week, and ask whether radiographs are wanted.",
        "more than 14 days from first seen, not comfortable again",
        "Swiftsure Equine, hoof abscess care sheet ('up to 2 weeks'); the rule itself is inferred", OPINION,
        abscess.open_long,
    ),
    Rule(
        "abscess-again-same-foot", WITHIN_A_WEEK,
        "Tell the vet this week that it is the same foot again, and ask whether radiographs are wanted.",
        "two or more in one foot within 12 months, and no vet seen since the last began (the window is inferred)",
        "equine practices' advice on abscesses that return in one place; no published rate", OPINION,
        abscess.again,
    ),
    Rule(
        "grades-likely-worse", WITHIN_A_WEEK,
        "Tell the vet this week, and write a note every day until then.",
        "the grades seen the same way have risen for good, by what the filter makes of them: the level that gives "
        "about one false alarm in two years on simulated diaries",
        "our own reading of the grades, measured on simulated diaries only", OWN,
        worsening.likely,
    ),
    Rule(
        "grades-perhaps-worse", NEXT_VISIT,
        "Write a note today and on the next days, seen the same way. If they go on like this, tell the vet.",
        "the same, at the level that gives about two false alarms a year on simulated diaries",
        "our own reading of the grades, measured on simulated diaries only", OWN,
        worsening.perhaps,
    ),
    Rule(
        "trim-past-8-weeks", NEXT_VISIT,
        "Arrange the trim.",
        "more than 8 weeks since the last trim, or since the shoes came off",
        "Pollard et al. 2019, BMC Vet Res 15:59, doi 10.1186/s12917-019-1798-8 (association, not cause)", PUBLISHED,
        trimming.past_8_weeks,
    ),
    Rule(
        "trim-overdue", NEXT_VISIT,
        "Arrange the trim.",
        "past the day the trimmer named, or past the horse's own interval",
        "the trimmer's day or the horse's own interval, as written in the workbook", PRACTICE,
        trimming.overdue,
    ),
)  # fmt: skip


def fire(facts: Facts) -> list[Firing]:
    """All warnings of one horse, the most urgent first, then the longest standing."""
    firings = [
        Firing(
            rule.slug,
            rule.urgency,
            facts.horse,
            found.since,
            found.because,
            found.cells,
            rule.words,
            rule.source,
            rule.sure,
        )
        for rule in RULES
        for found in rule.find(facts)
    ]
    order = {rule.slug: place for place, rule in enumerate(RULES)}
    return sorted(firings, key=lambda f: (URGENCIES.index(f.urgency), f.since or facts.on, order[f.rule]))
