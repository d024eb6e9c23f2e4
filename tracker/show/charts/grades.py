"""The lanes of soundness grades, one for each limb and scale."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from itertools import groupby

import plotly.graph_objects as go

from tracker.derive.soundness import Point, Series
from tracker.sheets import SOUNDNESS
from tracker.show import words
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import BLUE, GREY, hover
from tracker.show.shapes import limb_words
from tracker.terms import FEET, LIMB_GROUPS, NOT_SURE, SCALES

GAIT_MARKS = {"trot": "circle", "walk": "square", "stand": "diamond", "": "triangle-up"}
_GAIT_SIZES = {"trot": 7, "walk": 9, "stand": 11, "": 9}
# A step line says that the grade held in between; over a longer silence nobody knows.
LONGEST_STEP = dt.timedelta(weeks=6)
_LIMB_ORDER = (*FEET, *LIMB_GROUPS)
_LIMB_LABELS = {"": "Limb not given", "all": "All four limbs", NOT_SURE: "Not sure which limb"}
_ON_BLUE, _ROOM = "#FFFFFF", 3


def soundness_lanes(scene: Scene) -> Iterator[Lane]:
    """One lane for each limb and scale: two scales never share an axis."""
    for (_, _, top, _), group in groupby(sorted(scene.horse.series, key=lane_of), key=lane_of):
        together = list(group)
        grades = range(0, int(top) + 1, 1 if top <= 5 else 2)
        yield Lane(
            label=lane_label(together[0]),
            height=112,
            low=-0.06 * top,
            high=1.06 * top,
            ticks=tuple((grade, str(grade)) for grade in grades),
            grid=True,
            first=min(series.points[0].date for series in together),
            traces=(
                *(_steps(series) for series in together),
                *(_points(series, scene) for series in sorted(together, key=_size, reverse=True)),
            ),
        )


def lane_of(series: Series) -> tuple[int, str, float, str]:
    """What names the lane of a series, in the order of the lanes: its limb and its scale."""
    place = _LIMB_ORDER.index(series.limb) if series.limb in _LIMB_ORDER else len(_LIMB_ORDER)
    return (place + (series.limb == ""), series.limb, _top(series.scale), series.scale)


def lane_label(series: Series) -> tuple[str, str]:
    """What stands beside the lane of a series: the limb, and the scale."""
    limb = _LIMB_LABELS.get(series.limb) or limb_words(series.limb)[:1].upper() + limb_words(series.limb)[1:]
    return limb, f"grade, scale {series.scale}" if series.scale else "grade"


def _top(scale: str) -> float:
    """The scale's top grade; the highest there is where the scale is not given."""
    return SCALES.get(scale, max(SCALES.values()))


def _size(series: Series) -> int:
    return _GAIT_SIZES.get(series.gait, 9)


def _steps(series: Series) -> go.Scatter:
    days: list[dt.date | None] = []
    grades: list[float | None] = []
    before: Point | None = None
    for point in series.points:
        if point.masked or (before and point.date - before.date > LONGEST_STEP):
            days.append(None)
            grades.append(None)
        before = point
        if not point.masked:
            days.append(point.date)
            grades.append(point.score)
    return go.Scatter(
        x=days,
        y=grades,
        mode="lines",
        line={"shape": "hv", "width": 1, "color": GREY},
        hoverinfo="skip",
        connectgaps=False,
    )


def _points(series: Series, scene: Scene) -> go.Scatter:
    mark, late = GAIT_MARKS.get(series.gait, GAIT_MARKS[""]), scene.horse.late_rows
    return go.Scatter(
        x=[point.date for point in series.points],
        y=[point.score for point in series.points],
        mode="markers",
        marker={
            "symbol": [_symbol(mark, point, late) for point in series.points],
            "size": [scene.size(_size(series) + _ROOM * _dotted(point, late)) for point in series.points],
            "opacity": 1,  # marks of several sizes would be drawn pale
            "color": BLUE,
            "line": {
                "width": [1 if _dotted(point, late) else 1.5 for point in series.points],
                "color": [_ON_BLUE if _dotted(point, late) else BLUE for point in series.points],
            },
        },
        hovertext=[_score_words(point, series, scene) for point in series.points],
        hoverinfo="text",
        cliponaxis=False,
    )


def _symbol(mark: str, point: Point, late: Collection[int]) -> str:
    """Hollow under pain relief; with a dot where it was written down days later."""
    return f"{mark}{'-open' if point.masked else ''}{'-dot' if point.row in late else ''}"


def _dotted(point: Point, late: Collection[int]) -> bool:
    """Whether a dot is to be seen on a filled mark: it has the colour of the mark's edge, which needs room then."""
    return point.row in late and not point.masked


def _score_words(point: Point, series: Series, scene: Scene) -> str:
    table = scene.book.tables[SOUNDNESS.name]
    remark = str(table.frame.at[point.row, "remarks"]) if point.row in table.frame.index else ""
    return hover(
        scene.when(point.date),
        f"Grade {words.score(point.score, series.scale)}, {limb_words(series.limb) or 'limb not given'}",
        words.looked(series.gait, series.ground, series.line),
        "under pain relief: it may look better than it is" if point.masked else "",
        f"seen by {point.seen_by}" if point.seen_by else "",
        "written down days later" if point.row in scene.horse.late_rows else "",
        remark,
        table.cell("score", point.row),
    )
