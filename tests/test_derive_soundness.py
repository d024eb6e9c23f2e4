"""Scores, and which of them may be compared."""

from __future__ import annotations

import datetime as dt

from tables import table

from tracker.derive.relief import courses
from tracker.derive.soundness import Point, comparable_series, scores
from tracker.sheets import PAIN_RELIEF, SOUNDNESS

BOOK = """
  date       | seen_by | gait | ground | line        | limb        | scale | score | than_last_time | pulse_lf
  2026-03-02 | owner   | trot | hard   | straight    | LF          | 0-5   | 2     | worse          |
  2026-03-01 | vet     | trot | hard   | straight    | LF          | 0-5   | 0     |                |
  2026-03-03 | owner   | trot | hard   | straight    | LF          | 0-10  | 4     |                |
  2026-03-04 | owner   | trot | soft   | straight    | LF          | 0-5   | 1     |                |
  2026-03-05 | owner   | walk | hard   | straight    | LF          | 0-5   | 1     |                |
  2026-03-06 | owner   | trot | hard   | circle left | LF          | 0-5   | 3     |                |
  2026-03-07 | owner   | trot | hard   | straight    | both fronts | 0-5   | 1     |                |
  2026-03-08 | owner   |      |        |             |             |       |       | same           | 2
  2026-03-09 | owner   | trot | hard   | straight    | LF          | 0-5   | 1     | better         |
"""


def test_one_row_a_score_by_date():
    found = scores(table(SOUNDNESS, BOOK), [])

    assert [one.point.row for one in found] == [3, 2, 4, 5, 6, 7, 8, 10]
    assert found[0].point.score == 0
    assert [one.point.than_last for one in found] == ["", "worse", "", "", "", "", "", "better"]
    assert all(one.mark == "" for one in found)
    until = scores(table(SOUNDNESS, BOOK), [], dt.date(2026, 3, 2))
    assert [one.point.row for one in until] == [3, 2]


def test_limbs_are_labelled():
    found = scores(
        table(
            SOUNDNESS,
            """
            date       | limb        | scale | score
            2026-03-01 | LF          | 0-5   | 1
            2026-03-02 | both hinds  | 0-5   | 1
            2026-03-03 | all         | 0-5   | 1
            2026-03-04 | not sure    | 0-5   | 1
            2026-03-05 |             | 0-5   | 1
            """,
        ),
        [],
    )

    assert [one.limb for one in found] == ["LF", "both hinds", "all", "not sure", ""]


def test_only_what_was_seen_the_same_way_is_one_series():
    series = comparable_series(scores(table(SOUNDNESS, BOOK), []))
    usual = [one for one in series if len(one.points) > 1]

    assert len(series) == 6
    assert [(one.scale, one.gait, one.ground, one.line, one.limb) for one in usual] == [
        ("0-5", "trot", "hard", "straight", "LF")
    ]
    assert usual[0].points == (
        Point(dt.date(2026, 3, 1), 0.0, False, "vet", 3),
        Point(dt.date(2026, 3, 2), 2.0, False, "owner", 2, "worse"),
        Point(dt.date(2026, 3, 9), 1.0, False, "owner", 10, "better"),
    )


def test_the_two_scales_are_never_in_one_series():
    # No validated conversion exists between them: Hewetson et al. 2006, Vet Rec 158:852.
    for series in comparable_series(scores(table(SOUNDNESS, BOOK), [])):
        assert series.scale in ("0-5", "0-10")
        assert (4 in {point.row for point in series.points}) == (series.scale == "0-10")


def test_every_score_stands_in_exactly_one_series():
    found = scores(table(SOUNDNESS, BOOK), [])
    rows = [point.row for series in comparable_series(found) for point in series.points]

    assert sorted(rows) == sorted(one.point.row for one in found)


def test_two_horses_are_two_series():
    book = table(
        SOUNDNESS,
        """
        date       | horse | scale | score
        2026-03-01 | Juno  | 0-5   | 1
        2026-03-01 | Wren  | 0-5   | 1
        """,
    )

    assert [series.horse for series in comparable_series(scores(book, []))] == ["Juno", "Wren"]


def test_scores_under_pain_relief_are_marked_and_kept():
    relief = table(PAIN_RELIEF, "product | first_given | last_given\n bute | 2026-03-02 | 2026-03-03")
    found = scores(table(SOUNDNESS, BOOK), courses(relief, dt.date(2026, 4, 1)))
    marks = {one.point.row: one.mark for one in found}

    assert marks == {
        3: "", 2: "masked", 4: "masked", 5: "masked",
        6: "residual", 7: "residual", 8: "residual", 10: "residual",
    }  # fmt: skip
    usual = next(one for one in comparable_series(found) if len(one.points) > 1)
    assert [point.masked for point in usual.points] == [False, True, True]


def test_no_scores_no_series():
    assert scores(table(SOUNDNESS), []) == []
    assert comparable_series([]) == []
    assert comparable_series(scores(table(SOUNDNESS, BOOK, set_aside=range(2, 11)), [])) == []
