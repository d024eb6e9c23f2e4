"""A horse's body: weight, condition and crest with their error, vital signs beside published and usual values."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.changes import part_picture
from dashboards.parts import table
from tracker.show.body import VITALS_NOTE, BodyView
from tracker.show.charts import Chart
from tracker.show.work import WorkView

_CAPTION = (
    "A line through a point: its measuring error. Grey bands: the range published for grown horses at rest. Dotted: the "
    "usual value of this horse. Hollow: under pain relief, which lowers fever and heart rate."
)


def body_section(view: BodyView, work: WorkView, chart: Chart | None) -> list[Any]:
    """What was noted on the Body sheet; nothing where nothing was."""
    if not view:
        return []
    drawn = part_picture("body-chart", chart, work, _CAPTION)
    return [html.Section([html.H2("Body"), *_trends(view), *_vitals(view), *drawn])]


def _trends(view: BodyView) -> list[Any]:
    if not view.trends:
        return []
    rows = [(one.name, one.value, one.when, one.told) for one in view.trends]
    return [
        table(("What", "Last", "Day", "How it went"), rows, "Weight and condition", "body"),
        html.P(view.note, className="small note"),
    ]


def _vitals(view: BodyView) -> list[Any]:
    if not view.vitals:
        return []
    rows = [(one.name, one.value, one.when, one.published, one.usual, one.told) for one in view.vitals]
    headings = ("At rest", "Last", "Day", "Published", "Usual for this horse", "To notice")
    return [
        table(headings, rows, "Temperature, heart and breathing rate", "vitals"),
        html.P(VITALS_NOTE, className="small note"),
    ]
