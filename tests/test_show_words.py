"""Figures and spans in words."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from tracker.derive.change import Change
from tracker.derive.statistics.interval import Estimate
from tracker.derive.uncertainty import Measure
from tracker.show import words


@pytest.mark.parametrize(
    ("days", "span"), [(0, "0 days"), (1, "1 day"), (31, "31 days"), (32, "4 weeks"), (369, "52 weeks")]
)
def test_spans_are_weeks_beyond_a_month(days: int, span: str) -> None:
    assert words.span(days) == span


@pytest.mark.parametrize(
    ("measure", "text"),
    [
        (Measure(38.2, 1.53, "deg", "photo"), "38° ± 3°"),
        (Measure(50.5, 0.36, "deg", "gauge"), "50.5° ± 0.7°"),
        (Measure(88.9, 1.08, "mm", "ruler"), "89 mm ± 2 mm"),
        (Measure(2.125, 0.066, "1", "ruler"), "2.12 ± 0.13"),
        (Measure(-0.02, 0.4, "deg", "gauge"), "0.0° ± 0.8°"),
    ],
)
def test_a_measure_has_its_unit_and_its_error(measure: Measure, text: str) -> None:
    assert words.measure(measure) == text


@pytest.mark.parametrize(
    ("value", "beyond", "text"),
    [
        (3.0, True, "+3.0° since 4 Mar 2026, at least the measuring error"),
        (-0.5, False, "-0.5° since 4 Mar 2026, within the measuring error"),
        (0.0, False, "0.0° since 4 Mar 2026, within the measuring error"),
    ],
)
def test_a_change_within_the_error_is_called_so(value: float, beyond: bool, text: str) -> None:
    assert words.change(Change(dt.date(2026, 3, 4), value, 0.51, "deg", 1.0, beyond)) == text


def test_a_difference_just_below_the_error_does_not_look_like_one_at_it() -> None:
    below = words.change(Change(dt.date(2026, 3, 4), 1.5, 1.02, "deg", 2.0, False))
    at = words.change(Change(dt.date(2026, 3, 4), 2.0, 1.02, "deg", 2.0, True))
    assert (below[:5], at[:5]) == ("+1.5°", "+2.0°")
    assert words.difference(Measure(1.5, 1.1, "deg", "gauge")) == "+1.5° ± 2.2°"
    assert words.difference(Measure(4.4, 2.26, "deg", "photo")) == "+4.4° ± 4.4°"


def test_a_grade_never_stands_without_its_scale() -> None:
    assert words.score(2.5, "0-5") == "2.5 on 0-5"


def test_quantities_have_the_headings_name_or_their_own() -> None:
    assert [words.name(key) for key in ("toe_angle", "heel_lag", "groove_depth_at_heel")] == [
        "Toe angle",
        "Heel lag",
        "Groove depth at heel",
    ]


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (-0.42, 0.11, "0.4 lower to 0.1 higher"),
        (-0.04, 0.2, "0.0 to 0.2 higher"),
        (0.3, math.inf, "0.3 higher or more"),
        (-math.inf, -0.3, "0.3 lower or less"),
        (-math.inf, math.inf, "no range that holds it"),
    ],
)
def test_an_interval_in_words(low: float, high: float, said: str) -> None:
    found = Estimate(0.0, low, high, 9)
    assert words.limits(found, lambda end: words.step(end, f"{abs(end):.1f}")) == said


def test_an_interval_says_its_unit_once() -> None:
    assert words.limits(Estimate(1, 0.5, 2, 9), lambda end: f"{end:g}", " times") == "0.5 to 2 times"
    assert words.limits(Estimate(1, 2, math.inf, 9), lambda end: f"{end:g}", " times") == "2 times or more"


@pytest.mark.parametrize(
    ("slug", "said"),
    [
        ("temperature-above-38-9", "temperature above 38.9"),
        ("temperature-above-38-6-twice", "temperature above 38.6 twice"),
        ("abscess-not-better-48-h", "abscess not better 48 h"),
        ("trim-past-8-weeks", "trim past 8 weeks"),
        ("abscess-suspected LF", "abscess suspected LF"),
        ("abscess-suspected since 2026-06-04", "abscess suspected since 2026-06-04"),
    ],
)
def test_a_warnings_name_keeps_its_number(slug: str, said: str) -> None:
    assert words.warning_name(slug) == said
