"""A horse's work in the barn's words: minutes by week, the vet's plan beside them, the grades of the days after."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from tracker.derive.referral.worsening import limb_words
from tracker.derive.work.horse import Caution, WorkRecord
from tracker.derive.work.life import LifeChange
from tracker.derive.work.plan import AS_SET, EXCEEDED, MISSED, NOTED, SHORTER, UNKNOWN, Step, StepDay
from tracker.derive.work.response import Response
from tracker.derive.work.sessions import Week
from tracker.derive.worsening.comparable import WORST
from tracker.derive.worsening.record import ACT
from tracker.sheets import CHANGES
from tracker.show import words
from tracker.terms import FOOT_WORDS

PLAN_NOTE = (
    "The plan stands as the vet set it; this program proposes none of its own. “Nothing noted” is not the same as "
    "no work. Minutes of all work of a day are added up; turnout counts only where a step is turnout."
)
RESPONSE_NOTE = (
    "That is no proof of a cause, nor that work does no harm: a horse is often worked less on a bad day, and weather, "
    "ground and trims change too. Each note counts once, by the longer work of the two days before it; longer is at "
    "least the middle of the worked days of that fortnight. Notes under pain relief are left out."
)
OUTCOMES = {
    AS_SET: "as set",
    EXCEEDED: "more than set",
    SHORTER: "less than set",
    NOTED: "work noted, no minutes set",
    MISSED: "nothing noted",
    UNKNOWN: "minutes not known",
}
_NO_GROUND = "ground not given"
_KINDS = CHANGES.by_key["kind"].choices


@dataclass(frozen=True, slots=True)
class StepDayView:
    """One day of a step, or several with nothing noted: what was noted, and how that compares with what was set."""

    day: str
    minutes: str
    outcome: str


@dataclass(frozen=True, slots=True)
class StepView:
    """One step of the plan: what was set, how its days came out, and what must hold before the next."""

    name: str
    when: str
    was_set: str
    told: str
    move_on: str
    daily: tuple[StepDayView, ...]


@dataclass(frozen=True, slots=True)
class WeekView:
    """One week of work: how many days and minutes, by kind, by ground; turnout by itself."""

    week: str
    days: str
    minutes: str
    kinds: str
    grounds: str
    turnout: str


@dataclass(frozen=True, slots=True)
class ChangeView:
    """One change in the horse's life."""

    day: str
    kind: str
    what: str

    @property
    def said(self) -> str:
        """In one line: "2 May 2026, feed: less hay"."""
        return f"{self.day}, {self.kind}{f': {self.what}' if self.what else ''}"


@dataclass(frozen=True, slots=True)
class WorkView:
    """A horse's work, ready to be shown; `response` is "" where too little was noted to compare."""

    cautions: tuple[str, ...]
    steps: tuple[StepView, ...]
    weeks: tuple[WeekView, ...]
    response: str
    changes: tuple[ChangeView, ...]
    change_kinds: tuple[str, ...]
    has_planned_minutes: bool

    def __bool__(self) -> bool:
        """Whether work or a plan was noted."""
        return bool(self.steps or self.weeks)


def work_view(found: WorkRecord) -> WorkView:
    """A horse's work as a shape to show; the latest week first, the plan in its own order."""
    return WorkView(
        cautions=tuple(_caution(one) for one in found.cautions),
        steps=tuple(_step(step) for step in found.steps),
        weeks=tuple(_week(week) for week in found.weeks),
        response=_response(found.response) if found.response else "",
        changes=tuple(_change(one) for one in reversed(found.changes)),
        change_kinds=kinds_of(found.changes),
        has_planned_minutes=any(step.days and step.minutes is not None for step in found.steps),
    )


def _caution(found: Caution) -> str:
    step, watch = found.step, found.watch
    assert watch.since is not None
    how = "likely" if watch.signal == ACT else "perhaps"
    who = f"the vet who set the plan ({step.set_by})" if step.set_by else "the vet who set the plan"
    return (
        f"{_name(step)} of the plan has gone on since {words.day(step.first)}, and the record has {how} got worse since "
        f"about {words.day(watch.since.likely)} ({limb_words(watch)}). Tell {who} before going on."
    )


def _step(step: Step) -> StepView:
    return StepView(
        name=_name(step),
        when=_when(step),
        was_set=", ".join(
            filter(None, (step.what, _set(step.minutes), f"set by {step.set_by}" if step.set_by else ""))
        ),
        told=_told(step),
        move_on=step.move_on,
        daily=tuple(_days([*days]) for _, days in groupby(reversed(step.days), key=_run)),
    )


def _name(step: Step) -> str:
    """Such as "Step 2"; a name that has words stands by itself."""
    return step.name[0].upper() + step.name[1:] if any(map(str.isalpha, step.name)) else f"Step {step.name}"


