"""Rules on the loss of condition and weight."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from typing import Any

from tracker.derive.body.weight import weight_of
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import WEIGHT_LOST
from tracker.derive.referral.rule import PRACTICE, WITHIN_A_WEEK, Rule
from tracker.reference.urgent import CONDITION_LOSS
from tracker.sheets import BODY

WITHIN = dt.timedelta(days=183)  # our own choice: a slower loss is one of season and work
STANDS = dt.timedelta(days=60)


def loss(facts: Facts) -> Iterator[Found]:
    """A point of condition or five per cent of weight less than the most of the half year before."""
    rows = [row for row in facts.tables[BODY.name].rows_of(facts.horse) if row.date.date() <= facts.on]
    rows.sort(key=lambda row: (row.date, row.Index))
    told = [
        found
        for found in (
            _lost(facts, rows, "condition", ("condition_score",)),
            _lost(facts, rows, "weight as written", ("weight",)),
            _lost(facts, rows, "weight by tape", ("girth", "body_length")),
        )
        if found
    ]
    if told:
        since = min(since for since, _, _ in told)
        cells = tuple(dict.fromkeys(cell for _, _, cells in told for cell in cells))
        yield Found(since, _sentence("; ".join(words for _, words, _ in told)), cells)


def _lost(
    facts: Facts, rows: list[Any], name: str, keys: tuple[str, ...]
) -> tuple[dt.date, str, tuple[str, ...]] | None:
    read = [(row.date.date(), value, row.Index) for row in rows if not math.isnan(value := _value(row, keys))]
    if not read:
        return None
    last, now, row = min((one for one in read if one[0] == read[-1][0]), key=lambda one: one[1])
    before = [one for one in read if last - WITHIN <= one[0] < last]
    if not before or facts.on - last > STANDS or _vet_has_seen(facts, last):
        return None
    then, most, earlier = max(before, key=lambda one: one[1])
    if not _is_lost(name, most, now, facts.limit(WEIGHT_LOST)):
        return None
    unit = " of 9" if name == "condition" else " kg"
    words = f"{name} {now:.3g}{unit} on {day(last)}, {most:.3g}{unit} on {day(then)}"
    return last, words, tuple(facts.cell(BODY.name, key, at) for at in (row, earlier) for key in keys)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _vet_has_seen(facts: Facts, last: dt.date) -> bool:
    return facts.on != last and facts.vet_since(last)


def _value(row: Any, keys: tuple[str, ...]) -> float:
    values = [float(getattr(row, key)) for key in keys]
    return values[0] if len(values) == 1 else weight_of(values[0], values[1])


def _is_lost(name: str, most: float, now: float, percent: float) -> bool:
    if name == "condition":
        return most - now >= CONDITION_LOSS.value - 1e-9
    return (most - now) / most * 100 >= percent - 1e-9


RULES = (
    Rule(
        "condition-or-weight-lost", WITHIN_A_WEEK, "body",
        "Tell the vet this week, unless the horse was meant to lose it; then say so on the Follow-up sheet.",
        "Score and tape it again by the same person. Look at the teeth, the dung and what the horse really eats.",
        "a condition score lower by 1 of 9, or a weight lower by 5 %, than the most of the half year before, measured the same way",
        CONDITION_LOSS.source, PRACTICE,
        loss,
        limit=WEIGHT_LOST,
    ),
)  # fmt: skip
