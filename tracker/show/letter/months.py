"""What happened in the months that the letter tells of: abscesses, pain relief, work, the body, changes, visits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import Any

from tracker.derive.abscess import Episode
from tracker.derive.relief import overlaps
from tracker.derive.rows import day_of
from tracker.derive.work.plan import Step
from tracker.sheets import ABSCESSES, CHANGES, PAIN_RELIEF, VISITS
from tracker.show import words
from tracker.show.letter.blocks import Lines, Part, Rows, first_of
from tracker.show.letter.choice import PARTS
from tracker.show.letter.draft import Draft
from tracker.terms import FEET, FOOT_WORDS

# How many are told, the more briefly the fewer.
_ABSCESSES, _COURSES, _VISITS, _CHANGES, _WEEKS = (8, 6, 4, 3), (6, 4, 3), (4, 3, 2), (6, 4, 2), (3, 1)
_NO_PROOF = "That does not show that none was given."
_OPEN = "not yet written down"


def abscesses(draft: Draft) -> Part | None:
    """Every episode with its dates, and how often they came: all that are open, then the newest."""
    told = [one for one in draft.horse.episodes if draft.tells_of(one.first_seen, one.comfortable)]
    if not told:
        return None
    told.sort(key=lambda one: (one.is_open, one.first_seen), reverse=True)
    still = sum(one.is_open for one in told)
    frame = draft.book.tables[ABSCESSES.name].frame
    rows = []
    most = max(still, draft.most(*_ABSCESSES))
    for one in told[:most]:
        opened = f"{words.day(one.opened)}{_comma(one.opened_at, draft)}" if one.opened else _OPEN
        lasted = f"{words.span(one.days)}{' so far' if one.is_open else ''}"
        vet = day_of(frame.at[one.row, "vet_seen"])
        rows.append((
            f"{FOOT_WORDS[one.foot].capitalize()}{_comma(one.where, draft)}", words.day(one.first_seen), opened,
            words.day(one.comfortable) if one.comfortable else _OPEN, lasted,
            words.day(vet), draft.typed(frame.at[one.row, "care_given"]) or "–",
        ))  # fmt: skip
    heads = ("Foot", "First seen", "Opened", "Comfortable\nagain", "Lasted", "Vet saw it", "Care given")
    more = _earlier(told[most:])
    table = Rows(
        "Abscesses, suspected or seen by a vet, the open ones first, then the newest",
        heads,
        tuple(rows),
        more,
    )
    brief = [
        f"{foot}: first seen {first}, opened {opened}, comfortable again {again}."
        for foot, first, opened, again, *_ in rows
    ]
    return Part(
        "abscesses",
        PARTS["abscesses"],
        (table, Lines(draft.view.abscesses.often[:1])),
        first_of(brief, max(still, 3), "Abscesses", of=len(told)),
    )


def _earlier(told: Sequence[Episode]) -> str:
    """How many more there were, on which feet and since when."""
    if not told:
        return ""
    feet = ((FOOT_WORDS[foot], sum(one.foot == foot for one in told)) for foot in FEET)
    each = ", ".join(f"{foot} {count}" for foot, count in feet if count)
    first = min(one.first_seen for one in told)
    return f"{len(told)} earlier not shown, the first of {words.day(first)}: {each}."


def _comma(said: str, draft: Draft) -> str:
    return f", {draft.typed(said)}" if said else ""


def relief(draft: Draft) -> Part:
    """What was given against pain, and when last: all that is still given, then the newest."""
    told = [one for one in draft.horse.courses if draft.tells_of(one.first.date(), _last_day(one))]
    told.sort(key=lambda one: (one.last or dt.datetime.max, one.first), reverse=True)
    lines = [
        f"{draft.typed(one.product)}: first given {_moment(one.first)}; {_last(one)}." for one in told
    ] or [_none(draft)]
    beside = (*_together(draft), *_unread(draft))
    still = sum(one.last is None for one in told)
    whole, brief = (first_of(lines, max(still, most), "Courses") for most in (draft.most(*_COURSES), 2))
    return Part("relief", PARTS["relief"], (Lines((*whole, *beside)),), (*brief, *beside))


def _last_day(course: Any) -> dt.date | None:
    return course.last.date() if course.last else None


def _none(draft: Draft) -> str:
    """That nothing is written down: in the days that are told of, where the record has it of others."""
    return f"No pain relief is written down{' for these days' if draft.horse.courses else ''}. {_NO_PROOF}"


def _together(draft: Draft) -> tuple[str, ...]:
    """What was given on the same days: what still is before all else, then the newest."""
    found = [one for one in overlaps(draft.horse.courses) if draft.tells_of(one.first, one.last)]
    found.sort(key=lambda one: (one.last or dt.date.max, one.first), reverse=True)
    both = [
        f"{draft.typed(one.product)} and {draft.typed(one.other)} on the same days: {words.day(one.first)} to {words.day(one.last) if one.last else 'now'}."
        for one in found
    ]
    return first_of(both, draft.most(*_COURSES), "Other products on the same days")


def _unread(draft: Draft) -> Iterator[str]:
    """That some rows are in none of the courses: set aside, or dated later, which may be a slip of the pen."""
    if aside := draft.set_aside(PAIN_RELIEF.name):
        yield f"{words.counted(aside, 'row')} about pain relief could not be read and may hold more."
    as_of = draft.book.as_of
    rows = draft.book.tables[PAIN_RELIEF.name].rows
    if later := sum(row.horse == draft.horse.name and row.first_given.date() > as_of for row in rows):
        verb = "is" if later == 1 else "are"
        yield f"{words.counted(later, 'row')} about pain relief {verb} dated after {words.day(as_of)} and {verb} not told here."


def _last(course: Any) -> str:
    return (
        f"last given {_moment(course.last)}"
        if course.last
        else "no last day written down: taken as still given"
    )


def _moment(when: dt.datetime) -> str:
    """The day, and the hour where one was written."""
    return words.value(when) if when.time() != dt.time() else words.day(when.date())


def work(draft: Draft) -> Part | None:
    """The plan's step now, what was done of it, and the work of the last weeks."""
    own = draft.horse.work
    going = [step for step in own.steps if draft.tells_of(step.first or dt.date.min, step.last)][-1:]
    lines = [
        _step(step, view, draft)
        for step, view in zip(own.steps, draft.view.work.steps, strict=False)
        if step in going
    ]
    weeks, most = draft.view.work.weeks, draft.most(*_WEEKS)
    lines += [f"Week {week.week}: {week.minutes} on {week.days} ({week.kinds})." for week in weeks[:most]]
    if len(weeks) > most:
        lines[-1] += f" {words.counted(len(weeks) - most, 'earlier week')} not shown."
    return Part("work", PARTS["work"], (Lines(tuple(lines)),)) if lines else None


