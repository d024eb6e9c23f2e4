"""The changes in a horse's life beside its charts: which of them are marked, and all of them in words."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.parts import attributes, picture
from dashboards.typed import Typed
from tracker.show.charts import Chart
from tracker.show.work import WorkView


def change_choice(view: WorkView) -> list[Any]:
    """A tick for each kind of change: whether its marks are shown on the charts; assets/changes.js does it."""
    ticks = [
        html.Label(
            [Typed(id=f"change-{kind}", type="checkbox", value=kind, defaultChecked=True), html.Span(kind)],
            className="tick",
        )
        for kind in view.change_kinds
    ]
    if not ticks:
        return []
    named = html.Span("Changes marked on the charts:", id="change-kinds-name")
    return [
        html.Div(
            [named, *ticks],
            id="change-kinds",
            role="group",
            **attributes(aria_labelledby="change-kinds-name"),
        )
    ]


def change_list(view: WorkView) -> list[Any]:
    """The same changes in words."""
    if not view.changes:
        return []
    lines = [html.Li(one.said) for one in view.changes]
    number = len(lines)
    summary = f"{number} change{'' if number == 1 else 's'} in words"
    return [html.Details([html.Summary(summary), html.Ul(lines)], id="changes-in-words")]


def part_picture(name: str, chart: Chart | None, view: WorkView, caption: str) -> list[Any]:
    """The chart of a part of the record with the choice of the changes it marks; nothing where there is none."""
    return [*change_choice(view), picture(name, chart, [caption])] if chart else []
