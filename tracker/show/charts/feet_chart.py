"""The toe and heel angles of the four feet over time, in the feet's places and all on one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from tracker.book import Book, HorseRecord
from tracker.derive.hooves import HoofRecord
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.show.charts.changes import add_change_heads, add_change_lines
from tracker.show.charts.style import BLUE, FAINT, VERMILLION, Chart, base_layout, hover, since_words
from tracker.show.charts.time_axis import Span, date_ticks, first_off
from tracker.terms import FEET, FOOT_WORDS, PAIRS

_Domain = tuple[float, float]
_BEFORE = "before trim"
_PANEL, _NARROW_PANEL, _GAP, _TOP, _BOTTOM = 210, 180, 84, 32, 44
_COLUMNS = {False: ((0.0, 0.47), (0.53, 1.0)), True: ((0.0, 0.48), (0.52, 1.0))}


@dataclass(frozen=True, slots=True)
class _Line:
    key: str
    word: str
    colour: str
    symbol: str


_LINES = (_Line("toe_angle", "toe", BLUE, "circle"), _Line("heel_angle", "heel", VERMILLION, "square"))


def feet_chart(book: Book, horse: HorseRecord, *, narrow: bool = False) -> Chart | None:
    """Toe and heel angle with their error (19 of 20), degrees to the ground; None where none is measured."""
    records = [record for record, _ in horse.feet if any(line.key in record.measures for line in _LINES)]
    if not records:
        return None
    pairs = [pair for pair in PAIRS.values() if any(record.foot in pair for record in records)]
    drawing, domains = _rows(len(pairs), _NARROW_PANEL if narrow else _PANEL)
    height = drawing + _TOP + _BOTTOM
    margin = {"l": 44, "r": 8, "t": _TOP, "b": _BOTTOM}
    figure = go.Figure(layout=base_layout(height, margin, narrow))
    days = Span(min(record.date for record in records), max(record.date for record in records))
    scale = _scale(records)
    places = [
        (foot, column, row)
        for pair, row in zip(pairs, domains, strict=True)
        for foot, column in zip(pair, _COLUMNS[narrow], strict=True)
    ]
    for number, (foot, column, row) in enumerate(places, start=1):
        _add_foot(figure, number, foot, (column, row), days, scale, narrow)
        _add_changes(figure, number, row, days, scale, book, horse)
        for line in _LINES:
            own = [record for record in records if record.foot == foot]
            _add_line(figure, number, own, line, book, horse)
    return Chart(figure, height, _summary(records, days))


def _rows(count: int, panel: int) -> tuple[int, list[_Domain]]:
    """The drawing's height in pixels, and the part of it that each pair of feet takes: fronts above hinds."""
    total = count * panel + (count - 1) * _GAP
    tops = [row * (panel + _GAP) for row in range(count)]
    return total, [(1 - (top + panel) / total, 1 - top / total) for top in tops]


def _scale(records: Sequence[HoofRecord]) -> tuple[float, float]:
    """The same for all four feet: whole steps of 5 degrees around every value with its error."""
    found = [
        record.measures[line.key] for record in records for line in _LINES if line.key in record.measures
    ]
    low = min(measure.value - COVERAGE * measure.sd for measure in found)
    high = max(measure.value + COVERAGE * measure.sd for measure in found)
    return 5 * math.floor(low / 5), 5 * math.ceil(high / 5)


def _add_foot(
    figure: go.Figure, number: int, foot: str, place: tuple[_Domain, _Domain], days: Span,
    scale: tuple[float, float], narrow: bool,
) -> None:  # fmt: skip
    column, row = place
    suffix = "" if number == 1 else str(number)
    figure.update_layout(
        {
            f"xaxis{suffix}": date_ticks(3 if narrow else 6)
            | {
                "type": "date",
                "domain": column,
                "anchor": f"y{suffix}",
                "range": list(days.edges(0.05)),
                "fixedrange": True,
            },
            f"yaxis{suffix}": {
                "domain": row,
                "anchor": f"x{suffix}",
                "range": scale,
                "fixedrange": True,
                "dtick": 10,
                "ticksuffix": "°",
                "showticklabels": number % 2 == 1,
                "gridcolor": FAINT,
                "zeroline": False,
                "ticks": "",
            },
        }
    )
    figure.add_annotation(
        xref="paper", yref="paper", x=column[0], y=row[1], xanchor="left", yanchor="bottom", yshift=6,
        text=f"<b>{FOOT_WORDS[foot].capitalize()}</b>", showarrow=False,
    )  # fmt: skip


