"""What was worked out of the record, as tables: grades, feet, trims, growth, abscesses, pain relief, warnings, problems.

Each row names the rows of the workbook that it rests on. Errors are standard deviations.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from tracker.book import Book, HorseRecord
from tracker.derive.growth.rates import Rate
from tracker.derive.soundness import COMPARABLE
from tracker.problem import DOUBT, ERROR
from tracker.show.export.part import DAY, LIST, MOMENT, NUMBER, TEXT, TRUTH, WHOLE, Field, Part, Row
from tracker.terms import FEET, PAIRS

FOLDER = "worked-out"
_HORSES = f"{FOLDER}/horses"
_SINCE = {"since_last": "the time before", "since_first": "the first time"}

_HORSE = Field("Horse", TEXT, "The horse; empty where the record does not say which.")
_FOOT = Field("Foot", TEXT, "LF, RF, LH or RH.", required=True, more={"constraints": {"enum": [*FEET]}})
_DATE = Field("Date", DAY, "The day.", required=True)
_STAGE = Field("Stage", TEXT, "Before trim, after trim, between; empty where it is not said.")
_MEASURE = Field("Measure", TEXT, "What was measured, or worked out of what was.", required=True)
_UNIT = Field("Unit", TEXT, "The unit of the numbers in this row, as a UCUM code.", required=True)
_SD = Field("Sd", NUMBER, "The error, as one standard deviation.")
_BEYOND = Field(
    "Beyond error", TRUTH, "Whether the difference is at least the smallest detectable one.", required=True
)


def worked_out(book: Book) -> list[Part]:
    """Every table that is worked out."""
    return [
        _horses(book),
        *(
            Part(
                f"{FOLDER}/{stem}",
                title,
                about,
                (_HORSE, *fields),
                [(horse.name or None, *row) for horse in book.horses for row in rows(horse)],
                links={"Horse": (_HORSES, "Horse")},
            )
            for stem, title, about, fields, rows in _OF_A_HORSE
        ),
        _problems(book),
    ]


def _horses(book: Book) -> Part:
    """Every horse that is named anywhere; one that only a row set aside names is no horse of the record."""
    known = {horse.name: horse for horse in book.horses if horse.name}
    named = dict.fromkeys(
        [*known, *(name for t in book.tables.values() for name in t.kept["horse"].unique() if name)]
    )
    days = [known[name].shoes_off if name in known else {} for name in named]
    return Part(
        _HORSES,
        "Horses",
        "Every horse of the record.",
        (
            Field("Horse", TEXT, "The name, as it was first spelled.", required=True),
            *(
                Field(f"{pair.capitalize()} shoes off", DAY, "The day these shoes came off.")
                for pair in PAIRS
            ),
        ),
        [(name, *(off.get(pair) for pair in PAIRS)) for name, off in zip(named, days, strict=True)],
        key=("Horse",),
    )


def _scores(horse: HorseRecord) -> Iterator[Row]:
    for number, series in enumerate(horse.series, 1):
        seen = [getattr(series, name) or None for name in COMPARABLE if name != "horse"]
        for point in series.points:
            late = point.row in horse.late_rows
            yield (
                number, point.date, point.score, *seen, point.seen_by or None,
                point.than_last or None, point.masked, late, point.row,
            )  # fmt: skip


def _worsening(horse: HorseRecord) -> Iterator[Row]:
    for watch in horse.watches:
        seen = [getattr(watch.series, name) or None for name in COMPARABLE if name != "horse"]
        for day in watch.days:
            numbers = (day.severity, day.low, day.high, day.p_worse, day.p_any, day.evidence)
            yield (*seen, day.date, *map(_number, numbers), day.signal)


def _measures(horse: HorseRecord) -> Iterator[Row]:
    for record, _ in horse.feet:
        own = (record.foot, record.date, record.stage or None)
        named = {
            **record.measures,
            **{f"growth mark {name}".strip(): at for name, at in record.marks.items()},
        }
        for name, found in named.items():
            yield (
                *own, name.replace("_", " "), _number(found.value), found.unit, _number(found.sd), found.how,
                record.checked or None, record.photo or None, [*record.rows],
            )  # fmt: skip


def _changes(horse: HorseRecord) -> Iterator[Row]:
    for record, changed in horse.feet:
        for name, against in changed.items():
            for since, found in against.items():
                yield (
                    record.foot, record.date, record.stage or None, name.replace("_", " "), _SINCE[since], found.since,
                    _number(found.value), found.unit, _number(found.sd), _number(found.detectable), found.beyond_error,
                )  # fmt: skip


def _left_right(horse: HorseRecord) -> Iterator[Row]:
    for one in horse.pairs:
        found = one.measure
        yield (
            one.pair, one.date, one.stage or None, one.name.replace("_", " "), _number(found.value), found.unit,
            _number(found.sd), found.how, one.beyond_error,
        )  # fmt: skip


def _episodes(horse: HorseRecord) -> Iterator[Row]:
    for one in horse.episodes:
        yield (
            one.foot, one.first_seen, one.where or None, one.opened, one.opened_at or None, one.comfortable,
            one.vet_seen, one.days, one.days_to_open, one.is_open, one.row,
        )  # fmt: skip


def _trims(horse: HorseRecord) -> Iterator[Row]:
    for one in horse.trims:
        yield one.date, [*one.feet] or None, one.row


def _cycles(horse: HorseRecord) -> Iterator[Row]:
    for one in horse.trimming.cycles:
        yield one.foot, one.first, one.last, one.days


def _rates(horse: HorseRecord) -> Iterator[Row]:
    for foot, rate in horse.growth.feet.items():
        yield (foot, *_rate(rate))
    if horse.growth.horse:
        yield (None, *_rate(horse.growth.horse))


def _rate(rate: Rate) -> Row:
    numbers = (rate.value, rate.sd, rate.low, rate.high)
    return (*map(_number, numbers), rate.first, rate.last, rate.readings, rate.marks)


def _courses(horse: HorseRecord) -> Iterator[Row]:
    for one in horse.courses:
        yield (
            one.product, one.product_class, one.first, one.last, one.masked_until, one.residual_until, one.row,
        )  # fmt: skip


def _warnings(horse: HorseRecord) -> Iterator[Row]:
    for one in horse.warnings:
        yield (
            one.rule, one.urgency, one.since, one.because, one.words, [*one.cells] or None, one.source, one.sure,
            one.waiting or None, one.answered, one.quiet,
        )  # fmt: skip


def _problems(book: Book) -> Part:
    rows = [
        (one.kind, one.severity, one.sheet, one.cell, one.column, one.found or None, one.allowed or None, one.message, one.hint or None)
        for one in book.problems
    ]  # fmt: skip
    names = ("Kind", "Severity", "Sheet", "Cell", "Heading", "Found", "Allowed", "Message", "To do")
    abouts = (
        "The kind of problem.", "Error: what is set aside; doubt: what is unsure or left out.", "The sheet.",
        "The cell in the workbook.", "The column's heading.", "What was typed.", "What the cell can hold.",
        "What is wrong.", "What to do about it.",
    )  # fmt: skip
    fields = tuple(Field(name, TEXT, about) for name, about in zip(names, abouts, strict=True))
    severity = Field(
        "Severity", TEXT, abouts[1], required=True, more={"constraints": {"enum": [ERROR, DOUBT]}}
    )
    fields = (fields[0], severity, *fields[2:])
    about = "What was not understood, and what is unsure, cell by cell."
    return Part(f"{FOLDER}/problems", "Problems", about, fields, rows)


def _number(value: Any) -> float | None:
    """A number, None where it is none."""
    return float(value) if math.isfinite(value) else None


def _row(sheet: str) -> Field:
    return Field(f"{sheet} row", WHOLE, f"The row of the sheet {sheet}.", required=True)


_SEEN = (
    Field("Scale", TEXT, "0-5 or 0-10; grades on the two are never compared."),
    Field("Gait", TEXT, "How the horse went."),
    Field("Ground", TEXT, "On what."),
    Field("Line", TEXT, "Straight or on a circle."),
    Field("Limb", TEXT, "The lame limb or limbs."),
)
_P = {"constraints": {"minimum": 0, "maximum": 1}}
Rows = Callable[[HorseRecord], Iterable[Row]]
_OF_A_HORSE: Sequence[tuple[str, str, str, tuple[Field, ...], Rows]] = (
    (
        "scores", "Scores", "Every grade that is used, in series that may be compared.",
        (
            Field("Series", WHOLE, "The series of that horse: seen the same way, on one scale.", required=True),
            _DATE, Field("Score", NUMBER, "The grade on the row's scale.", required=True), *_SEEN,
            Field("Seen by", TEXT, "Who looked."),
            Field("Than last time", TEXT, "Better, same or worse than last time, as it was said."),
            Field("Masked", TRUTH, "Under pain relief, or while some may still work: a good grade says little.", required=True),
            Field("Late", TRUTH, "Written down days later.", required=True), _row("Soundness"),
        ), _scores,
    ),
    (
        "worsening", "Worsening", "How likely it is that a horse is lastingly worse than it usually is, day by day; measured on simulated diaries only.",
        (
            *_SEEN, _DATE,
            Field("Level", NUMBER, "The level that the horse lastingly shows, on the row's scale."),
            Field("Level low", NUMBER, "With the next it holds the level 9 times in 10."), Field("Level high", NUMBER, "See the one before."),
            Field("P worse", NUMBER, "The probability that it is worse by at least one grade.", more=_P),
            Field("P any", NUMBER, "The same for at least half a grade.", more=_P),
            Field("Evidence", NUMBER, "The log-odds of any lasting worsening."),
            Field("Signal", TEXT, "none, watch (perhaps worse) or act (likely worse).", required=True),
        ), _worsening,
    ),
    (
        "hoof-measures", "Hoof measures", "Every measure of a foot, those worked out of others too, each with its error.",
        (
            _FOOT, _DATE, _STAGE, _MEASURE, Field("Value", NUMBER, "The measure.", required=True), _UNIT, _SD,
            Field("How", TEXT, "Where it comes from."), Field("Checked on the live horse", TEXT, "Yes, no, or by whom."),
            Field("Photo", TEXT, "The photograph's file name."), Field("Hooves rows", LIST, "The rows of the sheet Hooves.", required=True),
        ), _measures,
    ),
    (
        "hoof-changes", "Hoof changes", "What changed in a foot since the last and since the first time, at the same stage.",
        (
            _FOOT, _DATE, _STAGE, _MEASURE, Field("Against", TEXT, "Which earlier record it is compared with.", required=True),
            Field("Since", DAY, "The day of that record.", required=True),
            Field("Change", NUMBER, "The later value less the earlier.", required=True), _UNIT, _SD,
            Field("Detectable", NUMBER, "The smallest change that is more than error: 1.96 times the sd."), _BEYOND,
        ), _changes,
    ),
    (
        "left-less-right", "Left less right", "The left foot's measure less the right one's, of the same day and stage.",
        (
            Field("Pair", TEXT, "Front or hind.", required=True), _DATE, _STAGE, _MEASURE,
            Field("Difference", NUMBER, "Left less right.", required=True), _UNIT, _SD, Field("How", TEXT, "Where it comes from."), _BEYOND,
        ), _left_right,
    ),
    (
        "abscess-episodes", "Abscesses", "Every episode of a hoof abscess, suspected or seen by a vet.",
        (
            _FOOT, Field("First seen", DAY, "The first day of it.", required=True), Field("Where", TEXT, "Where in the foot."),
            Field("Opened", DAY, "The day it opened."), Field("Opened at", TEXT, "Where it opened."),
            Field("Comfortable again", DAY, "The first day the horse was comfortable again."), Field("Vet seen", DAY, "The day a vet saw it."),
            Field("Days", WHOLE, "From the first day to the first comfortable one, or to the day of the record.", unit="d", required=True),
            Field("Days to open", WHOLE, "From the first day until it opened.", unit="d"),
            Field("Open", TRUTH, "Whether it goes on.", required=True), _row("Abscesses"),
        ), _episodes,
    ),
    (
        "trims", "Trims", "Every trim that was done.",
        (_DATE, Field("Feet", LIST, "The feet; empty where it is not said, then all count."), _row("Visits")), _trims,
    ),
    (
        "trim-cycles", "Trim cycles", "From each trim of a foot to its next.",
        (
            _FOOT, Field("From", DAY, "The trim.", required=True), Field("Until", DAY, "The next; empty while it is to come."),
            Field("Days", WHOLE, "The days between, or up to the day of the record.", unit="d", required=True),
        ), _cycles,
    ),
    (
        "growth-rates", "Growth", "How fast the wall grows, from marks that were followed down it, in a month of 30.4 days.",
        (
            Field("Foot", TEXT, "The foot; empty for the whole horse.", more={"constraints": {"enum": [*FEET]}}),
            Field("Rate", NUMBER, "The growth a month.", unit="mm/mo", required=True), Field("Sd", NUMBER, _SD.about, unit="mm/mo"),
            Field("Low", NUMBER, "With the next it holds the true rate 19 times in 20.", unit="mm/mo"),
            Field("High", NUMBER, "See the one before.", unit="mm/mo"),
            Field("From", DAY, "The first reading.", required=True), Field("Until", DAY, "The last reading.", required=True),
            Field("Readings", WHOLE, "How many readings.", required=True), Field("Marks", WHOLE, "Of how many marks.", required=True),
        ), _rates,
    ),
    (
        "pain-relief-courses", "Pain relief", "Every course, and how long grades count as flattered by it.",
        (
            Field("Product", TEXT, "As it was typed.", required=True), Field("Generic name", TEXT, "Where the program knows it."),
            Field("First given", MOMENT, "The first time.", required=True), Field("Last given", MOMENT, "The last time; empty while it is given."),
            Field("Masked until", MOMENT, "Grades before count as under pain relief."),
            Field("Residual until", MOMENT, "Grades before may still be flattered."), _row("Pain relief"),
        ), _courses,
    ),
    (
        "warnings", "Warnings", "Every warning that stands on the day of the record; it defers to a vet and finds nothing.",
        (
            Field("Warning", TEXT, "The rule's name.", required=True), Field("Urgency", TEXT, "How urgent.", required=True),
            Field("Since", DAY, "Since when; empty where the date could not be read."), Field("Because", TEXT, "Why.", required=True),
            Field("Words", TEXT, "What is said to the owner."), Field("Cells", LIST, "The cells that it rests on."),
            Field("Source", TEXT, "Who says so."), Field("How sure", TEXT, "How sure that is."),
            Field("Until then", TEXT, "What is said about the time until a vet is reached."),
            Field("Answered", TRUTH, "Whether it was answered and not recorded again since.", required=True),
            Field("Quiet", TRUTH, "Whether an answer keeps it folded away.", required=True),
        ), _warnings,
    ),
)  # fmt: skip
