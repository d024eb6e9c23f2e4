"""Levels by month, the slope, the weeks around trims, the first month without pain relief."""

from __future__ import annotations

import datetime as dt
import random

import pytest
from diaries import DAY_0, day, diary, series

from tracker.derive.progress.around_trims import around_trims, together
from tracker.derive.progress.days import counted_from, days_of, weeks_of, with_zeros
from tracker.derive.progress.horse import progress
from tracker.derive.progress.levels import first_clear, levels
from tracker.derive.progress.trend import trend
from tracker.derive.soundness import comparable_series, scores
from tracker.derive.trims import Trim

OFF = {"front": DAY_0, "hind": None}
TEN_YEARS = 3653
FALLING = [(number, 3 - number / 60) for number in range(90)]
STEADY = [(number, 2) for number in range(90)]


def months(grades, masked=(), on=400):
    return levels(series(grades, masked=masked), DAY_0, day(on))


def trimmed(*days: int, feet: tuple[str, ...] = ()) -> list[Trim]:
    return [Trim("Juno", day(number), feet, row) for row, number in enumerate(days, start=2)]


# Days and weeks


def test_a_day_has_the_middle_of_its_grades_and_none_under_pain_relief():
    found = days_of(series([(3, 1), (1, 3), (1, 1), (1, 2), (2, 0)], masked=(2,)))
    assert [(one.date, one.grade, one.notes) for one in found] == [(day(1), 2, 3), (day(3), 1, 1)]
    assert days_of(series([])) == []


def test_weeks_are_counted_back_from_the_last_day():
    found = days_of(series([(0, 4), (8, 3), (13, 1), (14, 2), (15, 3)]))
    assert weeks_of(found) == ([-14, -7, 0], [4, 3, 2])


@pytest.mark.parametrize(
    ("limb", "hind", "since"),
    [
        ("LF", None, 0), ("both fronts", None, 0), ("LH", None, 0), ("LH", 9, 9), ("both hinds", 9, 9),
        ("LF + RH", 9, 0), ("all", 9, 0), ("not sure", 9, 0), ("", 9, 0),
    ],
)  # fmt: skip
def test_months_are_counted_from_the_day_of_the_limbs_own_pair(limb, hind, since):
    off = {"front": DAY_0, "hind": None if hind is None else day(hind)}
    assert counted_from(series([(1, 1)], limb=limb), off) == day(since)
    assert counted_from(series([(1, 1)], limb=limb), dict.fromkeys(off)) is None


def test_a_zero_that_names_no_limb_is_of_every_limb_seen_the_same_way():
    lame, clear = series([(1, 2), (3, 1)]), series([(2, 0), (4, 0), (5, 1)], limb="")
    other = series([(6, 0)], limb="", scale="0-10")
    assert [point.score for point in with_zeros(lame, [lame, clear, other]).points] == [2, 0, 1, 0]
    assert with_zeros(clear, [lame, clear]) == clear
    assert with_zeros(lame, [lame]) == lame


def test_zeros_that_others_took_up_are_not_told_of_twice():
    lame, clear = series(STEADY), series([(number, 0) for number in range(90)], limb="")
    assert [way.series.limb for way in progress([lame, clear], OFF, [], None, day(99)).ways] == ["LF"]
    assert [way.series.limb for way in progress([clear], OFF, [], None, day(99)).ways] == [""]
    mixed = series([(number, number % 2) for number in range(90)], limb="")
    assert len(progress([lame, mixed], OFF, [], None, day(99)).ways) == 2


def test_a_fall_to_a_long_stretch_of_zeros_is_a_fall():
    found = trend(series([(number, max(0.0, 2 - number / 30)) for number in range(200)]), DAY_0, day(199))
    assert found.beyond_chance
    assert found.rate.value < 0


# Levels


def test_the_level_of_a_month_is_its_middle_grade_with_the_middle_half():
    (one,) = months([(0, 4), (1, 3), (2, 2), (3, 2), (4, 1)])
    assert (one.number, one.first, one.last) == (1, day(0), day(29))
    assert (one.middle, one.low, one.high, one.days, one.notes, one.masked) == (2, 2, 3, 5, 5, 0)


@pytest.mark.parametrize(
    ("why", "grades", "masked", "found"),
    [
        ("one grade", [(5, 2)], (), [(1, None, 1, 0)]),
        ("all equal", STEADY[:30], (), [(1, 2, 30, 0)]),
        ("all masked", STEADY[:30], range(30), [(1, None, 0, 30)]),
        ("none", [], (), []),
        ("before the shoes came off", [(-3, 2)], (), []),
        ("the edge of a month", [(29, 2), (30, 1)], (), [(1, None, 1, 0), (2, None, 1, 0)]),
        ("several notes a day are one day", [(1, 2)] * 9, (), [(1, None, 9, 0)]),
        ("ten years on", [(1, 2), (TEN_YEARS, 2)], (), [(1, None, 1, 0), (122, None, 1, 0)]),
    ],
)
def test_levels_where_there_is_little_to_go_by(why, grades, masked, found):
    got = months(grades, masked, on=TEN_YEARS)
    assert [(one.number, one.middle, one.notes, one.masked) for one in got] == found, why


