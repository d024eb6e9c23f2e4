"""Whether a horse is getting worse: how likely, since when, and the grades behind it."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.parts import table
from tracker.show.worsening import NOTE, WatchView, WorseningView


def worsening_section(view: WorseningView) -> list[Any]:
    """Each limb of which something is said, and a leg that changes; nothing where there is neither."""
    if not view:
        return []
    note = [html.P(NOTE, className="small note")] if view.watches else []
    changing = [html.P(view.changing)] if view.changing else []
    watches = [html.Div(_watch(watch), className="way") for watch in view.watches]
    return [html.Section([html.H2("Is it getting worse?"), *watches, *changing, *note])]


def _watch(watch: WatchView) -> list[Any]:
    told: list[Any] = [html.H3(watch.looked), *(html.P(text) for text in watch.told)]
    if watch.grades:
        rows = [(grade.day, grade.grade, grade.told) for grade in watch.grades]
        grades = table(("Day", "Grade", "Noted"), rows, f"Grades: {watch.looked}")
        told.append(html.Details([html.Summary("The grades since then"), grades]))
    return told
