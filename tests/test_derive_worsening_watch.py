"""What `watch_scores` makes of one horse's scores: what it may be given, and what it must and must not do.

The horses are invented and the margins wide: the filter's figures are fitted elsewhere.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pandas as pd
import pytest
from diaries import DAY_0, day, diary

from tracker import watch_scores
from tracker.derive.worsening.watch import COLUMNS, LEARNING

CALM = [1.0] * 60
NOISY = [1, 1, 2, 1, 1, 1, 0, 1, 1, 1] * 6


def told(scores: list[Any], **more: Any) -> pd.DataFrame:
    """Scores of days in a row."""
    return watch_scores([day(number) for number in range(len(scores))], scores, **more)


def evidence(scores: list[Any], **more: Any) -> float:
    return float(told(scores, **more)["evidence"].iloc[-1])


# What it may be given


def test_one_score_is_a_row_without_a_signal() -> None:
    found = told([2])
    assert tuple(found.columns) == COLUMNS
    (row,) = found.itertuples()
    assert (row.date, row.signal) == (pd.Timestamp(DAY_0), "none")
    assert 0 <= row.severity_low <= row.severity <= row.severity_high <= 5
    assert 0 < row.p_worse <= row.p_any < 1


@pytest.mark.parametrize("scores", [[], [None, float("nan"), pd.NA]], ids=["none", "all missing"])
def test_no_score_gives_no_row_with_the_same_columns(scores: list[Any]) -> None:
    found, usual = told(scores, days=[day(1)]), told([1])
    assert len(found) == 0
    assert found.dtypes.to_dict() == usual.dtypes.to_dict()


def test_a_missing_score_is_a_day_without_one() -> None:
    gaps = told([1, None, 2, float("nan"), 1])
    apart = watch_scores([day(0), day(2), day(4)], [1, 2, 1])
    pd.testing.assert_frame_equal(gaps, apart)


@pytest.mark.parametrize("grade", [0, 1, 2.5, 4])
def test_all_equal_never_signals_and_is_its_own_level(grade: float) -> None:
    found = told([grade] * 90)
    assert set(found["signal"]) == {"none"}
    assert found["severity"].iloc[-1] == pytest.approx(grade, abs=0.3)


@pytest.mark.parametrize("scale", ["0-5", "0-10"])
def test_a_level_never_lies_off_its_scale_nor_out_of_its_band(scale: str) -> None:
    top = int(scale[-2:].strip("-"))
    for scores in ([top] * 90, [0] * 40 + [top] * 40):
        found = told(scores, scale=scale)
        assert (found["severity_low"] <= found["severity"]).all()
        assert (found["severity"] <= found["severity_high"]).all()
        assert found[["severity_low", "severity_high"]].stack().between(0, top).all()


def test_all_under_pain_relief_is_like_any_other() -> None:
    calm, worse = [1] * 90, [1] * 60 + [3] * 14
    assert set(told(calm, masked=[True] * 90)["signal"]) == {"none"}
    assert told(worse, masked=[True] * 74)["signal"].iloc[-1] == "act"


def test_what_lies_after_the_day_has_no_part() -> None:
    upto = told([*CALM, 2, 2], on=day(59), days=[day(59), day(61)])
    pd.testing.assert_frame_equal(upto, told(CALM))
    assert len(told([1], on=day(-1))) == 0


def test_further_days_are_told_of_until_half_a_year_after_the_last_score() -> None:
    found = told([1, 1], days=[day(-3), day(1), day(30), day(181), day(182)])
    assert [*found["date"].dt.date] == [day(0), day(1), day(30), day(181)]
    width = found["severity_high"] - found["severity_low"]
    assert width[1] < width[2] < width[3]


def test_the_order_does_not_matter() -> None:
    scores = [1, 1, 2, 1, 0, 1, 3, 3] * 4
    masked = [number % 7 == 0 for number in range(len(scores))]
    days = [day(number) for number in range(len(scores))]
    mixed = np.random.default_rng(4).permutation(len(scores))
    again = watch_scores(
        [days[place] for place in mixed], [scores[place] for place in mixed], masked=[masked[place] for place in mixed]
    )  # fmt: skip
    pd.testing.assert_frame_equal(again, watch_scores(days, scores, masked=masked))


def test_of_one_persons_scores_of_a_day_the_worst_counts() -> None:
    days = [day(number) for number in range(20)]
    twice = watch_scores([*days, day(19), day(19)], [1] * 20 + [3, 2])
    pd.testing.assert_frame_equal(twice, watch_scores(days, [1] * 19 + [3]))


def test_of_two_people_on_one_day_each_counts() -> None:
    days = [day(number) for number in range(31)]
    names = ["Ann", "Bo"] * 15 + ["Ann"]
    one = watch_scores(days, [1] * 30 + [3], rater=names)
    both = watch_scores([*days, day(30)], [1] * 30 + [3, 3], rater=[*names, "Bo"])
    assert len(both) == len(one) == 31
    assert both["evidence"].iloc[-1] > one["evidence"].iloc[-1] + 0.3


def test_after_years_of_silence_the_horse_is_learned_anew() -> None:
    later = [day(3650 + number) for number in range(40)]
    before = [day(number) for number in range(40)]
    found = watch_scores([*before, *later], [0] * 40 + [3] * 40)
    pd.testing.assert_frame_equal(found.iloc[40:].reset_index(drop=True), watch_scores(later, [3] * 40))
    assert set(found["signal"]) == {"none"}


def test_half_a_year_of_silence_is_still_the_same_horse_and_a_day_more_is_not() -> None:
    def after(nights: int) -> float:
        found = watch_scores([*map(day, range(60)), day(59 + nights)], [*CALM, 3])
        return float(found["evidence"].iloc[-1])

    assert after(180) > after(181) + 1


def test_no_signal_while_the_usual_is_being_learned() -> None:
    found = told([0] * 5 + [5] * (LEARNING + 6))
    assert set(found["signal"][:LEARNING]) == {"none"}
    assert "act" in set(found["signal"][LEARNING:])


def test_steps_of_ten_are_half_as_large() -> None:
    half = told([1, 1.5, 2, 1, 0.5] * 12)
    ten = told([2, 3, 4, 2, 1] * 12, scale="0-10")
    levels = ["severity", "severity_low", "severity_high"]
    pd.testing.assert_frame_equal(ten[levels], 2 * half[levels])
    pd.testing.assert_frame_equal(ten.drop(columns=levels), half.drop(columns=levels))


@pytest.mark.parametrize(
    "number", ["2026-01-05", dt.datetime(2026, 1, 5, 23, 59), np.datetime64("2026-01-05")]
)
def test_a_day_may_be_written_in_any_way_that_pandas_reads(number: Any) -> None:
    assert [*watch_scores([number], [1])["date"]] == [pd.Timestamp("2026-01-05")]


@pytest.mark.parametrize(
    ("why", "given"),
    [
        ("6 is not on the scale 0-5", {"scores": [6]}),
        ("-1 is not on the scale 0-5", {"scores": [-1]}),
        ("inf is not on the scale 0-5", {"scores": [float("inf")]}),
        ("10.5 is not on the scale 0-10", {"scores": [10.5], "scale": "0-10"}),
        ("scale '1-5' is neither of 0-5, 0-10", {"scale": "1-5"}),
        ("2 of grade for 1 dates", {"scores": [1, 2]}),
        ("0 of masked for 1 dates", {"masked": []}),
        ("2 of rater for 1 dates", {"rater": ["Ann", "Bo"]}),
        ("2 of said for 1 dates", {"than_last": ["same", ""]}),
        ("0 of late for 1 dates", {"late": []}),
        ("NaT is no day", {"dates": [pd.NaT]}),
        ("None is no day", {"dates": [None]}),
        ("NaT is no day", {"on": pd.NaT}),
        ("NaT is no day", {"trims": [pd.NaT]}),
        ("NaT is no day", {"days": [pd.NaT]}),
        ("soon", {"dates": ["soon"]}),
        ("0 limbs", {"limbs": 0}),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_refused_in_words(why: str, given: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=why):
        watch_scores(**{"dates": [DAY_0], "scores": [1], **given})


@pytest.mark.parametrize("missing", [None, float("nan"), pd.NA])
def test_a_missing_remark_is_none(missing: Any) -> None:
    usual = told([1] * 20)
    for name in ("masked", "late", "rater", "than_last"):
        pd.testing.assert_frame_equal(told([1] * 20, **{name: [missing] * 20}), usual)


def test_a_word_that_says_nothing_of_last_time_is_left_out() -> None:
    pd.testing.assert_frame_equal(told(CALM, than_last=["first look"] * 60), told(CALM))


# Past only


def test_nothing_later_changes_an_earlier_row() -> None:
    random = np.random.default_rng(7)
    n, cut = 80, 50
    scores = np.clip(np.round(2 * (1 + random.normal(0, 0.7, n))) / 2, 0, 5)
    more: dict[str, Any] = {
        "masked": [30 <= number < 40 or number > 60 for number in range(n)],
        "rater": [("Ann", "Bo", "Cy")[number % 3] if number > 20 else "Ann" for number in range(n)],
        "than_last": [("", "same", "worse")[number % 3] for number in range(n)],
        "late": [number % 5 == 0 for number in range(n)],
    }
    first: dict[str, Any] = {name: values[:cut] for name, values in more.items()}
    whole = told([*scores], **more, trims=[day(10), day(70)])
    early = told([*scores[:cut]], **first, trims=[day(10)])
    assert [*whole["signal"][:cut]] == [*early["signal"]]
    numbers = [name for name in COLUMNS if name not in ("date", "signal")]
    assert whole[numbers][:cut].to_numpy() == pytest.approx(early[numbers].to_numpy(), abs=2e-4)


# What it must and must not do


@pytest.mark.parametrize("before", [CALM, NOISY], ids=["steady", "noisy"])
def test_a_grade_worse_from_one_day_on_is_signalled_within_two_weeks(before: list[float]) -> None:
    found = told([*before, *[2] * 14])
    assert "act" not in set(found["signal"][:60])
    assert "act" in set(found["signal"][60:])
    assert found["p_any"].iloc[-1] > 0.7
    assert found["severity"].iloc[-1] == pytest.approx(2, abs=0.4)


def test_a_slow_worsening_is_signalled_and_a_recovery_is_not() -> None:
    slow = diary(3, 200, 1, 3, over=120, sd=0.5)
    better = diary(3, 200, 3, 1, over=120, sd=0.5)
    for series, acts in ((slow, True), (better, False)):
        found = watch_scores([p.date for p in series.points], [p.score for p in series.points])
        assert ("act" in set(found["signal"])) is acts


def test_a_dip_after_a_trim_is_not_signalled_and_raises_less_than_without_one() -> None:
    dip = [*CALM, 2, 3, 2]
    trimmed = told(dip, trims=[day(59)])
    assert "act" not in set(trimmed["signal"])
    assert evidence(dip) > trimmed["evidence"].iloc[-1] + 1


def test_from_the_fourth_day_after_a_trim_a_dip_counts_in_full() -> None:
    dip = [*CALM, 3]
    third, fourth, none = evidence(dip, trims=[day(57)]), evidence(dip, trims=[day(56)]), evidence(dip)
    assert third < none - 0.5
    assert fourth == pytest.approx(none, abs=0.4)


def test_usual_scores_under_a_drug_without_effect_are_not_signalled() -> None:
    found = told([2] * 102, masked=[False] * 60 + [True] * 42)
    assert "act" not in set(found["signal"])


@pytest.mark.parametrize("days", [1, 3])
def test_a_bad_score_under_pain_relief_raises_about_as_much_as_one_without(days: int) -> None:
    worse, last = [*CALM, *[2.5] * days], [False] * 60 + [True] * days
    assert evidence(worse, masked=last) > evidence(CALM) + 1
    assert evidence(worse, masked=last) > evidence(worse) - 0.5


@pytest.mark.parametrize("good", [0, 0.5, 1])
def test_a_good_score_under_pain_relief_takes_nothing_back(good: float) -> None:
    worse = [*CALM, *[2] * 7]
    masked = told([*worse, *[good] * 10], masked=[False] * 67 + [True] * 10)
    nothing = told(worse, days=[day(number) for number in range(67, 77)])
    free = told([*worse, *[good] * 10])
    for name in ("p_any", "p_worse", "evidence"):
        assert (masked[name][67:] >= np.minimum.accumulate(nothing[name][66:])[1:] - 1e-4).all()
    assert masked["evidence"].iloc[-1] > free["evidence"].iloc[-1] + 1


def test_what_pain_relief_hides_is_not_held_for_ever() -> None:
    long = told([*CALM, *[2] * 7, *[0] * 60], masked=[False] * 67 + [True] * 60)
    assert long["evidence"].iloc[-1] < long["evidence"].iloc[80] - 1


def test_one_who_always_scores_higher_raises_less_than_the_usual_person_would() -> None:
    higher, bo = [*CALM, *[2] * 5], ["Ann"] * 60 + ["Bo"] * 5
    assert evidence(higher, rater=bo) < evidence(higher, rater=["Ann"] * 65) - 1


def test_the_first_to_score_is_the_usual_person_and_so_is_nobody() -> None:
    higher = [*CALM, *[2] * 5]
    usual = told(higher)
    for names in (["Bo"] * 65, ["Bo", *[""] * 64], [""] * 65):
        pd.testing.assert_frame_equal(told(higher, rater=names), usual)


def test_worse_than_last_time_raises_and_better_lowers() -> None:
    def said(word: str) -> float:
        return evidence([*CALM, 2], than_last=["same"] * 60 + [word])

    assert said("worse") > said("same") + 0.02
    assert said("better") < said("same") - 0.02
    assert said("worse") > said("") > said("better")


def test_what_was_written_days_later_weighs_less() -> None:
    worse = [*CALM, *[2] * 5]
    late = evidence(worse, late=[False] * 60 + [True] * 5)
    assert evidence(CALM) + 0.5 < late < evidence(worse) - 0.5


def test_each_of_several_limbs_needs_more_for_a_signal_and_means_the_same() -> None:
    worse = [*NOISY, *[2] * 14]
    one, four = told(worse), told(worse, limbs=4)
    pd.testing.assert_frame_equal(one.drop(columns="signal"), four.drop(columns="signal"))
    order = {"none": 0, "watch": 1, "act": 2}
    assert (four["signal"].map(order) <= one["signal"].map(order)).all()
    assert (four["signal"] != one["signal"]).any()


@pytest.mark.parametrize("worse", [1.5, 2, 3, 5])
def test_a_whole_grade_is_never_likelier_than_half_a_grade(worse: float) -> None:
    found = told([*CALM, *[worse] * 14])
    assert (found["p_worse"] <= found["p_any"]).all()
