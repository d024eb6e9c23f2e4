"""All that is typed of each horse that the rules look at, gathered once; what of it was known on a day.

Whether a note was made under pain relief does not change with the day that is asked about: a course that is still
being given hides as much as one whose end is known.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from operator import attrgetter
from typing import Any

from tracker.derive.abscess import Episode, episodes
from tracker.derive.referral.facts import (
    NOTHING_WORKED_OUT,
    AbscessRow,
    DayNote,
    Facts,
    Reading,
    ReliefRow,
    WorkedOut,
    once,
)
from tracker.derive.referral.limit import TRIM_WITHIN, OwnLimit, whole_days
from tracker.derive.referral.own_limits import own_limits
from tracker.derive.relief import Course, courses, masking
from tracker.derive.rows import day_of
from tracker.derive.shoes import shoes_off
from tracker.derive.trims import Trim, intervals, trims
from tracker.reference.body import VITALS
from tracker.sheets import ABSCESSES, BODY, HORSES, LIMITS, PAIN_RELIEF, SOUNDNESS, VISITS
from tracker.table import Table
from tracker.terms import FEET

_pulses = attrgetter(*(f"pulse_{foot.lower()}" for foot in FEET))
VET_PURPOSES = ("vet examination", "radiographs")
Tables = Mapping[str, Table]


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit: whether it was a vet's, and the day it names for the next one."""

    row: int
    date: dt.date
    by_vet: bool
    next_due: dt.date | None


@dataclass(slots=True)
class Recorded:
    """One horse's rows, those that were set aside too where they still warn. Dates after `today` are unclear."""

    horse: str
    today: dt.date
    tables: Tables
    notes: list[DayNote] = field(default_factory=list)
    readings: dict[str, list[Reading]] = field(default_factory=lambda: {vital.key: [] for vital in VITALS})
    visits: list[Visit] = field(default_factory=list)
    episodes: list[Episode] = field(default_factory=list)
    abscess_rows: list[AbscessRow] = field(default_factory=list)
    courses: list[Course] = field(default_factory=list)
    relief_rows: list[ReliefRow] = field(default_factory=list)
    trims: list[Trim] = field(default_factory=list)
    trim_every_days: int | None = None
    shoes_off: tuple[dt.date, ...] = ()
    own_limits: Mapping[str, OwnLimit] = field(default_factory=dict)

    @property
    def trim_limit_days(self) -> int | None:
        """The horse's own limit of the time between trims; None where it has none."""
        own = self.own_limits.get(TRIM_WITHIN.rule)
        return whole_days(own.value * 7).days if own else None

    def facts(self, on: dt.date, worked_out: WorkedOut = NOTHING_WORKED_OUT) -> Facts:
        """What the rules look at on the day `on`: what is dated later is not known yet."""
        today = max(on, self.today)
        done = tuple(trim for trim in self.trims if trim.date <= on)
        last = {trim.row for trim in done if trim.date == done[-1].date}
        due = [(visit.next_due, visit.row) for visit in self.visits if visit.next_due and visit.row in last]
        typed = tuple(_episode_on(one, on) for one in self.episodes if one.first_seen <= on)
        return Facts(
            horse=self.horse,
            on=on,
            today=today,
            tables=self.tables,
            notes=tuple(note for note in self.notes if not note.day or note.day <= on),
            readings={
                key: tuple(one for one in own if not one.day or one.day <= on)
                for key, own in self.readings.items()
            },
            vet_days=tuple(
                sorted({visit.date for visit in self.visits if visit.by_vet and visit.date <= on})
            ),
            typed_episodes=typed,
            episodes=once(typed),
            unclear_abscesses=tuple(
                replace(one, first_seen=_by(one.first_seen, on))
                for one in self.abscess_rows
                if one.is_unclear(on, today)
            ),
            courses=tuple(_course_on(one, on) for one in self.courses if one.first.date() <= on),
            unclear_relief=tuple(
                replace(one, first=_by(one.first, on), last=_by(one.last, on))
                for one in self.relief_rows
                if not one.first or one.first <= on or one.first > today
            ),
            trims=done,
            next_due=min(due, default=None),
            trim_every_days=self.trim_every_days,
            shoes_off=max((day for day in self.shoes_off if day <= on), default=None),
            own_limits=self.own_limits,
            worked_out=worked_out,
        )


