"""Everything that happened to one horse, in lanes below one another on one time axis."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import plotly.graph_objects as go

from tracker.book import Book, HorseRecord
from tracker.show import words
from tracker.show.charts.body import weight_lane
from tracker.show.charts.changes import add_change_lines, upright_path
from tracker.show.charts.events import abscess_lane, change_lane, relief_lane, visit_lane
from tracker.show.charts.grades import soundness_lanes
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import FAINT, GREY, Chart, base_layout, shorten
from tracker.show.charts.time_axis import Span, date_ticks, first_off, off_days, span, week_ticks
from tracker.show.charts.work import work_lane
from tracker.show.charts.worsening import worsening_lanes

_GAP, _HEADING, _LINE = 18, 22, 18
_TOP, _BOTTOM = 52, 44
_LEFT, _NARROW_LEFT, _RIGHT = 236, 66, 16
_ROOM = {False: 0.015, True: 0.035}  # so that no mark at an end covers a word
_Domain = tuple[float, float]


def time_chart(book: Book, horse: HorseRecord, *, narrow: bool = False) -> Chart | None:
    """The horse's record up to the book's day; None where there is nothing to draw.

    The axis shows dates below and, where it is known when shoes came off, weeks since then above. Lanes
    without records are left out. `narrow` is for a screen of a telephone's width.
    """
    scene = Scene(book, horse, first_off(horse.shoes_off, book.as_of), narrow)
    lanes = _lanes(scene)
    return lanes_chart(scene, lanes) if lanes else None


def lanes_chart(scene: Scene, lanes: list[Lane]) -> Chart:
    """These lanes below one another, the first on top; at least one."""
    horse, day_0, narrow = scene.horse, scene.day_0, scene.narrow
    days = span(min(lane.first for lane in lanes), scene.as_of, day_0)
    off = off_days(horse.shoes_off, days)
    drawing, domains = _domains(lanes, narrow)
    margin = {
        "l": _NARROW_LEFT if narrow else _LEFT,
        "r": _RIGHT,
        "t": _TOP + _LINE * max(0, len(off) - 1),
        "b": _BOTTOM,
    }
    height = drawing + margin["t"] + margin["b"]
    figure = go.Figure(layout=base_layout(height, margin, narrow))
    figure.update_layout(xaxis=_dates(days, narrow), bargap=0, barmode="overlay")
    for number, (lane, domain) in enumerate(zip(lanes, domains, strict=True), start=1):
        _add_lane(figure, number, lane, domain, narrow)
        _add_label(figure, lane, domain, narrow)
    # On a narrow screen the labels stand between the lanes, and no line runs through them.
    uprights = domains if narrow else [(0.0, 1.0)]
    if day_0:
        _add_weeks(figure, days, day_0, uprights, narrow)
    add_change_lines(figure, horse, days, uprights)
    for number, (day, text) in enumerate(off):
        _add_off_day(figure, day, text, uprights, _LINE * number, days)
    return Chart(figure, height, _summary(lanes, days))


def _lanes(scene: Scene) -> list[Lane]:
    """Every lane that has something in it, from top to bottom."""
    others = (
        lane(scene) for lane in (abscess_lane, relief_lane, visit_lane, change_lane, work_lane, weight_lane)
    )
    return [*soundness_lanes(scene), *worsening_lanes(scene), *(lane for lane in others if lane)]


def _domains(lanes: list[Lane], narrow: bool) -> tuple[int, list[_Domain]]:
    """The drawing's height in pixels, and the part of it that each lane takes, counted from the bottom."""
    tops, at = [], 0
    for lane in lanes:
        at += _HEADING if narrow else 0
        tops.append(at)
        at += lane.height + _GAP
    total = at - _GAP + 6
    return total, [
        (1 - (top + lane.height) / total, 1 - top / total) for lane, top in zip(lanes, tops, strict=True)
    ]


