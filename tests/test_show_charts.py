"""The charts: what is drawn where, and what is never drawn."""

from __future__ import annotations

import datetime as dt
import html
import itertools
import re
from pathlib import Path
from typing import Any

import pytest

from tracker import Book, open_book
from tracker.show.charts import GRAPH_CONFIG, Chart, feet_chart, time_chart
from tracker.show.charts import style as looks
from tracker.show.charts.time_axis import Span, off_days, span, week_ticks
from tracker.workbook.new.blank import write_workbook

Rows = list[dict[str, object]]
ON = dt.date(2026, 6, 30)
CSS = Path(__file__).parents[1] / "dashboards" / "assets" / "style.css"


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def rows(text: str) -> Rows:
    """Rows of a sheet from a readable table; a cell such as 2026-03-04 is a date, a figure a number."""
    heads, *lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    return [{head: _typed(cell) for head, cell in zip(heads, line, strict=True) if cell} for line in lines]


def _typed(cell: str) -> object:
    if re.fullmatch(r"\d{4}-\d\d-\d\d", cell):
        return day(cell)
    return float(cell) if re.fullmatch(r"\d+(\.\d+)?", cell) else cell


def book(tmp_path: Path, **sheets: str) -> Book:
    file = tmp_path / "barn.xlsx"
    given = {name.replace("_", " "): rows(text) for name, text in sheets.items()}
    given.setdefault("Horses", [{"Horse": "Bramble", "Front shoes off": day("2026-03-04")}])
    write_workbook(file, given)
    return open_book(file, on=ON)


def chart(book: Book, *, narrow: bool = False) -> Chart:
    found = time_chart(book, book.horses[0], narrow=narrow)
    assert found is not None
    return found


def labels(chart: Chart) -> list[str]:
    return [" ".join(re.sub(r"<.*?>", " ", note.text).split()) for note in chart.figure.layout.annotations]


def on_lane(chart: Chart, label: str) -> list[Any]:
    """The traces of the lane with that label, found by the place where the label stands."""
    place = next(note.y for note in chart.figure.layout.annotations if label in note.text)
    names = [
        name.replace("yaxis", "y")
        for name, axis in chart.figure.layout.to_plotly_json().items()
        if name.startswith("yaxis") and axis["domain"][0] <= place <= axis["domain"][1]
    ]
    assert len(names) == 1
    return [trace for trace in chart.figure.data if trace.yaxis == names[0] and trace.xaxis == "x"]


def points(traces: list[Any]) -> list[Any]:
    return [trace for trace in traces if trace.mode == "markers"]


SOUNDNESS = """
  Date       | Gait | Ground | Line     | Limb | Scale | Score | Seen by | Remarks
  2026-03-10 | trot | hard   | straight | LF   | 0-5   | 2     | owner   | a <b>bit</b> short & sore
  2026-03-12 | trot | hard   | straight | LF   | 0-5   | 1.5   | vet     |
  2026-03-14 | walk | hard   | straight | LF   | 0-5   | 1     | owner   |
  2026-03-16 | trot | hard   | straight | LF   | 0-10  | 7     | owner   |
  2026-03-18 | trot | hard   | straight | RH   | 0-5   | 1     | owner   |
  2026-04-02 | trot | hard   | straight | LF   | 0-5   | 1     | owner   |
  2026-04-20 | trot | hard   | straight | LF   | 0-5   | 3     | owner   |
  2026-06-20 | trot | hard   | straight | LF   | 0-5   | 2     | owner   |
"""
RELIEF = """
  Product | First given | Last given
  Bute    | 2026-04-01  | 2026-04-03
"""


