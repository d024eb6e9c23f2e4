"""The charts of one part of a horse's record: body, work, abscesses."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from test_show_charts import EVERYTHING, SOUNDNESS, book, labels

from tracker.show.charts import marks_chart, part_chart

BODY = """
  Date       | Temperature | Heart rate | Breathing rate | Condition score | Crest score
  2026-03-10 | 37.5        | 34         | 12             | 6               | 2
  2026-04-10 | 37.7        | 36         | 14             | 6               | 2
  2026-05-10 | 38.9        | 40         | 12             | 5.5             | 2
"""
RELIEF = "Product | First given | Last given\n Bute | 2026-05-10 | 2026-05-10"


def test_the_body_has_a_lane_for_each_score_and_each_vital_sign(tmp_path: Path) -> None:
    own = book(tmp_path, Body=BODY, Pain_relief=RELIEF)
    found = part_chart(own, own.horses[0], "body")
    assert found is not None
    told = labels(found)
    for label in (
        "Condition 1 to 9",
        "Crest 0 to 5",
        "Temperature °C",
        "Heart rate a minute",
        "Breathing rate a minute",
    ):
        assert label in told, label
    assert "Pain relief" in told


def test_a_vital_sign_lies_over_the_published_band_and_is_hollow_under_pain_relief(tmp_path: Path) -> None:
    own = book(tmp_path, Body=BODY, Pain_relief=RELIEF)
    found = part_chart(own, own.horses[0], "body")
    assert found is not None
    band = next(trace for trace in found.figure.data if trace.name == "published temperature")
    assert set(band.y) == {37.2, 38.6}
    points = next(trace for trace in found.figure.data if trace.name == "temperature")
    assert list(points.y) == [37.5, 37.7, 38.9]
    assert list(points.marker.symbol) == ["circle", "circle", "circle-open"]
    assert "38.9 °C" in points.hovertext[2]
    assert "under pain relief" in points.hovertext[2]
    assert "published 37.2 to 38.6" in points.hovertext[2]
    assert "Body!" in points.hovertext[2]


def test_a_value_beyond_the_published_range_is_named_on_the_scale(tmp_path: Path) -> None:
    own = book(tmp_path, Body=BODY.replace("38.9", "40.1").replace("| 12 ", "| 2  "))
    found = part_chart(own, own.horses[0], "body")
    assert found is not None
    ticks = [list(axis.ticktext) for axis in found.figure.select_yaxes()]
    assert ["37.2", "38.6", "40.1"] in ticks
    assert ["2", "8", "24"] in ticks
    assert ["28", "44"] in ticks


@pytest.mark.parametrize(
    ("typed", "shown"), [("103.3 F", ["37.2", "38.6", "39.6"]), ("101.9 F", ["37.2", "38.6"])]
)
def test_the_scale_names_values_as_they_are_read_and_none_over_another(
    tmp_path: Path, typed: str, shown: list[str]
) -> None:
    """101.9 °F is 38.83 °C, whose number would lie on that of 38.6."""
    own = book(tmp_path, Body=BODY.replace("38.9", typed))
    found = part_chart(own, own.horses[0], "body")
    assert found is not None
    assert shown in [list(axis.ticktext) for axis in found.figure.select_yaxes()]


def test_two_readings_are_said_in_words_only(tmp_path: Path) -> None:
    own = book(tmp_path, Body="Date | Temperature\n 2026-03-10 | 37.5\n 2026-04-10 | 37.7")
    assert part_chart(own, own.horses[0], "body") is None


@pytest.mark.parametrize(
    ("part", "first", "others"),
    [("work", "Work minutes a day", ("Left front grade, scale 0-5", "Changes")), ("abscesses", "Abscesses", ("Trims and visits", "Changes"))],
)  # fmt: skip
def test_what_stands_beside_work_and_abscesses(
    tmp_path: Path, part: str, first: str, others: tuple[str, ...]
) -> None:
    own = book(tmp_path, **EVERYTHING)
    found = part_chart(own, own.horses[0], part)
    assert found is not None
    told = labels(found)
    assert told[0] == first
    assert all(any(label.startswith(other) for label in told) for other in others), told
    assert "shoes off" in " ".join(told)


@pytest.mark.parametrize("part", ["work", "abscesses", "body"])
def test_without_anything_of_its_own_a_part_has_no_chart(tmp_path: Path, part: str) -> None:
    own = book(tmp_path, Soundness=SOUNDNESS)
    assert part_chart(own, own.horses[0], part) is None


FOUR_RINGS = "Date | Foot | Growth mark | Growth mark below hairline | Measured with\n" + "".join(
    f"{day} | {foot} | ring | {below} | ruler\n"
    for day, below in (("2026-03-10", 12), ("2026-05-20", 31))
    for foot in ("LF", "RF", "LH", "RH")
)


@pytest.mark.parametrize("narrow", [False, True])
def test_names_of_marks_that_begin_in_one_place_stand_above_each_other(tmp_path: Path, narrow: bool) -> None:
    own = book(tmp_path, Hooves=FOUR_RINGS)
    found = marks_chart(own, own.horses[0], narrow=narrow)
    assert found is not None
    figure = found.figure
    low, high = figure.layout.yaxis.range[1], figure.layout.yaxis.range[0]
    a_pixel = (high - low) / (figure.layout.height - figure.layout.margin.t - figure.layout.margin.b)
    bottoms = sorted(note.y - note.yshift * a_pixel for note in figure.layout.annotations)
    assert len(bottoms) == 4
    assert all(below - above >= 14 * a_pixel for above, below in itertools.pairwise(bottoms))
    assert bottoms[0] - 14 * a_pixel >= low


def test_a_mark_read_before_and_after_the_trim_of_one_day_is_drawn(tmp_path: Path) -> None:
    rows = "Date | Foot | Stage | Growth mark | Growth mark below hairline\n" + "".join(
        f"2026-03-10 | LF | {stage} | ring | 12\n" for stage in ("before trim", "after trim")
    )
    own = book(tmp_path, Hooves=rows)
    assert marks_chart(own, own.horses[0]) is not None


def test_a_mark_without_a_rate_lies_over_the_published_range(tmp_path: Path) -> None:
    """Read at 10 mm on 10 March and again 3 weeks later, too soon for a rate: 6 to 10 mm for each 30.4 days."""
    rows = "Date | Foot | Growth mark | Growth mark below hairline\n" + "".join(
        f"{day} | LF | ring | {below}\n" for day, below in (("2026-03-10", 10), ("2026-03-31", 16))
    )
    own = book(tmp_path, Hooves=rows)
    found = marks_chart(own, own.horses[0])
    assert found is not None
    (band,) = [trace for trace in found.figure.data if trace.name == "reckoned"]
    assert list(band.y) == pytest.approx([10, 10 + 6 * 21 / 30.4, 10 + 10 * 21 / 30.4, 10])


def test_a_mark_that_went_up_has_no_band(tmp_path: Path) -> None:
    rows = "Date | Foot | Growth mark | Growth mark below hairline\n" + "".join(
        f"{day} | LF | ring | {below}\n" for day, below in (("2026-03-10", 30), ("2026-05-31", 12))
    )
    own = book(tmp_path, Hooves=rows)
    found = marks_chart(own, own.horses[0])
    assert found is not None
    assert not [trace for trace in found.figure.data if trace.name == "reckoned"]