def test_grades_under_pain_relief_do_not_lower_a_level():
    eased = [(number, 0 if number % 2 else 3) for number in range(20)]
    (one,) = months(eased, masked=range(1, 20, 2))
    assert (one.middle, one.masked) == (3, 10)


def test_a_day_that_is_still_to_come_is_not_looked_at():
    assert months([(number, 2) for number in range(60)], on=29)[-1].number == 1
    assert levels(series(STEADY), None, day(99)) == ()


@pytest.mark.parametrize(
    ("why", "masked", "on", "number"),
    [
        ("from the first month on", (), 400, 1),
        ("once the pain relief ended", range(45), 400, 3),
        ("a single masked note is enough", (3, 33), 400, 3),
        ("a month that is not over is none yet", (3, 33), 88, None),
        ("never", range(90), 400, None),
    ],
)
def test_the_first_month_without_a_masked_score(why, masked, on, number):
    clear = first_clear(months(STEADY, masked, on), day(on))
    assert (clear and clear.number) == number, why


# The slope


def test_a_slope_is_in_grades_a_month():
    found = trend(series(FALLING), DAY_0, day(99))
    assert found.rate.value == pytest.approx(-0.5)
    assert (found.first, found.last, found.days, found.rate.count) == (day(0), day(89), 90, 13)
    assert found.beyond_chance


def test_grades_that_are_all_equal_neither_rise_nor_fall():
    found = trend(series(STEADY), DAY_0, day(99))
    assert found.rate.value == 0
    assert (found.rate.low, found.rate.high) == pytest.approx(
        (-30 / 89, 30 / 89)
    )  # what a whole step may hide
    assert not found.beyond_chance


@pytest.mark.parametrize(
    ("why", "grades", "masked"),
    [
        ("one grade", STEADY[:1], ()),
        ("none", [], ()),
        ("all masked", STEADY, range(90)),
        ("fifteen days", STEADY[::6], ()),
        ("seven weeks", STEADY[:49], ()),
        ("many notes of one day", [(1, 2)] * 99, ()),
        ("too few after a gap of ten years", [*FALLING, *((TEN_YEARS + n, 0) for n in range(9))], ()),
    ],
)
def test_no_slope_of_too_few_notes(why, grades, masked):
    assert trend(series(grades, masked=masked), DAY_0, day(2 * TEN_YEARS)) is None, why


def test_after_a_gap_of_ten_years_the_slope_begins_anew():
    later = [(TEN_YEARS + number, grade) for number, grade in FALLING]
    found = trend(series([(n, 0) for n in range(60)] + later), DAY_0, day(2 * TEN_YEARS))
    assert found.first == day(TEN_YEARS)
    assert found.rate.value == pytest.approx(-0.5)


def test_notes_from_before_the_shoes_came_off_do_not_count():
    before = [(-number, 0) for number in range(1, 60)]
    assert trend(series(before + FALLING), DAY_0, day(99)) == trend(series(FALLING), DAY_0, day(99))
    assert trend(series(before + FALLING), None, day(99)).first == day(-59)


def test_the_order_of_the_rows_does_not_matter():
    mixed = list(FALLING)
    random.Random(1).shuffle(mixed)
    assert trend(series(mixed), DAY_0, day(99)) == trend(series(FALLING), DAY_0, day(99))


def test_grades_that_fall_only_under_pain_relief_do_not_fall():
    eased = [(number, 2 if number < 60 or number > 85 else 0) for number in range(90)]
    assert trend(series(eased, masked=range(60, 86)), DAY_0, day(99)).rate.value == 0


def test_the_interval_holds_the_true_slope_19_times_in_20():
    """On simulated diaries, 3 to 1 in 150 days: -0.4 a month; a day shares a third with the one before."""
    found = [trend(diary(seed, 120, 3, 1, alike=0.33), DAY_0, day(119)).rate for seed in range(200)]
    held = sum(rate.low <= -0.4 <= rate.high for rate in found) / 200
    assert 0.92 <= held <= 0.99


def test_a_horse_that_stays_as_it_is_is_called_changing_one_time_in_20():
    found = [trend(diary(seed, 120, 2, 2, alike=0.33), DAY_0, day(119)).beyond_chance for seed in range(200)]
    assert sum(found) / 200 <= 0.08


# Around trims


