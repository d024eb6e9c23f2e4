"""The lanes of weights, condition and crest, each with its measuring error."""

from __future__ import annotations

import math
from collections.abc import Iterable

import plotly.graph_objects as go

from tracker.derive.body.horse import BodyRecord
from tracker.derive.body.trend import Reading, Trend
from tracker.reference.measuring import COVERAGE
from tracker.sheets import BODY
from tracker.show.body import TREND_NAMES
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import GREEN, hover

LEAST_DAYS = 3  # fewer are said better in words
_STEPS = (5, 10, 20, 50, 100, 200, 500)


def weight_lane(scene: Scene) -> Lane | None:
    """The weights of the horse, by tape where girth and length were measured, else as written; None for few."""
    body = scene.horse.body
    trend = body.taped or body.typed
    if trend is None or len(trend.readings) < LEAST_DAYS:
        return None
    low = min(reading.value - COVERAGE * reading.sd for reading in trend.readings)
    high = max(reading.value + COVERAGE * reading.sd for reading in trend.readings)
    room = 0.08 * (high - low)
    return Lane(
        label=("Weight", "kg, by tape" if body.taped else "kg, as written"),
        height=90,
        low=low - room,
        high=high + room,
        ticks=_ticks(low, high),
        grid=True,
        first=trend.readings[0].date,
        traces=(_weights(trend, body, scene),),
    )


def score_lanes(scene: Scene) -> list[Lane]:
    """Condition and crest, each over its whole scale; none of few readings."""
    body = scene.horse.body
    lanes = (
        (body.condition, ("Condition", "1 to 9"), (1, 5, 9), "condition_score"),
        (body.crest, ("Crest", "0 to 5"), (0, 5), "crest_score"),
    )
    return [
        Lane(
            label=label,
            height=70,
            low=ticks[0] - 0.5,
            high=ticks[-1] + 0.5,
            ticks=tuple((tick, f"{tick}") for tick in ticks),
            grid=True,
            first=trend.readings[0].date,
            traces=(_with_errors(trend, (_scored(one, trend, key, scene) for one in trend.readings), scene),),
        )
        for trend, label, ticks, key in lanes
        if trend and len(trend.readings) >= LEAST_DAYS
    ]


def _scored(reading: Reading, trend: Trend, key: str, scene: Scene) -> str:
    value = f"{TREND_NAMES[trend.name]}: {reading.value:g} ± {COVERAGE * reading.sd:.1f}"
    return hover(scene.when(reading.date), value, scene.cell(BODY.name, key, reading.rows[0]))


def _ticks(low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Two to four round weights within the range."""
    step = next((step for step in _STEPS if (high - low) / step <= 3), _STEPS[-1])
    return tuple(
        (at * step, f"{at * step}") for at in range(math.ceil(low / step), math.floor(high / step) + 1)
    )


def _weights(trend: Trend, body: BodyRecord, scene: Scene) -> go.Scatter:
    scores = {reading.date: reading.value for reading in body.condition.readings} if body.condition else {}
    told = (_told(reading, trend, scores.get(reading.date), scene) for reading in trend.readings)
    return _with_errors(trend, told, scene)


def _with_errors(trend: Trend, told: Iterable[str], scene: Scene) -> go.Scatter:
    return go.Scatter(
        x=[reading.date for reading in trend.readings],
        y=[reading.value for reading in trend.readings],
        error_y={
            "type": "data",
            "array": [COVERAGE * reading.sd for reading in trend.readings],
            "color": GREEN,
            "thickness": 1,
            "width": 0,
        },
        mode="markers",
        marker={"color": GREEN, "size": scene.size(8)},
        hovertext=list(told),
        hoverinfo="text",
    )


def _told(reading: Reading, trend: Trend, condition: float | None, scene: Scene) -> str:
    return hover(
        scene.when(reading.date),
        f"{TREND_NAMES[trend.name]}: {reading.value:.0f} kg ± {COVERAGE * reading.sd:.0f} kg",
        f"condition {condition:g} of 9" if condition is not None else "",
        scene.cell(BODY.name, "girth" if trend is scene.horse.body.taped else "weight", reading.rows[0]),
    )