def test_two_scales_and_two_limbs_never_share_a_lane(tmp_path: Path) -> None:
    found = chart(book(tmp_path, Soundness=SOUNDNESS))
    tops = {
        label.split()[0] + label.split()[-1]: axis.range[1]
        for label, axis in zip(labels(found), _y_axes(found), strict=False)
    }
    assert [label for label in labels(found) if " grade, scale" in label] == [
        "Left front grade, scale 0-5",
        "Left front grade, scale 0-10",
        "Right hind grade, scale 0-5",
    ]
    assert tops["Left0-5"] < 6
    assert 10 < tops["Left0-10"] < 11


def _y_axes(chart: Chart) -> list[Any]:
    number = len([name for name in chart.figure.layout.to_plotly_json() if name.startswith("yaxis")])
    return [chart.figure.layout[f"yaxis{place if place > 1 else ''}"] for place in range(1, number + 1)]


def test_each_gait_has_its_mark_and_pain_relief_makes_it_hollow(tmp_path: Path) -> None:
    found = chart(book(tmp_path, Soundness=SOUNDNESS, Pain_relief=RELIEF))
    marks = {
        (str(x), y): symbol
        for trace in points(on_lane(found, "Left front</b><br>grade, scale 0-5"))
        for x, y, symbol in zip(trace.x, trace.y, trace.marker.symbol, strict=True)
    }
    assert marks[("2026-03-10", 2.0)] == "circle"
    assert marks[("2026-03-14", 1.0)] == "square"
    assert marks[("2026-04-02", 1.0)] == "circle-open"
    assert marks[("2026-06-20", 2.0)] == "circle"


def test_the_step_line_joins_only_grades_of_one_series_outside_pain_relief_and_long_silence(
    tmp_path: Path,
) -> None:
    found = chart(book(tmp_path, Soundness=SOUNDNESS, Pain_relief=RELIEF))
    lines = [t for t in on_lane(found, "Left front</b><br>grade, scale 0-5") if t.mode == "lines"]
    assert {line.line.shape for line in lines} == {"hv"}
    drawn = sorted([[y for y in line.y if y is not None] for line in lines], key=len)
    assert drawn[0] == [1.0]  # the one walk
    # 20 April lies more than six weeks before 20 June; 2 April is under pain relief
    trot = max(lines, key=lambda line: len(line.y))
    stretches, stretch = [], []
    for x, y in zip(trot.x, trot.y, strict=True):
        if y is None:
            stretches.append(stretch)
            stretch = []
        else:
            stretch.append((str(x), y))
    stretches.append(stretch)
    assert [s for s in stretches if s] == [
        [("2026-03-10", 2.0), ("2026-03-12", 1.5)],
        [("2026-04-20", 3.0)],
        [("2026-06-20", 2.0)],
    ]


def test_no_grade_is_drawn_that_nobody_gave(tmp_path: Path) -> None:
    found = chart(book(tmp_path, Soundness=SOUNDNESS))
    given = {row["Score"] for row in rows(SOUNDNESS)}
    drawn = {
        y for trace in on_lane(found, "Left front</b><br>grade, scale 0-5") for y in trace.y if y is not None
    }
    assert drawn <= given


def test_the_box_under_the_pointer_shows_what_was_typed_and_where(tmp_path: Path) -> None:
    found = chart(book(tmp_path, Soundness=SOUNDNESS))
    (text,) = [
        text
        for trace in points(on_lane(found, "Left front</b><br>grade, scale 0-5"))
        for text in trace.hovertext
        if "10 Mar 2026" in text
    ]
    assert "<b>" not in text
    assert "a <b>bit</b> short & sore" in html.unescape(text.replace("<br>", " "))
    assert "10 Mar 2026, week 0" in text
    assert "Grade 2 on 0-5, left front" in text
    assert "trot, hard, straight" in text
    assert "seen by owner" in text
    assert re.search(r"Soundness!I\d+$", text)


