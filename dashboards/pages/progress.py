"""What the notes show of one horse's progress since the shoes came off."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.parts import table
from tracker.show.progress import PEOPLE_NOTE, WRITTEN_NOTE, ProgressView, WayView


def progress_section(view: ProgressView) -> list[Any]:
    """The ways of looking that have enough notes, who agrees, how it was written; nothing where there is none."""
    if not view:
        return []
    return [
        html.Section(
            [
                html.H2("Progress"),
                *(html.Div(_way(way), className="way") for way in view.ways),
                *([html.P(view.note, className="small note")] if view.note else []),
                *([html.P(_more(view.more), className="small")] if view.more else []),
                *_people(view),
                *_written(view),
            ]
        )
    ]


def _way(way: WayView) -> list[Any]:
    rows = [(month.month, month.grade, month.notes) for month in way.months]
    headings = ("Month since shoes off", "Middle grade", "Days noted")
    by_month = html.Details(
        [html.Summary("Month by month"), table(headings, rows, f"Months: {way.looked}", "months")]
    )
    return [html.H3(way.looked), *[html.P(text) for text in way.told], *([by_month] if rows else [])]


def _more(number: int) -> str:
    ways = "way of looking has" if number == 1 else "ways of looking have"
    return f"{number} more {ways} enough notes; the command soundness review --json has them all."


def _people(view: ProgressView) -> list[Any]:
    if not view.people:
        return []
    return [
        html.H3("Two people, one day", className="note"),
        *[html.P(text) for text in view.people],
        html.P(PEOPLE_NOTE, className="small"),
    ]


def _written(view: ProgressView) -> list[Any]:
    if not view.written:
        return []
    return [
        html.H3("Written on the day", className="note"),
        html.P(view.written),
        html.P(WRITTEN_NOTE, className="small"),
    ]
