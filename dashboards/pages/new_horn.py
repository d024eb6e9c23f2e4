"""How fast the wall grows, how much of it is new, and how the newer stands against the older."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.changes import change_choice
from dashboards.parts import attributes, picture, table
from tracker import Book, HorseRecord
from tracker.show.charts import marks_chart
from tracker.show.growth import GrowthView, PartView
from tracker.show.shapes import HorseView

_CAPTION = (
    "Points: how far a mark was below the hairline, with the measuring error. Line and band: the foot's rate and the range "
    "that holds it 19 times in 20. Grey: where a mark should lie by the rate that is reckoned with, while its foot has none."
)


def growth_section(book: Book, record: HorseRecord, horse: HorseView, narrow: bool) -> list[Any]:
    """The rates, what is new horn, the front wall on photographs; nothing where none is known."""
    view = horse.growth
    if not view:
        return []
    chart = marks_chart(book, record, narrow=narrow)
    drawn = [*change_choice(horse.work), picture("marks-chart", chart, [_CAPTION])] if chart else []
    return [
        html.Section(
            [
                html.H2("Growth"),
                *[html.P(text) for text in view.rates],
                *drawn,
                *_new(view.parts),
                *_walls(view),
                html.Div([html.P(text, className="small") for text in view.notes], className="part"),
            ]
        )
    ]


def _new(parts: tuple[PartView, ...]) -> list[Any]:
    if not parts:
        return []
    rows = [(part.foot, part.part, _share(part), part.all_new, part.rests_on) for part in parts]
    headings = ("Foot", "Part of the wall", "Grown since shoes off", "All new", "Reckoned from")
    new = table(headings, rows, "New horn since the shoes came off", "new-horn")
    return [html.Div([html.H3("New horn"), new], className="part")]


def _share(part: PartView) -> list[Any]:
    """The range in words, and as a band from nothing to all: dark what is new at least, paler what may be."""
    low, high = part.band
    new = [
        html.Span(style={"left": 0, "width": f"{low:.1f}%"}),
        html.Span(className="perhaps", style={"left": f"{low:.1f}%", "width": f"{high - low:.1f}%"}),
    ]
    return [part.share, html.Div(new, className="band", **attributes(aria_hidden="true"))]


def _walls(view: GrowthView) -> list[Any]:
    if not view.walls:
        return []
    told = html.Ul([html.Li(text) for text in view.walls])
    return [html.Div([html.H3("Newer wall against older"), told], className="part")]