EVERYTHING = {
    "Soundness": SOUNDNESS,
    "Pain_relief": RELIEF,
    "Abscesses": """
      Foot | First seen | Opened     | Comfortable again
      LF   | 2026-04-01 | 2026-04-04 | 2026-04-09
      RH   | 2026-06-25 |            |
    """,
    "Visits": """
      Date       | Name | Role    | Purpose         | Findings
      2026-03-04 | Ned  | trimmer | trim            | long toes
      2026-04-02 | Ruth | vet     | vet examination | abscess
      2026-07-20 | Ned  | trimmer | trim            |
    """,
    "Changes": """
      Date       | Kind    | What
      2026-03-20 | feed    | less grass
      2026-04-20 | turnout | bigger field
    """,
    "Work": """
      Date       | What      | Minutes
      2026-05-01 | hand-walk | 10
      2026-05-01 | trot      | 5
      2026-05-02 | turnout   | 600
      2026-05-03 | hand-walk | 20
    """,
}


def test_every_lane_stands_below_the_other_on_one_time_axis(tmp_path: Path) -> None:
    found = chart(book(tmp_path, **EVERYTHING))
    lanes = [label.removesuffix(" minutes a day") for label in labels(found)][
        :-1
    ]  # the last tells when the shoes came off
    assert lanes[-5:] == ["Abscesses", "Pain relief", "Trims and visits", "Changes", "Work"]
    domains = [axis.domain for axis in _y_axes(found)]
    assert all(above[0] > below[1] for above, below in itertools.pairwise(domains))
    assert {trace.xaxis for trace in found.figure.data} == {"x", "x2"}
    assert found.figure.layout.xaxis.range == found.figure.layout.xaxis2.range


def test_lanes_without_records_are_left_out(tmp_path: Path) -> None:
    found = chart(book(tmp_path, Visits=EVERYTHING["Visits"]))
    assert labels(found)[0] == "Trims and visits"
    assert len(_y_axes(found)) == 1


def test_with_nothing_recorded_nothing_is_drawn(tmp_path: Path) -> None:
    empty = book(tmp_path)
    assert time_chart(empty, empty.horses[0]) is None
    assert feet_chart(empty, empty.horses[0]) is None


def test_an_abscess_that_has_not_ended_runs_into_an_arrow_at_the_last_day(tmp_path: Path) -> None:
    bars, arrows, opened = on_lane(chart(book(tmp_path, **EVERYTHING)), "Abscesses")
    spans = dict(zip(bars.base, (x / 86_400_000 for x in bars.x), strict=True))
    assert spans == {"2026-04-01": 9, "2026-06-25": 6}  # both days included
    assert [str(x) for x in arrows.x] == ["2026-07-01"]  # the end of the last day
    assert [str(x) for x in opened.x] == ["2026-04-04"]
    assert "not recorded as comfortable again" in arrows.hovertext[0].replace("<br>", " ")


def test_a_visit_still_to_come_is_not_drawn(tmp_path: Path) -> None:
    drawn = on_lane(chart(book(tmp_path, **EVERYTHING)), "Trims and visits")
    assert sorted(str(x) for trace in drawn for x in trace.x) == ["2026-03-04", "2026-04-02"]
    assert len({trace.marker.symbol for trace in drawn}) == 2


def test_work_is_minutes_a_day_without_turnout(tmp_path: Path) -> None:
    (bars,) = on_lane(chart(book(tmp_path, **EVERYTHING)), "Work")
    assert dict(zip(map(str, bars.x), bars.y, strict=True)) == {"2026-05-01": 15, "2026-05-03": 20}


def test_the_weeks_are_counted_from_the_first_shoes_off() -> None:
    ticks = week_ticks(Span(day("2026-03-04"), day("2026-06-30")), day("2026-03-04"), 12)
    assert ticks[0] == (day("2026-03-04"), "week 0")
    assert [((when - day("2026-03-04")).days, int(text.removeprefix("week "))) for when, text in ticks] == [
        (7 * week, week) for week in range(0, 17, 2)
    ]


