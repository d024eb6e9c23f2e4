"""Rules on grades over days and weeks: a new lameness that does not get better, one that stays, one that changes legs."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from tracker.cells.limbs import label
from tracker.derive.progress.days import Day, between, days_of
from tracker.derive.progress.horse import Way
from tracker.derive.progress.standstill import SPAN, standstill
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import NEW_FOR, whole_days
from tracker.derive.referral.rule import (
    DEVEREUX,
    NEXT_VISIT,
    OWN,
    PRACTICE,
    PUBLISHED,
    SAME_DAY,
    WITHIN_A_WEEK,
    Rule,
)
from tracker.derive.referral.standing import limbs_of
from tracker.sheets import SOUNDNESS
from tracker.terms import FOOT_WORDS

ONE_DAY = dt.timedelta(days=1)
FORTNIGHT = dt.timedelta(days=14)
# All our own choices. 0 and 1 of 5 are one bin to most eyes, so a new lameness begins above them.
CLEAR = {"0-5": 2.0, "0-10": 4.0}
STEP = {"0-5": 1.0, "0-10": 2.0}
BEFORE = dt.timedelta(days=28)
LEAST_BEFORE = 4
FRESH = dt.timedelta(days=3)
LAME, MOSTLY, ENDS_BELOW = 1.0, 0.75, 1 / 3
SEEN_LATELY = dt.timedelta(days=90)
HELD_WEEKS = 8
_WEEK = dt.timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Seen:
    """Notes of one limb that may be compared, a day each: the worst of its day, oldest first."""

    notes: tuple[DayNote, ...]

    @property
    def words(self) -> str:
        """Which limb, seen how."""
        one = self.notes[-1]
        return ", ".join(filter(None, (label(one.limb) or "limb not given", one.gait, one.ground, one.line)))


def alike(facts: Facts) -> list[Seen]:
    """The graded notes in groups that were seen the same way; a day under pain relief counts by its worst too."""
    groups: dict[tuple[object, ...], dict[dt.date, DayNote]] = {}
    for note in sorted(facts.notes, key=lambda note: note.row):
        if note.day is None or math.isnan(note.score):
            continue
        days = groups.setdefault((note.scale, note.gait, note.ground, note.line, note.limb), {})
        if note.day not in days or _how_bad(days[note.day]) < _how_bad(note):
            days[note.day] = note
    return [Seen(tuple(note for _, note in sorted(days.items()))) for days in groups.values()]


def _how_bad(note: DayNote) -> tuple[float, int]:
    """Of two notes of a day the higher grade counts; of two alike the one that says worse."""
    return note.score, ("better", "same", "", "worse").index(note.than_last)


def new_not_better(facts: Facts) -> Iterator[Found]:
    """A lameness that began a few days ago and is no better after two."""
    days = whole_days(facts.limit(NEW_FOR))
    spells = [
        one
        for one in _new_spells(facts)
        if facts.on - _day(one.run[0]) > days and one.lasts(days) and not one.is_better
    ]
    yield from _named(facts, spells, "and not better since")


def new_worse(facts: Facts) -> Iterator[Found]:
    """A lameness that began a few days ago and is worse than it began."""
    yield from _named(
        facts, [one for one in _new_spells(facts) if one.known_before and one.is_worse], "and worse since"
    )


@dataclass(frozen=True, slots=True)
class _Spell:
    """A new lameness: its notes, oldest first; `known_before` where the grades before it are known."""

    run: tuple[DayNote, ...]
    known_before: bool
    words: str

    def lasts(self, days: dt.timedelta) -> bool:
        return _day(self.run[-1]) - _day(self.run[0]) >= days

    @property
    def is_better(self) -> bool:
        last, worst = self.run[-1], max(note.score for note in self.run)
        return last.than_last == "better" or last.score <= worst - STEP[last.scale]

    @property
    def is_worse(self) -> bool:
        first, last = self.run[0], self.run[-1]
        said = last is not first and last.than_last == "worse"
        return said or last.score >= first.score + STEP[last.scale]


def _day(note: DayNote) -> dt.date:
    assert note.day
    return note.day


def _new_spells(facts: Facts) -> Iterator[_Spell]:
    """Spells that began within the last two weeks and still go on, and that no vet has followed."""
    for seen in alike(facts):
        notes = [note for note in seen.notes if not _flattered(note)]
        if not notes or notes[-1].scale not in CLEAR or facts.on - _day(notes[-1]) > FRESH:
            continue
        start = len(notes)
        while start and notes[start - 1].score >= CLEAR[notes[-1].scale]:
            start -= 1
        for at in range(start, len(notes)):
            began, run = _day(notes[at]), tuple(notes[at:])
            if facts.on - began > FORTNIGHT:
                continue
            before = [note.score for note in seen.notes if began - BEFORE <= _day(note) < began]
            known = len(before) >= LEAST_BEFORE
            if (not before and at == start) or (known and _clearly_above(run, before)):
                if not facts.vet_since(began, limbs_of(notes[at])):
                    yield _Spell(run, known, seen.words)
                break


def _flattered(note: DayNote) -> bool:
    """A good grade under pain relief does not end a lameness."""
    return note.masked and note.score < CLEAR.get(note.scale, math.inf)


def _clearly_above(run: Sequence[DayNote], before: Sequence[float]) -> bool:
    lowest = min(note.score for note in run)
    return lowest > max(before) and lowest >= median(before) + STEP[run[0].scale]


def _named(facts: Facts, spells: Sequence[_Spell], how: str) -> Iterator[Found]:
    """One warning for the horse, of the worst spell."""
    if spells:
        worst = max(spells, key=lambda one: (one.run[-1].score / STEP[one.run[-1].scale], one.words))
        first, last = worst.run[0], worst.run[-1]
        because = (
            f"Lame since {day(_day(first))} ({worst.words}) {how}: grade {first.score:g} at first, "
            f"{last.score:g} on {day(_day(last))}, on the {last.scale} scale."
        )
        yield Found(_day(first), because, _scores(facts, worst.run))


def stays_lame(facts: Facts) -> Iterator[Found]:
    """Graded 1 or more on most days of two fortnights one after the other, and no vet for three months."""
    if facts.vet_since(facts.on - SEEN_LATELY):
        return
    told = [(seen, notes) for seen in alike(facts) if (notes := _two_fortnights(seen, facts.on))]
    if told:
        seen, notes = max(told, key=lambda pair: (len(pair[1]), pair[0].words))
        because = (
            f"Graded 1 or more on most days of two fortnights one after the other, up to {day(_day(notes[-1]))} ({seen.words}); "
            "no vet is recorded for three months."
        )
        yield Found(_since(seen, facts.on), because, _scores(facts, notes))


def _two_fortnights(seen: Seen, on: dt.date) -> list[DayNote]:
    """The notes of the last four weeks, where it holds or has held without a fortnight that ended it."""
    chain = _unbroken(seen, on)
    shares = [_share(notes) for notes in chain]
    begun = any(min(pair) >= MOSTLY for pair in zip(shares, shares[2:], strict=False))
    now, then = _fortnight(seen, on), _fortnight(seen, on - FORTNIGHT)
    apart = now and then and _day(now[-1]) - _day(then[0]) >= FORTNIGHT
    return [*then, *now] if begun and apart else []


def _unbroken(seen: Seen, on: dt.date) -> list[list[DayNote]]:
    """The fortnights up to the day `on`, the latest first, a week from each to the next, until one ends the lameness.

    It begins with three days of four and ends with less than one of three: else it would come and go by rounding alone.
    """
    chain, last = [], on
    while (notes := _fortnight(seen, last)) and _share(notes) >= ENDS_BELOW:
        chain.append(notes)
        last -= _WEEK
    return chain


def _fortnight(seen: Seen, last: dt.date) -> list[DayNote]:
    return [note for note in seen.notes if last - FORTNIGHT < _day(note) <= last and not note.masked]


def _share(notes: Sequence[DayNote]) -> float:
    return sum(note.score >= LAME for note in notes) / len(notes)


def _since(seen: Seen, on: dt.date) -> dt.date:
    """The first day of the first of the fortnights that follow on each other up to now."""
    return _day(_unbroken(seen, on)[-1][0])


def no_progress(facts: Facts) -> Iterator[Found]:
    """Sixty days in which the grades rule out a clear improvement; for eight weeks after they last did."""
    if facts.vet_since(facts.on - SEEN_LATELY):
        return
    progress = facts.worked_out.progress
    held = [(way, last) for way in (progress.ways if progress else ()) if (last := _last_held(way, facts.on))]
    if held:
        way, last = max(held, key=lambda found: found[1])
        series = way.series
        looked = ", ".join(
            filter(None, (FOOT_WORDS.get(series.limb, series.limb), series.gait, series.ground, series.line))
        )
        until = "" if last == facts.on else f" up to {day(last)}"
        rows = [point.row for point in series.points if last - dt.timedelta(days=SPAN) <= point.date <= last]
        yield Found(
            _stood_still(way, last),
            f"Grades of {looked}: a clear improvement in the {SPAN if until else f'last {SPAN}'} days{until} can be ruled out.",
            tuple(facts.cell(SOUNDNESS.name, "score", row) for row in rows),
        )


def _last_held(way: Way, on: dt.date) -> dt.date | None:
    """The day, or else the last Monday of eight weeks, on which it held; None where it did on none.

    A message for the next visit that comes and goes with the last week's grades would only be told again and again.
    """
    days = days_of(way.series)
    if way.standstill and _middle(days, on) >= LAME:
        return on
    mondays = (on - dt.timedelta(days=on.weekday()) - _WEEK * back for back in range(HELD_WEEKS))
    return next(
        (one for one in mondays if _middle(days, one) >= LAME and standstill(way.series, one, days)), None
    )


def _middle(days: Sequence[Day], on: dt.date) -> float:
    """The middle grade of the span's days: where it is between 0 and 1 there is little left to gain."""
    grades = [day.grade for day in between(days, on - dt.timedelta(days=SPAN), on)]
    return median(grades) if grades else 0.0


