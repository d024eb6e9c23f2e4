"""Answers to warnings: read from the Follow-up sheet, doubted where they fit nothing, laid beside what fires.

An answer folds a warning away until the day that it names. It never does so for what calls for a vet now, has no
power over what began after it, and where it is not clear which of several warnings it means it quiets none.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import pandas as pd

from tracker.derive.referral.answer import Answer, Named, nearest, warning_named
from tracker.derive.referral.firing import Firing, Found, day
from tracker.derive.referral.looked_back import LookedBack
from tracker.derive.referral.recorded import Records, Tables
from tracker.derive.referral.rules import NOW, RULES, fire
from tracker.derive.rows import day_of
from tracker.problem import Problem, make
from tracker.sheets import FOLLOW_UP
from tracker.table import Table

# Our own choices: how far back a warning is looked for that an answer may mean, and how long a quiet is usual.
LOOKED_BACK = 28
USUAL_QUIET = dt.timedelta(days=183)
# What rests on weeks of grades changes slowly and takes long to work out: it is looked for week by week.
_SLOW = ("grades-likely-worse", "grades-perhaps-worse", "no-progress-60-days", "lame-leg-changes")

_RULES = {rule.slug: rule for rule in RULES}


@dataclass(frozen=True, slots=True)
class Answers:
    """Every answer by horse, the oldest first, and what is wrong with any, each with its row."""

    answers: Mapping[str, tuple[Answer, ...]]
    problems: tuple[tuple[int, Problem], ...]


def read_answers(records: Records) -> Answers:
    """The answers of the Follow-up sheet, and what is wrong with them; what cannot be used is left out."""
    table = records.tables[FOLLOW_UP.name]
    by_horse: dict[str, list[Answer]] = {}
    problems: list[tuple[int, Problem]] = []
    stood = _Stood(LookedBack(records))
    for row in table.rows:
        answer, found = _read(row, table, stood)
        problems += [(int(row.Index), problem) for problem in found]
        if answer:
            by_horse.setdefault(row.horse, []).append(answer)
    return Answers(
        {horse: tuple(sorted(own, key=_order)) for horse, own in by_horse.items()}, tuple(problems)
    )


def answered(
    firings: Sequence[Firing], answers: Sequence[Answer], tables: Tables, on: dt.date
) -> tuple[Firing, ...]:
    """The firings of one horse, each with how an answer names it, and with its answers up to the day `on`."""
    known = [answer for answer in answers if answer.day <= on]
    named = [replace(firing, name=_name(firing, firings, tables)) for firing in firings]
    return tuple(_with_answers(firing, known, tables, on) for firing in named)


def _name(firing: Firing, firings: Sequence[Firing], tables: Tables) -> str:
    """How an answer names a warning: its rule, with the foot or the first day where several of the rule stand."""
    alike = [other for other in firings if other.rule == firing.rule and other is not firing]
    feet = feet_of(firing, tables)
    if not alike:
        return firing.rule
    if len(feet) == 1 and not any(feet & feet_of(other, tables) for other in alike):
        return f"{firing.rule} {feet.pop()}"
    return f"{firing.rule} since {firing.since.isoformat()}" if firing.since else firing.rule


def _with_answers(firing: Firing, known: Sequence[Answer], tables: Tables, on: dt.date) -> Firing:
    own = tuple(answer for answer in known if _means(answer, firing, tables))
    if not own:
        return firing
    recorded = [*_recorded(firing, tables)]
    again = max((seen for seen in recorded if seen and seen > own[-1].day), default=None)
    quiet = [answer.quiet_until for answer in own if answer.quiet_until and not answer.vague]
    is_quiet = bool(quiet) and quiet[-1] >= on and firing.urgency != NOW and firing.since is not None
    return replace(
        firing, answers=own, again=again, answered=not again and None not in recorded, quiet=is_quiet
    )


def _means(answer: Answer, firing: Firing, tables: Tables) -> bool:
    """Whether the answer is about that warning, which had begun by its day."""
    began = not firing.since or firing.since <= answer.day
    return answer.rule == firing.rule and began and _fits(answer, firing, tables)


def _fits(named: Answer | Named, found: Found | Firing, tables: Tables) -> bool:
    """Whether what a rule found is what is named: of that foot, since that day, where these are said."""
    if named.since and found.since != named.since:
        return False
    return not named.feet or bool({*named.feet} & feet_of(found, tables))


def feet_of(found: Found | Firing, tables: Tables) -> set[str]:
    """The feet that the rows of a warning's cells are about, where their sheet names one."""
    rows = [(frame, row) for frame, row in _rows(found, tables) if "foot" in frame]
    return {str(frame.at[row, "foot"]) for frame, row in rows} - {""}