def test_weeks_before_the_first_record_are_not_counted_on_the_axis() -> None:
    ticks = week_ticks(Span(day("2026-06-01"), day("2026-06-30")), day("2024-06-03"), 5)
    assert [text for _, text in ticks] == ["week 104", "105", "106", "107", "108"][: len(ticks)]
    assert all(when >= day("2026-06-01") for when, _ in ticks)


def test_each_pair_has_its_line_and_both_together_have_one() -> None:
    days = Span(day("2026-01-01"), day("2026-06-30"))
    both = {"front": day("2026-03-04"), "hind": day("2026-03-04")}
    apart = {"front": day("2026-03-04"), "hind": day("2026-02-01")}
    assert off_days(both, days) == [(day("2026-03-04"), "shoes off")]
    assert off_days(apart, days) == [
        (day("2026-02-01"), "hind shoes off"),
        (day("2026-03-04"), "front shoes off"),
    ]
    assert off_days({"front": None, "hind": day("2020-01-01")}, days) == []


def test_shoes_off_long_ago_do_not_squeeze_the_records_into_a_corner() -> None:
    near = span(day("2026-03-20"), ON, day("2026-03-04"))
    far = span(day("2026-03-20"), ON, day("2020-03-04"))
    assert near.start == day("2026-03-04")
    assert far.start == day("2026-03-20")


HOOVES = """
  Date       | Foot | Stage       | Measured with | Toe angle | Heel angle | Checked on the live horse
  2026-03-04 | LF   | before trim | gauge         | 48        | 36         |
  2026-03-04 | LF   | after trim  | gauge         | 50        | 38         |
  2026-04-08 | LF   | after trim  | photo         | 51        | 39         |
  2026-04-08 | RF   | after trim  | photo         | 52        | 40         | yes
  2026-04-08 | LH   | after trim  | gauge         | 54        |            |
"""


def feet(book: Book) -> Chart:
    found = feet_chart(book, book.horses[0])
    assert found is not None
    return found


def test_the_four_feet_stand_in_their_places_on_one_scale(tmp_path: Path) -> None:
    found = feet(book(tmp_path, Hooves=HOOVES))
    layout = found.figure.layout
    titles = {
        re.sub(r"<.*?>", "", note.text): (note.x, note.y) for note in layout.annotations if "<b>" in note.text
    }
    assert (
        titles["Left front"][0]
        == titles["Left hind"][0]
        < titles["Right front"][0]
        == titles["Right hind"][0]
    )
    assert titles["Left front"][1] == titles["Right front"][1] > titles["Left hind"][1]
    assert len({axis.range for axis in _y_axes(found)}) == 1
    assert len({layout[f"xaxis{number}"].range for number in ("", "2", "3", "4")}) == 1


def test_a_pair_that_was_never_measured_takes_no_room(tmp_path: Path) -> None:
    fronts = "\n".join(line for line in HOOVES.splitlines() if "| LH " not in line)
    assert len(_y_axes(feet(book(tmp_path, Hooves=fronts)))) == 2


def test_the_bars_are_the_errors_within_which_19_of_20_lie(tmp_path: Path) -> None:
    """1.96 standard deviations: JCGM 100:2008 (GUM), table G.1, 95 per cent of a normal distribution."""
    opened = book(tmp_path, Hooves=HOOVES)
    drawn = {
        (str(x), y): bar
        for trace in feet(opened).figure.data
        for x, y, bar in zip(trace.x, trace.y, trace.error_y.array, strict=True)
    }
    record = next(
        r for r, _ in opened.horses[0].feet if r.foot == "LF" and r.measures["toe_angle"].value == 50
    )
    assert drawn[("2026-03-04", 50.0)] == pytest.approx(1.96 * record.measures["toe_angle"].sd)


