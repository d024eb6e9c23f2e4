"""What the notes show of a horse's progress, in the barn's words; silent where they are too few."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tracker.derive.progress.around_trims import AFTER, BEFORE, AroundTrim
from tracker.derive.progress.horse import Progress, Way
from tracker.derive.progress.levels import Level
from tracker.derive.progress.trend import Slope
from tracker.derive.raters import Agreement
from tracker.derive.statistics.interval import Estimate
from tracker.derive.written import LATEST, SEVERAL, OnItsDay
from tracker.reference import judging
from tracker.show import words
from tracker.terms import FOOT_WORDS

WAYS = 3  # ways of looking that are shown, the most noted first
_HOW_READ = (
    "A lower grade is less lame. Half of the days lie at or below the middle grade. Grades under pain relief are "
    "left out here, since they may look better than the horse is. A range in brackets holds the true value 19 "
    "times in 20."
)
_TRIMS_READ = (
    f" Around a trim, days {AFTER[0]} to {AFTER[1]} after it are set beside the {-BEFORE[0]} days before it; "
    "what else changed in those weeks is not taken out."
)
PEOPLE_NOTE = (
    f"A grade of difference between two people says little: vets who looked at the same horse agreed whether a "
    f"limb was lame in {judging.AGREE_MILD.value:.0f} of 100 where it was hard to see (mean grade 1.5 or less), "
    f"in {judging.AGREE_CLEAR.value:.0f} of 100 where it was plainer ({judging.AGREE_MILD.source.split(' (')[0]})."
)
WRITTEN_NOTE = (
    f"Why it matters: people with paper diaries handed in {judging.DIARY_CLAIMED.value:.0f} of 100 entries as made "
    f"in time, and had made {judging.DIARY_REAL.value:.0f} ({judging.DIARY_REAL.source.split(' (')[0]})."
)


@dataclass(frozen=True, slots=True)
class MonthView:
    """One month since the shoes came off: "1, from 5 Jan 2026", its grade, and the notes it rests on."""

    month: str
    grade: str
    notes: str


@dataclass(frozen=True, slots=True)
class WayView:
    """One way of looking: how, and what its grades show."""

    looked: str
    months: tuple[MonthView, ...]
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProgressView:
    """A horse's progress, ready to be shown; `more` counts the ways that are not, `note` says how to read them."""

    ways: tuple[WayView, ...]
    more: int
    note: str
    people: tuple[str, ...]
    written: str

    def __bool__(self) -> bool:
        """Whether there is anything to say."""
        return bool(self.ways or self.people or self.written)


def progress_view(found: Progress) -> ProgressView:
    """A horse's progress as a shape to show."""
    ways = found.ways[:WAYS]
    note = _HOW_READ + (_TRIMS_READ if any(way.trims for way in ways) else "")
    return ProgressView(
        ways=tuple(_way(way) for way in ways),
        more=len(found.ways) - len(ways),
        note=note if ways else "",
        people=tuple(_people(one) for one in found.agreements),
        written=_written(found.written) if found.written else "",
    )


def _way(way: Way) -> WayView:
    series = way.series
    looked = words.looked(series.gait, series.ground, series.line)
    limb = FOOT_WORDS.get(series.limb, series.limb) or "limb not given"
    told = (
        _levels(way),
        _slope(way.trend) if way.trend else "",
        _standstill(way.standstill) if way.standstill else "",
        _clear(way.clear) if way.clear and any(level.masked for level in way.levels) else "",
        _trims(way),
    )
    return WayView(
        looked=f"{limb[0].upper()}{limb[1:]}; {looked}; scale {series.scale}",
        months=tuple(_month(level) for level in way.levels),
        told=tuple(filter(None, told)),
    )


def _levels(way: Way) -> str:
    """The first and the latest month with enough notes."""
    enough = [level for level in way.levels if level.middle is not None]
    ends = enough[:1] + enough[1:][-1:]
    told = " and ".join(f"{_grade(level)} in month {level.number}" for level in ends)
    return f"Middle grade {told} since the shoes came off." if told else ""


