"""The course in one picture for paper: grades, abscesses, pain relief, trims and visits below one another.

It is drawn as plain SVG, since paper needs neither a browser nor a pointer. It is right in black and white: marks
differ in shape and place, and colour only repeats it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import groupby

from dateutil.relativedelta import relativedelta

from tracker.derive.soundness import Point, Series
from tracker.show import words
from tracker.show.charts.grades import LONGEST_STEP, lane_label, lane_of
from tracker.show.charts.time_axis import Span, off_days, span, week_ticks
from tracker.show.foot_canvas import harmless
from tracker.show.letter import chart_crowded
from tracker.show.letter.blocks import Picture
from tracker.show.letter.chart_events import days_of, event_lanes, not_drawn
from tracker.show.letter.draft import Draft
from tracker.show.letter.strokes import (
    FAINT,
    INK,
    LEFT,
    RIGHT,
    SOFT,
    TEXT,
    WIDTH,
    Axis,
    Lane,
    label,
    line,
    mark,
    text,
)  # fmt: skip
from tracker.terms import SCALES

_TOP, _GRADES, _GAP, _FOOT = 34, 56, 14, 24
_LANES, _NEWEST = 4, 2
_STEPS = (1, 2, 3, 6, 12, 24, 60)  # months between two dates of the axis
_SHORTEST, _SHORT = dt.timedelta(days=14), dt.timedelta(days=62)
_KEY = (
    "Circle: trot; square: walk; diamond: stand; triangle: gait not given. Hollow: under pain relief, so it may look better than it is. "
    "V: graded by a vet, T: by a trimmer. A bar runs from first seen to comfortable again (diamond on it: opened), "
    "or from first to last given; an arrow: not ended."
)


def chart(draft: Draft) -> Picture | None:
    """The picture of the course; None where there is no grade in the days that are told of."""
    series = [one for one in draft.horse.series if any(draft.on(point.date) for point in one.points)]
    if not series:
        return None
    axis = _axis(series, draft)
    lanes = [*_grade_lanes(series, draft, axis), *event_lanes(draft, axis)]
    body, bottom = _stacked(lanes)
    told, height = _told(draft, series), f"{bottom + _FOOT:.0f}"
    behind = [*_dates(axis, bottom), *_weeks(axis, draft), *_off(axis, draft, bottom)]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" '
        f'height="{height}" role="img" aria-label="{harmless(told)}" '
        f'font-family="Libertinus Serif, Georgia, serif" font-size="{TEXT}" fill="{INK}">'
        f"{''.join([*behind, *body])}</svg>"
    )
    crowded = any(_crowded(lane, draft) for lane in _grouped(series, draft))
    notes = (_KEY, chart_crowded.told(axis) if crowded else "", _left_out(series), not_drawn(draft, axis))
    return Picture(svg, told, " ".join(filter(None, notes)))


def _axis(series: Sequence[Series], draft: Draft) -> Axis:
    """From the first that is told of, but no further back than the shoes or the first grade, to the last day."""
    graded = min(point.date for one in series for point in one.points if draft.on(point.date))
    begun = min(graded, draft.day_0 or dt.date.min)
    first = max(begun, min([graded, *days_of(draft)]))
    found = span(draft.choice.since or first, draft.until, None if draft.choice.since else draft.day_0)
    return Axis(Span(min(found.start, found.end - _SHORTEST), found.end))


def _stacked(lanes: Sequence[Lane]) -> tuple[list[str], float]:
    """The lanes below one another, and where the last one ends."""
    drawn, y = [], float(_TOP)
    for lane in lanes:
        drawn += [*label(lane, y), *lane.drawn(y)]
        y += lane.height + _GAP
    return drawn, y - _GAP


def _told(draft: Draft, series: Sequence[Series]) -> str:
    count = sum(draft.on(point.date) for one in series for point in one.points)
    abscesses = sum(draft.tells_of(one.first_seen, one.comfortable) for one in draft.horse.episodes)
    return (
        f"Grades, abscesses, pain relief, trims and visits on one time axis up to {words.day(draft.until)}: "
        f"{words.counted(count, 'grade')}, {'1 abscess' if abscesses == 1 else f'{abscesses} abscesses'}. "
        "What it shows is told in words below."
    )


def _grouped(series: Sequence[Series], draft: Draft) -> list[list[Series]]:
    """The lanes that are drawn: those that may be getting worse, those that were graded last, then the fullest."""
    lanes = [list(group) for _, group in groupby(sorted(series, key=lane_of), key=lane_of)]
    newest = sorted(lanes, key=lambda lane: max(one.points[-1].date for one in lane), reverse=True)
    newest.sort(key=lambda lane: not draft.may_be_worse(*lane))
    fullest = sorted(newest[_NEWEST:], key=lambda lane: -sum(len(one.points) for one in lane))
    kept = [*newest[:_NEWEST], *fullest][:_LANES]
    return [lane for lane in lanes if lane in kept]


def _left_out(series: Sequence[Series]) -> str:
    more = len({lane_of(one) for one in series}) - _LANES
    return f"Limbs or scales not drawn, with fewer or older grades: {more}." if more > 0 else ""


def _grade_lanes(series: Sequence[Series], draft: Draft, axis: Axis) -> Iterator[Lane]:
    for lane in _grouped(series, draft):
        limb, scale = lane_label(lane[0])
        drawn = partial(_grades, lane=lane, draft=draft, axis=axis)
        yield Lane(limb, _GRADES, drawn, scale.removeprefix("grade, "))


def _grades(y: float, lane: Sequence[Series], draft: Draft, axis: Axis) -> Iterator[str]:
    top = SCALES.get(lane[0].scale, max(SCALES.values()))
    for grade in range(0, int(top) + 1, 1 if top <= 5 else 2):
        at = y + _GRADES * (1 - grade / top)
        yield line(LEFT, at, WIDTH - RIGHT, at, FAINT, 0.6)
        yield text(LEFT - 7, at + 4, str(grade), "end", SOFT, 10.5)
    own = [(one.gait, [point for point in one.points if draft.on(point.date)]) for one in lane]
    if _crowded(lane, draft):
        many = [
            (gait, [point for point in points if point.seen_by not in chart_crowded.ALONE])
            for gait, points in own
        ]
        yield from chart_crowded.marks(many, axis, lambda score: y + _GRADES * (1 - score / top))
    for gait, points in own:
        places = [(axis.x(point.date), y + _GRADES * (1 - point.score / top)) for point in points]
        yield from _one_by_one(gait, points, places, alone=_crowded(lane, draft))


def _crowded(lane: Sequence[Series], draft: Draft) -> bool:
    return sum(draft.on(point.date) for one in lane for point in one.points) > chart_crowded.MOST


def _one_by_one(
    gait: str, points: Sequence[Point], places: Sequence[tuple[float, float]], *, alone: bool
) -> Iterator[str]:
    """The grades of one way of looking; `alone` leaves out what is drawn month by month."""
    if not alone:
        yield _steps(points, places)
    for point, (x, at) in zip(points, places, strict=True):
        if not alone or point.seen_by in chart_crowded.ALONE:
            yield mark(gait, x, at, hollow=point.masked)
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
    return f'<path d="{path}" fill="none" stroke="{SOFT}" stroke-width="0.8"/>' if path else ""


def _by(point: Point, x: float, y: float) -> str:
    letter = {"vet": "V", "trimmer": "T"}.get(point.seen_by, "")
    return text(x, y - 5, letter, "middle", INK, 9.5) if letter else ""


def _dates(axis: Axis, bottom: float) -> Iterator[str]:
    """The months below the axis, or its two ends where it is short; the year where it is a new one."""
    short = axis.days.end - axis.days.start < _SHORT
    shown_year = 0
    for day in (axis.days.start, axis.days.end) if short else _months(axis.days):
        x, year = axis.x(day), f" {day:%Y}" if day.year != shown_year else ""
        shown_year = day.year
        yield line(x, bottom, x, bottom + 4, SOFT, 0.8)
        anchor = "end" if short and day == axis.days.end else "middle"
        yield text(x, bottom + 17, f"{f'{day.day} ' if short else ''}{day:%b}{year}", anchor, SOFT)


def _months(days: Span) -> Iterator[dt.date]:
    months = max(1, (days.end - days.start).days // 30)
    step = next((step for step in _STEPS if months / step <= 13), _STEPS[-1])
    day = days.start.replace(day=1)
    day += relativedelta(months=-(day.month - 1) % step if step <= 12 else 0)
    while day <= days.end:
        if day >= days.start:
            yield day
        day += relativedelta(months=step)


def _weeks(axis: Axis, draft: Draft) -> Iterator[str]:
    if draft.day_0:
        for day, said in week_ticks(axis.days, draft.day_0, 12):
            if day >= axis.days.start:
                yield text(axis.x(day), _TOP - 12, said, "middle", SOFT)


def _off(axis: Axis, draft: Draft, bottom: float) -> Iterator[str]:
    for day, said in off_days(draft.horse.shoes_off, axis.days):
        x = axis.x(day)
        yield line(x, _TOP - 8, x, bottom, INK, 1, "4 3")
        yield text(x, 10, said, "start" if x < WIDTH / 2 else "end", INK)
