"""The few parts that pages are built of: a page, a lead sentence, a link, a warning, a table, a picture."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from dash import dcc, html

from dashboards.cells import told
from tracker.show import words
from tracker.show.charts import GRAPH_CONFIG, Chart
from tracker.show.contact import Contact
from tracker.show.shapes import WarningView

HORSE_PATH = "/horse/"
SHARE_PATH = "/share"
NO_BREAK = "\u00a0"

# The word comes with a shape, and the shape with a colour; see the style sheet.
URGENT = ("now", "same day")
URGENCY_SHAPES = {"now": "▲", "same day": "◆", "within a week": "■", "next visit": "●"}


@dataclass(frozen=True, slots=True)
class Page:
    """A page's title, which is its heading too, and what stands below it.

    `holds_entry`: somebody may be typing in it, so it is not drawn anew while it is open.
    """

    title: str
    body: Sequence[Any]
    holds_entry: bool = False


def attributes(**named: str) -> Any:
    """Attributes of an element whose names hold a dash, such as aria_label="The horses"."""
    return {name.replace("_", "-"): value for name, value in named.items()}


def lead(text: str) -> html.P:
    """The one sentence that a page begins with."""
    return html.P(text, className="lead")


def marked(text: str) -> list[Any]:
    """A sentence in which what stands between backticks is a command."""
    return [html.Code(part) if number % 2 else part for number, part in enumerate(text.split("`"))]


def link(text: str, href: str) -> dcc.Link:
    """A link to another page."""
    return dcc.Link(text, href=href)


def horse_href(name: str, part: str = "") -> str:
    """The address of a horse's first page, or of that of one part of its record, such as "feet"."""
    own = HORSE_PATH + quote(name, safe="")
    return f"{own}/{part}" if part else own


def share_href(name: str) -> str:
    """The address of the page that makes a letter about a horse."""
    return f"{SHARE_PATH}/{quote(name, safe='')}"


def urgency(view_urgency: str, headline: str) -> html.Span:
    """How urgent: a shape, its colour, and the words."""
    return html.Span(
        [
            html.Span(URGENCY_SHAPES[view_urgency], className="shape", **attributes(aria_hidden="true")),
            headline,
        ],
        className=f"urgency {view_urgency.replace(' ', '-')}",
    )


def warning(view: WarningView, *more: Any) -> html.Article:
    """One warning: what to do, why, since when, which cells, and who says so; then what is to stand below it."""
    state = [html.Span(view.state, className="state")] if view.state else []
    few, all_cells = told(view.cells)
    return html.Article(
        [
            html.H3(
                [
                    urgency(view.urgency, view.headline),
                    html.Span(rule_name(view.rule), className="rule"),
                    *state,
                ]
            ),
            html.P(view.because),
            html.P(view.to_do, className="to-do"),
            *([html.P(f"Until then: {view.waiting}")] if view.waiting else []),
            html.P(
                f"Since {view.since}. {few}Source: {view.source} ({view.sure}).",
                className="small",
            ),
            *all_cells,
            *more,
        ],
        className=f"warning {view.urgency.replace(' ', '-')}",
    )


def ring(vet: Contact) -> list[Any]:
    """The vet's number, to be tapped; nothing where none is known."""
    if not vet.phone:
        return []
    said = f"Ring {vet.name or 'the vet'}: {vet.phone.replace(' ', NO_BREAK)}"
    return [html.P(html.A(said, href=f"tel:{vet.dial}", className="ring") if vet.dial else said)]


def rule_name(slug: str) -> str:
    """A rule's name in words: "trim past 8 weeks"."""
    return words.warning_name(slug)


def table(headings: Sequence[str], rows: Iterable[Sequence[Any]], name: str, look: str = "") -> html.Table:
    """A table whose rows become cards on a narrow screen; each cell then names its own heading."""
    return html.Table(
        [
            html.Thead(
                html.Tr([html.Th(text, scope="col", role="columnheader") for text in headings], role="row")
            ),
            html.Tbody(
                [
                    html.Tr(
                        [
                            html.Td(html.Div(cell), role="cell", **attributes(data_label=text))
                            for text, cell in zip(headings, row, strict=True)
                        ],
                        role="row",
                    )
                    for row in rows
                ],
                role="rowgroup",
            ),
        ],
        className=f"cards {look}".strip(),
        role="table",
        **attributes(aria_label=name),
    )


def legend(*marks: tuple[str, str]) -> html.Div:
    """What the marks of a picture mean: each with its words, never torn apart."""
    return html.Div([html.Span(f"{mark}\u00a0{text}") for mark, text in marks], className="legend")


def picture(name: str, chart: Chart, caption: Sequence[Any]) -> html.Figure:
    """A chart with a caption, and with its summary for those who cannot see it."""
    config: Any = GRAPH_CONFIG
    graph = dcc.Graph(
        id=name,
        figure=chart.figure,
        config=config,
        style={"height": f"{chart.height}px"},
        responsive=True,
    )
    return html.Figure(
        [html.Div(graph, role="img", **attributes(aria_label=chart.summary)), html.Figcaption(list(caption))],
        className="picture",
    )


def drawing(svg: str, alt: str) -> html.Img:
    """An SVG of our own as a picture: nothing in it can act, and it takes the light or dark side by itself."""
    address = "data:image/svg+xml;base64," + b64encode(svg.encode()).decode("ascii")
    return html.Img(src=address, alt=alt, className="drawing")
