"""Rules on trims: the interval between them, and a horse that is still sore after one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from statistics import median

from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.lameness import STEP, alike
from tracker.derive.referral.limit import SORE_FOR, TRIM_WITHIN, whole_days
from tracker.derive.referral.rule import (
    NEXT_VISIT,
    OPINION,
    PRACTICE,
    PUBLISHED,
    TRIMMER,
    WITHIN_A_WEEK,
    Rule,
)
from tracker.derive.rows import day_of
from tracker.derive.shoes import pair_of
from tracker.sheets import HORSES, SOUNDNESS, VISITS
from tracker.terms import FEET, FOOT_WORDS, PAIRS

_SHOES_OFF = tuple(f"{pair}_shoes_off" for pair in PAIRS)
FORTNIGHT = dt.timedelta(days=14)
LEAST_BEFORE, LEAST_AFTER = 3, 2  # graded days, our own choice


def _last(facts: Facts) -> tuple[dt.date, str, tuple[str, ...]] | None:
    """The day the interval counts from, what happened on it, and its cells; None where neither is recorded."""
    trim = facts.trims[-1] if facts.trims else None
    if trim and (facts.shoes_off is None or trim.date >= facts.shoes_off):
        return trim.date, "last trim", (facts.cell(VISITS.name, "date", trim.row),)
    if facts.shoes_off:
        return facts.shoes_off, "shoes off", _shoes_off_cells(facts, facts.shoes_off)
    return None


def _shoes_off_cells(facts: Facts, off: dt.date) -> tuple[str, ...]:
    """Where it is written that shoes came off on that day."""
    table = facts.tables[HORSES.name]
    return tuple(
        table.cell(key, int(row.Index))
        for row in table.rows
        for key in _SHOES_OFF
        if row.horse == facts.horse and day_of(getattr(row, key)) == off
    )


def _last_of_feet(facts: Facts) -> dict[str, tuple[dt.date, str, str]]:
    """The same of each foot: the day, what happened, and its cell. A trim of no named feet was of all."""
    found = {}
    for foot in FEET:
        key = f"{pair_of(foot)}_shoes_off"
        own = [
            (trim.date, "last trim", facts.cell(VISITS.name, "date", trim.row))
            for trim in facts.trims
            if not trim.feet or foot in trim.feet
        ]
        own += [
            (off, "shoes off", facts.cell(HORSES.name, key, int(row.Index)))
            for row in facts.tables[HORSES.name].rows
            if row.horse == facts.horse and (off := day_of(getattr(row, key))) and off <= facts.on
        ]
        if own:
            found[foot] = max(own)
    return found


def _longest(facts: Facts) -> dt.timedelta:
    return whole_days(facts.limit(TRIM_WITHIN) * 7)


def past_8_weeks(facts: Facts) -> Iterator[Found]:
    """More than eight weeks since the last trim, or since the last of some feet."""
    if (last := _last(facts)) is None:
        return
    if facts.on - last[0] > _longest(facts):
        weeks = (facts.on - last[0]).days // 7
        yield Found(
            last[0] + _longest(facts), f"{last[1].capitalize()} {day(last[0])}, {weeks} weeks ago.", last[2]
        )
    else:
        yield from _feet_past(facts)


def _feet_past(facts: Facts) -> Iterator[Found]:
    """Feet that the later trims left out: as one warning, told from the longest."""
    past = {foot: one for foot, one in _last_of_feet(facts).items() if facts.on - one[0] > _longest(facts)}
    told = []
    for when, what, _ in sorted(set(past.values())):
        feet = " and ".join(FOOT_WORDS[foot] for foot, one in past.items() if one[:2] == (when, what))
        told.append(f"{feet}: {what} {day(when)}, {(facts.on - when).days // 7} weeks ago")
    if told:
        first = min(when for when, _, _ in past.values())
        words = "; ".join(dict.fromkeys(told))
        cells = tuple(dict.fromkeys(cell for _, _, cell in past.values()))
        yield Found(first + _longest(facts), f"{words[:1].upper()}{words[1:]}.", cells)


def overdue(facts: Facts) -> Iterator[Found]:
    """Past the horse's own due date; silent where the eight weeks speak already."""
    last = _last(facts)
    if last is None or facts.on - last[0] > _longest(facts):
        return
    if facts.next_due and last[1] == "last trim":
        (due, row), why = facts.next_due, "as named at the last trim"
        cells: tuple[str, ...] = (facts.cell(VISITS.name, "next_due", row),)
    elif facts.trim_every_days:
        weeks = facts.trim_every_days / 7
        due, why = last[0] + dt.timedelta(days=facts.trim_every_days), f"every {weeks:g} weeks"
        cells = _own_interval_cell(facts)
    else:
        return
    if facts.on > due:
        because = f"Due {day(due)} ({why}); {last[1]} {day(last[0])}."
        yield Found(due, because, (*last[2], *cells))


