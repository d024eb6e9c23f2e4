"""What one horse's record says about getting worse, as of a day."""

from __future__ import annotations

from dataclasses import replace

import pytest
from diaries import day, series

from tracker.derive.soundness import Series
from tracker.derive.worsening import levels
from tracker.derive.worsening.comparable import WORST
from tracker.derive.worsening.record import STALE, Watch, _asks, watches

CALM = [(number, 1) for number in range(60)]
STEP = [*CALM, *((number, 2.5) for number in range(60, 74))]
LAST = 73


def watch(*found: Series, on: int = LAST, late: tuple[int, ...] = (), trims: tuple[int, ...] = ()) -> Watch:
    (only,) = watches(found, late, [day(number) for number in trims], day(on))
    return only


def test_a_calm_record_says_nothing() -> None:
    found = watch(series(CALM), on=59)
    assert (found.signal, found.since, found.asks, found.rows) == ("none", None, False, ())
    assert found.days[-1].date == day(59)
    assert len(found.days) == 60


def test_a_step_is_told_with_since_when_and_its_rows() -> None:
    found = watch(series(STEP))
    assert found.signal == "act"
    assert found.p_any > 0.8
    assert found.since is not None
    assert abs((found.since.likely - day(60)).days) <= 4
    assert found.since.earliest <= found.since.likely <= found.since.latest
    first = 2 + (found.since.likely - day(0)).days
    assert found.rows == tuple(range(first, 2 + len(STEP)))
    assert (found.p_any, found.p_worse) == (found.days[-1].p_any, found.days[-1].p_worse)


@pytest.mark.parametrize("more", [0, STALE.days, STALE.days + 1, 37, 400])
def test_a_signal_stands_twelve_weeks_after_the_last_score_and_no_longer(more: int) -> None:
    found = watch(series(STEP), on=LAST + more)
    assert (found.signal == "none") is (more > STALE.days)
    assert (found.since is None) is (found.signal == "none")
    if more > STALE.days:
        assert (found.rows, found.asks) == ((), False)
    if more < 180:  # then no day is told after the last score
        assert found.days[-1].signal == found.signal


def test_a_day_without_a_score_is_told_of_too() -> None:
    assert [told.date for told in watch(series(STEP), on=LAST + 3).days][-2:] == [day(LAST), day(LAST + 3)]


@pytest.mark.parametrize("on", [-1, 3])
def test_before_there_are_enough_scores_nothing_is_watched(on: int) -> None:
    assert watches([series(STEP)], (), (), day(on)) == ()


def test_what_is_still_to_come_has_no_part() -> None:
    assert watch(series(STEP), on=59) == watch(series(CALM), on=59)


def test_notes_are_asked_for_where_suspicion_has_risen_and_they_are_sparse() -> None:
    rising = ([*CALM, *((62 + 2 * number, 2) for number in range(more))] for more in range(1, 4))
    found = [watch(series(grades), on=grades[-1][0] + 1) for grades in rising]
    suspicious = [one for one in found if one.days[-1].evidence >= levels.ASK and one.signal != "act"]
    assert suspicious
    assert all(one.asks for one in suspicious)
    assert not watch(series(CALM), on=60).asks


@pytest.mark.parametrize(
    ("why", "evidence", "signal", "noted", "asks"),
    [
        ("suspicion, sparse", 0.0, "watch", (1, 3, 5), True),
        ("suspicion without a signal", 0.0, "none", (), True),
        ("no suspicion", -0.01, "none", (1, 3, 5), False),
        ("likely already", 9.0, "act", (1, 3, 5), False),
        ("noted often enough", 0.0, "watch", (1, 2, 3, 5), False),
        ("noted today", 0.0, "watch", (0,), False),
    ],
)
def test_when_notes_are_asked_for(
    why: str, evidence: float, signal: str, noted: tuple[int, ...], asks: bool
) -> None:
    recent = {day(50 - ago) for ago in noted}
    assert _asks(levels.ASK + evidence, signal, recent, day(50)) is asks, why


def test_where_it_is_likely_already_more_notes_are_asked_for_only_after_a_silent_week() -> None:
    sure, silent = watch(series(STEP), on=LAST + 6), watch(series(STEP), on=LAST + 7)
    assert (sure.signal, sure.asks) == ("act", False)
    assert (silent.signal, silent.asks) == ("act", True)


def test_late_notes_raise_less_and_do_not_date_the_start() -> None:
    rows = tuple(range(62, 66))  # the first four worse days
    prompt, late = watch(series(STEP)), watch(series(STEP), late=rows)
    assert late.late == rows
    assert late.days[63].evidence < prompt.days[63].evidence - 0.5
    assert late.since is not None
    assert prompt.since is not None
    without = [grade for grade in STEP if not 60 <= grade[0] < 64]
    assert late.since == watch(series(without)).since


def test_what_only_late_notes_show_began_after_the_last_prompt_note() -> None:
    grades = [*CALM, *((number, 3) for number in range(80, 94))]
    found = watch(series(grades), on=93, late=tuple(range(62, 76)))
    assert found.signal == "act"
    assert found.since is not None
    assert day(59) <= found.since.likely <= day(93)
    assert found.since.latest > day(70)


def test_one_person_is_one_however_the_name_is_typed() -> None:
    one = series(STEP)
    typed = ("Jo", "jo ", " JO")
    points = tuple(point._replace(seen_by=typed[at % 3]) for at, point in enumerate(one.points))
    assert watch(replace(one, points=points)).days == watch(one).days


def test_where_all_was_written_late_its_start_is_still_told() -> None:
    found = watch(
        series([*STEP, *((number, 3) for number in range(74, 90))]), on=89, late=tuple(range(2, 92))
    )
    assert found.signal == "act"
    assert found.since is not None
    assert abs((found.since.likely - day(60)).days) <= 10


def test_only_rows_of_its_own_are_late() -> None:
    assert watch(series(STEP), late=(5, 900)).late == (5,)


def test_a_trim_explains_a_dip() -> None:
    dip = [*CALM, (60, 2), (61, 3), (62, 2)]
    assert watch(series(dip), on=62, trims=(59,)).p_any < watch(series(dip), on=62).p_any - 0.1


def test_pain_relief_does_not_quiet_what_was_known() -> None:
    eased = [*STEP, *((number, 0) for number in range(74, 84))]
    masked = watch(series(eased, masked=range(74, 84)), on=83)
    assert masked.signal == "act"
    assert watch(series(eased), on=83).p_any < masked.p_any - 0.1


def test_each_limb_and_the_worst_of_them_are_watched() -> None:
    right = series([(number, 0) for number in range(74)], limb="RF")
    right = replace(right, points=tuple(point._replace(row=point.row + 200) for point in right.points))
    found = watches([series(STEP), right], (), (), day(LAST))
    assert [(one.series.limb, one.signal) for one in found] == [(WORST, "act"), ("LF", "act"), ("RF", "none")]


def test_the_tens_scale_is_watched_in_its_own_steps() -> None:
    doubled = [(number, 2 * grade) for number, grade in STEP]
    ten = watch(series(doubled, scale="0-10"))
    five = watch(series(STEP))
    assert ten.signal == "act"
    assert ten.days[-1].severity == pytest.approx(2 * five.days[-1].severity)
    assert ten.since == five.since


def test_the_record_after_long_silence_is_that_of_the_horse_now() -> None:
    later = [(number + 1000, grade) for number, grade in STEP]
    found = watch(series([*((number, 4) for number in range(30)), *later]), on=1000 + LAST)
    assert found.since is not None
    assert abs((found.since.likely - day(1060)).days) <= 4
