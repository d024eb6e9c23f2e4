"""Two people who looked at the same horse on the same day."""

from __future__ import annotations

import dataclasses

import pytest
from diaries import series

from tracker.derive.raters import LEAST_FOR_KAPPA, LEAST_PAIRS, agreements
from tracker.derive.soundness import Series


def seen(grades: dict[str, list[tuple[int, float]]], **more: str) -> Series:
    """One series of what several people saw."""
    points = [point for person, own in grades.items() for point in series(own, seen_by=person).points]
    return dataclasses.replace(series([], **more), points=tuple(points))


def same(days: int, grade: float = 2) -> list[tuple[int, float]]:
    return [(number, grade) for number in range(days)]


def test_the_mean_difference_is_the_first_less_the_second_by_name():
    (one,) = agreements(seen({"vet": same(6, 3), "owner": [(0, 2), (1, 2), (2, 2), (3, 3), (4, 2), (5, 1)]}))
    assert (one.first, one.second, one.days) == ("owner", "vet", 6)
    assert one.difference.value == pytest.approx(-1)
    assert one.difference.low < -1 < one.difference.high
    assert one.kappa is None


@pytest.mark.parametrize(
    ("why", "grades"),
    [
        ("nobody", {}),
        ("one grade", {"owner": same(1)}),
        ("one person", {"owner": same(40)}),
        ("too few days", {"owner": same(LEAST_PAIRS - 1), "vet": same(LEAST_PAIRS - 1)}),
        ("never the same day", {"owner": same(9), "vet": [(number + 50, 2) for number in range(9)]}),
        ("it is not said who", {"owner": same(9), "": same(9)}),
        ("ten years apart", {"owner": same(9), "vet": [(number + 3653, 2) for number in range(9)]}),
        ("many notes of one day", {"owner": [(1, 2)] * 9, "vet": [(1, 3)] * 9}),
    ],
)
def test_it_is_silent(why, grades):
    assert agreements(seen(grades)) == (), why


def test_people_who_always_agree_are_not_said_to_agree_beyond_the_step_of_a_grade():
    (one,) = agreements(seen({"owner": same(30), "vet": same(30)}))
    assert one.difference.value == 0
    assert one.difference.low < 0 < one.difference.high
    assert one.kappa is None  # one and the same grade throughout


def test_kappa_from_twenty_days_on():
    own = [(number, number % 3) for number in range(LEAST_FOR_KAPPA)]
    vets = [(number, min(2, number % 3 + (number % 5 == 0))) for number in range(LEAST_FOR_KAPPA)]
    (one,) = agreements(seen({"owner": own, "vet": vets}))
    assert 0.5 < one.kappa.value < 1
    assert agreements(seen({"owner": own[1:], "vet": vets}))[0].kappa is None


def test_the_order_the_case_and_several_notes_a_day_do_not_matter():
    plain = agreements(seen({"owner": same(9, 1), "vet": same(9, 2)}))
    other = agreements(seen({"vet": same(9, 2)[::-1], "Owner": same(5, 1), "owner": same(9, 1)}))
    assert plain[0].difference == other[0].difference
    several = agreements(
        seen({"owner": [(n, grade) for n in range(9) for grade in (0, 1, 5)], "vet": same(9, 2)})
    )
    assert plain[0].difference == several[0].difference


def test_grades_under_pain_relief_count_since_both_saw_them():
    whole = seen({"owner": same(9, 1), "vet": same(9, 2)})
    masked = tuple(point._replace(masked=True) for point in whole.points)
    assert agreements(dataclasses.replace(whole, points=masked))[0].days == 9


def test_three_people_are_three_pairs_and_a_scale_is_a_series_of_its_own():
    assert len(agreements(seen({name: same(6) for name in ("owner", "trimmer", "vet")}))) == 3
    own = [(number, number % 11) for number in range(33)]
    (one,) = agreements(seen({"owner": own, "vet": own}, scale="0-10"))
    assert one.kappa.value == 1
