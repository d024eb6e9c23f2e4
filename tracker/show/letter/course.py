"""How sound the horse was written down to be: open warnings, the grades in one picture, the signs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import Any

from tracker.derive.referral.rule import NOW
from tracker.derive.soundness import Series
from tracker.sheets import SOUNDNESS
from tracker.show import words
from tracker.show.letter.blocks import Block, Lines, Part, Points, Rows, first_of
from tracker.show.letter.chart import chart
from tracker.show.letter.choice import PARTS
from tracker.show.letter.draft import Draft
from tracker.show.shapes import WarningView, limb_words
from tracker.show.words import PULSE_STEPS
from tracker.terms import FEET

# How many are told, the more briefly the fewer.
_WAYS, _SPELLS, _WATCHES, _REMARKS = (6, 4, 3), (6, 3, 2), (2, 1), (20, 8, 4)
_ALIKE = 3  # open warnings of one kind, however short the letter: each foot has its own
_APART = dt.timedelta(days=7)
_RAISED = 2  # the pulse's step from which it is told


def warnings(draft: Draft) -> Part:
    """The warnings that are open, the most urgent first, each with why and since when."""
    points = tuple(_points(draft))
    answered = tuple(_answered(one, draft) for one in draft.view.quiet_warnings)
    told: tuple[Block, ...] = (
        (Points(points),) if points else (Lines((words.NO_WARNING,)),) if not answered else ()
    )
    brief = tuple(f"[{urgency}] {headline}: {because}" for urgency, headline, because in points)
    blocks = (*told, *((Lines(answered),) if answered else ()))
    return Part("warnings", PARTS["warnings"], blocks, (*brief, *answered) or (words.NO_WARNING,))


def _points(draft: Draft) -> Iterator[tuple[str, str, str]]:
    """The open warnings; of many that differ in their reason alone, the newest, and how many more there are."""
    alike: dict[tuple[str, str], list[WarningView]] = {}
    for one in draft.view.open_warnings:
        alike.setdefault((one.urgency, _headline(one)), []).append(one)
    for (urgency, headline), own in alike.items():
        most = len(own) if urgency == NOW or len(own) == _ALIKE + 1 else _ALIKE
        yield from ((urgency, headline, _why(one, draft)) for one in own[-most:])
        if more := own[:-most]:
            why = f"{len(more)} more warnings of this kind; the first: {_why(more[0], draft)}"
            yield urgency, headline, why


def _answered(one: WarningView, draft: Draft) -> str:
    """A warning that an answer keeps folded away for its owner: the vet is told of it all the same."""
    return f"{_headline(one)}, [{one.urgency}]: {_why(one, draft)}"


def _why(one: WarningView, draft: Draft) -> str:
    """Why, since when, and what was last done about it, where that is written down."""
    because = draft.private(one.because)
    said = because if one.since in because else f"{because} Since {one.since}."
    last = one.answers[0] if one.answers else None
    told = (("Done", last.done), ("Outcome", last.outcome)) if last else ()
    return " ".join([said, *(f"{lead}: {draft.typed(text).rstrip('.')}." for lead, text in told if text)])


def _headline(one: WarningView) -> str:
    name = words.warning_name(one.rule)
    return f"{name[:1].upper()}{name[1:]}{f' ({one.state})' if one.state else ''}"


def course(draft: Draft) -> Part | None:
    """The grades as they were written down: one picture, the latest of each way of looking, and what is made of them."""
    told = [(series, own) for series in draft.horse.series if (own := _own(series, draft))]
    if not told:
        return None
    told.sort(key=lambda pair: (pair[1][-1].date, len(pair[1])), reverse=True)
    most = draft.most(*_WAYS)
    first = sorted(told, key=lambda pair: not draft.may_be_worse(pair[0]))[:most]
    rows = tuple(_way(*pair) for pair in told if pair in first)
    more = f"{words.counted(len(told) - most, 'more way')} of looking not shown." if len(told) > most else ""
    drawn = chart(draft)
    heads = ("Limb", "Seen at", "Scale", "Grades", "Last", "On")
    table = Rows("The grades of each way of looking, the latest first", heads, rows, more)
    made = tuple(_made_of_it(draft))
    brief = first_of(
        [
            f"{limb}, {looked}: {last} on {scale}, {day}; grades in all: {count}."
            for limb, looked, scale, count, last, day in rows
        ],
        3, "Ways of looking", of=len(told),
    )  # fmt: skip
    blocks = (*((drawn,) if drawn else ()), table, *((Lines(made),) if made else ()))
    return Part("course", _title(draft), blocks, (*brief, *made[:1]))


def _title(draft: Draft) -> str:
    return PARTS["course"] if draft.day_0 else "Soundness"


def _own(series: Series, draft: Draft) -> list[Any]:
    return [point for point in series.points if draft.on(point.date)]


def _way(series: Series, own: list[Any]) -> tuple[str, ...]:
    masked = sum(point.masked for point in own)
    count = f"{len(own)}{f' ({masked} under pain relief)' if masked else ''}"
    last = own[-1]
    return (
        (limb_words(series.limb) or "limb not given").capitalize(),
        words.looked(series.gait, series.ground, series.line),
        series.scale or "not given",
        count,
        f"{last.score:g}{' (under pain relief)' if last.masked else ''}",
        words.day(last.date),
    )


def _made_of_it(draft: Draft) -> Iterator[str]:
    watches, ways, most = draft.view.worsening.watches, draft.view.progress.ways, draft.most(*_WATCHES)
    for watch in watches[:most]:
        yield f"{watch.looked}: {' '.join(watch.told[:1])}"
    if draft.view.worsening.changing:
        yield draft.view.worsening.changing
    for way in ways[:most]:
        yield f"{way.looked}: {' '.join(way.told[:2])}"
    cut = (
        (len(watches) - most, "more way", "whose grades may be getting worse"),
        (len(ways) - most, "more way", "month by month"),
    )
    if said := [f"{words.counted(more, what)} {of}" for more, what, of in cut if more > 0]:
        yield f"Not told here, of the ways of looking: {'; '.join(said)}."


def signs(draft: Draft) -> Part | None:
    """What was written down besides grades, in spells of days close together, the newest first."""
    spells: list[list[Any]] = []
    for row in draft.rows(SOUNDNESS.name):
        if not _has_signs(row):
            continue
        if spells and row.date - spells[-1][-1].date <= _APART:
            spells[-1].append(row)
        else:
            spells.append([row])
    if not spells:
        return None
    lines = [_spell(spell) for spell in reversed(spells)]
    most = draft.most(*_SPELLS)
    cut = [f"{words.counted(len(lines) - most, 'earlier spell')} not shown."] if len(lines) > most else []
    return Part(
        "signs", PARTS["signs"], (Lines((*lines[:most], *cut)),), first_of(lines, 1, "Earlier spells")
    )


def remarks(draft: Draft) -> Part | None:
    """What was written beside the grades, the newest first; only where the sender puts it in."""
    if not draft.with_("remarks"):
        return None
    told = [
        f"{words.day(row.date.date())}: {draft.typed(row.remarks)}"
        for row in draft.rows(SOUNDNESS.name)
        if row.remarks
    ]
    lines = first_of(told[::-1], draft.most(*_REMARKS), "Earlier remarks")
    return Part("remarks", "Remarks beside the notes, the newest first", (Lines(lines),)) if lines else None


def _has_signs(row: Any) -> bool:
    return bool(row.signs or row.warm or any(_pulse(row, foot) >= _RAISED for foot in FEET))


def _pulse(row: Any, foot: str) -> float:
    return float(getattr(row, f"pulse_{foot.lower()}"))


def _spell(spell: Sequence[Any]) -> str:
    first, last = spell[0].date.date(), spell[-1].date.date()
    when = words.day(first) if first == last else f"{words.day(first)} to {words.day(last)}"
    named: dict[str, list[str]] = {}
    for row in spell:
        for sign in row.signs:
            named.setdefault(sign, []).append(words.day(row.date.date()).rsplit(" ", 1)[0])
    said = [
        f"{sign} ({', '.join(dict.fromkeys(days))})" if first != last else sign
        for sign, days in named.items()
    ]
    for foot in FEET:
        step = max((_pulse(row, foot) for row in spell if _pulse(row, foot) >= _RAISED), default=None)
        said += [f"pulse {foot} {'up to ' if len(spell) > 1 else ''}{PULSE_STEPS[int(step)]}"] if step else []
    warm = [foot for foot in FEET if any(foot in row.warm for row in spell)]
    said += [f"warm {' '.join(warm)}"] if warm else []
    return f"{when}: {'; '.join(said)}."
