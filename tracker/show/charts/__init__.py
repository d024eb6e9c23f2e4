"""The pictures: everything on one time axis, and the angles of the four feet. Only here is plotly imported."""

from __future__ import annotations

from tracker.show.charts.feet_chart import feet_chart
from tracker.show.charts.style import GRAPH_CONFIG, Chart
from tracker.show.charts.time_chart import time_chart

__all__ = ["GRAPH_CONFIG", "Chart", "feet_chart", "time_chart"]