def _when(step: Step) -> str:
    if step.first is None:
        return "no first day given"
    return (
        f"{words.day(step.first)} to {words.day(step.last)}"
        if step.last
        else f"since {words.day(step.first)}"
    )


def _set(minutes: float | None) -> str:
    return "" if minutes is None else f"{_minutes(minutes)} a day"


def _minutes(minutes: float) -> str:
    return f"{minutes:,.0f} minute{'' if minutes == 1 else 's'}"


def _told(step: Step) -> str:
    if not step.days:
        return "Not compared: its days are not known, or not there yet."
    counts = [f"{name} {number}" for outcome, name in OUTCOMES.items() if (number := step.count(outcome))]
    told = f"Of {words.counted(len(step.days), 'day')}: {', '.join(counts)}."
    return " ".join(filter(None, (told, _over(step), _faster(step.days))))


def _over(step: Step) -> str:
    """By how much the plan was exceeded at most."""
    over = [
        day.minutes - (step.minutes or 0)
        for day in step.days
        if day.outcome == EXCEEDED and day.minutes is not None
    ]
    return f"At most {_minutes(max(over))} more than set." if over and max(over) > 0 else ""


def _faster(days: Sequence[StepDay]) -> str:
    kinds = list(dict.fromkeys(kind for day in days for kind in day.faster))
    if not kinds:
        return ""
    number = sum(bool(day.faster) for day in days)
    return f"On {words.counted(number, 'day')} with {' and '.join(kinds)}, which the step does not name."


def _run(day: StepDay) -> dt.date | None:
    """Days with nothing noted stand together, any other by itself."""
    return None if day.outcome == MISSED else day.date


def _days(days: Sequence[StepDay]) -> StepDayView:
    """One day, or days with nothing noted from the first to the last."""
    day = days[0]
    when = f"{words.day(days[-1].date)} to {words.day(day.date)}" if len(days) > 1 else words.day(day.date)
    minutes = "–" if day.outcome == MISSED or day.minutes is None else _minutes(day.minutes)
    faster = f"; {', '.join(day.faster)} is not in the step" if day.faster else ""
    return StepDayView(when, minutes, f"{OUTCOMES[day.outcome]}{faster}")


def _week(week: Week) -> WeekView:
    unsaid = f"; {words.counted(week.unsaid, 'session')} without minutes" if week.unsaid else ""
    return WeekView(
        week=f"{words.day(week.first)} to {words.day(week.first + dt.timedelta(days=6))}",
        days=words.counted(week.days, "day"),
        minutes=f"{_minutes(week.minutes)}{unsaid}" if week.days else "",
        kinds=_parts(week.kinds, "other work"),
        grounds=_parts(week.grounds, _NO_GROUND),
        turnout=f"{week.turnout / 60:.0f} hours"
        if week.turnout >= 90
        else _minutes(week.turnout)
        if week.turnout
        else "",
    )


def _parts(parts: Mapping[str, float], unnamed: str) -> str:
    named = (
        (unnamed if name in ("", "other") else name, minutes) for name, minutes in parts.items() if minutes
    )
    return ", ".join(f"{name} {minutes:,.0f}" for name, minutes in named)


def _response(found: Response) -> str:
    series, gap = found.series, found.difference
    limb = f"the {WORST}" if series.limb == WORST else FOOT_WORDS.get(series.limb, series.limb)
    looked = f"{limb}, {words.looked(series.gait, series.ground, series.line)}, scale {series.scale}"
    limits = f"95 % interval {words.limits(gap, _gap)}"
    if gap.low <= 0 <= gap.high:
        told = f"did not differ by more than chance from those after shorter work or none ({limits})"
    else:
        way = "higher, so lamer," if gap.value > 0 else "lower"
        told = f"were {abs(gap.value):.1f} {way} than after shorter work or none ({limits})"
    return (
        f"Grades in the two days after longer work {told}, compared within the same fortnights: {looked}; "
        f"{found.longer} noted days against {found.shorter}, {found.sessions} days of work, {found.fortnights} fortnights, "
        f"{words.day(found.first)} to {words.day(found.last)}."
    )


def _gap(value: float) -> str:
    return words.step(value, f"{abs(value):.1f}")


def kinds_of(changes: Sequence[LifeChange]) -> tuple[str, ...]:
    """The kinds that there are, in the sheet's order."""
    known = {change.kind for change in changes}
    return tuple(kind for kind in (*_KINDS, *sorted(known - set(_KINDS))) if kind in known)


def _change(change: LifeChange) -> ChangeView:
    return ChangeView(words.day(change.date), change.kind, change.what)
