"""All that the sheets Work, Plan and Changes tell of one horse."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from tracker.derive.work.life import LifeChange, life_changes
from tracker.derive.work.plan import Step, steps_of
from tracker.derive.work.response import Response, response
from tracker.derive.work.sessions import Session, Week, by_day, sessions_of, weeks
from tracker.derive.worsening.record import ACT, WATCH, Watch
from tracker.sheets import CHANGES, PLAN, WORK
from tracker.table import Table


@dataclass(frozen=True, slots=True)
class Caution:
    """A step that goes on although the record has worsened since it began, by the watch that says most."""

    step: Step
    watch: Watch


@dataclass(frozen=True, slots=True)
class WorkRecord:
    """One horse's work as of one day: sessions by date, weeks from the latest, the plan's steps, and what followed."""

    sessions: tuple[Session, ...]
    weeks: tuple[Week, ...]
    steps: tuple[Step, ...]
    response: Response | None
    cautions: tuple[Caution, ...]
    changes: tuple[LifeChange, ...]

    def __bool__(self) -> bool:
        """Whether work or a plan was noted."""
        return bool(self.sessions or self.steps)


def work_record(name: str, tables: Mapping[str, Table], watches: Sequence[Watch], on: date) -> WorkRecord:
    """What is known of one horse's work as of the day `on`; no programme is made of it."""
    sessions = sessions_of(name, tables[WORK.name], on)
    noted = by_day(sessions)
    steps = steps_of(name, tables[PLAN.name], noted, on)
    return WorkRecord(
        sessions=sessions,
        weeks=weeks(sessions),
        steps=steps,
        response=response((watch.series for watch in watches), noted, on),
        cautions=tuple(found for step in steps if (found := _caution(step, watches, on))),
        changes=life_changes(name, tables[CHANGES.name], on),
    )


def _caution(step: Step, watches: Sequence[Watch], on: date) -> Caution | None:
    first = step.first
    if first is None or not step.runs_on(on):
        return None
    since = [
        watch
        for watch in watches
        if watch.signal in (WATCH, ACT) and watch.since and watch.since.likely >= first
    ]
    worst = max(since, key=lambda watch: (watch.signal == ACT, watch.p_worse), default=None)
    return Caution(step, worst) if worst else None
