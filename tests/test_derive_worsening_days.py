"""Many diaries at once, how looks are told apart, and what is held under pain relief."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from tracker.derive.worsening import levels
from tracker.derive.worsening.days import MOST_OTHERS, Diaries, days_of
from tracker.derive.worsening.forward import NOT_SAID
from tracker.derive.worsening.held import LONGEST, holds, least_since, unrelieved
from tracker.derive.worsening.hidden import USUAL, Habits
from tracker.derive.worsening.looks import (
    GRADES,
    HALVES_FOR_SURE,
    MOST_WHOLE,
    NO_LOOK,
    kind,
    likelihood,
    people,
)
from tracker.derive.worsening.many import Watched, watch_many

NAN = float("nan")


def mixed(n: int = 8, length: int = 50) -> Diaries:
    """Diaries of which each has other things in it, two looks a day at most."""
    random = np.random.default_rng(11)
    scores = np.clip(np.round(2 * (1 + random.normal(0, 0.8, (n, length, 2)))) / 2, 0, 5)
    scores[..., 1][random.random((n, length)) < 0.8] = NAN
    scores[random.random((n, length)) < 0.3] = NAN
    rows = np.arange(n)[:, None, None]
    shape = scores.shape
    return Diaries(
        scores,
        masked=(random.random(shape) < 0.2) & (rows % 2 == 1),
        rater=np.where(rows % 4 > 1, random.integers(0, 4, shape), 0),
        trims=random.random(shape[:2]) < 0.05,
        than_last=np.where(
            (random.random(shape) < 0.3) & (rows % 3 == 0), random.integers(-1, 2, shape), NAN
        ),
        late=random.random(shape) < 0.2,
    )


def test_a_batch_is_its_diaries_one_by_one() -> None:
    diaries = mixed()
    together = watch_many(diaries)
    for row in range(len(diaries.scores)):
        alone = watch_many(diaries.some(np.array([row])))
        for name in (one.name for one in fields(Watched)):
            assert getattr(together, name)[row] == pytest.approx(getattr(alone, name)[0], abs=2e-3), name


def test_a_second_look_alone_on_a_day_counts_as_one() -> None:
    first = np.full((1, 40, 2), NAN)
    first[..., 0] = 1.0
    second = first[..., ::-1].copy()
    masked = np.broadcast_to(np.arange(40)[:, None] > 30, (1, 40, 2))
    one = watch_many(Diaries(first, masked=masked))
    other = watch_many(Diaries(second, masked=masked))
    assert one.evidence == pytest.approx(other.evidence, abs=1e-4)


def kinds(scores: list[float], **more: list[int]) -> list[int]:
    given = {name: np.array([values]) for name, values in more.items()}
    return [*days_of(Diaries(np.array([scores]), **given)).looks[0, :, 0]]


def look(half: int, whole: int, **more: int) -> int:
    how = {"rater": 0, "masked": 0, "sore": 0, "late": 0, **more}
    return int(
        kind(np.array(half), np.array(whole), **{name: np.array(value) for name, value in how.items()})
    )


def test_whole_grades_are_counted_until_there_is_a_half() -> None:
    assert kinds([1, NAN, 2, 1.5, 1]) == [
        look(2, 1), NO_LOOK, look(4, 2), look(3, HALVES_FOR_SURE), look(2, HALVES_FOR_SURE),
    ]  # fmt: skip
    assert kinds([1] * 12)[-4:] == [look(2, MOST_WHOLE)] * 4


def test_each_person_has_a_habit_of_their_own() -> None:
    assert kinds([1.5, 1, 2], rater=[0, 1, 0]) == [
        look(3, HALVES_FOR_SURE), look(2, 1, rater=1), look(4, HALVES_FOR_SURE),
    ]  # fmt: skip


def test_a_third_other_person_counts_as_the_second() -> None:
    found = days_of(Diaries(np.array([[1.0, 1, 1, 1]]), rater=np.array([[0, 1, 2, 3]])))
    assert found.others == MOST_OTHERS
    assert [*found.looks[0, 2:, 0]] == [look(2, 1, rater=2), look(2, 2, rater=2)]


def test_a_horse_may_be_footsore_on_the_day_of_a_trim_and_three_days_after() -> None:
    trims = [0, 1, 0, 0, 0, 0, 0]
    sore = [found != plain for found, plain in zip(kinds([1] * 7, trims=trims), kinds([1] * 7), strict=True)]
    assert sore == [False, True, True, True, True, False, False]


@pytest.mark.parametrize("length", [1, 2, 3])
def test_a_diary_may_be_shorter_than_footsoreness(length: int) -> None:
    assert len(kinds([1] * length, trims=[1] * length)) == length


def test_the_first_word_of_a_day_counts_and_only_beside_a_score() -> None:
    scores = np.array([[[1.0, 2.0], [NAN, NAN], [1.0, 1.0]]])
    said = np.array([[[NAN, 1.0], [1.0, NAN], [-1.0, 1.0]]])
    assert [*days_of(Diaries(scores, than_last=said)).said[0]] == [1, NOT_SAID, -1]


@pytest.mark.parametrize("how", [{}, {"rater": 1}, {"masked": 1}, {"sore": 1}])
@pytest.mark.parametrize("whole", [HALVES_FOR_SURE, 1, MOST_WHOLE])
def test_one_of_all_grades_is_written_for_sure(how: dict[str, int], whole: int) -> None:
    columns = people(USUAL, 1, relief=True)
    total = sum(likelihood(USUAL, columns, look(half, whole, **how)) for half in range(GRADES))
    assert total == pytest.approx(1, abs=1e-4)


def test_one_who_writes_whole_grades_only_means_more_by_one_and_writes_no_half() -> None:
    columns = people(USUAL, 0, relief=False)

    def share(half: int, whole: int) -> float:
        """Of this grade where the horse stands at one and has not changed."""
        return float(likelihood(USUAL, columns, look(half, whole))[4, 0, len(USUAL.swing) // 2])

    assert share(2, MOST_WHOLE) > share(2, 1) > share(2, HALVES_FOR_SURE)
    assert share(3, HALVES_FOR_SURE) > share(3, 1) > share(3, MOST_WHOLE)


def test_what_is_written_late_weighs_half() -> None:
    columns = people(USUAL, 0, relief=False)
    prompt, late = (likelihood(USUAL, columns, look(4, 3, late=late)) for late in (0, 1))
    assert np.log(late) == pytest.approx(np.log(prompt) / 2, abs=1e-4)


def test_pain_relief_takes_away_and_a_bias_adds() -> None:
    habits = Habits(relieved=(1.0,), relieved_share=(1.0,), bias=(0.5,), bias_share=(1.0,))
    columns = people(habits, 1, relief=True)
    plain = likelihood(habits, columns, look(4, HALVES_FOR_SURE))
    masked = likelihood(habits, columns, look(4, HALVES_FOR_SURE, masked=1))
    other = likelihood(habits, columns, look(4, HALVES_FOR_SURE, rater=1))
    assert masked[4:] == pytest.approx(plain[:-4], abs=1e-6)  # four quarters of a grade
    assert other[:-2] == pytest.approx(plain[2:], abs=1e-6)


# What is held


def test_it_is_held_from_the_first_grade_under_relief_to_the_next_without() -> None:
    scores = np.array([[1, NAN, 1, NAN, 1, 1, NAN]], dtype=float)
    masked = np.array([[False, True, True, True, True, False, False]])
    held, free = holds(Diaries(scores, masked=masked))
    assert held.tolist() == [[False, False, True, True, True, False, False]]
    assert free.tolist() == [[True, False, False, False, False, True, False]]


def test_nothing_is_held_without_relief_nor_before_the_first_grade_without_it() -> None:
    scores = np.ones((1, 9))
    assert not holds(Diaries(scores))[0].any()
    assert not holds(Diaries(scores, masked=np.ones((1, 9), dtype=bool)))[0].any()


def test_it_is_held_so_many_days_since_the_last_grade_without_relief() -> None:
    masked = np.arange(60)[None] > 9
    held, _ = holds(Diaries(np.ones((1, 60)), masked=masked))
    assert np.flatnonzero(held).tolist() == [*range(10, 10 + LONGEST)]


def test_the_least_is_that_since_the_last_free_day() -> None:
    values = np.array([[5.0, 3, 4, 9, 8, 10]])
    free = np.array([[True, False, False, True, False, False]])
    assert least_since(values, free).tolist() == [[5, 3, 3, 9, 8, 8]]


def test_without_its_relief_a_diary_has_only_its_other_grades() -> None:
    diaries = Diaries(np.array([[1.0, 2.0]]), masked=np.array([[True, False]]))
    assert unrelieved(diaries).scores[..., 0].tolist() == [pytest.approx([NAN, 2.0], nan_ok=True)]
    plain = replace(diaries, masked=None)
    assert unrelieved(plain) is plain


# What is said of the log-odds


def test_the_log_odds_of_a_share_are_finite() -> None:
    shares = np.array([0.0, 0.5, 0.75, 1.0])
    found = levels.log_odds(shares)
    assert np.isfinite(found).all()
    assert found[1:3] == pytest.approx([0, np.log(3)])


def test_a_signal_needs_more_evidence_the_more_limbs_are_watched() -> None:
    evidence = np.array([levels.WATCH, levels.ACT, levels.ACT + levels.LIMBS * np.log(4) + 1e-9])
    assert levels.signal(evidence).tolist() == ["watch", "act", "act"]
    assert levels.signal(evidence, 4).tolist() == ["none", "watch", "act"]
    assert levels.signal(evidence - 1e-8).tolist() == ["none", "watch", "act"]


def test_more_evidence_is_a_higher_probability() -> None:
    evidence = np.linspace(-10, 10, 41)
    for of in (levels.p_any, levels.p_worse):
        assert (np.diff(of(evidence)) > 0).all()
        assert ((of(evidence) > 0) & (of(evidence) < 1)).all()
