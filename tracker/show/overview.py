"""The yard at a glance, and the rules that are watched, as ready words."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from tracker.book import Book, HorseRecord
from tracker.cells.limbs import label
from tracker.derive.referral.rules import RULES, URGENCIES
from tracker.sheets import SOUNDNESS
from tracker.show import words
from tracker.show.shapes import WarningView, limb_words, shown_name, warning_view
from tracker.terms import FEET, PAIRS, PULSE_RAISED


@dataclass(frozen=True, slots=True)
class YardRow:
    """One horse of the yard in a few words; `urgent` is its most urgent warning, `more` how many others.

    Those that an answer keeps quiet are only counted, in `quiet`.
    """

    name: str
    shown: str
    since: tuple[str, ...]
    urgent: WarningView | None
    more: int
    last_note: str
    quiet: int = 0


@dataclass(frozen=True, slots=True)
class RuleView:
    """One rule that the program watches, with its threshold and who says so.

    `own_limit` is what a horse's own number may be, "" where the rule has no single one.
    """

    rule: str
    urgency: str
    headline: str
    to_do: str
    threshold: str
    source: str
    sure: str
    waiting: str
    speaks_to: str
    own_limit: str = ""


def yard_rows(book: Book) -> tuple[YardRow, ...]:
    """Every horse in a few words, the most urgent first; alike ones in the workbook's order."""
    rows = [_yard_row(horse, book) for horse in book.horses]
    return tuple(
        sorted(rows, key=lambda row: URGENCIES.index(row.urgent.urgency) if row.urgent else len(URGENCIES))
    )


def rule_views() -> tuple[RuleView, ...]:
    """Every rule of the warnings table, the most urgent first."""
    return tuple(
        RuleView(
            rule=rule.slug,
            urgency=rule.urgency,
            headline=words.URGENCY_WORDS[rule.urgency],
            to_do=rule.words,
            threshold=rule.threshold,
            source=rule.source,
            sure=rule.sure,
            waiting=rule.waiting,
            speaks_to=rule.speaks_to,
            own_limit=rule.limit.allowed if rule.limit else "",
        )
        for rule in sorted(RULES, key=lambda rule: URGENCIES.index(rule.urgency))
    )


def _yard_row(horse: HorseRecord, book: Book) -> YardRow:
    warnings = tuple(warning_view(firing) for firing in horse.warnings if not firing.quiet)
    return YardRow(
        name=horse.name,
        shown=shown_name(horse.name),
        since=_since_in_short(horse.shoes_off, book.as_of),
        urgent=warnings[0] if warnings else None,
        more=max(0, len(warnings) - 1),
        last_note=_last_note(horse.name, book),
        quiet=len(horse.warnings) - len(warnings),
    )


def _since_in_short(shoes_off: Mapping[str, dt.date | None], as_of: dt.date) -> tuple[str, ...]:
    """For each day that shoes came off: "19 weeks (front, 13 Jul 2026)"."""
    pairs: dict[dt.date, list[str]] = {}
    for pair in PAIRS:
        if (off := shoes_off.get(pair)) and off <= as_of:
            pairs.setdefault(off, []).append(pair)
    return tuple(
        f"{words.span((as_of - off).days)} ({' and '.join(came_off)}, {words.day(off)})"
        for off, came_off in sorted(pairs.items())
    )


def _last_note(name: str, book: Book) -> str:
    """The newest note in words: its day, and what it says of the horse."""
    notes = book.tables[SOUNDNESS.name].kept
    own = notes[(notes["horse"] == name) & (notes["date"].dt.date <= book.as_of)]
    if own.empty:
        return ""
    note = own.sort_values("date", kind="stable").iloc[-1]
    pulses = ", ".join(foot for foot in FEET if note[f"pulse_{foot.lower()}"] >= PULSE_RAISED)
    compared = note["than_last_time"]
    said = (
        "" if math.isnan(note["score"]) else _scored(note),
        pulses and f"raised pulse {pulses}",
        *note["signs"],
        compared and f"{compared} {'as' if compared == 'same' else 'than'} last time",
    )
    return f"{words.day(note['date'].date())}: {'; '.join(filter(None, said)) or 'no score, raised pulse or sign'}"


def _scored(note: pd.Series) -> str:
    looked = words.looked(note["gait"], note["ground"], note["line"])
    where = ", ".join(filter(None, (limb_words(label(note["limb"])), looked)))
    return f"{words.score(note['score'], note['scale'])} ({where})"
