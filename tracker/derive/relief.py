"""Courses of pain relief, and the scores they may flatter.

A score in a masked or residual span is kept and shown, but says little when it is good.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import combinations
from typing import Any

from tracker.cells.text import fold
from tracker.derive.rows import moment_of
from tracker.reference import relief as known
from tracker.table import Table

MASKED, RESIDUAL = "masked", "residual"
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Course:
    """One product given from `first` to `last`; None for `last` is still being given.

    `product` is as typed, `product_class` its generic name, None where we do not know it: such a course
    is marked until it was last given, and then as long as the slowest known product. `masked_until` and
    `residual_until` are the moments from which the marks no longer hold; None while still being given.
    """

    horse: str
    product: str
    product_class: str | None
    first: datetime
    last: datetime | None
    masked_until: datetime | None
    residual_until: datetime | None
    row: int


def courses(pain_relief: Table, on: date) -> list[Course]:
    """List the courses begun by the day `on`, by their first moment; a last dose after `on` is yet to come.

    A cell that names two known products gives two courses. A last dose with no time of day may have been
    given as late as midnight, so the marks count from the end of that day.
    """
    rows = (row for row in pain_relief.rows if row.first_given.date() <= on)
    found = [
        _course(row, product, on)
        for row in rows
        for product in known.named_in(row.product) or (known.UNKNOWN,)
    ]
    return sorted(found, key=lambda course: (course.first, course.row))


def _course(row: Any, product: known.Product, on: date) -> Course:
    first, last = row.first_given, moment_of(row.last_given)
    if last and last.date() > on:
        last = None
    masked_until = residual_until = None
    if last:
        end = max(first, last)
        # The day of the last dose is marked to its end, whatever the product.
        masked_until = max(_latest(end) + timedelta(hours=product.masked_hours), _midnight_after(end))
        residual_until = _latest(end) + timedelta(days=product.residual_days)
    return Course(
        row.horse, row.product, product.name or None, first, last, masked_until, residual_until, row.Index
    )


def _midnight_after(moment: date) -> datetime:
    return datetime.combine(moment, time()) + _DAY


def _latest(moment: datetime) -> datetime:
    """Give the moment itself; the end of its day where only a date was given, which reads as midnight."""
    return _midnight_after(moment) if moment.time() == time() else moment


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two products, as typed, that were both given from `first` to `last`; None while both still are."""

    product: str
    other: str
    first: date
    last: date | None


def overlaps(courses: Iterable[Course]) -> list[Overlap]:
    """Each two different products of one horse's courses that were given on the same days; the latest of them."""
    found: dict[frozenset[str], Overlap] = {}
    for one, other in combinations(sorted(courses, key=lambda course: course.first), 2):
        names = frozenset(course.product_class or fold(course.product) for course in (one, other))
        ends = [course.last.date() for course in (one, other) if course.last]
        first, last = other.first.date(), min(ends, default=None)
        if len(names) == 2 and (one.last is None or one.last.date() >= first):
            found[names] = Overlap(one.product, other.product, first, last)
    return list(found.values())


def masking(courses: Iterable[Course], horse: str, when: date) -> str:
    """Whether a look at this horse falls under pain relief: "masked", else "residual", else "".

    `when` is a moment, or a day; a moment at midnight counts as a day. A day is masked if any part of it is.
    """
    moment = isinstance(when, datetime) and when.time() != time()
    start = when if isinstance(when, datetime) else datetime.combine(when, time())
    end = start + (timedelta.resolution if moment else _DAY)
    answer = ""
    for course in courses:
        if course.horse != horse or course.first >= end:
            continue
        if course.masked_until is None or course.masked_until > start:
            return MASKED
        if course.residual_until is None or course.residual_until > start:
            answer = RESIDUAL
    return answer