def _own_interval_cell(facts: Facts) -> tuple[str, ...]:
    frame = facts.tables[HORSES.name].kept
    rows = frame.index[frame["horse"] == facts.horse]
    return (facts.cell(HORSES.name, "trim_every", int(rows[0])),) if len(rows) else ()


def still_sore(facts: Facts) -> Iterator[Found]:
    """More than two days after the last trim every grade is a whole step above what was usual before it."""
    last, sore_for = _last(facts), whole_days(facts.limit(SORE_FOR) / 24)
    if last is None or facts.on - last[0] > FORTNIGHT or facts.vet_since(last[0] + sore_for):
        return
    told = [notes for seen in alike(facts) if (notes := _sore(seen.notes, last[0], sore_for))]
    if told:
        notes = max(told, key=lambda found: (found[-1].score, len(found)))
        grades = (
            f"grade {notes[-1].score:g} on the {notes[-1].scale} scale on {day(notes[-1].day or facts.on)}"
        )
        cells = tuple(facts.cell(SOUNDNESS.name, "score", note.row) for note in notes)
        because = f"{last[1].capitalize()} {day(last[0])}; more than {sore_for.days * 24} hours later {grades}, a whole grade above what was usual before."
        yield Found(last[0] + sore_for, because, (*cells, *last[2]))


def _sore(notes: tuple[DayNote, ...], trim: dt.date, sore_for: dt.timedelta) -> list[DayNote]:
    """The graded days later than so long after the trim, where all of them say so and there are enough."""
    dated = [(note.day, note) for note in notes if note.day and note.scale in STEP]
    before = [note.score for day, note in dated if trim - FORTNIGHT <= day < trim]
    if len(before) < LEAST_BEFORE:
        return []
    after = [note for day, note in dated if trim + sore_for < day <= trim + FORTNIGHT]
    sore = [
        note for note in after if note.score >= median(before) + STEP[note.scale] and note.score > max(before)
    ]
    better = [note for note in after if note not in sore and not note.masked]
    return sore if len(sore) >= LEAST_AFTER and not better else []


RULES = (
    Rule(
        "sore-after-trim", WITHIN_A_WEEK, "lameness",
        "Tell the trimmer now and the vet this week that it is still sore.",
        "Soft ground, and boots if the horse has its own. Feel the pulse of all four feet twice a day and write it down.",
        "more than 48 hours after a trim, or after the shoes came off, two graded days and more, all of them a whole grade "
        "(two of ten) above the middle grade of the two weeks before and above every one of them; no vet since",
        "Pollard et al. 2019, BMC Vet Res 15:59, doi 10.1186/s12917-019-1798-8 (soreness after trimming went with more "
        "laminitis; association, not cause); the 48 h and the grades are inferred", OPINION,
        still_sore,
        limit=SORE_FOR,
    ),
    Rule(
        "trim-past-8-weeks", NEXT_VISIT, "trim",
        "Arrange the trim.",
        "Pick the feet out, look for cracks and loose pieces, and keep the horse off stones.",
        "more than 8 weeks since the last trim, or since the shoes came off, of any foot of which either is recorded",
        "Pollard et al. 2019, BMC Vet Res 15:59, doi 10.1186/s12917-019-1798-8 (association, not cause)", PUBLISHED,
        past_8_weeks, TRIMMER,
        limit=TRIM_WITHIN,
    ),
    Rule(
        "trim-overdue", NEXT_VISIT, "trim",
        "Arrange the trim.",
        "Pick the feet out, look for cracks and loose pieces, and keep the horse off stones.",
        "past the day the trimmer named, or past the horse's own interval",
        "the trimmer's day or the horse's own interval, as written in the workbook", PRACTICE,
        overdue, TRIMMER,
    ),
)  # fmt: skip
