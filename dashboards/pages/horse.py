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
from dashboards.pages.work import change_choice, change_list, work_section
from dashboards.pages.worsening import worsening_section
from dashboards.parts import HORSE_PATH, Page, attributes, horse_href, lead, legend, link, picture, table
from dashboards.warned import history, now_section
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
            now_section(book, record.name, view),
            html.P([html.Span(text) for text in view.since], className="since"),
            *_in_parts(
                {
                    "What happened": [_what_happened(chart, view)],
                    "Getting worse?": worsening_section(view.worsening),
                    "Progress": progress_section(view.progress),
                    "Feet": feet_section(book, record, view, narrow, lines),
                    "Growth": growth_section(book, record, view.growth, narrow),
                    "Trims": trims_section(record, view.trims, narrow),
                    "Abscesses": [abscess_section(view.abscesses)],
                    "Work": work_section(view.work),
                    "Body": body_section(view.body),
                    "Notes": [_soundness(view), _relief(view), history(view)],
                }
            ),
        ],
    )


def _in_parts(parts: dict[str, list[Any]]) -> list[Any]:
    """The parts of the page below a list of links to each; those that have nothing to say are left out."""
    told = {name: body for name, body in parts.items() if any(body)}
    ids = {name: name.lower().strip("?").replace(" ", "-") for name in told}
    links = [html.Li(html.A(name, href=f"#{ids[name]}")) for name in told]
    return [
        html.Nav(html.Ul(links), className="parts", **attributes(aria_label="On this page")),
        *(html.Div(body, id=ids[name], className="part", tabIndex=-1) for name, body in told.items()),
    ]


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
