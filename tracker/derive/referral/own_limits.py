"""The Limits sheet: what one horse has, more carefully, instead of a rule's number."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from tracker.cells.numbers import canonical, read_quantity, unit_named, units_for
from tracker.cells.scores import read_score
from tracker.derive.referral.answer import plain
from tracker.derive.referral.limit import (
    BEATS,
    BREATHS,
    CELSIUS,
    DAYS,
    DEGREES,
    HOURS,
    LIMITS,
    MONTHS,
    PERCENT,
    WEEKS,
    YEARS,
    Limit,
    OwnLimit,
)
from tracker.sheets import ANGLE, NUMBER, TEMPERATURE
from tracker.table import Table

UNREADABLE, LESS_CAREFUL, TOO_FAR, BY_SIZE = (
    "limit-unreadable", "limit-less-careful", "limit-too-far", "limit-by-size",
)  # fmt: skip
NOT_USED = (UNREADABLE, LESS_CAREFUL, TOO_FAR)

_HOUR, _DAY = ("h", "hr", "hrs", "hour", "hours"), ("d", "day", "days")
_WEEK, _MONTH, _YEAR = ("w", "wk", "wks", "week", "weeks"), ("month", "months"), ("y", "year", "years")
# How each unit of a span is typed, and how many of the rule's it is.
_SPANS = {
    HOURS: ((_HOUR, 1.0), (_DAY, 24.0)),
    DAYS: ((_DAY, 1.0), (_WEEK, 7.0), (_HOUR, 1 / 24)),
    WEEKS: ((_WEEK, 1.0), (_DAY, 1 / 7)),
    MONTHS: ((_MONTH, 1.0), (_YEAR, 12.0)),
    YEARS: ((_YEAR, 1.0),),
    PERCENT: ((("%", "per cent", "percent"), 1.0),),
}
_MEASURED = {
    CELSIUS: (TEMPERATURE, ""),
    BEATS: (NUMBER, BEATS),
    BREATHS: (NUMBER, BREATHS),
    DEGREES: (ANGLE, ""),
}
_FAHRENHEIT = 90.0, 113.0  # a bare number in which no other unit of a temperature can be meant


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One row of the sheet: the rule's number that it means, if any, what was read, and what is wrong with it."""

    row: int
    horse: str
    limit: Limit | None
    value: float = math.nan
    wrong: str = ""

    @property
    def is_used(self) -> bool:
        """Whether the horse has this number."""
        return self.limit is not None and self.wrong not in NOT_USED


def own_limits(table: Table) -> dict[str, dict[str, OwnLimit]]:
    """What each horse has instead of a rule's number, by horse and the limit's key; of two the more careful."""
    found: dict[str, dict[str, OwnLimit]] = {}
    for one in limit_rows(table):
        if one.limit and one.is_used:
            own = found.setdefault(one.horse, {})
            before = own.get(one.limit.key)
            if not before or one.limit.more_careful(one.value, before.value) != before.value:
                own[one.limit.key] = OwnLimit(one.value, table.cell("limit", one.row))
    return found


def limit_rows(table: Table) -> Iterator[LimitRow]:
    """The rows that are not set aside, each read in the unit of its rule."""
    if len(table.frame):
        for row in table.rows:
            yield _read(int(row.Index), row.horse, LIMITS.get(plain(row.warning)), row.limit)


def _read(row: int, horse: str, limit: Limit | None, text: str) -> LimitRow:
    if limit is None:
        return LimitRow(row, horse, None)
    if limit.of_ten:
        limit, found = _graded(text, limit)
    else:
        found = _number(text, limit)
    if found is None:
        return LimitRow(row, horse, limit, wrong=UNREADABLE)
    value, by_size = found
    if limit.more_careful(value, limit.value) != value:
        return LimitRow(row, horse, limit, value, LESS_CAREFUL)
    if limit.more_careful(value, limit.end) != limit.end:
        return LimitRow(row, horse, limit, value, TOO_FAR)
    return LimitRow(row, horse, limit, value, BY_SIZE if by_size else "")


def _graded(text: str, limit: Limit) -> tuple[Limit, tuple[float, bool] | None]:
    """A grade that names its scale, and the limit of that scale."""
    score = read_score(text)
    if score is None or score.high is not None or score.plus or score.scale not in limit.by_scale:
        return limit, None
    return limit.by_scale[score.scale], (score.grade, False)


def _number(text: str, limit: Limit) -> tuple[float, bool] | None:
    """The number in the rule's unit, and whether its size alone told the unit; None where it cannot be read."""
    quantity = read_quantity(text)
    if quantity is None or quantity.ends:
        return None
    if limit.unit in _SPANS:
        factor = _factor(quantity.unit, limit.unit)
        return None if factor is None else (quantity.number * factor, False)
    named = unit_named(quantity.unit, units_for(*_MEASURED[limit.unit])) if quantity.unit else ""
    if named is None:
        return None
    if limit.unit == CELSIUS and not named and _FAHRENHEIT[0] <= quantity.number <= _FAHRENHEIT[1]:
        return canonical(quantity.number, "°F"), True
    return canonical(quantity.number, named), False


def _factor(typed: str, unit: str) -> float | None:
    if not typed:
        return 1.0
    return next((factor for names, factor in _SPANS[unit] if typed.rstrip(".") in names), None)
