"""The trims of one horse: what is due, what each took away, what grows between them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dash import html

from dashboards.parts import picture, table
from tracker import HorseRecord
from tracker.show.charts import cycle_chart, grade_cycle_chart
from tracker.show.trimming import AT_NOTE, WEEKLY_NOTE, StepView, TrimsView, TrimView

_CYCLE = (
    "Each line is one interval between trims, from the trim on the left to the next: the latest in blue, older ones "
    "fainter the older they are. The axes stay the same from trim to trim."
)
_CAPTIONS = {
    "toe_length": (
        "Toe length after each trim",
        f"{_CYCLE} Bars: the measuring error. Hollow: from a photo.",
    ),
    "toe_angle": ("Toe angle after each trim", "Drawn as the toe length above."),
    "grades": (
        "Grades after each trim",
        "The way of looking with the most notes, drawn the same way. Lower is less lame. Grades under pain relief are left "
        "out; what else changed in those weeks is not.",
    ),
}


def trims_section(record: HorseRecord, view: TrimsView, narrow: bool) -> list[Any]:
    """What is due and why, the intervals, each trim, the change between trims."""
    if not view:
        return []
    told = [text for text in (view.due, *view.intervals) if text]
    return [
        html.Section(
            [
                html.H2("Trims"),
                *[html.P(text) for text in told],
                *_weekly(view),
                *_charts(record, narrow),
                *_at_trims(view),
            ]
        )
    ]


def _weekly(view: TrimsView) -> list[Any]:
    if not view.weekly:
        return []
    rows = [(row.foot, *row.changes, row.rests_on) for row in view.weekly]
    headings = ("Foot", *view.headings, "From")
    title = "Change in a week between trims"
    told = [html.H3(title), table(headings, rows, title, "trims"), html.P(WEEKLY_NOTE, className="small")]
    return [html.Div(told, className="part")]


def _charts(record: HorseRecord, narrow: bool) -> list[Any]:
    charts = {
        "toe_length": cycle_chart(record, "toe_length", narrow=narrow),
        "toe_angle": cycle_chart(record, "toe_angle", narrow=narrow),
        "grades": grade_cycle_chart(record, narrow=narrow),
    }
    found: list[Any] = []
    for key, (title, caption) in _CAPTIONS.items():
        if chart := charts.get(key):
            drawn = picture(f"cycle-{key.replace('_', '-')}", chart, [caption])
            found.append(html.Div([html.H3(title), drawn], className="part"))
    return found


def _at_trims(view: TrimsView) -> list[Any]:
    if not view.at_trims:
        return []
    latest, *older = view.at_trims
    found: list[Any] = [html.H3(f"Before and after the trim of {latest.day}"), _trim(latest, view.headings)]
    found.append(html.P(AT_NOTE, className="small"))
    if older:
        told = [part for trim in older for part in (html.H4(trim.day), _trim(trim, view.headings))]
        summary = f"{len(older)} earlier trim{'' if len(older) == 1 else 's'}"
        found.append(html.Details([html.Summary(summary), *told], id="earlier-trims"))
    return [html.Div(found, className="part")]


def _trim(trim: TrimView, headings: Sequence[str]) -> html.Table:
    rows = [(foot.foot, *(_step(step) for step in foot.steps)) for foot in trim.feet]
    return table(("Foot", *headings), rows, f"Before and after the trim of {trim.day}", "trims")


def _step(step: StepView | None) -> Any:
    if step is None:
        return ""
    moved = html.Span(step.moved, className="moved" if step.beyond_error else "still")
    return [step.values, html.Div(moved, className="small")]
