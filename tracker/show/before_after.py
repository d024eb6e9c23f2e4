"""One foot on two days: both outlines over each other, and what of the difference is more than error."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tracker.derive.change import change
from tracker.derive.uncertainty import Measure
from tracker.show import words
from tracker.show.foot_shape import DRAWN, Profile
from tracker.show.foot_svg import foot_svg, foot_words
from tracker.terms import FOOT_WORDS

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


def outlines(
    foot: str, before: Mapping[str, Measure], after: Mapping[str, Measure], days: tuple[dt.date, dt.date]
) -> tuple[str, str]:
    """Both feet over each other as SVG, and in words for those who cannot see it."""
    first, now = (_profile(measures, day) for measures, day in zip((before, after), days, strict=True))
    title = FOOT_WORDS[foot].capitalize()
    svg = foot_svg(title, now, first, toe_left=foot in _LEFT_FEET)
    return svg, f"{title}, drawn from the side. {' '.join(foot_words(now, first))}"


def _profile(measures: Mapping[str, Measure], day: dt.date) -> Profile:
    held: dict[str, Any] = {key: measures[key] for key in DRAWN if key in measures}
    return Profile(words.day(day), **held, unchecked=frozenset(held))


def change_rows(
    before: Mapping[str, Measure], after: Mapping[str, Measure], since: dt.date
) -> list[ChangeRow]:
    """Every measure that both days have. No difference stands without its error and how likely it is real."""
    return [
        _row(key, before[key], after[key], since) for key in after if key in before and "line" not in key[:5]
    ]


def _row(key: str, then: Measure, now: Measure, since: dt.date) -> ChangeRow:
    found = change(since, then, now)
    moved = words.number(found.value, found.detectable, found.unit, sign=True)
    error = words.number(found.detectable, found.detectable, found.unit)
    where = (
        f"beyond the error of {error}; {_likely(found.probability)}"
        if found.beyond_error
        else f"within the error of {error}"
    )
    return ChangeRow(
        words.name(key), words.measure(then), words.measure(now), moved, where, found.beyond_error
    )


def _likely(probability: float) -> str:
    sure = "more than 99" if probability > 0.99 else f"{100 * probability:.0f}"
    return f"{sure} % likely that it is real"
