"""The lane of work: minutes a day, and the minutes that the plan sets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

import plotly.graph_objects as go

from tracker.derive.work.plan import Step
from tracker.derive.work.sessions import MOST, Session, by_day
from tracker.sheets import WORK
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import BLUE, GREY, hover

_MS = 86_400_000
_DAY = dt.timedelta(days=1)


def work_lane(scene: Scene) -> Lane | None:
    """Minutes a day. Turnout is no work, and would dwarf it; a day that cannot hold its minutes is not drawn."""
    work = scene.horse.work
    noted = by_day(one for one in work.sessions if one.is_work and one.minutes)
    days = {day: own for day, own in noted.items() if _minutes(own) <= MOST}
    if not days:
        return None
    steps = [step for step in work.steps if step.days and step.minutes is not None]
    top = max(*map(_minutes, days.values()), *(step.minutes or 0 for step in steps), 0)
    return Lane(
        label=("Work", "minutes a day"),
        height=64,
        low=0,
        high=1.05 * top,
        ticks=((0, "0"), (top, f"{top:g}")),
        grid=True,
        first=min([*days, *(step.days[0].date for step in steps)]),
        traces=(_bars(days, steps, scene), *(_set(step) for step in steps)),
    )


def _minutes(sessions: Sequence[Session]) -> float:
    return sum(one.minutes or 0 for one in sessions)


def _bars(days: Mapping[dt.date, Sequence[Session]], steps: Sequence[Step], scene: Scene) -> go.Bar:
    texts = [
        hover(
            scene.when(day),
            *(_session(one) for one in own),
            *(f"the plan, step {step.name}: {step.minutes:g} minutes" for step in steps if step.runs_on(day)),
            scene.cell(WORK.name, "minutes", own[0].row),
        )
        for day, own in days.items()
    ]
    return go.Bar(
        x=list(days),
        y=[_minutes(own) for own in days.values()],
        width=0.9 * _MS,
        marker={"color": GREY, "line": {"width": 0}},
        hovertext=texts,
        hoverinfo="text",
    )


def _session(one: Session) -> str:
    kind = "work" if one.kind == "other" else one.kind
    return f"{kind}: {one.minutes:g} minutes{f', {one.ground}' if one.ground else ''}"


def _set(step: Step) -> go.Scatter:
    """The minutes of one step, over its days."""
    return go.Scatter(
        x=[step.days[0].date, step.days[-1].date + _DAY],
        y=[step.minutes, step.minutes],
        mode="lines",
        line={"width": 2, "color": BLUE, "dash": "dash"},
        hoverinfo="skip",
    )
