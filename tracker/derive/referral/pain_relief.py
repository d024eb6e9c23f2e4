"""Rules on pain relief itself: two products at a time, and for more than a day with no vet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from tracker.cells.text import fold
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import RELIEF_FOR, whole_days
from tracker.derive.referral.rule import DEVEREUX, MEMORY, OPINION, SAME_DAY, Rule
from tracker.derive.relief import Course
from tracker.reference.relief import named_in
from tracker.sheets import PAIN_RELIEF

VET_BEFORE = dt.timedelta(days=14)
"""A vet who came so shortly before may have left it to be given: our own choice."""
ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class _Given:
    """One product of one row, from day to day; `first` is None where it is unclear, `last` while it is being given."""

    row: int
    product: str
    kind: str
    first: dt.date | None
    last: dt.date | None


def overlapping(facts: Facts) -> Iterator[Found]:
    """Two different products given on one day, while either is still given or was until yesterday."""
    for one, other in combinations(_given(facts), 2):
        if one.kind == other.kind:
            continue
        first = max((given.first for given in (one, other) if given.first), default=None)
        last = min(one.last or facts.on, other.last or facts.on)
        if (first and first > last) or facts.on - last > ONE_DAY:
            continue
        cells = (facts.cell(PAIN_RELIEF.name, "product", row) for row in (one.row, other.row))
        since = first if one.first and other.first else None
        yield Found(since, _together(one, other, since), tuple(dict.fromkeys(cells)))


def _together(one: _Given, other: _Given, since: dt.date | None) -> str:
    when = f"on {day(since)}" if since else "since when is unclear"
    if one.row == other.row:
        return f"{one.product} is recorded in one cell as given{f' from {day(since)}' if since else f', {when}'}."
    return f"{one.product} and {other.product} are both recorded as given{' ' if since else ', '}{when}."


def _given(facts: Facts) -> Iterator[_Given]:
    """All that is given, that too whose first day is unclear; what is not named may be anything, even the same."""
    for course in facts.courses:
        kind = course.product_class or fold(course.product)
        yield _Given(course.row, course.product, kind, course.first.date(), _last(course))
    for row in facts.unclear_relief:
        kinds = [product.name for product in named_in(row.product)] or [fold(row.product)]
        yield from (_Given(row.row, row.product, kind, row.first, row.last) for kind in kinds if kind)


def without_vet(facts: Facts) -> Iterator[Found]:
    """Still given after more than a day, by nobody's order, and no vet recorded since two weeks before it began."""
    yield from _unclear_without_vet(facts)
    ordered = facts.tables[PAIN_RELIEF.name].frame["given_by_order_of"]
    for course in facts.courses:
        first = course.first.date()
        if (
            _is_over(_last(course), facts.on)
            or ordered.loc[course.row]
            or facts.vet_since(first - VET_BEFORE)
            or not _for_longer_than(facts.limit(RELIEF_FOR), course, facts.on)
        ):
            continue
        because = f"{course.product} has been given since {day(first)}; {_NO_VET}"
        yield Found(first + ONE_DAY, because, _cells(facts, course.row))


def _unclear_without_vet(facts: Facts) -> Iterator[Found]:
    """The same of rows that make no course: where the first day is not clear, it may be long ago."""
    longest = whole_days(facts.limit(RELIEF_FOR) / 24)
    for one in facts.unclear_relief:
        known = (one.last or facts.on) - one.first if one.first else None
        if (
            one.ordered
            or _is_over(one.last, facts.on)
            or facts.vet_since((one.first or facts.on) - VET_BEFORE)
            or (known is not None and known <= longest)
        ):
            continue
        what = f"{one.product[:1].upper()}{one.product[1:]}" or "Pain relief that is not named"
        how = (
            f"has been given since {day(one.first)}"
            if one.first
            else "is recorded as given since a date that is unclear, perhaps for longer than a day"
        )
        yield Found(one.first and one.first + ONE_DAY, f"{what} {how}; {_NO_VET}", _cells(facts, one.row))


def _cells(facts: Facts, row: int) -> tuple[str, ...]:
    """What is given, and since when: without its first day a product still warns."""
    return tuple(facts.cell(PAIN_RELIEF.name, key, row) for key in ("product", "first_given"))


def _is_over(last: dt.date | None, on: dt.date) -> bool:
    return last is not None and last < on - ONE_DAY


def _last(course: Course) -> dt.date | None:
    """None while it is being given; where the last dose lies before the first, one of both is a slip."""
    last = course.last.date() if course.last else None
    return last if last and last >= course.first.date() else None


def _for_longer_than(hours: float, course: Course, on: dt.date) -> bool:
    """To the hour where both times are written; else by whole days."""
    last = _last(course)
    if last and course.last and course.last.time() != dt.time() and course.first.time() != dt.time():
        return course.last - course.first > dt.timedelta(hours=hours)
    return (last or on) - course.first.date() > whole_days(hours / 24)


_NO_VET = "no vet's order and no vet's visit is recorded."
_ASK = "Write down every product with the day and the hour, those from your own cupboard too."
RULES = (
    Rule(
        "pain-relief-overlaps", SAME_DAY, "pain relief",
        "Ask the vet today whether both are meant to be given at a time.", _ASK,
        "two different products recorded as given on one day, or perhaps so where the first day of either is unclear",
        "one product at a time is widely taught; Flood and Stewart 2022, Animals 12:2939 (a narrow margin of safety)", MEMORY,
        overlapping,
    ),
    Rule(
        "pain-relief-without-vet", SAME_DAY, "pain relief",
        "Ring the vet today and say what is given and since when.", _ASK,
        "given for more than 24 hours (from the day after the next where no hours are written), nothing under Given by order "
        "of, and no vet recorded since two weeks before it began; where its first day is unclear, since two weeks ago",
        f"{DEVEREUX}, p. 215 (the first 24 hours); the rule itself is inferred", OPINION,
        without_vet,
        limit=RELIEF_FOR,
    ),
)  # fmt: skip