def _dates(days: Span, narrow: bool) -> dict[str, Any]:
    return date_ticks(5 if narrow else 12) | {
        "type": "date",
        "range": list(days.edges(_ROOM[narrow])),
        "fixedrange": True,
        "anchor": "free",
        "position": 0,
    }


def _add_lane(figure: go.Figure, number: int, lane: Lane, domain: _Domain, narrow: bool) -> None:
    suffix = "" if number == 1 else str(number)
    axis = {
        "domain": domain,
        "anchor": "x",
        "range": [lane.low, lane.high],
        "fixedrange": True,
        "tickvals": [value for value, _ in lane.ticks],
        "ticktext": [shorten(text, 7 if narrow else 15) for _, text in lane.ticks],
        "showgrid": lane.grid,
        "gridcolor": FAINT,
        "zeroline": False,
        "ticks": "",
    }
    figure.update_layout({f"yaxis{suffix}": axis})
    for trace in lane.traces:
        figure.add_trace(trace.update(xaxis="x", yaxis=f"y{suffix}"))


def _add_label(figure: go.Figure, lane: Lane, domain: _Domain, narrow: bool) -> None:
    first, *rest = lane.label
    lines = (f"<b>{first}</b>", *rest)
    figure.add_annotation(
        xref="paper",
        yref="paper",
        x=0,
        xanchor="left",
        xshift=-(_NARROW_LEFT if narrow else _LEFT),
        y=domain[1] if narrow else sum(domain) / 2,
        yanchor="bottom" if narrow else "middle",
        text=", ".join(lines) if narrow else "<br>".join(lines),
        align="left",
        showarrow=False,
    )


def _add_weeks(
    figure: go.Figure, days: Span, day_0: dt.date, uprights: Sequence[_Domain], narrow: bool
) -> None:
    ticks = week_ticks(days, day_0, 5 if narrow else 12)
    _add_uprights(figure, [day for day, _ in ticks], uprights, FAINT, 1)
    # an axis is drawn only where something stands on it
    figure.add_trace(go.Scatter(x=[days.start], y=[None], xaxis="x2", yaxis="y", hoverinfo="skip"))
    figure.update_layout(
        xaxis2={
            "type": "date",
            "range": list(days.edges(_ROOM[narrow])),
            "fixedrange": True,
            "overlaying": "x",
            "side": "top",
            "anchor": "free",
            "position": 1,
            "tickvals": [day for day, _ in ticks],
            "ticktext": [text for _, text in ticks],
            "showgrid": False,
            "zeroline": False,
            "ticks": "outside",
            "ticklen": 4,
            "tickcolor": GREY,
        }
    )


def _add_off_day(
    figure: go.Figure, day: dt.date, text: str, uprights: Sequence[_Domain], above: int, days: Span
) -> None:
    _add_uprights(figure, [day], uprights, GREY, 1.5)
    early = (day - days.start) < 0.5 * (days.end - days.start)
    figure.add_annotation(
        xref="x",
        yref="paper",
        x=day,
        y=1,
        yshift=26 + above,
        text=text,
        showarrow=False,
        xanchor="left" if early else "right",
        yanchor="bottom",
    )


def _add_uprights(
    figure: go.Figure, days: Sequence[dt.date], uprights: Sequence[_Domain], colour: str, width: float
) -> None:
    """A line at each day: all of them one shape, since plotly looks through all shapes for each that is added."""
    figure.add_shape(
        type="path",
        path=upright_path(days, uprights),
        xref="x",
        yref="paper",
        line={"color": colour, "width": width},
        layer="below",
    )


def _summary(lanes: list[Lane], days: Span) -> str:
    named = "; ".join(" ".join(lane.label) for lane in lanes)
    return (
        f"Time chart from {words.day(days.start)} to {words.day(days.end)}, with these lanes below one another: "
        f"{named}. The lists on this page give the same in words."
    )
