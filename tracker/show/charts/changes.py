"""Changes in a horse's life as marks on the charts by date; each kind can be hidden by itself.

Every mark of a kind bears that kind's name (`mark_name`), by which the page finds it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

import plotly.graph_objects as go

from tracker.book import HorseRecord
from tracker.derive.work.life import LifeChange
from tracker.show.charts.style import GREY, hover, since_words
from tracker.show.charts.time_axis import Span
from tracker.show.work import kinds_of

_Domain = tuple[float, float]
_SYMBOL, _SIZE = "triangle-down", 7


def mark_name(kind: str) -> str:
    """The name of a kind's marks in every chart."""
    return f"change {kind}"


def told(change: LifeChange, day_0: dt.date | None, cell: str = "") -> str:
    """What is said of a change under the pointer."""
    title = f"Change of {change.kind}" if change.kind != "other" else "Change"
    return hover(since_words(change.date, day_0), title, change.what, cell)


def add_change_lines(
    figure: go.Figure, horse: HorseRecord, days: Span, uprights: Sequence[_Domain], axis: str = "x"
) -> None:
    """A dotted line at each change within the days, through those parts of the drawing: one shape a kind."""
    for kind, found in _by_kind(horse, days):
        figure.add_shape(
            type="path",
            name=mark_name(kind),
            path=upright_path([change.date for change in found], uprights),
            xref=axis,
            yref="paper",
            line={"color": GREY, "width": 1, "dash": "dot"},
            opacity=0.7,
            layer="below",
        )


def upright_path(days: Iterable[dt.date], uprights: Sequence[_Domain]) -> str:
    """An SVG path of an upright line at each day, through those parts of the drawing."""
    return " ".join(f"M {day},{low:.5f} L {day},{high:.5f}" for day in days for low, high in uprights)


def add_change_heads(
    figure: go.Figure, horse: HorseRecord, days: Span, place: tuple[str, str, float], day_0: dt.date | None
) -> None:
    """A head on each of those lines that tells what changed; `place`: x axis, y axis, and the height on it."""
    x_axis, y_axis, height = place
    for kind, found in _by_kind(horse, days):
        figure.add_trace(
            go.Scatter(
                name=mark_name(kind),
                x=[change.date for change in found],
                y=[height for _ in found],
                xaxis=x_axis,
                yaxis=y_axis,
                mode="markers",
                marker={"symbol": _SYMBOL, "size": _SIZE, "color": GREY},
                hovertext=[told(change, day_0) for change in found],
                hoverinfo="text",
                cliponaxis=False,
            )
        )


def _by_kind(horse: HorseRecord, days: Span) -> Iterator[tuple[str, list[LifeChange]]]:
    within = [change for change in horse.work.changes if days.start <= change.date <= days.end]
    for kind in kinds_of(within):
        yield kind, [change for change in within if change.kind == kind]