class Records:
    """What is typed of every horse of a workbook, as known on the day `today`; gathered when it is first asked for."""

    def __init__(self, tables: Tables, today: dt.date) -> None:
        self.tables, self.today = tables, today
        self._by_horse: dict[str, Recorded] = {}
        self._gathered = False

    def of(self, horse: str) -> Recorded:
        """One horse's rows; none of a horse that no row names."""
        if not self._gathered:
            self._gather()
        return self._own(horse)

    def all(self) -> Iterable[Recorded]:
        """Every horse that a row names."""
        if not self._gathered:
            self._gather()
        return self._by_horse.values()

    def _own(self, horse: str) -> Recorded:
        if horse not in self._by_horse:
            self._by_horse[horse] = Recorded(horse, self.today, self.tables)
        return self._by_horse[horse]

    def _gather(self) -> None:
        self._gathered = True
        self._pain_relief()
        self._notes_and_readings()
        self._visits_and_abscesses()
        for trim in trims(self.tables[VISITS.name], dt.date.max):
            self._own(trim.horse).trims.append(trim)
        for horse, days in intervals(self.tables[HORSES.name]).items():
            self._own(horse).trim_every_days = days
        for horse, pairs in shoes_off(self.tables[HORSES.name]).items():
            self._own(horse).shoes_off = tuple(day for day in pairs.values() if day)
        for horse, limits in own_limits(self.tables[LIMITS.name]).items():
            self._own(horse).own_limits = limits

    def _pain_relief(self) -> None:
        table = self.tables[PAIN_RELIEF.name]
        for course in courses(table, dt.date.max):
            self._own(course.horse).courses.append(course)
        for row in table.all_rows:
            first, last = day_of(row.first_given), day_of(row.last_given)
            aside = int(row.Index) in table.set_aside and bool(first or row.product)
            if aside or (first and first > self.today):
                found = ReliefRow(int(row.Index), row.product, first, last, bool(row.given_by_order_of))
                self._own(row.horse).relief_rows.append(found)

    def _notes_and_readings(self) -> None:
        for row in self.tables[SOUNDNESS.name].all_rows:
            own = self._own(row.horse)
            own.notes.append(_note(row, self._day(row.date), own.courses))
        for row in self.tables[BODY.name].all_rows:
            for key, readings in self._own(row.horse).readings.items():
                if reading := _reading(row, key, self._day(row.date)):
                    readings.append(reading)

    def _visits_and_abscesses(self) -> None:
        for row in self.tables[VISITS.name].rows:
            by_vet = row.purpose in VET_PURPOSES or (row.role == "vet" and row.purpose != "trim")
            visit = Visit(int(row.Index), row.date.date(), by_vet, day_of(row.next_due))
            self._own(row.horse).visits.append(visit)
        abscesses = self.tables[ABSCESSES.name]
        for episode in episodes(abscesses, dt.date.max):
            self._own(episode.horse).episodes.append(episode)
        for row in abscesses.all_rows:
            if day_of(row.comfortable_again) is None:
                aside, seen = int(row.Index) in abscesses.set_aside, day_of(row.vet_seen) is not None
                found = AbscessRow(int(row.Index), day_of(row.first_seen), aside, seen)
                self._own(row.horse).abscess_rows.append(found)

    def _day(self, value: Any) -> dt.date | None:
        """A row's day; None where it cannot be read, or is still to come and so a slip of the pen."""
        day = day_of(value)
        return day if day and day <= self.today else None


def _note(at: Any, day: dt.date | None, own: list[Course]) -> DayNote:
    return DayNote(
        row=int(at.Index),
        day=day,
        gait=at.gait,
        ground=at.ground,
        line=at.line,
        limb=at.limb,
        scale=at.scale,
        score=at.score,
        worst=at.score_high,
        left_out=at.score_left_out,
        left_out_scale=at.left_out_scale,
        scale_assumed=at.scale_assumed,
        than_last=at.than_last_time,
        pulses=dict(zip(FEET, _pulses(at), strict=True)),
        warm=at.warm,
        signs=at.signs,
        signs_in_score=at.signs_in_score,
        signs_in_remarks=at.signs_in_remarks,
        masked=day is not None and masking(own, at.horse, day) != "",
    )


def _reading(row: Any, key: str, day: dt.date | None) -> Reading | None:
    value, highest = getattr(row, key), getattr(row, f"{key}_highest")
    perhaps = math.isnan(value)
    up_to = highest > value
    value = highest if perhaps or up_to else value
    return None if math.isnan(value) else Reading(int(row.Index), day, value, perhaps, up_to, _time(row.time))


def _time(typed: str) -> dt.time | None:
    return dt.time.fromisoformat(typed) if typed else None


def _episode_on(typed: Episode, on: dt.date) -> Episode:
    """An episode as it stood on that day: what happened later has not happened yet."""
    opened, comfortable = _by(typed.opened, on), _by(typed.comfortable, on)
    return replace(
        typed,
        opened=opened,
        opened_at=typed.opened_at if opened == typed.opened else "",
        comfortable=comfortable,
        vet_seen=_by(typed.vet_seen, on),
        days=max(0, ((comfortable or on) - typed.first_seen).days),
        days_to_open=typed.days_to_open if opened else None,
        is_open=comfortable is None,
    )


def _course_on(typed: Course, on: dt.date) -> Course:
    """A course as it stood on that day: with its last dose still to come it is being given."""
    if typed.last is None or typed.last.date() <= on:
        return typed
    return replace(typed, last=None, masked_until=None, residual_until=None)


def _by(day: dt.date | None, on: dt.date) -> dt.date | None:
    return day if day and day <= on else None
