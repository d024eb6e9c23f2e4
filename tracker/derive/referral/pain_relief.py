"""Rules on pain relief itself: two products at a time, and for more than a day with no vet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import combinations

from tracker.cells.text import fold
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import RELIEF_FOR, whole_days
from tracker.derive.referral.rule import DEVEREUX, MEMORY, OPINION, SAME_DAY, Rule
from tracker.derive.relief import Course
from tracker.sheets import PAIN_RELIEF

VET_BEFORE = dt.timedelta(
    days=14
)  # a vet who came so shortly before may have left it to be given: our own choice


def overlapping(facts: Facts) -> Iterator[Found]:
    """Two different products given on one day, while either is still given or was until yesterday."""
    for one, other in combinations(facts.courses, 2):
        if _product(one) == _product(other):
            continue
        first = max(one.first.date(), other.first.date())
        last = min(_last(one, facts.on), _last(other, facts.on))
        if first <= last and facts.on - last <= dt.timedelta(days=1):
            because = f"{one.product} and {other.product} are both recorded as given on {day(first)}."
            if one.row == other.row:
                because = f"{one.product} is recorded in one cell as given from {day(first)}."
            cells = (facts.cell(PAIN_RELIEF.name, "product", row) for row in (one.row, other.row))
            yield Found(first, because, tuple(dict.fromkeys(cells)))


def without_vet(facts: Facts) -> Iterator[Found]:
    """Still given after more than a day, by nobody's order, and no vet recorded since two weeks before it began."""
    ordered = facts.tables[PAIN_RELIEF.name].frame["given_by_order_of"]
    for course in facts.courses:
        first = course.first.date()
        over = course.last is not None and course.last.date() < facts.on - dt.timedelta(days=1)
        if (
            over
            or ordered.loc[course.row]
            or facts.vet_since(first - VET_BEFORE)
            or not _for_longer_than(facts.limit(RELIEF_FOR), course, facts.on)
        ):
            continue
        because = f"{course.product} has been given since {day(first)}; no vet's order and no vet's visit is recorded."
        yield Found(
            first + dt.timedelta(days=1), because, (facts.cell(PAIN_RELIEF.name, "first_given", course.row),)
        )


def _product(course: Course) -> str:
    return course.product_class or fold(course.product)


def _last(course: Course, on: dt.date) -> dt.date:
    return course.last.date() if course.last else on


def _for_longer_than(hours: float, course: Course, on: dt.date) -> bool:
    """To the hour where both times are written; else by whole days."""
    if course.last and course.last.time() != dt.time() and course.first.time() != dt.time():
        return course.last - course.first > dt.timedelta(hours=hours)
    return _last(course, on) - course.first.date() > whole_days(hours / 24)


_ASK = "Write down every product with the day and the hour, those from your own cupboard too."
RULES = (
    Rule(
        "pain-relief-overlaps", SAME_DAY, "pain relief",
        "Ask the vet today whether both are meant to be given at a time.", _ASK,
        "two different products recorded as given on one day",
        "one product at a time is widely taught; Flood and Stewart 2022, Animals 12:2939 (a narrow margin of safety)", MEMORY,
        overlapping,
    ),
    Rule(
        "pain-relief-without-vet", SAME_DAY, "pain relief",
        "Ring the vet today and say what is given and since when.", _ASK,
        "given for more than 24 hours (from the day after the next where no hours are written), nothing under Given by order "
        "of, and no vet recorded since two weeks before it began",
        f"{DEVEREUX}, p. 215 (the first 24 hours); the rule itself is inferred", OPINION,
        without_vet,
        limit=RELIEF_FOR,
    ),
)  # fmt: skip