def _recorded(firing: Firing, tables: Tables) -> Iterator[dt.date | None]:
    """The days of the notes that a warning rests on; None for one whose day cannot be read."""
    for frame, row in _rows(firing, tables):
        if "date" in frame:
            yield day_of(frame.at[row, "date"])


def _rows(found: Found | Firing, tables: Tables) -> Iterator[tuple[pd.DataFrame, int]]:
    for cell in found.cells:
        sheet, _, ref = cell.rpartition("!")
        frame, row = tables[sheet].frame, int(ref.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
        if row in frame.index:
            yield frame, row


def _order(answer: Answer) -> tuple[dt.date, int]:
    return answer.day, int(answer.cell.rpartition("!")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))


class _Stood:
    """Which warnings stood on a day."""

    def __init__(self, back: LookedBack) -> None:
        self.back, self.today = back, back.records.today

    def meant(self, named: Named, horse: str, day: dt.date) -> list[Found]:
        """The warnings so named of the nearest day on which any stood, from that day back four weeks."""
        rule = _RULES[named.rule]
        for back in range(0, LOOKED_BACK + 1, 7 if rule.slug in _SLOW else 1):
            stood = rule.find(self.back.facts(horse, day - dt.timedelta(days=back)))
            if found := [one for one in stood if _fits(named, one, self.back.records.tables)]:
                return found
        return []

    def words(self, horse: str, day: dt.date) -> str:
        """What did stand on that day, as what is allowed."""
        stood = fire(self.back.facts(horse, day))
        return ", ".join(dict.fromkeys(firing.rule for firing in stood)) or "none stood on that day"


def _read(row: Any, table: Table, stood: _Stood) -> tuple[Answer | None, list[Problem]]:
    """One row as an answer, and what is wrong with it."""
    tell = partial(_problem, table, int(row.Index))
    named = warning_named(row.warning, [*_RULES])
    if named is None:
        near = nearest(row.warning, [*_RULES])
        return None, [tell("warning", "answer-unknown-warning", row.warning, ", ".join(near or _RULES))]
    on, until = row.date.date(), day_of(row.quiet_until)
    problems, vague = [], bool(named.unread)
    if vague:
        allowed = f"the warning's name alone, or with its foot or its first day, such as {named.rule} LF"
        problems.append(tell("warning", "answer-part-unread", row.warning, allowed, part=named.unread))
    if on <= stood.today:
        meant = stood.meant(named, row.horse, on)
        several = len(meant) > 1
        vague = vague or several
        if not meant and not _may_not_be_seen(named.rule):
            words = {"warning": named.rule, "horse": row.horse, "day": day(on)}
            problems.append(
                tell("warning", "answer-no-such-warning", row.warning, stood.words(row.horse, on), **words)
            )
        elif several and until and not named.unread:
            allowed = f"the warning with its foot or its first day, such as {named.rule} LF"
            problems.append(tell("warning", "answer-several", row.warning, allowed, number=str(len(meant))))
    if until and (found := _wrong_quiet(named.rule, on, until)):
        slug, allowed = found
        problems.append(tell("quiet_until", slug, day(until), allowed, warning=named.rule, day=day(on)))
        until = until if slug == "answer-quiet-long" else None
    cell = table.cell("warning", int(row.Index))
    return Answer(named.rule, on, row.what_was_done, row.by, row.outcome, until, cell, named.feet, named.since, vague), problems  # fmt: skip


def _may_not_be_seen(rule: str) -> bool:
    """Whether a rule may have fired unseen: photographs have errors of their own, which only their files tell."""
    return _RULES[rule].about == "hoof shape"


def _wrong_quiet(rule: str, on: dt.date, until: dt.date) -> tuple[str, str] | None:
    if _RULES[rule].urgency == NOW:
        return "answer-quiet-now", "empty"
    if until < on:
        return "answer-quiet-before", f"{day(on)} or later"
    if until - on > USUAL_QUIET:
        return "answer-quiet-long", "usually within half a year"
    return None


def _problem(table: Table, row: int, key: str, slug: str, found: str, allowed: str, **words: str) -> Problem:
    column = FOLLOW_UP.by_key[key]
    return make(
        slug, sheet=FOLLOW_UP.name, ref=table.cell(key, row).rpartition("!")[2], column=column.heading,
        found=found, allowed=allowed, required=column.required, words=words,
    )  # fmt: skip
