"""What a warning must not miss of the scores. It stands beside the checked columns, undeclared."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import pandas as pd

from tracker.cells.perhaps import perhaps
from tracker.cells.scores import Score
from tracker.check.columns import TypedColumn
from tracker.terms import SIGNS

_UNUSED = ("score-unreadable", "number-became-date", "sign-in-score")


def lay_worst_beside(
    column: TypedColumn,
    frame: pd.DataFrame,
    scores: Sequence[Score | None],
    beyond: npt.NDArray[np.bool_],
    scale: pd.Series,
    likely: pd.Series,
) -> None:
    """Fill `score_high`, the worse end of a range; `score_left_out`, what a score that is not used may have been.

    `left_out_scale` is that one's scale: the cell's own, else the scale that is `likely` for its row, "" where
    neither is known. `frame["score"]` holds the grades already, `scale` their scales.
    """
    worst = highest(scores)
    frame["score_high"] = np.where(beyond, np.nan, worst)
    left_out = np.where(beyond, np.abs(worst), np.nan)  # -5 may be a dash and a 5
    scales = list(scale.where(beyond, ""))
    for note in column.notes:
        if note.slug in _UNUSED and scores[note.at] is None:
            left_out[note.at], named = perhaps(column.uniques[column.codes[note.at]])
            scales[note.at] = named or str(likely.iloc[note.at])
    frame["score_left_out"] = left_out
    frame["left_out_scale"] = pd.Series(scales, index=frame.index, dtype=object)


def lay_nothing_beside(frame: pd.DataFrame) -> None:
    """The same columns where the sheet has no scores."""
    frame["score_high"] = frame["score_left_out"] = np.nan
    frame["left_out_scale"], frame["scale_assumed"] = "", False
    frame["signs_in_score"] = pd.Series([()] * len(frame), index=frame.index, dtype=object)


def highest(scores: Sequence[Score | None]) -> npt.NDArray[np.float64]:
    """The high end of each range, and every other grade itself; NaN where there is no score."""
    return np.array(
        [np.nan if score is None else score.grade if score.high is None else score.high for score in scores],
        dtype=float,
    )


def count_signs(column: TypedColumn, frame: pd.DataFrame) -> None:
    """Lay the signs that stand among the scores to those of their rows; `signs_in_score` are those that only stand there."""
    signs: list[tuple[str, ...]] = list(frame["signs"])
    only_here: list[tuple[str, ...]] = [()] * len(signs)
    for note in column.notes:
        if note.slug == "sign-in-score":
            read = note.words["read"].split(", ")
            only_here[note.at] = tuple(sign for sign in read if sign not in signs[note.at])
            signs[note.at] = tuple(sign for sign in SIGNS if sign in (*signs[note.at], *read))
    frame["signs"] = pd.Series(signs, index=frame.index, dtype=object)
    frame["signs_in_score"] = pd.Series(only_here, index=frame.index, dtype=object)