def _stood_still(way: Way, on: dt.date) -> dt.date:
    """Sixty days before the first of the weeks one after the other in which it held."""
    first, days = on, days_of(way.series)
    while on - first < dt.timedelta(days=365) and standstill(way.series, first - _WEEK, days):
        first -= _WEEK
    return first - dt.timedelta(days=SPAN)


def changes_legs(facts: Facts) -> Iterator[Found]:
    """One leg and then another was the lame one, there and back."""
    found = facts.worked_out.alternating
    if found and not facts.vet_since(found.since):
        legs = " and ".join(f"{FOOT_WORDS[leg]} ({days} days)" for leg, days in found.days.items())
        because = f"Since {day(found.since)} the lame leg has changed there and back: {legs}."
        yield Found(
            found.since, because, tuple(facts.cell(SOUNDNESS.name, "score", row) for row in found.rows)
        )


def _scores(facts: Facts, notes: Sequence[DayNote]) -> tuple[str, ...]:
    return tuple(facts.cell(SOUNDNESS.name, "score", note.row) for note in notes)


_NOTE = "Write a note every day, seen the same way. Do not work the horse until a vet has said so."
RULES = (
    Rule(
        "new-lameness-worse", SAME_DAY, "lameness",
        "Ring the vet today and say since when it is worse.", f"{_NOTE} Feel all four feet for warmth and pulse.",
        "grades of 2 of 5 (4 of 10) or more that began within two weeks, above all of the four weeks before, and since then "
        "worse than last time or higher by a whole grade (two of ten); no vet since it began",
        f"{DEVEREUX}, p. 147 (call if worse or not improving); what is new is our own reading", PUBLISHED,
        new_worse,
    ),
    Rule(
        "new-lameness-not-better", WITHIN_A_WEEK, "lameness",
        "Ring the vet and tell of it: it is no better after two days.", f"{_NOTE} Feel all four feet for warmth and pulse.",
        "grades of 2 of 5 (4 of 10) or more for more than two days, that began within two weeks, above all of the four weeks "
        "before or with none before, and not better; no vet since it began",
        f"{DEVEREUX}, p. 147 (a day or two of rest, then call); what is new is our own reading", PUBLISHED,
        new_not_better,
        limit=NEW_FOR,
        within=("new-lameness-worse",),
    ),
    Rule(
        "lame-for-weeks", NEXT_VISIT, "lameness",
        "Tell the vet at the next visit how long the horse has been graded lame.",
        "Go on writing notes, seen the same way each time.",
        "graded 1 or more on three days of four in two fortnights one after the other, and since then on a third of them; no vet recorded for three "
        "months",
        "two assessments at least 14 days apart", PRACTICE,
        stays_lame,
    ),
    Rule(
        "no-progress-60-days", NEXT_VISIT, "lameness",
        "Tell the vet and the trimmer at the next visit that the grades stand still.",
        "Go on writing notes, seen the same way each time.",
        "60 to 90 days of grades, 1 or more in the middle, outside pain relief, whose slope rules out two grades of 5 (four of 10) in five months, "
        "and for eight weeks after; no vet recorded for three months",
        "our own reading of the grades, measured on simulated diaries only", OWN,
        no_progress,
    ),
    Rule(
        "lame-leg-changes", NEXT_VISIT, "lameness",
        "Tell the vet at the next visit that the lame leg changes.",
        "Grade every leg each time, and write down the ground and the work of the day before.",
        "within 60 days one leg was the lame one, then another, then the first again, by a whole grade (two of ten) each, seen "
        "the same way; no vet since",
        "no published definition", OWN,
        changes_legs,
    ),
)  # fmt: skip
