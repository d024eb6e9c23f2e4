"""The pictures: everything on one time axis, or one part of it, the feet's angles, growth marks, days since the trim. Only here is plotly imported."""

from __future__ import annotations

from tracker.show.charts.cycle_chart import cycle_chart, grade_cycle_chart
from tracker.show.charts.feet_chart import feet_chart
from tracker.show.charts.marks_chart import marks_chart
from tracker.show.charts.part_chart import part_chart
from tracker.show.charts.style import GRAPH_CONFIG, Chart
from tracker.show.charts.time_chart import time_chart

__all__ = [
    "GRAPH_CONFIG",
    "Chart",
    "cycle_chart",
    "feet_chart",
    "grade_cycle_chart",
    "marks_chart",
    "part_chart",
    "time_chart",
]
