"""No progress for 60 days, on simulated diaries: `python tests/test_derive_standstill.py` prints how often it is right."""

from __future__ import annotations

import datetime as dt

import pytest
from diaries import day, diary, series

from tracker.derive.progress.standstill import BEFORE, SPAN, WINDOW, standstill

HORSES = 200
# How the eye and the diary may be: the first is what the goal is set for.
EYES: tuple[dict[str, float], ...] = (
    {"noted": 0.9, "sd": 0.5, "alike": 0.0},
    {"noted": 0.9, "sd": 0.5, "alike": 0.2},
    {"noted": 0.7, "sd": 0.5, "alike": 0.3},
    {"noted": 0.9, "sd": 0.5, "alike": 0.6},
    {"noted": 0.4, "sd": 0.5, "alike": 0.2},
    {"noted": 0.9, "sd": 0.7, "alike": 0.2, "step": 0.5},
)


def flagged(seed: int, start: float, end: float, looks: range, **eye: float) -> bool:
    """Whether any of those looks, in days since day 0, finds a standstill."""
    whole = diary(seed, looks.stop, start, end, **eye)  # type: ignore[arg-type]
    return any(standstill(whole, day(look)) is not None for look in looks)


def part(start: float, end: float, looks: range, horses: int = HORSES, **eye: float) -> float:
    return sum(flagged(seed, start, end, looks, **eye) for seed in range(horses)) / horses


def test_a_plateau_is_found_by_day_90():
    """Goal: 96 of 100 horses that stay at grade 2."""
    assert part(2, 2, range(SPAN, 91, 3), **EYES[0]) >= 0.96


def test_a_horse_that_improves_by_two_grades_in_five_months_is_not():
    """Goal: at most 3 of 100, at any of the looks of those five months."""
    assert part(3, 1, range(SPAN, 150, 3), **EYES[0]) <= 0.03


STEADY = [(number, 2) for number in range(100)]


def test_a_steady_grade_is_found_once_its_steps_can_hide_no_clear_improvement():
    """A whole grade over 76 days is less than 0.4 a month; that must have held eight days before."""
    last = 76 + BEFORE
    assert standstill(series(STEADY[:last]), day(last - 1)) is None
    found = standstill(series(STEADY[: last + 1]), day(last))
    assert (found.first, found.last) == (day(0), day(last))
    assert found.rate.value == 0
    halves = [(number, 1.5) for number in range(100)]
    assert standstill(series(halves[: SPAN + BEFORE + 1]), day(SPAN + BEFORE)) is not None


def test_only_the_last_90_days_are_looked_at():
    late = [(number, max(2.0, 5 - number / 20)) for number in range(160)]
    assert standstill(series(late), day(159)).first == day(159 - WINDOW)


@pytest.mark.parametrize(
    ("why", "notes", "masked"),
    [
        ("0 throughout", [(number, 0) for number in range(100)], ()),
        ("under pain relief", STEADY, range(100)),
        ("too few notes", STEADY[::10], ()),
        ("one note", STEADY[:1], ()),
        ("no note", [], ()),
        ("the notes ended weeks ago", STEADY[:80], ()),
        ("a gap of ten years", [*STEADY[:30], *((number + 3650, 2) for number, _ in STEADY[:5])], ()),
        ("better in whole steps", [(number, round(3 - 2 * number / 150)) for number in range(120)], ()),
        ("steadily better", [(number, 4 - number / 30) for number in range(100)], ()),
    ],
)
def test_it_is_silent(why, notes, masked):
    last = max((number for number, _ in notes), default=99)
    looked = max(last, 99)
    assert standstill(series(notes, masked=masked), day(looked)) is None, why


def test_it_tells_of_a_horse_that_gets_worse_as_well():
    """Worse is no progress either; the warnings are there for the rest."""
    assert standstill(series([(number, 1 + number / 40) for number in range(100)]), day(99)).rate.low > 0


def test_grades_under_pain_relief_do_not_count_as_an_improvement():
    relief = range(65, 88)
    eased = [(number, 0 if number in relief else 2) for number in range(95)]
    assert standstill(series(eased), day(94)) is None
    assert standstill(series(eased, masked=range(30, 60)), day(94)) is None
    found = standstill(
        series([(number, 0 if number in range(20, 60) else 2) for number in range(95)], masked=range(20, 60)),
        day(94),
    )
    assert found.rate.value == 0


def test_order_and_several_notes_a_day_do_not_matter():
    twice = [*STEADY, *STEADY][::-1]
    assert standstill(series(twice), day(99)) == standstill(series(STEADY), day(99))


def test_a_scale_of_its_own():
    slow = [(number, 6 - 0.6 * number / 30 + 0.5 * (-1) ** number) for number in range(91)]
    assert standstill(series(slow), day(90)) is None
    assert standstill(series(slow, scale="0-10"), day(90)) is None  # it shows an improvement
    flat = [(number, 6 - 0.1 * number / 30 + (number * 7 % 5 - 2) / 2) for number in range(91)]
    assert standstill(series(flat, scale="0-10"), day(90)).rate.low > -0.8


if __name__ == "__main__":
    print(dt.date.today(), "part of horses in which a standstill is found")
    for eye in EYES:
        plateau = part(2, 2, range(SPAN, 91, 3), **eye)
        ever = part(3, 1, range(SPAN, 150, 3), **eye)
        once = part(3, 1, range(90, 91), **eye)
        print(
            f"{eye}: plateau by day 90 {plateau:.3f}; improver at any look {ever:.3f}, on day 90 {once:.3f}"
        )
