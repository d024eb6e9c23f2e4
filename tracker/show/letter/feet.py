"""The four feet: what was measured at the start and now, how it changed, how the wall grew, the trims."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tracker.book import Changes
from tracker.derive.hooves import HoofRecord
from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.show.growth import PartView
from tracker.show.letter.blocks import Lines, Part, Rows
from tracker.show.letter.choice import PARTS
from tracker.show.letter.draft import Draft
from tracker.show.shapes import latest_foot
from tracker.terms import FEET, FOOT_WORDS

_MEASURES = (
    "toe_angle", "heel_angle", "heel_lag", "hairline_angle", "pastern_angle", "axis_break",
    "toe_length", "heel_length", "toe_heel_ratio",
)  # fmt: skip
_NOTE = (
    "First → now ± error, change since the first measurement at the same stage; * at least the measuring error. "
    "(p) provisional: from a photograph, not yet checked on the live foot."
)
_EMPTY = "–"
_UNITS = re.compile(r" mm|°")
_RATES, _TOGETHER = (5, 4), (5, 1)  # the last line says what all feet together tell, where they agree


@dataclass(frozen=True, slots=True)
class _Foot:
    foot: str
    record: HoofRecord
    changed: Changes

    def cell(self, key: str) -> str:
        """One measure of the foot: at the start, now with its error, and by how much it changed; the unit once."""
        found = self.record.measures.get(key)
        if not found:
            return _EMPTY
        mark = " (p)" if "photo" in found.how and self.record.checked in ("", "no") else ""
        change = self.changed.get(key, {}).get("since_first")
        if not change:
            return f"{words.measure(found)}{mark}"
        first = words.number(found.value - change.value, COVERAGE * found.sd, found.unit)
        star = "*" if change.beyond_error else ""
        moved = words.number(change.value, change.detectable, change.unit, sign=True)
        return (
            f"{_bare(first)} → {_bare(words.measure(found), all_but_last=True)}{mark}, {_bare(moved)}{star}"
        )

    def dates(self) -> str:
        """When it was measured, at what stage, and since when most changes are counted."""
        since = Counter(own["since_first"].since for own in self.changed.values() if "since_first" in own)
        begun = f"since {words.day(since.most_common(1)[0][0])}, " if since else ""
        return f"{begun}{words.day(self.record.date)}{f', {self.record.stage}' if self.record.stage else ''}"


def feet(draft: Draft) -> Part | None:
    """The four feet beside one another, each at the start and now, with the change and the error."""
    shown = [_Foot(foot, *latest) for foot in FEET if (latest := _latest(foot, draft))]
    if not shown:
        return None
    keys = [key for key in _MEASURES if any(key in one.record.measures for one in shown)]
    heads = ("Measure", *(f"{FOOT_WORDS[one.foot].capitalize()}\n{one.dates()}" for one in shown))
    rows = tuple((words.name(key), *(one.cell(key) for one in shown)) for key in keys)
    table = Rows("The four feet, at the start and now", heads, rows, _NOTE)
    return Part("feet", PARTS["feet"], (table,), tuple(_brief(shown)))


def _latest(foot: str, draft: Draft) -> tuple[HoofRecord, Changes] | None:
    """The foot's newest record up to the last day that is told of; its first may lie before the days chosen."""
    own = tuple(pair for pair in draft.horse.feet if pair[0].date <= draft.until)
    return latest_foot(foot, replace(draft.horse, feet=own))


def _brief(shown: Sequence[_Foot]) -> Iterator[str]:
    for one in shown:
        told = [
            f"{words.name(key).lower()} {one.cell(key)}"
            for key in ("toe_angle", "heel_angle")
            if key in one.record.measures
        ]
        if told:
            yield f"{FOOT_WORDS[one.foot].capitalize()} ({one.dates()}): {'; '.join(told)}."
    yield _NOTE


def _bare(said: str, *, all_but_last: bool = False) -> str:
    """The figures without their unit, or with the last one's only."""
    return _UNITS.sub("", said, count=1 if all_but_last else 0)


def growth(draft: Draft) -> Part | None:
    """How fast the wall grows, and how much of it is new."""
    found = draft.view.growth
    new = [_new(one) for one in found.parts]
    most = draft.most(*(_TOGETHER if draft.horse.growth.horse else _RATES))
    cut = words.counted(len(found.rates) - most, "line") if len(found.rates) > most else ""
    lines = (
        *map(draft.private, found.rates[-most:]),
        *([f"{cut} about single feet and marks not told here."] if cut else []),
        *([f"New horn since the shoes came off. {'; '.join(new)}."] if new else []),
    )
    return Part("growth", PARTS["growth"], (Lines(lines),)) if lines else None


def _new(one: PartView) -> str:
    where = f"{one.foot}, {one.part.lower()}"
    return (
        f"{where}: all new, since {one.all_new}"
        if one.share == "all"
        else f"{where}: {one.share} new, all new {one.all_new}"
    )


def trims(draft: Draft) -> Part | None:
    """The last trim, the interval, and when the next is due."""
    found = draft.view.trims
    lines = tuple(filter(None, (*found.intervals, found.due)))
    return Part("trims", PARTS["trims"], (Lines(lines),), lines[:1]) if lines else None
