"""Which scores are watched together, and a lameness that changes legs."""

from __future__ import annotations

import datetime as dt

import pytest
from diaries import day

from tracker.derive.soundness import Point, Series
from tracker.derive.worsening.alternating import SPAN, Alternating, alternating
from tracker.derive.worsening.comparable import LEAST, WORST, Comparable, comparable

USUAL = ("trot", "hard", "straight")
Grades = list[tuple[int, float]]


def seen(limb: str, grades: Grades, way: tuple[str, str, str] = USUAL, *, first: int = 2, scale: str = "0-5", by: str = "") -> Series:  # fmt: skip
    """A series of (day, grade) of a limb; its rows count from `first`."""
    points = tuple(
        Point(day(at), grade, False, by, row) for row, (at, grade) in enumerate(grades, start=first)
    )
    return Series("Juno", scale, way[0], way[1], limb, points, way[2])


def run(grade: float, *, first: int = 0, days: int = LEAST, every: int = 1) -> Grades:
    return [(first + every * number, grade) for number in range(days)]


def of(found: list[Comparable], limb: str) -> Comparable:
    (one,) = (one for one in found if one.series.limb == limb)
    return one


def grades(found: Comparable) -> list[float]:
    return [point.score for point in found.series.points]


def test_nothing_is_watched_without_enough_scores() -> None:
    assert comparable([]) == []
    assert comparable([seen("LF", run(1, days=LEAST - 1))]) == []


def test_where_only_one_limb_was_ever_graded_it_alone_is_watched() -> None:
    (only,) = comparable([seen("LF", run(1))])
    assert (only.series.limb, only.limbs, only.assumed) == ("LF", 1, ())
    (twice,) = comparable([seen("LF", [*run(1), (4, 2)])])  # the same person, twice on one day
    assert twice.series.limb == "LF"


def test_the_worst_limb_of_each_day_and_each_limb_by_itself() -> None:
    found = comparable([seen("LF", run(1)), seen("RH", [*run(0, days=4), (4, 3), (5, 2)], first=20)])
    assert [(one.series.limb, one.limbs) for one in found] == [(WORST, 2), ("LF", 2), ("RH", 2)]
    assert grades(of(found, WORST)) == [1, 1, 1, 1, 3, 2]
    assert grades(of(found, "LF")) == [1] * 5
    assert [point.row for point in of(found, WORST).series.points][-2:] == [24, 25]


def test_a_limb_with_too_few_scores_counts_for_the_worst_only() -> None:
    found = comparable([seen("LF", run(1)), seen("RF", run(2, days=LEAST - 1), first=20)])
    assert [(one.series.limb, one.limbs) for one in found] == [(WORST, 1), ("LF", 1)]


def test_the_worst_of_a_day_is_that_of_each_who_looked() -> None:
    both = [
        seen("LF", run(1), by="Ann"),
        seen("RF", run(2), first=20, by="Ann"),
        seen("LH", run(3), first=40, by="Bo"),
    ]
    worst = of(comparable(both), WORST)
    assert [(point.score, point.seen_by) for point in worst.series.points[:2]] == [(2, "Ann"), (3, "Bo")]


@pytest.mark.parametrize(
    ("limb", "counts"),
    [("both fronts", ("LF", "RF")), ("both hinds", ("LH", "RH")), ("all", ("LF", "RF", "LH", "RH"))],
)
def test_a_grade_of_several_limbs_counts_for_each(limb: str, counts: tuple[str, ...]) -> None:
    found = comparable([seen(limb, run(2))])
    assert [one.series.limb for one in found] == [WORST, *counts]
    assert all(grades(one) == [2] * LEAST for one in found)


@pytest.mark.parametrize("limb", ["", "not sure"])
def test_a_grade_of_no_certain_limb_counts_for_the_worst_only(limb: str) -> None:
    assert [one.series.limb for one in comparable([seen(limb, run(2))])] == [WORST]


def test_a_nought_without_a_limb_counts_for_each_limb_that_was_ever_named() -> None:
    found = comparable([seen("LF", run(1)), seen("", [(7, 0), (8, 2)], first=20)])
    assert grades(of(found, "LF")) == [1, 1, 1, 1, 1, 0]
    assert grades(of(found, WORST)) == [1, 1, 1, 1, 1, 0, 2]
    assert [one.series.limb for one in found] == [WORST, "LF"]


def test_ways_of_looking_and_scales_are_watched_apart() -> None:
    walk = ("walk", "hard", "straight")
    found = comparable(
        [seen("LF", run(1)), seen("LF", run(2), walk, first=20), seen("LF", run(3), first=40, scale="0-10")]
    )
    assert {(one.series.gait, one.series.scale, grades(one)[0]) for one in found} == {
        ("trot", "0-5", 1), ("walk", "0-5", 2), ("trot", "0-10", 3),
    }  # fmt: skip


