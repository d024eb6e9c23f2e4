"""Lameness scores, and the series of them that may be compared with each other."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from operator import attrgetter
from typing import Any, NamedTuple

from tracker.cells.limbs import label
from tracker.derive.relief import Course, masking
from tracker.table import Table

# Two scores may be compared only where all of these are the same. The two scales are never mixed: no
# validated conversion exists (Hewetson et al. 2006, Vet Rec 158:852). A grade on the 0-10 scale is given
# separately for each circle and the straight, and the AAEP grade turns on where lameness shows.
COMPARABLE = ("horse", "scale", "gait", "ground", "line", "limb")

_key = attrgetter(*COMPARABLE)


class Point(NamedTuple):
    """One score of a series; `masked` holds while pain relief, or what is left of it, may flatter it."""

    date: date
    score: float
    masked: bool
    seen_by: str
    row: int
    than_last: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """Scores of one horse seen the same way, oldest first."""

    horse: str
    scale: str
    gait: str
    ground: str
    limb: str
    points: tuple[Point, ...]
    line: str = ""


class Score(NamedTuple):
    """One score and how it was seen; `mark` is "masked" or "residual" under pain relief, else ""."""

    horse: str
    scale: str
    gait: str
    ground: str
    line: str
    limb: str
    mark: str
    point: Point


def scores(soundness: Table, courses: Sequence[Course], on: date = date.max) -> list[Score]:
    """Every score up to the day `on`, by date and row. A note without a score has none here."""
    noted = [row for row in soundness.rows if not math.isnan(row.score) and row.date.date() <= on]
    noted.sort(key=lambda row: row.date)
    own: dict[str, list[Course]] = {}
    for course in courses:
        own.setdefault(course.horse, []).append(course)
    return [_score(row, masking(own.get(row.horse, ()), row.horse, row.date.date())) for row in noted]


def _score(row: Any, mark: str) -> Score:
    limb, day = label(row.limb), row.date.date()
    point = Point(day, row.score, mark != "", row.seen_by, row.Index, row.than_last_time)
    return Score(row.horse, row.scale, row.gait, row.ground, row.line, limb, mark, point)


def comparable_series(scores: Iterable[Score]) -> list[Series]:
    """Group the scores by horse, scale, gait, ground, line and limb, each group by date."""
    groups: dict[tuple[str, ...], list[Point]] = {}
    for score in scores:
        groups.setdefault(_key(score), []).append(score.point)
    return [
        Series(**dict(zip(COMPARABLE, key, strict=True)), points=tuple(points))
        for key, points in sorted(groups.items())
    ]
