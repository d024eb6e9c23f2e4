"""All intervals between trims laid over each other by days since the trim: always the same axes, the latest strong."""

from __future__ import annotations

import datetime as dt
import math
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from tracker.book import HorseRecord
from tracker.derive.progress.days import days_of, feet_of, with_zeros
from tracker.derive.soundness import Series
from tracker.derive.trimming.cycles import placed, trim_days, way_of
from tracker.derive.trimming.due import WEEKS
from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.show.charts.style import BLUE, FAINT, GREY, Chart, base_layout, hover, text_size
from tracker.terms import FEET, FOOT_WORDS, PAIRS, SCALES

_PANEL, _NARROW_PANEL, _GAP, _TOP, _BOTTOM = 190, 170, 88, 32, 52
_COLUMNS = ((0.0, 0.47), (0.53, 1.0))
_LATEST, _OLDEST, _OLDER = 1.0, 0.25, 0.6  # how strong a line is: the latest, the first, the last but one
_MOST_DAYS = 26 * 7
_LINE, _NARROW_TITLE = 18, 30
_UNITS = {"toe_length": " mm", "toe_angle": "°"}


@dataclass(frozen=True, slots=True)
class _Point:
    """One reading: days since the trim, the value, its error, and what is said of it."""

    days: int
    value: float
    error: float
    hover: str
    hollow: bool = False


_Lines = dict[tuple[dt.date, str], list[_Point]]
"""The readings of each interval and each way of measuring, by the day of the trim that began it."""


def cycle_chart(horse: HorseRecord, key: str, *, narrow: bool = False) -> Chart | None:
    """Toe length or toe angle (`key`) of each foot by days since its trim, a line an interval; None where none is."""
    found = placed(key, [record for record, _ in horse.feet], horse.trims)
    feet: dict[str, _Lines] = {}
    for one in found:
        error = COVERAGE * one.measure.sd
        said = hover(
            f"{words.counted(one.days, 'day')} after the trim of {words.day(one.first)}",
            f"{FOOT_WORDS[one.foot].capitalize()}, {words.name(key).lower()} {words.measure(one.measure)}",
            ", ".join(filter(None, (one.stage, one.measure.how))),
        )
        way = way_of(one.measure)
        point = _Point(one.days, one.measure.value, error, said, hollow="photo" in way)
        feet.setdefault(one.foot, {}).setdefault((one.first, way), []).append(point)
    if not any(len(line) > 1 for lines in feet.values() for line in lines.values()):
        return None
    pairs = [pair for pair in PAIRS.values() if any(foot in feet for foot in pair)]
    shown = [point for lines in feet.values() for line in lines.values() for point in line]
    step = 5 if key == "toe_angle" else 10
    scale = (
        step * math.floor(min(point.value - point.error for point in shown) / step),
        step * math.ceil(max(point.value + point.error for point in shown) / step),
    )
    panels = [
        (foot, column, row)
        for row, pair in enumerate(pairs)
        for foot, column in zip(pair, _COLUMNS, strict=True)
    ]
    days = _days(shown)
    figure, height = _figure(len(pairs), narrow)
    for number, (foot, column, row) in enumerate(panels, start=1):
        title = FOOT_WORDS[foot].capitalize()
        _add_panel(
            figure, number, title, column, _row(row, len(pairs), narrow), days, scale, _UNITS[key], narrow
        )
        _add_lines(figure, number, feet.get(foot, {}))
    return Chart(figure, height, _summary(words.name(key), feet))


def grade_cycle_chart(horse: HorseRecord, *, narrow: bool = False) -> Chart | None:
    """The grades of the way of looking with the most notes, by days since the trim; None where none is.

    Grades under pain relief are left out.
    """
    told = [(series, lines) for series in horse.series if (lines := _graded(series, horse))]
    if not told:
        return None
    series, lines = max(told, key=lambda one: sum(map(len, one[1].values())))
    top = SCALES[series.scale]
    looked = words.looked(series.gait, series.ground, series.line)
    limb = FOOT_WORDS.get(series.limb, series.limb) or "limb not given"
    title = f"{limb.capitalize()}, {looked}; scale {series.scale}"
    lines_of_title = textwrap.wrap(title, _NARROW_TITLE if narrow else 90)
    figure, height = _figure(1, narrow, above=_LINE * (len(lines_of_title) - 1))
    shown = [point for line in lines.values() for point in line]
    scale = (-0.06 * top, 1.06 * top)
    _add_panel(
        figure, 1, "<br>".join(lines_of_title), (0.0, 1.0), (0.0, 1.0), _days(shown), scale, "", narrow
    )
    figure.update_layout(yaxis={"dtick": 1 if top <= 5 else 2})
    _add_lines(figure, 1, lines)
    return Chart(figure, height, _summary(f"Grades, {title}", {series.limb: lines}))


