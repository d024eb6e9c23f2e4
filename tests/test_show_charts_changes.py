"""Changes on every chart by date: a mark and a line each, by kind, so that each kind can be hidden."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from test_show_charts import EVERYTHING, HOOVES, Chart, book, chart, feet

from tracker.show.charts import marks_chart

MARKED = """
  Date       | Foot | Growth mark | Growth mark below hairline | Measured with
  2026-03-10 | LF   | notch       | 10                         | ruler
  2026-05-10 | LF   | notch       | 26                         | ruler
"""
CHANGED = """
  Date       | Kind    | What
  2026-02-01 | weather | long before
  2026-03-20 | feed    | less <b>grass</b>
  2026-03-25 | feed    | hay
  2026-04-05 | turnout | bigger field
"""


def heads(found: Chart) -> dict[str, list[str]]:
    """The days of each kind's marks; of several panels the last."""
    return {
        trace.name.removeprefix("change "): [str(when) for when in trace.x]
        for trace in found.figure.data
        if (trace.name or "").startswith("change ")
    }


def lines(found: Chart) -> dict[str, set[str]]:
    return {
        shape.name.removeprefix("change "): set(re.findall(r"M (\S+?),", shape.path))
        for shape in found.figure.layout.shapes
        if (shape.name or "").startswith("change ")
    }


def test_the_time_chart_has_a_row_and_a_line_for_each_kind(tmp_path: Path) -> None:
    found = chart(book(tmp_path, **EVERYTHING))
    assert heads(found) == {"feed": ["2026-03-20"], "turnout": ["2026-04-20"]}
    assert lines(found) == {kind: set(days) for kind, days in heads(found).items()}


@pytest.mark.parametrize("which", ["feet", "marks"])
def test_the_other_charts_by_date_have_those_within_their_days(tmp_path: Path, which: str) -> None:
    own = book(tmp_path, Hooves=HOOVES if which == "feet" else MARKED, Changes=CHANGED)
    found = feet(own) if which == "feet" else marks_chart(own, own.horses[0])
    assert found is not None
    assert heads(found) == {"feed": ["2026-03-20", "2026-03-25"], "turnout": ["2026-04-05"]}
    assert lines(found) == {kind: set(days) for kind, days in heads(found).items()}
    told = next(trace for trace in found.figure.data if trace.name == "change feed").hovertext[0]
    assert "Change of feed" in told
    assert "less &lt;b&gt;grass" in told


def test_on_a_narrow_screen_no_line_runs_through_the_words_between_the_lanes(tmp_path: Path) -> None:
    found = chart(book(tmp_path, **EVERYTHING), narrow=True)
    shape = next(shape for shape in found.figure.layout.shapes if shape.name == "change feed")
    spans = [tuple(map(float, ends)) for ends in re.findall(r"M \S+?,(\S+) L \S+?,(\S+)", shape.path)]
    lanes = [axis.domain for axis in found.figure.select_yaxes() if axis.domain]
    assert spans == [pytest.approx(domain, abs=1e-5) for domain in lanes]


def test_the_plan_stands_as_a_line_over_the_minutes(tmp_path: Path) -> None:
    plan = """
      Step | From       | Until      | What | Minutes a day
      1    | 2026-05-01 | 2026-05-07 | walk | 30
      2    | 2026-07-01 |            | walk | 40
    """
    found = chart(book(tmp_path, **EVERYTHING, Plan=plan))
    (line,) = [trace for trace in found.figure.data if trace.type == "scatter" and trace.line.dash == "dash"]
    assert ([str(when) for when in line.x], [*line.y]) == (["2026-05-01", "2026-05-08"], [30, 30])
    (bars,) = [
        trace for trace in found.figure.data if trace.type == "bar" and "hand-walk" in str(trace.hovertext)
    ]
    assert "the plan, step 1: 30 minutes" in bars.hovertext[0]
