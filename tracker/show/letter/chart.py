"""The course in one picture for paper: grades, abscesses, pain relief, trims and visits below one another.

It is drawn as plain SVG, since paper needs neither a browser nor a pointer. It is right in black and white: marks
differ in shape and place, and colour only repeats it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from dateutil.relativedelta import relativedelta

from tracker.derive.soundness import Point, Series
from tracker.sheets import VISITS
from tracker.show import words
from tracker.show.charts.grades import LONGEST_STEP, lane_label, lane_of
from tracker.show.charts.style import BLUE, PURPLE, VERMILLION
from tracker.show.charts.time_axis import Span, off_days, span, week_ticks
from tracker.show.foot_canvas import cut, harmless
from tracker.show.letter.blocks import Picture
from tracker.show.letter.draft import Draft
from tracker.terms import FEET, FOOT_WORDS, SCALES

_WIDTH, _LEFT, _RIGHT, _TOP = 760, 172, 14, 34
_GRADES, _ROW, _GAP, _TEXT = 56, 17, 14, 12.5
_LANES = 4
_INK, _SOFT, _FAINT = "#1a1a1a", "#5c5c5c", "#c8c8c8"
_STEPS = (1, 2, 3, 6, 12, 24, 60)  # months between two dates of the axis
_KEY = (
    "Circle: trot; square: walk; diamond: stand; triangle: gait not given. Hollow: under pain relief, so it may look better than it is. "
    "V: graded by a vet, T: by a trimmer. A bar runs from first seen to comfortable again, or from first to last given; "
    "an arrow: not ended."
)


@dataclass(frozen=True, slots=True)
class _Axis:
    days: Span

    def x(self, day: dt.date) -> float:
        """Where a day stands, from the left."""
        whole = max(1, (self.days.end - self.days.start).days)
        return _LEFT + (day - self.days.start).days / whole * (_WIDTH - _LEFT - _RIGHT)


@dataclass(frozen=True, slots=True)
class _Lane:
    label: tuple[str, ...]
    height: float
    drawn: Any  # from the lane's upper edge, the lines of SVG


def chart(draft: Draft) -> Picture | None:
    """The picture of the course; None where there is no grade in the days that are told of."""
    series = [one for one in draft.horse.series if any(draft.on(point.date) for point in one.points)]
    if not series:
        return None
    first = draft.choice.since or min(point.date for one in series for point in one.points)
    axis = _Axis(span(first, draft.until, draft.day_0 if not draft.choice.since else None))
    lanes = [*_grade_lanes(series, draft, axis), *_event_lanes(draft, axis)]
    body: list[str] = []
    y = float(_TOP)
    tops = []
    for lane in lanes:
        tops.append(y)
        body += [*_label(lane, y), *lane.drawn(y)]
        y += lane.height + _GAP
    bottom = y - _GAP
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {bottom + 24:.0f}" width="{_WIDTH}" '
        f'height="{bottom + 24:.0f}" role="img" aria-label="{harmless(_told(draft, series))}" '
        f'font-family="Libertinus Serif, Georgia, serif" font-size="{_TEXT}" fill="{_INK}">'
        f"{''.join([*_dates(axis, bottom), *_weeks(axis, draft), *_off(axis, draft, bottom), *body])}</svg>"
    )
    return Picture(svg, _told(draft, series), _KEY + _left_out(series))


def _told(draft: Draft, series: Sequence[Series]) -> str:
    count = sum(draft.on(point.date) for one in series for point in one.points)
    abscesses = sum(draft.tells_of(one.first_seen, one.comfortable) for one in draft.horse.episodes)
    return (
        f"Grades, abscesses, pain relief, trims and visits on one time axis up to {words.day(draft.until)}: "
        f"{words.counted(count, 'grade')}, {'1 abscess' if abscesses == 1 else f'{abscesses} abscesses'}. "
        "What it shows is told in words below."
    )


def _grouped(series: Sequence[Series]) -> list[list[Series]]:
    lanes = [list(group) for _, group in groupby(sorted(series, key=lane_of), key=lane_of)]
    kept = sorted(lanes, key=lambda lane: -sum(len(one.points) for one in lane))[:_LANES]
    return [lane for lane in lanes if lane in kept]


def _left_out(series: Sequence[Series]) -> str:
    more = len({lane_of(one) for one in series}) - _LANES
    return f" {words.counted(more, 'more limb')} or scale with fewer grades not drawn." if more > 0 else ""


def _grade_lanes(series: Sequence[Series], draft: Draft, axis: _Axis) -> Iterator[_Lane]:
    for lane in _grouped(series):
        limb, scale = lane_label(lane[0])
        yield _Lane(
            (limb, scale.removeprefix("grade, ")), _GRADES, lambda y, lane=lane: _grades(y, lane, draft, axis)
        )


def _grades(y: float, lane: Sequence[Series], draft: Draft, axis: _Axis) -> Iterator[str]:
    top = SCALES.get(lane[0].scale, max(SCALES.values()))
    for grade in range(0, int(top) + 1, 1 if top <= 5 else 2):
        at = y + _GRADES * (1 - grade / top)
        yield _line(_LEFT, at, _WIDTH - _RIGHT, at, _FAINT, 0.6)
        yield _text(_LEFT - 7, at + 4, str(grade), "end", _SOFT, 10.5)
    for one in lane:
        points = [point for point in one.points if draft.on(point.date)]
        places = [(axis.x(point.date), y + _GRADES * (1 - point.score / top)) for point in points]
        yield _steps(points, places)
        for point, (x, at) in zip(points, places, strict=True):
            yield _mark(one.gait, x, at, hollow=point.masked)
            yield _by(point, x, at)


def _steps(points: Sequence[Point], places: Sequence[tuple[float, float]]) -> str:
    path, before = "", None
    for point, (x, y) in zip(points, places, strict=True):
        if point.masked:
            before = None
            continue
        held = before is not None and point.date - before <= LONGEST_STEP
        path += f"H{x:.1f}V{y:.1f}" if held else f"M{x:.1f} {y:.1f}"
        before = point.date
    return f'<path d="{path}" fill="none" stroke="{_SOFT}" stroke-width="0.8"/>' if path else ""


def _mark(gait: str, x: float, y: float, *, hollow: bool) -> str:
    look = f'fill="{"#fff" if hollow else BLUE}" stroke="{BLUE}" stroke-width="1.2"'
    if gait == "trot":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.9" {look}/>'
    if gait == "walk":
        return f'<rect x="{x - 2.8:.1f}" y="{y - 2.8:.1f}" width="5.6" height="5.6" {look}/>'
    sides = ((0, -4), (4, 0), (0, 4), (-4, 0)) if gait == "stand" else ((0, -4), (3.6, 3), (-3.6, 3))
    points = " ".join(f"{x + right:.1f},{y + down:.1f}" for right, down in sides)
    return f'<polygon points="{points}" {look}/>'


def _by(point: Point, x: float, y: float) -> str:
    letter = {"vet": "V", "trimmer": "T"}.get(point.seen_by, "")
    return _text(x, y - 5, letter, "middle", _INK, 9.5) if letter else ""


def _event_lanes(draft: Draft, axis: _Axis) -> Iterator[_Lane]:
    abscesses = [one for one in draft.horse.episodes if draft.tells_of(one.first_seen, one.comfortable)]
    rows: list[tuple[str, str, str, list[Any]]] = []
    for foot in FEET:
        own = [(one.first_seen, one.comfortable, one.opened) for one in abscesses if one.foot == foot]
        rows += [("Abscesses", foot, VERMILLION, own)] if own else []
    for course in draft.horse.courses:
        last = course.last.date() if course.last else None
        if draft.tells_of(course.first.date(), last):
            name = course.product_class or " ".join(course.product.split())
            rows = [row for row in rows if row[:2] != ("Pain relief", name)] + [
                (
                    "Pain relief",
                    name,
                    PURPLE,
                    [
                        *next((row[3] for row in rows if row[:2] == ("Pain relief", name)), []),
                        (course.first.date(), last, None),
                    ],
                )
            ]
    for title, group in groupby(rows, key=lambda row: row[0]):
        own_rows = list(group)
        labels = (title, *(row[1] for row in own_rows))
        yield _Lane(labels, _ROW * len(own_rows), lambda y, own=own_rows: _bars(y, own, draft, axis))
    visits = [
        (row.date.date(), "Vet" if row.role == "vet" else "Trim" if row.purpose == "trim" else "Other")
        for row in draft.rows(VISITS.name)
    ]
    kinds = [kind for kind in ("Trim", "Vet", "Other") if any(own == kind for _, own in visits)]
    if kinds:
        yield _Lane(("Visits", *kinds), _ROW * len(kinds), lambda y: _visits(y, visits, kinds, axis))


def _bars(y: float, rows: Sequence[Any], draft: Draft, axis: _Axis) -> Iterator[str]:
    for place, (_, name, colour, spans) in enumerate(rows):
        middle = y + _ROW * (place + 0.5)
        yield _text(
            _LEFT - 7,
            middle + 4,
            cut(FOOT_WORDS.get(name, name), _LEFT - 20),
            "end",
            _SOFT,
        )
        yield _line(_LEFT, middle, _WIDTH - _RIGHT, middle, _FAINT, 0.6)
        for first, last, opened in spans:
            start, end = axis.x(max(first, axis.days.start)), axis.x(min(last or draft.until, draft.until))
            width = max(3.0, end - start)
            yield f'<rect x="{start:.1f}" y="{middle - 5:.1f}" width="{width:.1f}" height="10" fill="{colour}" stroke="{_INK}" stroke-width="0.6"/>'
            if last is None:
                yield f'<polygon points="{end:.1f},{middle - 7:.1f} {end + 9:.1f},{middle:.1f} {end:.1f},{middle + 7:.1f}" fill="{colour}"/>'
            if opened and axis.days.start <= opened <= draft.until:
                yield _mark("stand", axis.x(opened), middle, hollow=True).replace(BLUE, _INK)


def _visits(
    y: float, visits: Sequence[tuple[dt.date, str]], kinds: Sequence[str], axis: _Axis
) -> Iterator[str]:
    for place, kind in enumerate(kinds):
        middle = y + _ROW * (place + 0.5)
        yield _text(_LEFT - 7, middle + 4, kind.lower(), "end", _SOFT)
        yield _line(_LEFT, middle, _WIDTH - _RIGHT, middle, _FAINT, 0.6)
        for day in (day for day, own in visits if own == kind):
            x = axis.x(day)
            if kind == "Vet":
                yield _line(x - 4, middle, x + 4, middle, _INK, 2.2) + _line(
                    x, middle - 4, x, middle + 4, _INK, 2.2
                )
            else:
                yield _line(x, middle - 5, x, middle + 5, _INK if kind == "Trim" else _SOFT, 2)


def _label(lane: _Lane, y: float) -> Iterator[str]:
    first, *more = lane.label
    yield _text(0, y + 9, cut(first, _LEFT), "start", _INK, weight=' font-weight="bold"')
    if lane.height == _GRADES:
        for number, text in enumerate(more, start=1):
            yield _text(0, y + 9 + 14 * number, cut(text, _LEFT), "start", _SOFT)


def _dates(axis: _Axis, bottom: float) -> Iterator[str]:
    months = max(1, (axis.days.end - axis.days.start).days // 30)
    step = next((step for step in _STEPS if months / step <= 13), _STEPS[-1])
    day = axis.days.start.replace(day=1)
    day += relativedelta(months=-(day.month - 1) % step if step <= 12 else 0)
    shown_year = 0
    while day <= axis.days.end:
        if day >= axis.days.start:
            x = axis.x(day)
            year = f" {day:%Y}" if day.year != shown_year else ""
            shown_year = day.year
            yield _line(x, bottom, x, bottom + 4, _SOFT, 0.8)
            yield _text(x, bottom + 17, f"{day:%b}{year}", "middle", _SOFT)
        day += relativedelta(months=step)


def _weeks(axis: _Axis, draft: Draft) -> Iterator[str]:
    if draft.day_0:
        for day, text in week_ticks(axis.days, draft.day_0, 12):
            if day >= axis.days.start:
                yield _text(axis.x(day), _TOP - 12, text, "middle", _SOFT)


def _off(axis: _Axis, draft: Draft, bottom: float) -> Iterator[str]:
    for day, text in off_days(draft.horse.shoes_off, axis.days):
        x = axis.x(day)
        yield f'<line x1="{x:.1f}" y1="{_TOP - 8}" x2="{x:.1f}" y2="{bottom:.1f}" stroke="{_INK}" stroke-width="1" stroke-dasharray="4 3"/>'
        yield _text(x, 10, text, "start" if x < _WIDTH / 2 else "end", _INK)


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, width: float) -> str:
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" stroke-width="{width}"/>'


def _text(
    x: float, y: float, said: str, anchor: str, colour: str, size: float = _TEXT, weight: str = ""
) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}" font-size="{size}"{weight}>{harmless(said)}</text>'