@pytest.mark.parametrize(
    "way", [("", "", ""), ("trot", "", ""), ("", "hard", ""), ("", "", "straight"), ("trot", "hard", "")]
)
def test_a_look_that_does_not_say_how_counts_as_the_usual(way: tuple[str, str, str]) -> None:
    (only,) = comparable([seen("LF", run(1)), seen("LF", [(9, 2)], way, first=20)])
    assert grades(only) == [1, 1, 1, 1, 1, 2]
    assert (only.series.gait, only.series.ground, only.series.line) == USUAL
    assert only.assumed == (20,)


@pytest.mark.parametrize("way", [("walk", "", ""), ("", "soft", ""), ("trot", "hard", "circle left")])
def test_a_look_that_says_otherwise_stays_by_itself(way: tuple[str, str, str]) -> None:
    (only,) = comparable([seen("LF", run(1)), seen("LF", [(9, 2)], way, first=20)])
    assert (grades(only), only.assumed) == ([1] * 5, ())


def test_the_usual_look_is_the_one_noted_most_often() -> None:
    soft = ("trot", "soft", "straight")
    found = comparable(
        [
            seen("LF", run(1)),
            seen("LF", run(2, days=6), soft, first=20),
            seen("LF", [(9, 3)], ("", "", ""), first=40),
        ]
    )
    assert {one.series.ground: one.assumed for one in found} == {"hard": (), "soft": (40,)}


def test_only_its_own_rows_are_said_to_be_assumed() -> None:
    blank = [seen("LF", [(9, 2)], ("", "", ""), first=20), seen("RF", [(9, 2)], ("", "", ""), first=30)]
    found = comparable([seen("LF", run(1)), seen("RF", run(1), first=50), *blank])
    assert [of(found, limb).assumed for limb in ("LF", "RF")] == [(20,), (30,)]


def test_where_no_look_says_all_of_how_the_one_that_says_most_is_the_usual() -> None:
    blank = seen("LF", run(2, first=9), ("", "", ""), first=20)
    (only,) = comparable([seen("LF", run(1), ("trot", "", "")), blank])
    assert (only.series.gait, only.series.ground) == ("trot", "")
    assert only.assumed == (20, 21, 22, 23, 24)


def test_a_single_look_that_says_all_of_how_does_not_name_all_others() -> None:
    once = seen("LF", [(50, 2)], ("trot", "soft", "circle left"), first=90)
    (only,) = comparable([seen("LF", run(1, days=40), ("trot", "", "")), once])
    assert ((only.series.gait, only.series.ground), only.assumed) == (("trot", ""), ())


def test_one_person_is_one_however_the_name_is_typed() -> None:
    (only,) = comparable([seen("LF", run(1), by="Jo"), seen("LF", [(4, 2)], first=20, by="jo ")])
    assert only.series.limb == "LF"


def test_a_scale_that_is_not_known_is_not_watched() -> None:
    assert comparable([seen("LF", run(1), scale="")]) == []


# A lameness that changes legs

ON = day(59)


def turns(*legs: str, grade: float = 2, other: float = 1, scale: str = "0-5") -> list[Series]:
    """Left and right front on days in a row; the leg named is the worse one."""
    return [
        seen(limb, [(10 + at, grade if leg == limb else other) for at, leg in enumerate(legs)], first=row, scale=scale)
        for limb, row in (("LF", 2), ("RF", 50))
    ]  # fmt: skip


def test_a_leg_that_changes_there_and_back_is_told_of_with_its_days_and_rows() -> None:
    assert alternating(turns("LF", "LF", "RF", "LF"), ON) == Alternating(
        day(10), {"LF": 3, "RF": 1}, (2, 3, 52, 5)
    )


@pytest.mark.parametrize("legs", [("LF", "LF", "LF"), ("LF", "RF", "RF"), ("LF", "", "LF")])
def test_one_that_does_not_come_back_is_not(legs: tuple[str, ...]) -> None:
    assert alternating(turns(*legs), ON) is None


def test_one_that_goes_on_to_a_third_leg_does_not_come_back() -> None:
    three = [seen(limb, [(10 + at, 2)], first=10 * at + 2) for at, limb in enumerate(("LF", "RF", "LH"))]
    assert alternating(three, ON) is None
    assert alternating([*three, seen("RF", [(13, 2)], first=60)], ON) is not None


def test_the_lame_leg_is_worse_than_all_others_by_a_grade_or_two_of_ten() -> None:
    assert alternating(turns("LF", "RF", "LF", grade=1.5), ON) is None
    assert alternating(turns("LF", "RF", "LF", grade=2, scale="0-10"), ON) is None
    assert alternating(turns("LF", "RF", "LF", grade=3, scale="0-10"), ON) is not None


def test_only_legs_seen_the_same_way_are_set_beside_each_other() -> None:
    left = seen("LF", [(10, 2), (12, 2)])
    right = seen("RF", [(11, 2)], ("walk", "hard", "straight"), first=50)
    assert alternating([left, right], ON) is None
    assert alternating([left, seen("RF", [(11, 2)], first=50)], ON) is not None


def test_only_the_last_sixty_days_count() -> None:
    found = turns("LF", "RF", "LF")
    last = day(10) + SPAN - dt.timedelta(days=1)
    assert alternating(found, last) is not None
    assert alternating(found, last + dt.timedelta(days=1)) is None
    assert alternating(found, day(11)) is None  # the third is still to come