def _step(step: Step, view: Any, draft: Draft) -> str:
    minutes = f", {step.minutes:g} minutes a day" if step.minutes is not None else ""
    by = f", set by {draft.typed(step.set_by)}" if step.set_by and draft.with_("names") else ""
    return f"Plan, {view.name.lower()}, {view.when}: {draft.typed(step.what)}{minutes}{by}. {view.told}"


def body(draft: Draft) -> Part | None:
    """Weight, condition, crest, and the vital signs with their day."""
    found = draft.view.body
    trends = [f"{one.name}: {one.value}, {one.when}. {_first_sentence(one.told)}" for one in found.trends]
    vitals = [
        f"{one.name} {one.value}, {one.when} (published {one.published}{f'; usual {one.usual}' if one.usual else ''}){f'. {one.told}' if one.told else '.'}"
        for one in found.vitals
    ]
    lines = tuple(" ".join(own) for own in (vitals, trends[:2], trends[2:]) if own)
    return Part("body", PARTS["body"], (Lines(lines),), tuple(vitals)) if lines else None


def _first_sentence(told: str) -> str:
    return f"{told.split('. ')[0].rstrip('.')}." if told else ""


def changes(draft: Draft) -> Part | None:
    """What changed in the horse's life, the newest first."""
    own, most = list(draft.rows(CHANGES.name))[::-1], draft.most(*_CHANGES)
    lines = [
        f"{words.day(row.date.date())}, {row.kind or 'kind not given'}: {draft.typed(row.what)}."
        for row in own[:most]
    ]
    if len(own) > most:
        lines.append(f"{words.counted(len(own) - most, 'earlier change')} not shown.")
    return Part("changes", PARTS["changes"], (Lines(tuple(lines)),)) if lines else None


def visits(draft: Draft) -> Part | None:
    """What was found and advised, the newest first; a vet's visits before those of others."""
    own = list(draft.rows(VISITS.name))[::-1]
    if not own:
        return None
    most = draft.most(*_VISITS)
    chosen = sorted(sorted(own, key=lambda row: row.role != "vet")[:most], key=lambda row: row.date)[::-1]
    lines = [_visit(row, draft) for row in chosen]
    vets = [line for row, line in zip(chosen, lines, strict=True) if row.role == "vet"]
    if len(own) > most:
        more = words.counted(len(own) - most, "other visit")
        lines.append(f"{more} not shown; those of a vet come first.")
    brief = first_of(vets[:1], len(vets[:1]), "Visits", of=len(own))
    return Part("visits", PARTS["visits"], (Lines(tuple(lines)),), brief)


def _visit(row: Any, draft: Draft) -> str:
    what = ", ".join(filter(None, (row.role, row.purpose, " ".join(row.feet)))) or "visit"
    name = f" ({draft.typed(row.name)})" if row.name and draft.with_("names") else ""
    return " ".join(_told(words.day(row.date.date()), f"{what}{name}", row, draft))


def _told(day: str, what: str, row: Any, draft: Draft) -> Iterator[str]:
    yield f"{day}, {what}."
    for lead, text in (("Found", row.findings), ("Advised", row.advice)):
        if text:
            yield f"{lead}: {draft.typed(text).rstrip('.')}."
    if draft.with_("remarks") and row.remarks:
        yield draft.typed(row.remarks)
