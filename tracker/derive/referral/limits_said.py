"""What is wrong with the Limits sheet, each at its cell."""

from __future__ import annotations

from typing import Any

from tracker.derive.referral.answer import nearest, plain
from tracker.derive.referral.limit import LIMITS, Limit
from tracker.derive.referral.own_limits import LimitRow, limit_rows
from tracker.derive.referral.rules import RULES
from tracker.problem import Problem, make
from tracker.sheets import LIMITS as SHEET
from tracker.table import Table

_SLUGS = tuple(rule.slug for rule in RULES)


def limit_problems(table: Table) -> list[tuple[int, Problem]]:
    """Every mistake of the sheet, with its row."""
    found: list[tuple[int, Problem]] = []
    used: dict[tuple[str, str], LimitRow] = {}
    for one in limit_rows(table):
        warning, typed = (str(table.frame[key].loc[one.row]) for key in ("warning", "limit"))
        if one.limit is None:
            found.append((one.row, _unknown(table, one.row, warning)))
            continue
        if one.wrong:
            found.append((one.row, _wrong(table, one, one.limit, typed)))
        if one.is_used:
            before = used.setdefault((one.horse, one.limit.key), one)
            if before.value != one.value:
                words = {"row": str(before.row), "other": one.limit.words(before.value)}
                found.append((one.row, _at(table, one.row, "limit", "limit-twice", typed, "one row for each warning", words)))  # fmt: skip
    return found


def _unknown(table: Table, row: int, text: str) -> Problem:
    """A name that no warning has; or one whose rule has no single number."""
    name = plain(text)
    if name in _SLUGS:
        return _at(table, row, "warning", "limit-no-number", text, ", ".join(LIMITS), {"warning": name})
    near = nearest(text, _SLUGS)
    return _at(table, row, "warning", "limit-unknown-warning", text, ", ".join(near or LIMITS))


def _wrong(table: Table, one: LimitRow, limit: Limit, text: str) -> Problem:
    words = {"warning": limit.rule, "read": limit.words(one.value), "own": limit.words(limit.value)}
    return _at(table, one.row, "limit", one.wrong, text, limit.allowed, words)


def _at(table: Table, row: int, key: str, slug: str, found: str, allowed: str, words: Any = None) -> Problem:
    column = SHEET.by_key[key]
    return make(
        slug, sheet=SHEET.name, ref=table.cell(key, row).rpartition("!")[2], column=column.heading,
        found=found, allowed=allowed, required=column.required, words=words or {},
    )  # fmt: skip
