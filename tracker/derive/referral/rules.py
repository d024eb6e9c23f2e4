"""The referral rules, one table: when each fires, how urgent it is, why, and who says so.

A rule records and warns. It names no disease as found, advises no treatment, and is never quieted
by pain relief. To add a rule, write the function that finds it in the file of its subject and a row in the RULES
of that file; a new file joins the list here.
"""

from __future__ import annotations

from dataclasses import replace

from tracker.derive.referral import (
    abscess,
    abscess_course,
    body,
    feet,
    hooves,
    lameness,
    observed,
    opposite,
    pain_relief,
    trimming,
    vital,
    work,
    worsening,
)
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Firing, Found
from tracker.derive.referral.limit import LIMITS
from tracker.derive.referral.rule import NEXT_VISIT, NOW, SAME_DAY, URGENCIES, WITHIN_A_WEEK, Rule

__all__ = ["NEXT_VISIT", "NOW", "RULES", "SAME_DAY", "URGENCIES", "WITHIN_A_WEEK", "Rule", "fire"]

_SUBJECTS = (
    observed, feet, opposite, vital, abscess_course, abscess, lameness, worsening,
    pain_relief, work, body, trimming, hooves,
)  # fmt: skip

RULES: tuple[Rule, ...] = tuple(
    sorted(
        (rule for subject in _SUBJECTS for rule in subject.RULES),
        key=lambda rule: URGENCIES.index(rule.urgency),
    )
)
"""Every rule, the most urgent first."""


def fire(facts: Facts) -> list[Firing]:
    """All warnings of one horse, the most urgent first, then the longest standing."""
    order = {rule.slug: place for place, rule in enumerate(RULES)}
    firings = [_firing(rule, facts.horse, found) for rule in RULES for found in rule.find(facts)]
    within = {rule.slug: rule.within for rule in RULES}
    told = [one for one in firings if not any(_says_it(other, one, within[one.rule]) for other in firings)]
    return sorted(
        (_by_own_limit(one, facts) for one in told),
        key=lambda f: (URGENCIES.index(f.urgency), f.since or facts.on, order[f.rule]),
    )


def _says_it(other: Firing, one: Firing, within: tuple[str, ...]) -> bool:
    """Whether a more urgent warning says all that this one does."""
    return other.rule in within and other.cause == one.cause and {*one.cells} <= {*other.cells}


def _by_own_limit(firing: Firing, facts: Facts) -> Firing:
    """The same with the horse's own limit said, where it has one, and the cell in which it stands."""
    limit = LIMITS.get(firing.rule)
    for one in limit.parts if limit else ():
        if own := facts.own_limits.get(one.key):
            because = f"{firing.because} {one.own_words(own.value)}"
            firing = replace(firing, because=because, cells=(*firing.cells, own.cell))
    return firing


def _firing(rule: Rule, horse: str, found: Found) -> Firing:
    return Firing(
        rule=rule.slug,
        urgency=rule.urgency,
        horse=horse,
        since=found.since,
        because=found.because,
        cells=found.cells,
        words=rule.words,
        source=rule.source,
        sure=rule.sure,
        waiting=rule.waiting,
        speaks_to=rule.speaks_to,
        cause=f"{rule.about} {found.part}".strip(),
    )