def test_the_same_weeks_before_and_after_a_trim():
    grades = [(number, 3 if number < 40 else 2) for number in range(20, 60)]
    (one,) = around_trims(series(grades), trimmed(40), day(99))
    assert (one.date, one.before, one.days_before, one.after, one.days_after) == (day(40), 3, 14, 2, 14)
    assert one.difference.value == -1
    assert one.difference.low < -1 < one.difference.high < 0
    assert one.difference.count == 28


def test_the_interval_is_that_of_welch():
    """scipy.stats.ttest_ind(equal_var=False), for days that are not next to each other."""
    from scipy import stats

    before, after = [3, 2, 3, 4, 3, 2, 3], [2, 1, 2, 2, 3, 1, 2]
    grades = [(26 + 2 * at, grade) for at, grade in enumerate(before)]
    grades += [(44 + 2 * at, grade) for at, grade in enumerate(after)]
    (one,) = around_trims(series(grades), trimmed(40), day(99))
    theirs = stats.ttest_ind(after, before, equal_var=False).confidence_interval()
    assert (one.difference.low, one.difference.high) == pytest.approx((theirs.low, theirs.high), abs=0.001)


def test_days_that_resemble_each_other_widen_it():
    runs = [3, 3, 3, 3, 3, 2, 2, 2, 2, 2, 3, 3, 3, 3]
    mixed = [3, 2, 3, 3, 2, 3, 3, 2, 3, 3, 2, 3, 2, 3]
    wide, narrow = (
        around_trims(
            series([(26 + at, one) for at, one in enumerate(side)] + [(44 + at, one) for at, one in enumerate(side)]),
            trimmed(40), day(99),
        )[0].difference
        for side in (runs, mixed)
    )  # fmt: skip
    assert wide.high - wide.low > 1.5 * (narrow.high - narrow.low)


@pytest.mark.parametrize(
    ("why", "grades", "masked", "trims"),
    [
        ("no trim", STEADY, (), []),
        ("no note", [], (), trimmed(40)),
        ("one note", [(39, 2)], (), trimmed(40)),
        ("three days before", [(number, 2) for number in range(37, 60)], (), trimmed(40)),
        ("all under pain relief", STEADY, range(90), trimmed(40)),
        ("only the three days after it", [(number, 2) for number in range(20, 44)], (), trimmed(40)),
        ("other feet", STEADY, (), trimmed(40, feet=("LH", "RH"))),
        ("ten years before", STEADY, (), trimmed(-TEN_YEARS)),
        ("the next trim is a week later", STEADY[:48], (), trimmed(40, 47)),
    ],
)
def test_trims_that_nothing_can_be_said_of(why, grades, masked, trims):
    assert around_trims(series(grades, masked=masked), trims, day(99)) == (), why


def test_equal_grades_are_still_read_in_halves():
    (one,) = around_trims(series(STEADY), trimmed(40), day(99))
    assert one.difference.value == 0
    assert one.difference.low < 0 < one.difference.high


def test_three_trims_are_taken_together():
    grades = [(number, 2) for number in range(150)]
    found = around_trims(series(grades), trimmed(30, 70, 110), day(149))
    assert together(found).count == 3
    assert together(found[:2]) is None


def test_a_trim_on_the_day_of_another_is_one():
    assert len(around_trims(series(STEADY), trimmed(40, 40), day(99))) == 1


# Altogether


def test_a_change_of_scale_is_another_series():
    notes = [(number, 2) for number in range(60)]
    both = [series(notes), series([(number + 60, 4) for number, _ in notes], scale="0-10")]
    found = progress(both, OFF, [], None, day(130))
    assert [(way.series.scale, way.levels[0].number, way.levels[0].middle) for way in found.ways] == [
        ("0-5", 1, 2),
        ("0-10", 3, 4),
    ]


def test_series_with_too_few_notes_are_not_told_of():
    assert progress([series([(1, 2)])], OFF, [], None, day(99)).ways == ()
    assert progress([], {}, [], None, day(99)).ways == ()


def test_shoes_that_are_still_to_come_off_count_no_months():
    (way,) = progress([series(STEADY)], {"front": day(200), "hind": None}, [], None, day(99)).ways
    assert (way.since, way.levels, way.clear) == (None, (), None)
    assert way.trend is not None


def test_the_workbooks_own_series():
    from tables import table

    from tracker.sheets import SOUNDNESS

    lines = "date | limb | gait | scale | score\n" + "\n".join(
        f"{dt.date(2026, 1, 5) + dt.timedelta(days=number)} | LF | trot | 0-5 | 2" for number in range(60)
    )
    found = progress(comparable_series(scores(table(SOUNDNESS, lines), [])), OFF, [], None, day(60))
    assert [level.days for level in found.ways[0].levels] == [30, 30]