def test_a_photo_that_nobody_checked_is_hollow_and_before_the_trim_is_paler(tmp_path: Path) -> None:
    traces = feet(book(tmp_path, Hooves=HOOVES)).figure.data
    marks = {
        y: (symbol, trace.opacity, trace.mode)
        for trace in traces
        for y, symbol in zip(trace.y, trace.marker.symbol, strict=True)
    }
    assert marks[50.0] == ("circle", 1, "lines+markers")
    assert marks[51.0] == ("circle-open", 1, "lines+markers")
    assert marks[52.0] == ("circle", 1, "lines+markers")
    assert marks[39.0] == ("square-open", 1, "lines+markers")
    symbol, opacity, mode = marks[48.0]
    assert (symbol, mode) == ("circle", "markers")
    assert opacity < 0.6


@pytest.mark.parametrize("narrow", [False, True])
def test_no_chart_can_be_dragged_zoomed_or_sent_away(tmp_path: Path, narrow: bool) -> None:
    opened = book(tmp_path, **EVERYTHING, Hooves=HOOVES)
    horse = opened.horses[0]
    for found in (time_chart(opened, horse, narrow=narrow), feet_chart(opened, horse, narrow=narrow)):
        assert found is not None
        layout = found.figure.layout.to_plotly_json()
        axes = [axis for name, axis in layout.items() if re.match(r"[xy]axis", name)]
        assert all(axis["fixedrange"] for axis in axes)
        assert layout["dragmode"] is False
        assert layout["showlegend"] is False
        assert layout["height"] == found.height
        assert layout["paper_bgcolor"] == layout["plot_bgcolor"] == "rgba(0,0,0,0)"
    for key, value in {
        "displayModeBar": False, "showSendToCloud": False, "plotlyServerURL": "", "scrollZoom": False,
        "responsive": True,
    }.items():  # fmt: skip
        assert GRAPH_CONFIG[key] == value


def test_the_summary_names_the_span_and_the_lanes(tmp_path: Path) -> None:
    summary = chart(book(tmp_path, **EVERYTHING)).summary
    assert "4 Mar 2026 to 30 Jun 2026" in summary
    assert "Left front grade, scale 0-5" in summary
    assert "Abscesses" in summary


# Colours


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Contrast ratio. Source: WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def sides() -> list[dict[str, str]]:
    """The page's colours: light, dark, and on paper."""
    blocks = re.findall(r":root \{(.*?)\}", CSS.read_text(), re.DOTALL)
    light, dark, paper = [dict(re.findall(r"--(\w+): (#\w{6})", block)) for block in blocks]
    return [light, light | dark, light | paper]


def test_contrast_is_computed_as_published() -> None:
    """White on black is 21 to 1, and #767676 on white just passes 4.5 to 1 (WCAG 2.2, understanding 1.4.3)."""
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_every_text_can_be_read_on_every_page() -> None:
    """4.5 to 1 for text: WCAG 2.2, 1.4.3."""
    for side in sides():
        for name in ("ink", "soft", "link"):
            assert contrast(side[name], side["paper"]) >= 4.5, (name, side["paper"])


def test_every_mark_can_be_told_from_every_page() -> None:
    """3 to 1 for graphical objects: WCAG 2.2, 1.4.11."""
    for side in sides():
        for name in ("now", "today", "week", "visit"):
            assert contrast(side[name], side["paper"]) >= 3, (name, side["paper"])
        for colour in (looks.BLUE, looks.VERMILLION, looks.GREEN, looks.PURPLE, looks.GREY):
            assert round(contrast(colour, side["paper"]), 1) >= 3, (colour, side["paper"])


def test_colours_are_of_the_published_set() -> None:
    """Okabe and Ito 2008, Color Universal Design: blue, vermillion, bluish green, reddish purple (RGB, from memory)."""
    published = {(0, 114, 178), (213, 94, 0), (0, 158, 115), (204, 121, 167)}
    used = (looks.BLUE, looks.VERMILLION, looks.GREEN, looks.PURPLE)
    assert {tuple(int(colour[place : place + 2], 16) for place in (1, 3, 5)) for colour in used} == published
