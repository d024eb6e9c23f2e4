"""Growth marks on their way down the wall, with the line and the range of the foot's rate."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

import plotly.graph_objects as go

from tracker.book import Book, HorseRecord
from tracker.derive.growth.marks import Mark
from tracker.derive.growth.rates import Rate, RateRange
from tracker.reference.growing import MONTH
from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.show.charts.changes import add_change_heads, add_change_lines
from tracker.show.charts.mark_names import Name, mark_names, room_above
from tracker.show.charts.style import (
    BLUE,
    FAINT,
    GREEN,
    PURPLE,
    VERMILLION,
    Chart,
    base_layout,
    hover,
    since_words,
)
from tracker.show.charts.time_axis import Span, date_ticks, first_off
from tracker.terms import FEET, FOOT_WORDS

_COLOURS = dict(zip(FEET, (BLUE, VERMILLION, GREEN, PURPLE), strict=True))
_SYMBOLS = dict(zip(FEET, ("circle", "square", "diamond", "triangle-up"), strict=True))
_HEIGHT, _NARROW_HEIGHT, _TOP, _BOTTOM = 300, 260, 16, 44
_BAND = 0.18


def marks_chart(book: Book, horse: HorseRecord, *, narrow: bool = False) -> Chart | None:
    """Each mark's distance below the hairline (mm) over time; None where no mark was read twice."""
    marks = [mark for mark in horse.growth.marks if len(mark.readings) > 1]
    if not marks:
        return None
    height = (_NARROW_HEIGHT if narrow else _HEIGHT) + _TOP + _BOTTOM
    figure = go.Figure(layout=base_layout(height, {"l": 60, "r": 12, "t": _TOP, "b": _BOTTOM}, narrow))
    days = Span(min(mark.readings[0].date for mark in marks), max(mark.readings[-1].date for mark in marks))
    lowest = max(
        reading.below.value + COVERAGE * reading.below.sd for mark in marks for reading in mark.readings
    )
    names, top = _names(marks, days, lowest, height - _TOP - _BOTTOM, narrow)
    figure.update_layout(
        xaxis=date_ticks(4 if narrow else 10)
        | {"type": "date", "range": list(days.edges(0.05)), "fixedrange": True},
        yaxis={
            "range": [10 * math.ceil(lowest / 10), top],
            "fixedrange": True,
            "ticksuffix": " mm",
            "dtick": 20,
            "gridcolor": FAINT,
            "zeroline": False,
            "ticks": "",
        },
    )
    day_0 = first_off(horse.shoes_off, book.as_of)
    add_change_lines(figure, horse, days, [(0.0, 1.0)])
    add_change_heads(figure, horse, days, ("x", "y", top), day_0)
    for mark in marks:
        rate = horse.growth.feet.get(mark.foot)
        if not mark.went_up:
            for trace in _line(mark, rate) if rate else (_reckoned(mark, horse.growth.range, days),):
                figure.add_trace(trace)
        figure.add_trace(_readings(mark, day_0))
    for name in names:
        _add_name(figure, name)
    return Chart(figure, height, _summary(marks, days))


def _line(mark: Mark, rate: Rate) -> Sequence[go.Scatter]:
    """The rate through the middle of the mark's readings, and the band of its range."""
    weights = [1 / reading.below.sd**2 for reading in mark.readings]
    total = math.fsum(weights)
    begun = mark.readings[0].date
    times = [(reading.date - begun).days for reading in mark.readings]
    middle = math.fsum(w * t for w, t in zip(weights, times, strict=True)) / total
    height = math.fsum(w * r.below.value for w, r in zip(weights, mark.readings, strict=True)) / total
    at = sorted({0.0, middle, float(times[-1])})
    dates = [dt.datetime.combine(begun, dt.time()) + dt.timedelta(days=days) for days in at]
    colour = _COLOURS[mark.foot]

    def away(monthly: float) -> list[float]:
        return [height + monthly * (days - middle) / MONTH for days in at]

    ends = [sorted(pair) for pair in zip(away(rate.low), away(rate.high), strict=True)]
    edge = {"mode": "lines", "line": {"width": 0}, "hoverinfo": "skip"}
    return (
        go.Scatter(x=dates, y=[low for low, _ in ends], **edge),
        go.Scatter(x=dates, y=[high for _, high in ends], fill="tonexty", fillcolor=_faint(colour), **edge),
        go.Scatter(
            x=dates, y=away(rate.value), mode="lines", line={"width": 1.5, "color": colour}, hoverinfo="skip"
        ),
    )


def _reckoned(mark: Mark, rates: RateRange, days: Span) -> go.Scatter:
    """Where it should lie from its first reading on, by what is reckoned with while its foot has no rate."""
    first = mark.readings[0]
    months = (days.end - first.date).days / MONTH
    low, high = (first.below.value + months * rate for rate in (rates.low, rates.high))
    return go.Scatter(
        name="reckoned",
        x=[first.date, days.end, days.end, first.date],
        y=[first.below.value, low, high, first.below.value],
        mode="lines",
        line={"width": 0},
        fill="toself",
        fillcolor=FAINT,
        hoverinfo="skip",
    )


def _faint(colour: str) -> str:
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return f"rgba({red},{green},{blue},{_BAND})"


def _readings(mark: Mark, day_0: dt.date | None) -> go.Scatter:
    colour = _COLOURS[mark.foot]
    return go.Scatter(
        x=[reading.date for reading in mark.readings],
        y=[reading.below.value for reading in mark.readings],
        mode="markers",
        marker={"size": 7, "color": colour, "symbol": _SYMBOLS[mark.foot]},
        error_y={
            "type": "data",
            "array": [COVERAGE * reading.below.sd for reading in mark.readings],
            "color": colour,
            "thickness": 1,
            "width": 3,
        },
        hovertext=[
            hover(
                since_words(reading.date, day_0),
                f"{FOOT_WORDS[mark.foot].capitalize()}, {mark.name or 'mark without a name'}",
                f"{words.measure(reading.below)} below the hairline ({reading.below.how})",
            )
            for reading in mark.readings
        ],
        hoverinfo="text",
        cliponaxis=False,
    )


def _names(
    marks: Sequence[Mark], days: Span, lowest: float, height: int, narrow: bool
) -> tuple[list[Name], float]:
    """The names, and how high the drawing must reach for them; the room they need changes the scale."""
    top, names = -10.0, []
    for _ in range(3):
        a_pixel = (10 * math.ceil(lowest / 10) - top) / height
        names = mark_names(marks, days, a_pixel, narrow)
        top = min(-10.0, -math.ceil(room_above(names, a_pixel)))
    return names, top


def _add_name(figure: go.Figure, name: Name) -> None:
    figure.add_annotation(
        x=name.mark.readings[0].date,
        y=name.height,
        text=name.text,
        showarrow=False,
        xanchor="left" if name.early else "right",
        yanchor="bottom",
        xshift=-4 if name.early else 4,
        yshift=2 + name.lift,
    )


def _summary(marks: Sequence[Mark], days: Span) -> str:
    named = "; ".join(f"{FOOT_WORDS[mark.foot]}, {mark.name or 'a mark without a name'}" for mark in marks)
    return (
        f"Growth marks in mm below the hairline, {words.day(days.start)} to {words.day(days.end)}: {named}. "
        "The sentences beside it give the rates."
    )
