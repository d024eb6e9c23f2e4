"""Lameness scores, and the series of them that may be compared with each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from tracker.cells.limbs import label
from tracker.derive.relief import Course, masking
from tracker.derive.rows import each
from tracker.table import Table

# Two scores may be compared only where all of these are the same. The two scales are never mixed: no
# validated conversion exists (Hewetson et al. 2006, Vet Rec 158:852). A grade on the 0-10 scale is given
# separately for each circle and the straight, and the AAEP grade turns on where lameness shows.
COMPARABLE = ("horse", "scale", "gait", "ground", "line", "limb")

_COLUMNS = {
    "row": "int64",
    "date": "datetime64[us]",
    "horse": "str",
    "limb": "str",
    "gait": "str",
    "ground": "str",
    "line": "str",
    "scale": "str",
    "score": "float64",
    "seen_by": "str",
    "than_last": "str",
    "masked": "str",
}


@dataclass(frozen=True, slots=True)
class Point:
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


def scores(soundness: Table, courses: Sequence[Course]) -> pd.DataFrame:
    """One row a score, by date and row; the row is the workbook's.

    Columns: row, date, horse, limb, gait, ground, line, scale, score, seen_by, than_last, and masked:
    "masked", "residual" or "". A note without a score has no row here.
    """
    noted = soundness.kept
    noted = noted.loc[noted["score"].notna()].sort_values("date", kind="stable")
    looks = zip(noted["horse"], noted["date"].dt.date, strict=True)
    frame = noted.assign(
        row=noted.index,
        limb=[label(limbs) for limbs in noted["limb"]],
        than_last=noted["than_last_time"],
        masked=[masking(courses, horse, day) for horse, day in looks],
    )
    return frame[list(_COLUMNS)].astype(_COLUMNS).reset_index(drop=True)


def comparable_series(scores: pd.DataFrame) -> list[Series]:
    """Group the scores by horse, scale, gait, ground, line and limb, each group by date."""
    found = []
    for key, group in scores.groupby(list(COMPARABLE), sort=True):
        points = tuple(
            Point(
                row.date.date(),
                float(row.score),
                row.masked != "",
                row.seen_by,
                int(row.row),
                row.than_last,
            )
            for row in each(group)
        )
        found.append(Series(**dict(zip(COMPARABLE, map(str, key), strict=True)), points=points))
    return found