def _grade(level: Level) -> str:
    if level.middle is None:
        return "too few notes"
    if level.low == level.high:
        return f"{level.middle:g}"
    return f"{level.middle:g} (half of the days {level.low:g} to {level.high:g})"


def _month(level: Level) -> MonthView:
    masked = f"; {words.counted(level.masked, 'note')} under pain relief left out" if level.masked else ""
    return MonthView(
        f"{level.number}, from {words.day(level.first)}",
        _grade(level),
        f"{words.counted(level.days, 'day')}{masked}",
    )


def _slope(found: Slope) -> str:
    when = (
        f"from {words.day(found.first)} to {words.day(found.last)} ({words.counted(found.days, 'day')} noted)"
    )
    rate = found.rate
    if not found.beyond_chance:
        return f"Taken as a whole, the grades {when} neither rose nor fell by more than chance: {_step(rate.value)} a month{_range(rate)}."
    way = "fell" if rate.value < 0 else "rose"
    return f"Taken as a whole, the grades {when} {way} by {abs(rate.value):.1f} a month{_range(rate)}: more than chance."


def _standstill(found: Slope) -> str:
    return (
        f"No progress shows in the last {words.span((found.last - found.first).days)} "
        f"({_step(found.rate.value)} a month): the grades since {words.day(found.first)} are not seen to fall, "
        "and the notes are close enough together to show a clear fall. Worth telling the vet and the trimmer."
    )


def _clear(level: Level) -> str:
    return (
        f"Month {level.number}, from {words.day(level.first)}, was the first with at least four days graded "
        "and no grade under pain relief."
    )


def _trims(way: Way) -> str:
    if both := way.trims_together:
        return f"After {both.count} trims the grades were on average {_step(both.value) + ' than before' if _differs(both) else 'as before'}{_range(both)}."
    return " ".join(_trim(one) for one in way.trims)


def _trim(one: AroundTrim) -> str:
    return (
        f"Around the trim of {words.day(one.date)}: mean grade {one.before:.1f} before "
        f"({words.counted(one.days_before, 'day')}), {one.after:.1f} after ({words.counted(one.days_after, 'day')}), "
        f"{_step(one.difference.value)}{_range(one.difference)}."
    )


def _people(one: Agreement) -> str:
    series = one.series
    looked = words.looked(series.gait, series.ground, series.line)
    limb = FOOT_WORDS.get(series.limb, series.limb)
    told = (
        f"{one.first.capitalize()} and {one.second} both graded on {words.counted(one.days, 'day')} "
        f"({', '.join(filter(None, (limb, looked)))}, scale {series.scale}): "
        f"{one.first} {_step(one.difference.value) if _differs(one.difference) else 'the same'} on average"
        f"{_range(one.difference)}."
    )
    if one.kappa is None:
        return told
    limits = words.limits(one.kappa, lambda limit: f"{limit:.2f}")
    return f"{told} Agreement beyond chance (weighted kappa) {one.kappa.value:.2f} ({limits}); 1 is always, 0 as by chance."


def _written(found: OnItsDay) -> str:
    known = found.on_its_day + found.late
    told = (
        f"{found.on_its_day} of {known} notes that say when they were written were written on their day or within "
        f"{LATEST} days of it; {found.late} later, or with those of other days ({SEVERAL} or more) in one sitting."
    )
    if found.not_known:
        told += (
            f" {words.counted(found.not_known, 'note')} {'does' if found.not_known == 1 else 'do'} not say."
        )
    return told


def _range(found: Estimate) -> str:
    """In words: " (0.8 lower to 0.2 higher)"; nothing where the interval is open."""
    if not (math.isfinite(found.low) and math.isfinite(found.high)):
        return ", with no range that holds it"
    return f" ({words.limits(found, _step)})"


def _differs(found: Estimate) -> bool:
    return _step(found.value) != "0.0"


def _step(value: float) -> str:
    return words.step(value, f"{abs(value):.1f}")
