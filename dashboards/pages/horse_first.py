"""The first page of a horse: what needs doing now, where the rest stands, and what happened, in one picture."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.changes import change_choice, change_list
from dashboards.parts import attributes, horse_href, legend, link, picture
from dashboards.warned import now_section
from tracker import Book, HorseRecord
from tracker.show.charts import Chart, time_chart
from tracker.show.contents import PARTS
from tracker.show.shapes import HorseView

# Where older addresses of one long page lead now.
_ANCHORS = {"soundness": ("getting-worse", "progress", "notes")}


def first_page(book: Book, record: HorseRecord, view: HorseView, narrow: bool) -> list[Any]:
    """The warnings, the days since the shoes came off, a line on each part with the way to it, the time chart."""
    return [
        now_section(book, record.name, view),
        html.P([html.Span(text) for text in view.since], className="since"),
        *([_contents(record, view)] if record.name else []),
        _what_happened(time_chart(book, record, narrow=narrow), view),
    ]


def _contents(record: HorseRecord, view: HorseView) -> html.Nav:
    lines = [
        html.Li(
            [
                *(html.Span(id=anchor) for anchor in (part.slug, *_ANCHORS.get(part.slug, ()))),
                link(part.title, horse_href(record.name, part.slug)),
                html.Span(part.said(record, view)),
            ]
        )
        for part in PARTS
    ]
    return html.Nav(html.Ul(lines), className="contents", **attributes(aria_label="What is on record"))


def _what_happened(chart: Chart | None, view: HorseView) -> html.Section:
    if chart is None:
        text = "Nothing to draw yet. The first note on the Soundness sheet starts the chart."
        return html.Section([html.H2("What happened"), html.P(text)])
    return html.Section(
        [
            html.H2("What happened"),
            *change_choice(view.work),
            picture("time-chart", chart, _legend(view)),
            *change_list(view.work),
        ]
    )


def _legend(view: HorseView) -> list[Any]:
    told = [
        "Hollow: under pain relief, so it may look better than it is. The grey line joins grades seen the same way; "
        "it stops at pain relief and where nothing was noted for six weeks."
    ]
    if view.late:
        told.append("With a dot: written down days later, from memory.")
    if view.watched:
        told.append(
            "Level: what the grades lastingly show, less their noise; its band holds it 9 times in 10. "
            "Chance: red is likely worse, amber perhaps worse, grey neither, which is no all-clear."
        )
    if view.episodes:
        told.append("An abscess runs to the first comfortable day; the diamond is the day it opened.")
    if view.relief:
        told.append("The thin bar after pain relief: it may still make the horse look better.")
    if view.episodes or view.relief:
        told.append("An arrow: no end is written down.")
    if view.work.changes:
        told.append("Dotted lines: changes in the horse's life, on the other charts by date too.")
    if view.work.has_planned_minutes:
        told.append("The dashed line at the work: the minutes a day that the plan sets.")
    if view.body.trends:
        told.append("A line through a weight: its measuring error.")
    marks = (("●", "trot"), ("■", "walk"), ("◆", "stand"), ("▲", "gait not given"))
    return ([legend(*marks)] if view.series else []) + [" ".join(told)]
