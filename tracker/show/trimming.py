"""Trims in the barn's words: what is due, what each took away, what grows between them; silent where none is known."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import median

from tracker.derive.change import Change
from tracker.derive.trimming.at_trim import AtTrim
from tracker.derive.trimming.between import Weekly
from tracker.derive.trimming.due import EIGHT_WEEKS, LIMIT, OWN, TRIMMER, Due
from tracker.derive.trimming.horse import Trimming
from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.terms import FEET, FOOT_WORDS, PAIRS

SHOWN = ("toe_length", "heel_length", "toe_angle", "heel_angle")
AT_NOTE = "Before the trim → after it, and the change; in bold where it is at least the measuring error."
WEEKLY_NOTE = (
    "By the week, from after a trim to before the next: what grows less what is worn away, so it is not the growth of "
    "the wall. Readings of different ways, such as gauge and photo, are not joined. ± is the error, 19 times in 20."
)
_WHY = {
    TRIMMER: "the day named at the last trim",
    OWN: "the horse's own interval",
    LIMIT: "the horse's own limit on the sheet Limits",
    EIGHT_WEEKS: "eight weeks, since no other day is written down",
}
_ELSE = {
    OWN: "its own interval ends",
    LIMIT: "its own limit ends",
    TRIMMER: "the day named at the last trim is",
    EIGHT_WEEKS: "eight weeks end",
}


@dataclass(frozen=True, slots=True)
class StepView:
    """One measure before and after a trim: "85 → 80 mm", "-5.0 mm", and whether that is at least the error."""

    values: str
    moved: str
    beyond_error: bool


@dataclass(frozen=True, slots=True)
class FootTrimView:
    """One foot at one trim, a step for each of the shown measures; None where it was not measured both times."""

    foot: str
    steps: tuple[StepView | None, ...]


@dataclass(frozen=True, slots=True)
class TrimView:
    """One trim: its day, and each foot measured before and after it."""

    day: str
    feet: tuple[FootTrimView, ...]


@dataclass(frozen=True, slots=True)
class WeeklyView:
    """How much each of the shown measures of one foot changes in a week between trims; "" where not known."""

    foot: str
    changes: tuple[str, ...]
    rests_on: str


@dataclass(frozen=True, slots=True)
class TrimsView:
    """A horse's trims, ready to be shown; `at_trims` the latest first."""

    due: str
    intervals: tuple[str, ...]
    at_trims: tuple[TrimView, ...]
    weekly: tuple[WeeklyView, ...]
    headings: tuple[str, ...]

    def __bool__(self) -> bool:
        """Whether there is anything to say."""
        return bool(self.due or self.intervals or self.at_trims or self.weekly)


def trims_view(found: Trimming) -> TrimsView:
    """A horse's trims as a shape to show."""
    days = groupby(sorted(found.at_trims, key=lambda one: one.date, reverse=True), key=lambda one: one.date)
    return TrimsView(
        due=_due(found.due) if found.due else "",
        intervals=_intervals(found),
        at_trims=tuple(_trim(day, list(own)) for day, own in days),
        weekly=_weekly(found.between),
        headings=tuple(words.name(key) for key in SHOWN),
    )


def _due(due: Due) -> str:
    """When, why, and what the others say."""
    begun = "shoes off" if due.from_shoes else "last trim"
    told = f"Next trim due {words.day(due.day)}: {_WHY[due.why]}, counted from {begun} {words.day(due.counted_from)}."
    if due.why == TRIMMER:
        told = f"Next trim due {words.day(due.day)}: {_WHY[due.why]}, {words.day(due.counted_from)}."
    late = f" {words.span(due.overdue).capitalize()} past it." if due.overdue else ""
    others = [f"{_ELSE[key]} {words.day(day)}" for key, day in due.days.items() if key != due.why]
    named = f" For comparison: {'; '.join(others)}." if others else ""
    return f"{told}{late}{named}"


def _intervals(found: Trimming) -> tuple[str, ...]:
    """How far apart the trims were, feet of which the same is said together."""
    told: dict[str, list[str]] = {}
    for foot in FEET:
        if line := _interval(found, foot):
            told.setdefault(line, []).append(foot)
    return tuple(f"{feet_words(feet)}: {line}" for line, feet in told.items())


def _interval(found: Trimming, foot: str) -> str:
    own = [cycle for cycle in found.cycles if cycle.foot == foot]
    if not own:
        return ""
    last = own[-1]
    running = f"last trim {words.day(last.first)}"
    running += f", {words.span(last.days)} ago" if last.days else ", today"
    closed = found.closed(foot)
    if not closed:
        return f"1 trim; {running}."
    low, high, middle = (_weeks(days) for days in (min(closed), max(closed), median(closed)))
    apart = f"{middle} weeks apart" if low == high else f"{low} to {high} weeks apart (middle one {middle})"
    return f"{len(own)} trims, {apart}; {running}."


def _weeks(days: float) -> str:
    """Days in weeks, to the nearest half."""
    return f"{round(2 * days / 7) / 2:g}"


def feet_words(feet: Sequence[str]) -> str:
    """Several feet in words: "All four feet", "Both fronts", "Left front and left hind"."""
    if len(feet) == len(FEET):
        return "All four feet"
    for pair, members in PAIRS.items():
        if tuple(feet) == members:
            return f"Both {pair}s"
    return " and ".join(FOOT_WORDS[foot] for foot in feet).capitalize()


def _trim(day: dt.date, own: Iterable[AtTrim]) -> TrimView:
    return TrimView(
        words.day(day),
        tuple(
            FootTrimView(FOOT_WORDS[one.foot].capitalize(), tuple(_step(one, key) for key in SHOWN))
            for one in own
            if any(key in one.changes for key in SHOWN)
        ),
    )


def _step(one: AtTrim, key: str) -> StepView | None:
    if key not in one.changes:
        return None
    first, last = (
        words.number(measure.value, COVERAGE * measure.sd, measure.unit)
        for measure in (one.before[key], one.after[key])
    )
    found = one.changes[key]
    return StepView(f"{first.rstrip('m° ')} → {last}", _moved(found), found.beyond_error)


def _moved(found: Change) -> str:
    return words.number(found.value, found.detectable, found.unit, sign=True)


def _weekly(found: Iterable[Weekly]) -> tuple[WeeklyView, ...]:
    rows = []
    for foot, own in groupby(found, key=lambda one: one.foot):
        by_name = {one.name: one for one in own}
        cycles = max(one.cycles for one in by_name.values())
        rows.append(
            WeeklyView(
                foot=FOOT_WORDS[foot].capitalize(),
                changes=tuple(_change(by_name.get(key)) for key in SHOWN),
                rests_on=words.counted(cycles, "interval"),
            )
        )
    return tuple(rows)


def _change(one: Weekly | None) -> str:
    if one is None:
        return ""
    error = COVERAGE * one.sd
    value = words.number(one.value, error, one.unit, sign=True)
    return f"{value} ± {words.number(max(error, 0.1), error, one.unit)}"
