"""Answers to warnings as ready words and as plain data."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from tracker.derive.referral.answer import Answer
from tracker.derive.referral.firing import Firing
from tracker.show import words
from tracker.terms import WAYS_ANSWERED

DONE = WAYS_ANSWERED
ALL_QUIET = "Every warning that stands is answered, and folded away until the day that its answer names."


@dataclass(frozen=True, slots=True)
class AnswerView:
    """One answer in words: which warning, on which day, what was done and by whom, what came of it."""

    rule: str
    day: str
    done: str
    by: str
    outcome: str
    quiet_until: str
    cell: str

    @property
    def said(self) -> str:
        """The answer in a line: "vet called, 4 Mar 2026, by Anna. Outcome: comes at noon."."""
        by = f", by {self.by}" if self.by else ""
        told = [f"{self.done or 'answered'}, {self.day}{by}"]
        told += [f"Outcome: {self.outcome.rstrip('.')}"] if self.outcome else []
        told += [f"Quiet until {self.quiet_until}"] if self.quiet_until else []
        return f"{'. '.join(told)}."


def answer_view(answer: Answer) -> AnswerView:
    """One answer as a shape to show."""
    return AnswerView(
        rule=answer.rule,
        day=words.day(answer.day),
        done=answer.done,
        by=answer.by,
        outcome=answer.outcome,
        quiet_until=words.day(answer.quiet_until) if answer.quiet_until else "",
        cell=answer.cell,
    )


def answer_views(answers: Iterable[Answer]) -> tuple[AnswerView, ...]:
    """Answers as shapes to show, the latest first."""
    return tuple(answer_view(answer) for answer in reversed([*answers]))


def state_of(firing: Firing) -> str:
    """Where an answered warning stands, in a few words; "" for one without an answer."""
    if not firing.answers:
        return ""
    if firing.again:
        return f"recorded again on {words.day(firing.again)}, after the answer"
    if not firing.answered:
        return "a note whose date cannot be read may be later than the answer"
    last = firing.answers[-1]
    return f"{last.done if last.done in DONE else 'answered'} {words.day(last.day)}"


def answer_data(answer: Answer) -> dict[str, Any]:
    """One answer as data for JSON."""
    return {
        "date": answer.day.isoformat(),
        "warning": answer.rule,
        "done": answer.done,
        "by": answer.by,
        "outcome": answer.outcome,
        "quiet_until": _iso(answer.quiet_until),
        "cell": answer.cell,
    }


def firing_data(firing: Firing) -> dict[str, Any]:
    """What is known of the answers of one warning, as data for JSON."""
    return {
        "name": firing.name or firing.rule,
        "answers": [answer_data(answer) for answer in firing.answers],
        "answered": firing.answered,
        "quiet": firing.quiet,
        "recorded_again": _iso(firing.again),
    }


def _iso(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None
