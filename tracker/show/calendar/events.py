"""The days to come of each horse, in plain and cautious words; no remark, name or number unless it is asked for."""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from tracker.book import Book, HorseRecord
from tracker.cells.text import fold
from tracker.derive.named_visits import NamedVisit, named_visits
from tracker.derive.trimming.due import EIGHT_WEEKS, LIMIT, OWN, TRIMMER, Due
from tracker.derive.work.plan import Step
from tracker.sheets import HORSES, VISITS
from tracker.show import words
from tracker.show.calendar import identity
from tracker.show.shapes import shown_name
from tracker.show.worsening import ASKING

RECENT = dt.timedelta(days=31)  # our own choice
_DAY = dt.timedelta(days=1)
_WHY = {
    TRIMMER: "on the day named at the last trim",
    OWN: "by your own interval",
    LIMIT: "by the horse's own limit on the sheet Limits",
    EIGHT_WEEKS: "after eight weeks, since no other day is written down",
}


@dataclass(frozen=True, slots=True)
class Event:
    """Whole days, `first` to `last`, both included. `about` says why, `details` what was typed beside it.

    `stays` holds for what is given however long ago it was: a trim that is still due.
    """

    uid: str
    first: dt.date
    last: dt.date
    title: str
    about: str
    details: str = ""
    stays: bool = False

    def is_recent(self, on: dt.date) -> bool:
        """Whether it is still to come or not long over: an older one is in the calendar already, or of no use there."""
        return self.stays or self.last >= on - RECENT


def events_of(book: Book, horse: HorseRecord) -> tuple[Event, ...]:
    """All events of one horse, by their first day. Warnings are none: they belong to the record, with their reasons."""
    if not horse.name:
        return ()
    born = _born(book, horse.name)
    name = shown_name(horse.name)
    found = [
        *_trim(horse, born, name),
        *_notes(book, horse, born, name),
        *_visits(book, horse, born, name),
        *_steps(book, horse, born, name),
        *_quiet(horse, born, name),
    ]
    return tuple(sorted(found, key=lambda event: (event.first, event.title, event.uid)))


def _born(book: Book, name: str) -> int | None:
    """The year the horse was born, where the Horses sheet has it; of several rows the first holds."""
    kept = book.tables[HORSES.name].kept
    years = [year for year in kept.loc[kept["horse"] == name, "born"].tolist() if not math.isnan(year)]
    return int(years[0]) if years else None


def _trim(horse: HorseRecord, born: int | None, name: str) -> Iterator[Event]:
    due = horse.trimming.due
    if due:
        made = identity.uid(horse.name, born, identity.TRIM)
        yield Event(made, due.day, due.day, f"{name}: trim due", _why_due(due), stays=True)


def _why_due(due: Due) -> str:
    begun = "the day the shoes came off" if due.from_shoes else "the last trim"
    told = f"Trim due, {_WHY[due.why]}; {begun} was {words.day(due.counted_from)}."
    return told[0].upper() + told[1:]


def _notes(book: Book, horse: HorseRecord, born: int | None, name: str) -> Iterator[Event]:
    if any(watch.asks for watch in horse.watches):
        made = identity.uid(horse.name, born, identity.NOTE)
        yield Event(made, book.as_of, book.as_of, f"{name}: a note would help", ASKING)


def _visits(book: Book, horse: HorseRecord, born: int | None, name: str) -> Iterator[Event]:
    for visit in named_visits(book.tables[VISITS.name], horse.name, book.as_of):
        made = identity.uid(
            horse.name, born, identity.VISIT, visit.date.isoformat(), visit.role, visit.purpose, visit.number
        )
        about = f"The day named at the visit of {words.day(visit.date)}."
        yield Event(
            made, visit.due, visit.due, f"{name}: {_visit_words(visit)} due", about, _visit_details(visit)
        )


def _visit_words(visit: NamedVisit) -> str:
    who = visit.role if visit.role not in ("", "other") else ""
    what = visit.purpose if visit.purpose not in ("", "other") else "visit"
    return what if who and who in what.split() else f"{who} {what}".strip()


def _visit_details(visit: NamedVisit) -> str:
    named = (("Who came: ", visit.name), ("What was advised then: ", visit.advice))
    return "\n".join(f"{of}{text}" for of, text in named if text)


def _steps(book: Book, horse: HorseRecord, born: int | None, name: str) -> Iterator[Event]:
    seen: Counter[str] = Counter()
    for step in horse.work.steps:
        if step.first is None:
            continue
        seen[fold(step.name)] += 1
        made = identity.uid(horse.name, born, identity.STEP, step.name, seen[fold(step.name)])
        last = max(step.first, step.last or book.as_of)
        title = f"{name}: plan step {step.name}" + (f": {step.what}" if step.what else "")
        yield Event(made, step.first, last, title, _step_words(step, last), _step_details(step))


def _step_words(step: Step, shown: dt.date) -> str:
    told = ["As the Plan sheet has it; nothing is added here."]
    if step.minutes is not None:
        told.insert(0, f"{step.minutes:g} minutes a day.")
    if step.last is None:
        told.append(f"No last day is written; it is shown up to {words.day(shown)}.")
    elif step.last < shown:
        told.append("Its last day lies before its first, so only the first is shown.")
    return " ".join(told)


def _step_details(step: Step) -> str:
    named = (("Set by: ", step.set_by), ("Move on when: ", step.move_on))
    return "\n".join(f"{of}{text}" for of, text in named if text)


def _quiet(horse: HorseRecord, born: int | None, name: str) -> Iterator[Event]:
    """The first day after each quiet; of several answers to one warning the last holds."""
    kept = [answer for answer in horse.answers if answer.quiet_until and not answer.vague]
    last = {(answer.rule, answer.feet, answer.since): answer for answer in kept}
    for (rule, feet, since), answer in last.items():
        until = answer.quiet_until
        if until:
            made = identity.uid(horse.name, born, identity.QUIET, rule, " ".join(feet), since or "")
            about = f"A warning was to be kept quiet until {words.day(until)}, as written on {words.day(answer.day)}."
            named = (
                ("Warning: ", rule),
                ("What was done: ", answer.done),
                ("By: ", answer.by),
                ("Outcome: ", answer.outcome),
            )
            details = "\n".join(f"{of}{text}" for of, text in named if text)
            yield Event(
                made, until + _DAY, until + _DAY, f"{name}: the quiet of a warning is over", about, details
            )
