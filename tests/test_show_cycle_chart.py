"""The charts by days since the trim, and that of the growth marks: what is drawn where."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any

import pytest

from tracker import Book, open_book
from tracker.show.charts import Chart, cycle_chart, grade_cycle_chart, marks_chart
from tracker.show.charts.style import BLUE, GREY
from tracker.workbook.new.blank import write_workbook

START = dt.date(2026, 1, 5)
ON = dt.date(2026, 5, 1)
TRIMS = (0, 35, 70)


def day(number: int) -> dt.date:
    return START + dt.timedelta(days=number)


def measured(
    number: int, stage: str, length: float, foot: str = "LF", way: str = "ruler"
) -> dict[str, object]:
    given: dict[str, object] = {"Date": day(number), "Foot": foot, "Stage": stage, "Measured with": way}
    return given | {"Toe length": length}


HOOVES = [
    measured(0, "after trim", 80), measured(35, "before trim", 85),
    measured(35, "after trim", 81), measured(49, "between", 78, way="photo"), measured(70, "before trim", 86),
    measured(70, "after trim", 82), measured(90, "between", 84),
    measured(70, "after trim", 83, "RF"), measured(90, "between", 85, "RF"),
]  # fmt: skip
MARKS = [
    {"Date": day(number), "Foot": "LF", "Measured with": "ruler", "Growth mark": "ring",
     "Growth mark below hairline": below}
    for number, below in ((0, 10), (50, 26), (100, 41))
]  # fmt: skip
NOTES = [
    {"Date": day(number), "Gait": "trot", "Ground": "hard", "Line": "straight", "Limb": "LF", "Score": number % 3}
    for number in (2, 9, 40, 44, 72, 80, 88)
]  # fmt: skip


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    file = tmp_path_factory.mktemp("cycle") / "barn.xlsx"
    visits = [{"Date": day(number), "Purpose": "trim", "Feet": "all"} for number in TRIMS]
    relief = [{"Product": "bute", "First given": day(80), "Last given": day(80)}]
    write_workbook(
        file,
        {
            "Horses": [{"Horse": "Bramble", "Front shoes off": START, "Usual scale": "0-5"}],
            "Visits": visits,
            "Hooves": HOOVES + MARKS,
            "Soundness": NOTES,
            "Pain relief": relief,
        },
    )
    return open_book(file, on=ON)


def lengths(book: Book, *, narrow: bool = False) -> Chart:
    found = cycle_chart(book.horses[0], "toe_length", narrow=narrow)
    assert found is not None
    return found


def drawn(chart: Chart, axis: str = "x") -> list[tuple[tuple[int, ...], tuple[float, ...]]]:
    return [(trace.x, trace.y) for trace in chart.figure.data if trace.xaxis == axis]


def test_every_interval_begins_at_its_trim(book: Book) -> None:
    assert drawn(lengths(book)) == [
        ((0, 35), (80, 85)), ((14,), (78,)), ((0, 35), (81, 86)), ((0, 20), (82, 84)),
    ]  # fmt: skip
    assert drawn(lengths(book), "x2") == [((0, 20), (83, 85))]


def test_the_latest_is_strong_and_the_older_are_fainter_the_older_they_are(book: Book) -> None:
    left = [trace for trace in lengths(book).figure.data if trace.xaxis == "x"]
    by_first = {trace.y[0]: trace for trace in left}
    first, second, latest = by_first[80], by_first[81], by_first[82]
    assert first.opacity < second.opacity < latest.opacity == 1
    assert (first.line.color, latest.line.color) == (GREY, BLUE)
    assert latest.line.width > second.line.width
    assert latest.error_y.visible
    assert not second.error_y.visible


def test_a_photograph_is_hollow_and_joined_with_no_other_way(book: Book) -> None:
    photo = next(trace for trace in lengths(book).figure.data if trace.y == (78,))
    assert photo.marker.symbol == ("circle-open",)


def test_all_feet_share_their_axes_which_reach_eight_weeks_whatever_is_measured(book: Book) -> None:
    layout = lengths(book).figure.layout
    assert layout.xaxis.range == layout.xaxis2.range
    assert layout.yaxis.range == layout.yaxis2.range
    assert layout.xaxis.range[1] >= 56
    assert layout.yaxis.ticksuffix == " mm"
    assert layout.xaxis.title.text == "days since trim"


def test_grades_by_days_since_the_trim_without_those_under_pain_relief(book: Book) -> None:
    found = grade_cycle_chart(book.horses[0])
    assert found is not None
    assert drawn(found) == [((2, 9), (2, 0)), ((5, 9), (1, 2)), ((2, 18), (0, 1))]
    assert "scale 0-5" in found.figure.layout.annotations[0].text


def test_marks_go_down_from_the_hairline_with_the_range_of_the_rate(book: Book) -> None:
    found = marks_chart(book, book.horses[0])
    assert found is not None
    top, bottom = found.figure.layout.yaxis.range[::-1]
    assert top < 0 < bottom
    low, high, line, points = found.figure.data
    assert points.y == (10, 26, 41)
    rate = book.horses[0].growth.feet["LF"]
    assert line.y[-1] - line.y[0] == pytest.approx(rate.value * 100 / 30.4)
    assert all(under <= on <= over for under, on, over in zip(low.y, line.y, high.y, strict=True))
    assert high.y[1] - low.y[1] == pytest.approx(0)
    assert high.y[-1] - low.y[-1] == pytest.approx((rate.high - rate.low) * 50 / 30.4)


@pytest.mark.parametrize("narrow", [False, True])
def test_no_chart_can_be_dragged_or_zoomed(book: Book, narrow: bool) -> None:
    horse = book.horses[0]
    for found in (
        lengths(book, narrow=narrow),
        grade_cycle_chart(horse, narrow=narrow),
        marks_chart(book, horse, narrow=narrow),
    ):
        assert found is not None
        layout: dict[str, Any] = found.figure.layout.to_plotly_json()
        axes = [axis for name, axis in layout.items() if re.match(r"[xy]axis", name)]
        assert all(axis["fixedrange"] for axis in axes)
        assert layout["dragmode"] is False
        assert layout["height"] == found.height
        assert found.summary


def test_a_title_breaks_where_the_screen_is_narrow(book: Book) -> None:
    wide, narrow = (grade_cycle_chart(book.horses[0], narrow=small) for small in (False, True))
    assert wide is not None
    assert narrow is not None
    assert "<br>" not in wide.figure.layout.annotations[0].text
    assert "<br>" in narrow.figure.layout.annotations[0].text


def test_nothing_to_draw_is_no_chart(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    write_workbook(file, {"Horses": [{"Horse": "Bramble"}], "Hooves": HOOVES + MARKS[:1]})
    empty = open_book(file, on=ON)
    (horse,) = empty.horses
    assert cycle_chart(horse, "toe_length") is None
    assert grade_cycle_chart(horse) is None
    assert marks_chart(empty, horse) is None