def _add_changes(
    figure: go.Figure, number: int, row: _Domain, days: Span, scale: tuple[float, float], book: Book,
    horse: HorseRecord,
) -> None:  # fmt: skip
    suffix = "" if number == 1 else str(number)
    add_change_lines(figure, horse, days, [row], f"x{suffix}")
    day_0 = first_off(horse.shoes_off, book.as_of)
    add_change_heads(figure, horse, days, (f"x{suffix}", f"y{suffix}", scale[1]), day_0)


def _add_line(
    figure: go.Figure, number: int, own: list[HoofRecord], line: _Line, book: Book, horse: HorseRecord
) -> None:
    held = [record for record in own if line.key in record.measures]
    axes = {"xaxis": f"x{number if number > 1 else ''}", "yaxis": f"y{number if number > 1 else ''}"}
    before = [record for record in held if record.stage == _BEFORE]
    if before:
        figure.add_trace(_trace(before, line, book, horse, light=True).update(axes))
    for stage in dict.fromkeys(record.stage for record in held if record.stage != _BEFORE):
        same = [record for record in held if record.stage == stage]
        figure.add_trace(_trace(same, line, book, horse, light=False).update(axes))
    if held:
        _add_word(figure, axes, held[-1], line)


def _add_word(figure: go.Figure, axes: dict[str, str], last: HoofRecord, line: _Line) -> None:
    """The line's name at its end: the toe's above its error bar, the heel's below."""
    measure, above = last.measures[line.key], line.key == "toe_angle"
    figure.add_annotation(
        xref=axes["xaxis"],
        yref=axes["yaxis"],
        x=last.date,
        y=measure.value + (1 if above else -1) * COVERAGE * measure.sd,
        text=line.word,
        showarrow=False,
        xanchor="right",
        xshift=6,
        yanchor="bottom" if above else "top",
    )


def _trace(
    records: list[HoofRecord], line: _Line, book: Book, horse: HorseRecord, *, light: bool
) -> go.Scatter:
    measures = [record.measures[line.key] for record in records]
    open_ = [provisional(record, measure) for record, measure in zip(records, measures, strict=True)]
    return go.Scatter(
        x=[record.date for record in records],
        y=[measure.value for measure in measures],
        mode="markers" if light else "lines+markers",
        opacity=0.45 if light else 1,
        line={"width": 1.5, "color": line.colour, "dash": "dash" if any(open_) else "solid"},
        marker={
            "symbol": [f"{line.symbol}-open" if hollow else line.symbol for hollow in open_],
            "size": 7,
            "color": line.colour,
            "line": {"width": 1.5, "color": line.colour},
        },
        error_y={
            "type": "data",
            "array": [COVERAGE * measure.sd for measure in measures],
            "color": line.colour,
            "thickness": 1,
            "width": 3,
        },
        hovertext=[
            _words(record, measure, line, book, horse)
            for record, measure in zip(records, measures, strict=True)
        ],
        hoverinfo="text",
        cliponaxis=False,
    )


def provisional(record: HoofRecord, measure: Measure) -> bool:
    """Whether the measure comes from a photograph that nobody checked on the live foot."""
    return "photo" in measure.how and record.checked in ("", "no")


def _words(record: HoofRecord, measure: Measure, line: _Line, book: Book, horse: HorseRecord) -> str:
    table = book.tables["Hooves"]
    return hover(
        since_words(record.date, first_off(horse.shoes_off, book.as_of)),
        f"{FOOT_WORDS[record.foot].capitalize()}, {words.name(line.key).lower()} {words.measure(measure)}",
        ", ".join(filter(None, (record.stage, measure.how))),
        "from a photo, not yet checked on the live foot" if provisional(record, measure) else "",
        table.cell(line.key, record.rows[0]),
    )


def _summary(records: Sequence[HoofRecord], days: Span) -> str:
    feet = ", ".join(FOOT_WORDS[foot] for foot in FEET if any(record.foot == foot for record in records))
    return (
        f"Toe and heel angles with their measuring error, {words.day(days.start)} to {words.day(days.end)}, "
        f"on one scale: {feet}. The table of each foot gives the latest in figures."
    )