def _graded(series: Series, horse: HorseRecord) -> _Lines:
    """A series' grades by interval; none where fewer than two days of one interval have a grade."""
    feet = feet_of(series.limb) or FEET
    trims = sorted({day for foot in feet for day in trim_days(foot, horse.trims)})
    lines: _Lines = {}
    for day in days_of(with_zeros(series, horse.series)):
        first = max((trim for trim in trims if trim <= day.date), default=None)
        if first:
            since = (day.date - first).days
            said = hover(
                f"{words.counted(since, 'day')} after the trim of {words.day(first)}",
                f"{words.day(day.date)}: {words.score(day.grade, series.scale)}",
            )
            lines.setdefault((first, ""), []).append(_Point(since, day.grade, 0.0, said))
    return lines if any(len(line) > 1 for line in lines.values()) else {}


def _days(points: Iterable[_Point]) -> int:
    """The axis' end: eight weeks at least, so that it stays as it is from trim to trim."""
    longest = max(point.days for point in points)
    return min(_MOST_DAYS, 7 * max(WEEKS, -(-longest // 7)))


def _figure(rows: int, narrow: bool, above: int = 0) -> tuple[go.Figure, int]:
    top = _TOP + above
    height = _drawing(rows, narrow) + top + _BOTTOM
    return go.Figure(layout=base_layout(height, {"l": 68, "r": 10, "t": top, "b": _BOTTOM}, narrow)), height


def _drawing(rows: int, narrow: bool) -> int:
    return rows * (_NARROW_PANEL if narrow else _PANEL) + (rows - 1) * _GAP


def _row(row: int, rows: int, narrow: bool) -> tuple[float, float]:
    panel, total = _NARROW_PANEL if narrow else _PANEL, _drawing(rows, narrow)
    top = row * (panel + _GAP)
    return 1 - (top + panel) / total, 1 - top / total


def _add_panel(
    figure: go.Figure, number: int, title: str, column: tuple[float, float], row: tuple[float, float], days: int,
    scale: tuple[float, float], unit: str, narrow: bool,
) -> None:  # fmt: skip
    suffix = "" if number == 1 else str(number)
    figure.update_layout(
        {
            f"xaxis{suffix}": {
                "domain": column,
                "anchor": f"y{suffix}",
                "range": [-2, days + 2],
                "fixedrange": True,
                "tick0": 0,
                "dtick": (28 if narrow and column != (0.0, 1.0) else 14) * max(1, round(days / 84)),
                "title": {"text": "days since trim", "standoff": 6, "font": {"size": text_size(narrow)}},
                "gridcolor": FAINT,
                "zeroline": False,
                "ticks": "outside",
                "ticklen": 4,
                "tickcolor": GREY,
            },
            f"yaxis{suffix}": {
                "domain": row,
                "anchor": f"x{suffix}",
                "range": list(scale),
                "fixedrange": True,
                "ticksuffix": unit,
                "showticklabels": column[0] == 0,
                "nticks": 6,
                "gridcolor": FAINT,
                "zeroline": False,
                "ticks": "",
            },
        }
    )
    figure.add_annotation(
        xref="paper", yref="paper", x=column[0], y=row[1], xanchor="left", yanchor="bottom", yshift=6,
        text=f"<b>{title}</b>", align="left", showarrow=False,
    )  # fmt: skip


def _add_lines(figure: go.Figure, number: int, lines: _Lines) -> None:
    began = sorted({first for first, _ in lines})
    for (first, _), points in sorted(lines.items()):
        strength = _strength(began.index(first), len(began))
        figure.add_trace(_line(points, number, strength, first == began[-1]))


def _strength(at: int, number: int) -> float:
    """The opacity of one of several lines, the oldest first."""
    if at == number - 1:
        return _LATEST
    return _OLDEST + (_OLDER - _OLDEST) * at / max(1, number - 2)


def _line(points: Sequence[_Point], number: int, strength: float, latest: bool) -> go.Scatter:
    axis, colour = "" if number == 1 else str(number), BLUE if latest else GREY
    return go.Scatter(
        x=[point.days for point in points],
        y=[point.value for point in points],
        xaxis=f"x{axis}",
        yaxis=f"y{axis}",
        mode="lines+markers",
        opacity=strength,
        line={"width": 2.5 if latest else 1.5, "color": colour},
        marker={
            "size": 7 if latest else 4,
            "color": colour,
            "symbol": ["circle-open" if point.hollow else "circle" for point in points],
        },
        error_y={
            "type": "data",
            "array": [point.error for point in points],
            "visible": latest and any(point.error for point in points),
            "color": BLUE,
            "thickness": 1,
            "width": 3,
        },
        hovertext=[point.hover for point in points],
        hoverinfo="text",
        cliponaxis=False,
    )


def _summary(what: str, feet: dict[str, _Lines]) -> str:
    began = [day for lines in feet.values() for day, _ in lines]
    first, last = min(began), max(began)
    return (
        f"{what} by days since the trim: one line for each interval, from the trim of {words.day(first)} to that of "
        f"{words.day(last)}, the latest strong. The tables give the figures."
    )
