"""One foot on two days: both outlines over each other, and what of the difference is more than error."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tracker.book import Book
from tracker.derive.change import change
from tracker.derive.photo.occasions import Occasion, baseline, occasion
from tracker.derive.photo.repeatable import repeatable
from tracker.derive.photo.seen import Seen
from tracker.derive.shoes import pair_of
from tracker.derive.uncertainty import Measure
from tracker.show import words
from tracker.show.foot_growth import marked_lines
from tracker.show.foot_shape import DRAWN, Profile
from tracker.show.foot_svg import foot_svg, foot_words
from tracker.show.marking import measure_name
from tracker.terms import FOOT_WORDS

__all__ = [
    "ERROR_HOLDS",
    "LINES_BY_NUMBER",
    "ChangeRow",
    "Occasion",
    "baseline",
    "change_rows",
    "occasion",
    "outlines",
    "shoes_off",
    "when",
]

Points = Mapping[str, tuple[float, float]]

_THIN = "Before"
LINES_BY_NUMBER = (
    "Growth lines are set side by side by the number that they were marked with, counted from the toe: look at the "
    "pictures whether it is the same line both times."
)
ERROR_HOLDS = (
    "The error holds how well points are placed on a photograph, and how the horse stood, as the table of "
    "repeatability has it. That table is provisional."
)

_LEFT_FEET = ("LF", "LH")


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One measure on both days, and its difference in words; `beyond_error` whether error alone explains it no more."""

    name: str
    before: str
    after: str
    moved: str
    told: str
    beyond_error: bool


def when(each: Occasion, other: Occasion) -> str:
    """The day, with the stage where that tells it from the other."""
    staged = each.stage and each.stage != other.stage
    return f"{words.day(each.day)} ({each.stage})" if staged else words.day(each.day)


def shoes_off(book: Book, horse: str, foot: str) -> dt.date | None:
    """The day on which that foot's shoes came off; None where it is not known."""
    found = book.horse(horse) or (book.horses[0] if len(book.horses) == 1 and not horse else None)
    return found.shoes_off.get(pair_of(foot)) if found else None


def outlines(
    foot: str,
    before: Mapping[str, Measure],
    after: Mapping[str, Measure],
    days: tuple[str, str],
    points: tuple[Points, Points] = ({}, {}),
) -> tuple[str, str]:
    """Both feet over each other as SVG, and in words for those who cannot see it; `days` in words.

    `points` are those that were marked on each day, for the growth lines.
    """
    first, now = map(_profile, (before, after), days, points)
    title = FOOT_WORDS[foot].capitalize()
    svg = foot_svg(title, now, first, toe_left=foot in _LEFT_FEET, thin=_THIN)
    return svg, f"{title}, drawn from the side. {' '.join(foot_words(now, first, _THIN))}"


def _profile(seen: Mapping[str, Measure], when: str, points: Points) -> Profile:
    measures = repeatable(seen)
    held: dict[str, Any] = {key: measures[key] for key in DRAWN if key in measures}
    lines = marked_lines(points, seen) if isinstance(seen, Seen) else {}
    return Profile(when, **held, lines=lines, unchecked=frozenset(held))


def change_rows(
    before: Mapping[str, Measure], after: Mapping[str, Measure], since: dt.date
) -> list[ChangeRow]:
    """Every measure that both have. No difference stands without its error and how likely it is real.

    The error is never smaller than a photograph can be repeated: see `repeatable`.
    """
    before, after = repeatable(before), repeatable(after)
    return [_row(key, before[key], after[key], since) for key in after if key in before]


def _row(key: str, then: Measure, now: Measure, since: dt.date) -> ChangeRow:
    found = change(since, then, now)
    moved = words.number(found.value, found.detectable, found.unit, sign=True)
    error = words.number(found.detectable, 0.0, found.unit)  # with as many decimals as the difference
    where = (
        f"beyond the error of {error}; {_likely(found.probability)}"
        if found.beyond_error
        else f"within the error of {error}"
    )
    return ChangeRow(
        measure_name(key), words.measure(then), words.measure(now), moved, where, found.beyond_error
    )


def _likely(probability: float) -> str:
    sure = "more than 99" if probability > 0.99 else f"{100 * probability:.0f}"
    return f"{sure} % likely that it is real"
