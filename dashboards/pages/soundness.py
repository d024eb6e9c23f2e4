"""The grades of one horse: whether it is getting worse, its progress, every way of looking, the pain relief."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.pages.progress import progress_section
from dashboards.pages.worsening import worsening_section
from dashboards.parts import table
from tracker.show import words
from tracker.show.shapes import HorseView, SeriesView, limb_words


def soundness_sections(view: HorseView) -> list[Any]:
    """Everything that rests on the notes of how the horse moves."""
    return [
        *worsening_section(view.worsening),
        *progress_section(view.progress),
        _soundness(view),
        _relief(view),
    ]


def _soundness(view: HorseView) -> html.Section:
    rows = [
        (
            limb_words(found.limb),
            found.looked,
            _counted(found),
            f"{found.last}, {words.day(found.last_day)}{' (under pain relief)' if found.last_masked else ''}",
        )
        for found in view.series
    ]
    if not rows:
        return html.Section(
            [html.H2("Soundness notes"), html.P("None yet. Write the first on the Soundness sheet.")]
        )
    return html.Section(
        [
            html.H2("Soundness notes"),
            html.P("Only grades seen the same way, on the same scale, are set side by side."),
            table(("Limb", "How looked at", "How many", "Last"), rows, "Soundness notes", "soundness"),
        ]
    )


def _counted(found: SeriesView) -> str:
    masked = ""
    if found.masked:
        share = (
            "" if found.count == 1 else "all " if found.masked == found.count else f"{found.masked} of them "
        )
        masked = f", {share}under pain relief"
    return f"{found.count} grade{'' if found.count == 1 else 's'}, scale {found.scale}{masked}"


def _relief(view: HorseView) -> html.Section | str:
    if not view.relief:
        return ""
    return html.Section([html.H2("Pain relief"), html.Ul([html.Li(course) for course in view.relief])])
