"""A horse's abscesses: their dates, what stands around each, how often they came."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.changes import part_picture
from dashboards.parts import table
from tracker.show.abscesses import COMPARED_NOTE, NOTE, OFTEN_NOTE, AbscessesView, StoryView
from tracker.show.charts import Chart
from tracker.show.work import WorkView

_CAPTION = (
    "An abscess runs to the first comfortable day; the diamond is the day it opened, an arrow: no end is written down. "
    "Trims, changes and pain relief stand beside it by date, which makes none of them the cause."
)


def abscess_section(view: AbscessesView, work: WorkView, chart: Chart | None) -> html.Section:
    """Every episode, the newest first; that none was written down where there is none."""
    if not view:
        return html.Section([html.H2("Abscesses"), html.P("None written down.")])
    rows = [
        (one.foot.capitalize(), one.first_seen, one.opened, one.comfortable, one.lasted)
        for one in view.stories
    ]
    headings = ("Foot", "First seen", "Opened", "Comfortable again", "Lasted")
    return html.Section(
        [
            html.H2("Abscesses"),
            table(headings, rows, "Abscesses"),
            *part_picture("abscess-chart", chart, work, _CAPTION),
            *(html.Div(_story(one), className="way") for one in view.stories if one.told),
            *_often(view),
            html.P(NOTE, className="small note"),
            *([html.P(OFTEN_NOTE, className="small")] if view.often else []),
        ]
    )


def _story(one: StoryView) -> list[Any]:
    return [html.H3(one.title), *(html.P(text) for text in one.told)]


def _often(view: AbscessesView) -> list[Any]:
    if not view.often:
        return []
    told: list[Any] = [html.H3("How often"), *(html.P(text) for text in view.often)]
    if view.compared:
        rows = [(one.what, one.before, one.after, one.ratio) for one in view.compared]
        days = table(
            ("From this day", "Before", "After", "Later rate, of the earlier"),
            rows,
            "Before and after a day",
            "before-after",
        )
        summary = html.Summary("Before and after each change that was written down")
        told.append(html.Details([summary, days, html.P(COMPARED_NOTE, className="small")]))
    return [html.Div(told, className="way")]
