"""The lanes of vital signs: each reading, the published range as a band, the horse's usual value as a line."""

from __future__ import annotations

from collections.abc import Iterator

import plotly.graph_objects as go

from tracker.derive.body.vitals import Sign, VitalSign
from tracker.reference.body import Vital
from tracker.sheets import BODY
from tracker.show.body import reading_words
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import BLUE, FAINT, GREY, hover

LEAST_READINGS = 3  # fewer are said better in words
_APART = 0.15  # of the lane's height: two numbers nearer than that lie over each other


def vital_lanes(scene: Scene) -> list[Lane]:
    """A lane for each vital sign with enough readings."""
    return [_lane(one, scene) for one in scene.horse.body.vitals if len(one.signs) >= LEAST_READINGS]


def _lane(found: VitalSign, scene: Scene) -> Lane:
    vital, values = found.vital, [sign.value for sign in found.signs]
    low, high = min(vital.low.value, *values), max(vital.high.value, *values)
    room = 0.08 * (high - low)
    return Lane(
        label=(vital.name, vital.unit),
        height=90,
        low=low - room,
        high=high + room,
        ticks=tuple((at, reading_words(found, at)) for at in _named(vital, low, high)),
        grid=True,
        first=found.signs[0].date,
        traces=(*_band(found, scene), *_usual(found, scene), _points(found, scene)),
    )


def _named(vital: Vital, low: float, high: float) -> list[float]:
    """The ends of the published range, and beyond them the lowest and the highest reading, unless too near to be read."""
    ends = [vital.low.value, vital.high.value]
    beyond = (at for at in (low, high) if min(abs(at - end) for end in ends) > _APART * (high - low))
    return sorted([*ends, *beyond])


def _band(found: VitalSign, scene: Scene) -> Iterator[go.Scatter]:
    """The published range, from the first reading to the last day."""
    vital, days = found.vital, [found.signs[0].date, scene.as_of]
    name = f"published {vital.key.replace('_', ' ')}"
    yield go.Scatter(
        name=name,
        x=[*days, *reversed(days)],
        y=[vital.low.value, vital.low.value, vital.high.value, vital.high.value],
        mode="lines",
        line={"width": 0},
        fill="toself",
        fillcolor=FAINT,
        hoverinfo="skip",
    )


def _usual(found: VitalSign, scene: Scene) -> Iterator[go.Scatter]:
    if found.usual:
        yield go.Scatter(
            x=[found.signs[0].date, scene.as_of],
            y=[found.usual.middle, found.usual.middle],
            mode="lines",
            line={"width": 1.5, "color": GREY, "dash": "dot"},
            hoverinfo="skip",
        )


def _points(found: VitalSign, scene: Scene) -> go.Scatter:
    return go.Scatter(
        name=found.vital.key.replace("_", " "),
        x=[sign.date for sign in found.signs],
        y=[sign.value for sign in found.signs],
        mode="markers",
        marker={
            "color": BLUE,
            "size": scene.size(9),
            "symbol": ["circle-open" if sign.masked else "circle" for sign in found.signs],
            "line": {"width": scene.size(2), "color": BLUE},
        },
        hovertext=[_told(found, sign, scene) for sign in found.signs],
        hoverinfo="text",
        cliponaxis=False,
    )


def _told(found: VitalSign, sign: Sign, scene: Scene) -> str:
    vital = found.vital
    return hover(
        scene.when(sign.date),
        f"{vital.name}: {reading_words(found, sign.value)} {vital.unit}",
        "under pain relief" if sign.masked else "",
        f"published {vital.low.value:g} to {vital.high.value:g}",
        scene.cell(BODY.name, vital.key, sign.row),
    )
