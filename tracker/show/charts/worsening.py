"""The lanes of getting worse: the level that the grades lastingly show, and how likely it has risen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

import plotly.graph_objects as go

from tracker.derive.referral.worsening import SIZES, in_ten, limb_words
from tracker.derive.soundness import Point
from tracker.derive.worsening.record import ACT, NONE, WATCH, Watch
from tracker.derive.worsening.watch import WatchedDay
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import BLUE, GREY, VERMILLION, hover
from tracker.terms import SCALES

_BAND = "rgba(0,114,178,0.22)"
_SILENCE = dt.timedelta(weeks=6)
"""Beyond it nothing is drawn between two notes."""
_SIGNALS = {ACT: "Likely worse", WATCH: "Perhaps worse", NONE: ""}
_ORDER = {ACT: 2, WATCH: 1, NONE: 0}


def worsening_lanes(scene: Scene) -> Iterator[Lane]:
    """Two lanes for the way of looking that says most: the one with a signal, else with the most notes."""
    watches = scene.horse.watches
    if not watches:
        return
    watch = max(watches, key=lambda one: (_ORDER[one.signal], len(one.series.points)))
    yield _level(watch, scene)
    yield _chance(watch, scene)


def _level(watch: Watch, scene: Scene) -> Lane:
    top = SCALES[watch.series.scale]
    days, low, high, middle = _drawn(watch.days)
    told = hover_words(watch, scene)
    steps = range(0, int(top) + 1, 1 if top <= 5 else 2)
    line = {"width": 0}
    return Lane(
        label=(
            f"{'Level' if scene.narrow else 'Lasting level'}, scale {watch.series.scale}",
            *_looked(watch),
        ),
        height=112,
        low=-0.06 * top,
        high=1.06 * top,
        ticks=tuple((grade, str(grade)) for grade in steps),
        grid=True,
        first=watch.days[0].date,
        traces=(
            go.Scatter(x=days, y=low, mode="lines", line=line, hoverinfo="skip"),
            go.Scatter(
                x=days, y=high, mode="lines", line=line, fill="tonexty", fillcolor=_BAND, hoverinfo="skip"
            ),
            go.Scatter(
                x=days,
                y=middle,
                mode="lines",
                line={"width": 2, "color": BLUE},
                hovertext=[told.get(day, "") for day in days],
                hoverinfo="text",
            ),
        ),
    )


def _chance(watch: Watch, scene: Scene) -> Lane:
    colours = {ACT: VERMILLION, WATCH: "#E69F00", NONE: GREY}
    half, _ = SIZES[watch.series.scale]
    told = watch.days
    bars = go.Bar(
        x=[day.date for day in told],
        y=[max(day.p_any, 0.01) for day in told],
        width=0.9 * 86_400_000,
        marker={"color": [colours[day.signal] for day in told], "line": {"width": 0}},
        hovertext=[*hover_words(watch, scene).values()],
        hoverinfo="text",
    )
    return Lane(
        label=("Chance it is worse", f"in 10; by {half} or more"),
        height=56,
        low=0,
        high=1.05,
        ticks=((0, "0"), (0.5, "5"), (1, "10")),
        grid=True,
        first=watch.days[0].date,
        traces=(bars,),
    )


def _looked(watch: Watch) -> tuple[str, str]:
    limb, *how = limb_words(watch).split(", ")
    return limb, ", ".join(how)


def _drawn(
    days: Sequence[WatchedDay],
) -> tuple[list[dt.date | None], list[float | None], list[float | None], list[float | None]]:
    """Days, lower and upper end of the band, and its middle; parted where nothing was noted for long."""
    rows: list[WatchedDay | None] = [*days[:1]]
    for before, after in pairwise(days):
        rows += [None] if after.date - before.date > _SILENCE else []
        rows.append(after)
    return (
        [day.date if day else None for day in rows],
        [day.low if day else None for day in rows],
        [day.high if day else None for day in rows],
        [day.severity if day else None for day in rows],
    )


def hover_words(watch: Watch, scene: Scene) -> dict[dt.date | None, str]:
    """What is known on each day, and what made it so."""
    noted: dict[dt.date, list[Point]] = {}
    for point in watch.series.points:
        noted.setdefault(point.date, []).append(point)
    half, whole = SIZES[watch.series.scale]
    return {
        day.date: hover(
            scene.when(day.date),
            f"Lasting level {day.severity:.1f} ({day.low:.1f} to {day.high:.1f})",
            f"Worse by {half} or more: {in_ten(day.p_any)}; by {whole}: {in_ten(day.p_worse)}",
            _SIGNALS[day.signal],
            _why(before, day, noted.get(day.date, ()), watch.late),
        )
        for before, day in pairwise((None, *watch.days))
        if day
    }


def _why(before: WatchedDay | None, day: WatchedDay, noted: Sequence[Point], late: Collection[int]) -> str:
    """What was noted that day, beside the level before it."""
    if not noted:
        return "Nothing noted on this day"
    grades = " and ".join(f"{point.score:g}" for point in noted)
    said = "".join(
        f", {point.than_last} than last time" for point in noted if point.than_last in ("better", "worse")
    )
    said += ", under pain relief" if any(point.masked for point in noted) else ""
    said += ", written down days later" if any(point.row in late for point in noted) else ""
    if before is None:
        return f"Noted: {grades}{said}"
    moved = (
        "rose"
        if day.evidence - before.evidence > 0.2
        else "fell"
        if day.evidence - before.evidence < -0.2
        else ""
    )
    change = f"; the chance {moved}" if moved else ""
    return f"Noted: {grades}{said}, where the level was {before.low:.1f} to {before.high:.1f}{change}"
