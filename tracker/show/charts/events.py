"""The lanes of rows, each row a word: abscesses, pain relief, trims and visits, changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import plotly.graph_objects as go

from tracker.sheets import ABSCESSES, CHANGES, PAIN_RELIEF, VISITS
from tracker.show import words
from tracker.show.charts.changes import mark_name, told
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import GREY, PURPLE, VERMILLION, hover
from tracker.show.work import kinds_of
from tracker.terms import FEET, FOOT_WORDS

_DAY = dt.timedelta(days=1)
_MS = 86_400_000
_ROW = 26


@dataclass(frozen=True, slots=True)
class _Mark:
    """Something that happened on a day, or from a day to another (None: not ended)."""

    row: str
    start: dt.date
    hover: str
    end: dt.date | None = None


def _rows_lane(
    label: tuple[str, ...], rows: Sequence[str], marks: list[_Mark], traces: Iterable[Any]
) -> Lane:
    return Lane(
        label=label,
        height=_ROW * len(rows),
        low=len(rows) - 0.5,
        high=-0.5,
        ticks=tuple((place, row) for place, row in enumerate(rows)),
        grid=False,
        first=min(mark.start for mark in marks),
        traces=tuple(traces),
    )


def _bars(marks: list[_Mark], rows: Sequence[str], colour: str, scene: Scene, width: float = 0.5) -> go.Bar:
    ends = [max(mark.end or scene.as_of, mark.start) + _DAY for mark in marks]
    return go.Bar(
        orientation="h",
        base=[mark.start.isoformat() for mark in marks],
        x=[(end - mark.start).days * _MS for mark, end in zip(marks, ends, strict=True)],
        y=[rows.index(mark.row) for mark in marks],
        width=width,
        marker={"color": colour, "line": {"width": 0}},
        hovertext=[mark.hover for mark in marks],
        hoverinfo="text",
    )


def _arrows(marks: list[_Mark], rows: Sequence[str], colour: str, scene: Scene) -> go.Scatter:
    """What has not ended yet runs into an arrow at the last day."""
    still = [mark for mark in marks if mark.end is None]
    return go.Scatter(
        x=[scene.as_of + _DAY for _ in still],
        y=[rows.index(mark.row) for mark in still],
        mode="markers",
        marker={"symbol": "triangle-right", "size": scene.size(16), "color": colour},
        hovertext=[mark.hover for mark in still],
        hoverinfo="text",
        cliponaxis=False,
    )


def _dots(marks: list[_Mark], rows: Sequence[str], symbol: str, scene: Scene) -> go.Scatter:
    return go.Scatter(
        x=[mark.start for mark in marks],
        y=[rows.index(mark.row) for mark in marks],
        mode="markers",
        marker={
            "symbol": symbol,
            "size": scene.size(10),
            "color": GREY,
            "line": {"width": scene.size(2), "color": GREY},
        },
        hovertext=[mark.hover for mark in marks],
        hoverinfo="text",
        cliponaxis=False,
    )


def abscess_lane(scene: Scene) -> Lane | None:
    """A bar for each episode, a row for each foot, with the day it opened; an arrow where it has not ended."""
    if not scene.horse.episodes:
        return None
    rows = [foot for foot in FEET if any(episode.foot == foot for episode in scene.horse.episodes)]
    marks, opened = [], []
    for episode in scene.horse.episodes:
        text = hover(
            f"Abscess, {FOOT_WORDS[episode.foot]}{f', {episode.where}' if episode.where else ''}",
            f"first seen {scene.when(episode.first_seen)}",
            f"opened {words.day(episode.opened)}{f', {episode.opened_at}' if episode.opened_at else ''}"
            if episode.opened
            else "not recorded as opened",
            f"comfortable again {words.day(episode.comfortable)}"
            if episode.comfortable
            else "not recorded as comfortable again",
            f"{words.span(episode.days)}{' so far' if episode.is_open else ''}",
            scene.cell(ABSCESSES.name, "first_seen", episode.row),
        )
        marks.append(_Mark(episode.foot, episode.first_seen, text, episode.comfortable))
        opened += [_Mark(episode.foot, episode.opened, text)] if episode.opened else []
    dots = go.Scatter(
        x=[mark.start for mark in opened],
        y=[rows.index(mark.row) for mark in opened],
        mode="markers",
        marker={
            "symbol": "diamond",
            "size": scene.size(10),
            "color": "white",
            "line": {"width": 1.5, "color": "black"},
        },
        hovertext=[mark.hover for mark in opened],
        hoverinfo="text",
        cliponaxis=False,
    )
    drawn = (_bars(marks, rows, VERMILLION, scene), _arrows(marks, rows, VERMILLION, scene), dots)
    return _rows_lane(("Abscesses",), rows, marks, drawn)


def relief_lane(scene: Scene) -> Lane | None:
    """A bar for each course, a row for each product; a thin bar while it may still flatter the horse."""
    if not scene.horse.courses:
        return None
    named = {
        course.row: course.product_class or " ".join(course.product.split()) for course in scene.horse.courses
    }
    rows = list(dict.fromkeys(named.values()))
    marks, tails = [], []
    for course in scene.horse.courses:
        last = course.last.date() if course.last else None
        text = hover(
            f"Pain relief: {' '.join(course.product.split())}",
            f"from {scene.when(course.first.date())}",
            f"last given {words.day(last)}" if last else "no last day given",
            "a good grade says little while it is given, and for some days after",
            scene.cell(PAIN_RELIEF.name, "first_given", course.row),
        )
        marks.append(_Mark(named[course.row], course.first.date(), text, last))
        if last and course.residual_until:
            until = min(course.residual_until.date(), scene.as_of)
            tails += [_Mark(named[course.row], last, text, until)] if until > last else []
    drawn = [_bars(marks, rows, PURPLE, scene), _arrows(marks, rows, PURPLE, scene)]
    if tails:
        drawn.insert(0, _bars(tails, rows, PURPLE, scene, width=0.12))
    return _rows_lane(("Pain relief",), rows, marks, drawn)


_VISIT_ROWS = {"Trim": "square", "Vet": "cross", "Other": "diamond-open"}


def visit_lane(scene: Scene) -> Lane | None:
    """A mark for each visit: trims, the vet, others."""
    marks = []
    for visit in scene.rows(VISITS.name):
        row = "Vet" if visit.role == "vet" else "Trim" if visit.purpose == "trim" else "Other"
        feet = " ".join(visit.feet)
        text = hover(
            scene.when(visit.date.date()),
            ", ".join(filter(None, (visit.purpose or visit.role, feet))).capitalize(),
            ", ".join(filter(None, (visit.name, visit.role if visit.purpose else ""))),
            f"Found: {visit.findings}" if visit.findings else "",
            f"Advised: {visit.advice}" if visit.advice else "",
            scene.cell(VISITS.name, "date", visit.Index),
        )
        marks.append(_Mark(row, visit.date.date(), text))
    rows = [row for row in _VISIT_ROWS if any(mark.row == row for mark in marks)]
    drawn = [
        _dots([mark for mark in marks if mark.row == row], rows, _VISIT_ROWS[row], scene) for row in rows
    ]
    return _rows_lane(("Trims and visits",), rows, marks, drawn) if marks else None


def change_lane(scene: Scene) -> Lane | None:
    """A mark for each change in the horse's life, a row for each kind."""
    changes = scene.horse.work.changes
    rows = kinds_of(changes)
    marks = [
        _Mark(
            change.kind, change.date, told(change, scene.day_0, scene.cell(CHANGES.name, "date", change.row))
        )
        for change in changes
    ]
    drawn = [
        _dots([mark for mark in marks if mark.row == row], rows, "triangle-down", scene).update(
            name=mark_name(row)
        )
        for row in rows
    ]
    return _rows_lane(("Changes",), rows, marks, drawn) if marks else None
