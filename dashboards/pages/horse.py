"""One horse: what needs doing now, then what happened, then everything else."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.pages.abscesses import abscess_section
from dashboards.pages.body import body_section
from dashboards.pages.feet import feet_section
from dashboards.pages.new_horn import growth_section
from dashboards.pages.progress import progress_section
from dashboards.pages.trims import trims_section
from dashboards.pages.worsening import worsening_section
from dashboards.parts import HORSE_PATH, Page, horse_href, lead, legend, link, picture, table, warning
from tracker import Book
from tracker.show import words
from tracker.show.charts import Chart, time_chart
from tracker.show.foot_growth import LinesOf, no_lines
from tracker.show.shapes import HorseView, SeriesView, horse_view, limb_words, shown_name

PATH = HORSE_PATH
shown = shown_name


def layout(book: Book, name: str, narrow: bool, lines: LinesOf = no_lines) -> Page:
    """The page of the horse of that name; one that says so where there is none. `lines` as for `foot_pictures`."""
    record = book.horse(name)
    if record is None:
        return _unknown(book, name)
    view = horse_view(record, book.as_of)
    chart = time_chart(book, record, narrow=narrow)
    return Page(
        view.name,
        [
            _now(view),
            html.P([html.Span(text) for text in view.since], className="since"),
            _what_happened(chart, view),
            *worsening_section(view.worsening),
            *progress_section(view.progress),
            *feet_section(book, record, view, narrow, lines),
            *growth_section(book, record, view.growth, narrow),
            *trims_section(record, view.trims, narrow),
            abscess_section(view.abscesses),
            *body_section(view.body),
            _soundness(view),
            _relief(view),
        ],
    )


def _unknown(book: Book, name: str) -> Page:
    links = [html.Li(link(shown(horse.name), horse_href(horse.name))) for horse in book.horses]
    return Page(
        "There is no such horse",
        [
            lead(f"{book.path.name} has no horse named {name}."),
            html.P("Its horses are:") if links else "",
            html.Ul(links),
        ],
    )


def _now(view: HorseView) -> html.Section:
    told: list[Any] = [warning(found) for found in view.warnings]
    if not told:
        told = [
            html.P(words.NO_WARNING),
            html.P(link("What the program watches", "/warnings")),
        ]
    return html.Section([html.H2("What needs doing now"), *told], className="now")


def _what_happened(chart: Chart | None, view: HorseView) -> html.Section:
    if chart is None:
        text = "Nothing to draw yet. The first note on the Soundness sheet starts the chart."
        return html.Section([html.H2("What happened"), html.P(text)])
    return html.Section([html.H2("What happened"), picture("time-chart", chart, _legend(view))])


def _legend(view: HorseView) -> list[Any]:
    told = [
        "Hollow: under pain relief, so it may look better than it is. The grey line joins grades seen the same way; "
        "it stops at pain relief and where nothing was noted for six weeks."
    ]
    if view.late:
        told.append("With a dot: written down days later, from memory.")
    if view.episodes:
        told.append("An abscess runs to the first comfortable day; the diamond is the day it opened.")
    if view.relief:
        told.append("The thin bar after pain relief: it may still make the horse look better.")
    if view.episodes or view.relief:
        told.append("An arrow: no end is written down.")
    if view.body.trends:
        told.append("A line through a weight: its measuring error.")
    marks = (("●", "trot"), ("■", "walk"), ("◆", "stand"), ("▲", "gait not given"))
    return ([legend(*marks)] if view.series else []) + [" ".join(told)]


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
