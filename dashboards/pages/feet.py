"""The four feet of one horse, in their places: what was measured, its error, and how it changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from dash import html

from dashboards.changes import change_choice
from dashboards.parts import attributes, drawing, legend, picture
from tracker import Book, HorseRecord
from tracker.show.charts import Chart, feet_chart
from tracker.show.foot import HOW_DRAWN, FootPicture, foot_pictures
from tracker.show.foot_growth import LinesOf, no_lines
from tracker.show.shapes import FootView, HorseView, MeasureView, MoveView

_DERIVED = "from "
_FIRST = ("toe_angle", "heel_angle", "toe_length", "heel_length")
"""What a narrow screen shows at once."""
_PAIRS = (("The fronts compared", 0, 2), ("The hinds compared", 2, 4))


def feet_section(
    book: Book, record: HorseRecord, view: HorseView, narrow: bool, lines: LinesOf = no_lines
) -> list[Any]:
    """The tables of the four feet, left and right compared, and the chart of their angles."""
    if not any(foot.when for foot in view.feet):
        text = (
            "Nothing measured yet. One row a foot on the Hooves sheet, at each trim, shows how they change."
        )
        return [html.Section([html.H2("The four feet"), html.P(text)])]
    chart = feet_chart(book, record, narrow=narrow)
    drawn = foot_pictures(record, lines)
    return [
        html.Section(
            [
                html.H2("The four feet"),
                html.Div([_foot(foot, drawn.get(foot.foot), narrow) for foot in view.feet], className="feet"),
                html.P(HOW_DRAWN, className="small note") if drawn else "",
                _note(view.feet),
                *_compared(view.feet),
                _explained(view.feet),
            ]
        ),
        *([_angles(chart, view)] if chart else []),
    ]


def _angles(chart: Chart, view: HorseView) -> html.Section:
    caption = [
        legend(("●", "toe"), ("■", "heel")),
        "Bars: the measuring error. Paler: before the trim. "
        "Hollow: from a photo, not yet checked on the live foot; the line is dashed then.",
    ]
    return html.Section(
        [
            html.H2("Toe and heel angles"),
            *change_choice(view.work),
            picture("feet-chart", chart, caption),
        ]
    )


def _foot(foot: FootView, drawn: FootPicture | None, narrow: bool) -> html.Article:
    if not foot.when:
        return html.Article(
            [html.H3(foot.title), html.P("Not measured yet.", className="soft")], className="foot"
        )
    main = [measure for measure in foot.measures if measure.main and (not narrow or measure.key in _FIRST)]
    other = [measure for measure in foot.measures if measure not in main]
    parts: list[Any] = [html.H3([foot.title, html.Span(foot.when, className="when")])]
    parts += _drawn(drawn) if drawn else []
    parts += [_measures(main, f"{foot.title}: measures")] if main else []
    if other:
        label = f"{len(other)} more measure{'' if len(other) == 1 else 's'}"
        more = _measures(other, f"{foot.title}: more measures")
        parts.append(html.Details([html.Summary(label), more], id=f"more-{foot.foot}"))
    return html.Article(parts, className="foot")


def _drawn(drawn: FootPicture) -> list[Any]:
    return [drawing(drawn.svg, drawn.alt), *(html.P(note, className="small") for note in drawn.notes)]


def _measures(measures: Sequence[MeasureView], name: str) -> html.Table:
    last, first = (_usual_day(measures, which) for which in ("last", "first"))
    headings: list[Any] = ["Measure", "Now"]
    if last:
        headings += [_since("Since last time", last), _since("Since the first", first)]
    return html.Table(
        [
            html.Thead(html.Tr([html.Th(heading, scope="col") for heading in headings])),
            html.Tbody([_measure(measure, last, first) for measure in measures]),
        ],
        className="measures",
        **attributes(aria_label=name),
    )


def _usual_day(measures: Sequence[MeasureView], which: str) -> str:
    """The day that most changes count from: said once, in the heading."""
    days = Counter(move.since for measure in measures if (move := getattr(measure, which)))
    return days.most_common(1)[0][0] if days else ""


def _since(text: str, day: str) -> list[Any]:
    return [text, html.Div(day, className="small")]


def _measure(measure: MeasureView, last: str, first: str) -> html.Tr:
    now = html.Span(_unbroken(measure.value), className="provisional" if measure.provisional else "value")
    cells = [
        html.Th(measure.name, scope="row"),
        html.Td([now, html.Div(_way(measure), className="small")]),
    ]
    if last:
        cells += [_move(measure.last, last), _move(measure.first, first)]
    return html.Tr(cells)


def _unbroken(value: str) -> str:
    """A value breaks only before its error, never between a figure and its unit."""
    return value.replace(" ", "\u00a0").replace("\u00a0±", " ±")


def _way(measure: MeasureView) -> str:
    way = "worked out" if measure.how.startswith(_DERIVED) else measure.how.partition(",")[0]
    return f"{way}, not yet checked" if measure.provisional else way


def _move(move: MoveView | None, usual: str) -> html.Td:
    if move is None:
        return html.Td()
    told = "beyond the error" if move.beyond_error else "within the error"
    since = "" if move.since == usual else f", since {move.since}"
    return html.Td(
        [
            html.Span(_unbroken(move.moved), className="moved" if move.beyond_error else "still"),
            html.Div(f"{told}{since}", className="small"),
        ],
        **attributes(data_label=f"since {move.since}"),
    )


def _explained(feet: Sequence[FootView]) -> html.Details | str:
    """What each measure is, once for all four feet."""
    told: dict[str, str] = {}
    for measure in (measure for foot in feet for measure in foot.measures):
        worked_out = measure.how.partition(" (")[0] if measure.how.startswith(_DERIVED) else ""
        told.setdefault(measure.name, "; ".join(filter(None, (measure.explained, worked_out))))
    rows = [part for name, text in told.items() if text for part in (html.Dt(name), html.Dd(text))]
    if not rows:
        return ""
    return html.Details([html.Summary("How the measures are worked out"), html.Dl(rows)], id="worked-out")


def _note(feet: Sequence[FootView]) -> html.P | str:
    if any(measure.provisional for foot in feet for measure in foot.measures):
        return html.P("In italics: from a photo, not yet checked on the live foot.", className="small note")
    return ""


def _compared(feet: Sequence[FootView]) -> list[Any]:
    told = []
    for title, first, last in _PAIRS:
        lines = dict.fromkeys(line for foot in feet[first:last] for line in foot.differences)
        if lines:
            told.append(html.Div([html.H3(title), html.Ul([html.Li(line) for line in lines])]))
    return [html.Div(told, className="compared")] if told else []
