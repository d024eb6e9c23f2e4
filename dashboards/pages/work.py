"""The work of one horse: the vet's plan beside what was done, minutes by week."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dash import html

from dashboards.changes import part_picture
from dashboards.parts import table
from tracker.show.charts import Chart
from tracker.show.work import PLAN_NOTE, RESPONSE_NOTE, StepView, WeekView, WorkView

_WEEKS = 6  # the latest that are shown at once
_CAPTION = (
    "Bars: minutes of work a day, without turnout; dashed: what the plan sets. Below them the grades of the same days, "
    "where lower is less lame and hollow is under pain relief. That days stand side by side makes nothing the cause."
)


def work_section(view: WorkView, chart: Chart | None) -> list[Any]:
    """What was noted on the sheets Work and Plan; nothing where nothing was."""
    if not view:
        return []
    return [
        html.Section(
            [
                html.H2("Work"),
                *(html.P(one, className="to-do") for one in view.cautions),
                *part_picture("work-chart", chart, view, _CAPTION),
                *_plan(view.steps),
                *_weeks(view.weeks),
                *_after(view.response),
            ]
        )
    ]


def _plan(steps: Sequence[StepView]) -> list[Any]:
    if not steps:
        return []
    rows = [(step.name, step.when, step.was_set, step.told, step.move_on) for step in steps]
    headings = ("Step", "Days", "As the vet set it", "What was noted", "Move on when")
    told = [
        html.H3("The plan beside what was done"),
        table(headings, rows, "The steps of the plan", "plan"),
        html.P(PLAN_NOTE, className="small"),
        *_daily(steps),
    ]
    return [html.Div(told, className="part")]


def _daily(steps: Sequence[StepView]) -> list[Any]:
    """Each day of each step, the latest first."""
    found: list[Any] = []
    for number, step in enumerate(reversed(steps)):
        if step.daily:
            rows = [(one.day, one.minutes, one.outcome) for one in step.daily]
            name = f"{step.name}, day by day"
            days = table(("Day", "Noted", "Beside the plan"), rows, name, "step-days")
            found.append(html.Details([html.Summary(name), days], id=f"step-days-{number}"))
    return found


def _weeks(weeks: Sequence[WeekView]) -> list[Any]:
    if not weeks:
        return []
    latest, older = weeks[:_WEEKS], weeks[_WEEKS:]
    found: list[Any] = [html.H3("Minutes by week"), _week_table(latest, "Minutes by week")]
    if older:
        summary = f"{len(older)} earlier week{'' if len(older) == 1 else 's'}"
        found.append(
            html.Details([html.Summary(summary), _week_table(older, "Earlier weeks")], id="earlier-weeks")
        )
    return [html.Div(found, className="part")]


def _week_table(weeks: Sequence[WeekView], name: str) -> html.Table:
    rows = [(one.week, one.days, one.minutes, one.kinds, one.grounds, one.turnout) for one in weeks]
    headings = ("Week", "Worked on", "Together", "Minutes by kind", "Minutes by ground", "Turnout")
    shown = [at for at in range(len(headings)) if at < 5 or any(row[at] for row in rows)]
    return table([headings[at] for at in shown], [[row[at] for at in shown] for row in rows], name, "weeks")


def _after(response: str) -> list[Any]:
    if not response:
        return []
    told = [html.H3("The days after work"), html.P(response), html.P(RESPONSE_NOTE, className="small")]
    return [html.Div(told, className="part")]
