"""Scores need their scale: the cell's own, the row's, the horse's usual one, or, with a doubt, one that fits."""

from __future__ import annotations

import datetime as dt
import re

import numpy as np
import numpy.typing as npt
import pandas as pd

from tracker.cells.dates import read_date
from tracker.cells.figures import exact
from tracker.cells.reading import Reading
from tracker.cells.scores import Score, read_score, scale_named
from tracker.cells.signs import sign_beside
from tracker.check.columns import Note, TypedColumn, allowed_in, read_one
from tracker.sheets import Column
from tracker.terms import DEFAULT_SCALE, SCALES, SIGNS

_LEADING = re.compile(r"[^\w\d]{0,2}(\d{1,2}(?:\.5)?)(?![\d.])")
_NEIGHBOURS = re.compile(r"(\d)\s*/\s*(\d)$")


def read_scores(column: TypedColumn) -> npt.NDArray[np.object_]:
    """Each row's score as typed (a Score, or None), before its scale is settled."""
    values = np.full(len(column.uniques), None, dtype=object)
    for code in np.unique(column.codes).tolist():
        reading = read_one(column.uniques[code], column.column, _read)
        values[code] = reading.value
        if reading.slug:
            note = (reading.slug, reading.allowed, reading.words)
            column.notes += [Note(at, *note) for at in column.where(code)]
    return values[column.codes]


def _read(value: object, column: Column) -> Reading:
    if isinstance(value, dt.date) or (isinstance(value, float) and isinstance(read_date(value), dt.datetime)):
        return Reading(None, "number-became-date", allowed_in(column))
    if (score := read_score(value)) is not None:
        return Reading(score)
    if (score := read_score(exact(str(value)))) is not None:
        return Reading(score, "number-about", allowed_in(column), {"read": f"{score.grade:g}"})
    sign, before = sign_beside(value)
    if sign:
        return Reading(read_score(before), "sign-in-score", allowed_in(column), {"read": sign})
    words = "" if any(map(str.isdecimal, str(value))) else " No grade is guessed from words."
    return Reading(None, "score-unreadable", allowed_in(column), {"why": words})


def settle_scales(column: TypedColumn, frame: pd.DataFrame, usual: dict[str, str]) -> None:
    """Fill `score` and `scale` of the frame from its Score objects; `usual` is each horse's usual scale.

    What a warning must not miss stays at hand beside it: `score_high`, the worse end of a range;
    `score_left_out`, what a score that cannot be used may have been; `scale_assumed`, whether the scale is only a guess.
    """
    scores = column_scores(frame)
    has = np.array([score is not None for score in scores], dtype=bool)
    grade = np.array([score.grade if score else np.nan for score in scores], dtype=float)
    _count_signs(column, frame)
    in_cell = pd.Series([score.scale if score else "" for score in scores], index=frame.index, dtype=object)
    of_horse = pd.Series([usual.get(horse, "") for horse in frame["horse"]], index=frame.index, dtype=object)
    scale = in_cell.where(in_cell != "", frame["scale"].astype(object))
    _note_contradictions(column, in_cell, frame["scale"])
    scale = scale.where(scale != "", scale_named(column.place.unit))
    scale = scale.where(scale != "", of_horse)
    scale = scale.where(has | (frame["scale"] != ""), "")
    bare = has & (scale == "").to_numpy()
    _assume(column, frame, scale, grade, bare)
    top = scale.map(SCALES).to_numpy(dtype=float)
    beyond = has & ((grade > top) | (grade < 0))
    column.notes = [note for note in column.notes if note.slug != "number-about" or not beyond[note.at]]
    for at in np.flatnonzero(beyond).tolist():
        name = str(scale.iloc[at])
        column.notes.append(
            Note(at, "score-beyond-scale", _allowed(name), {"scale": name.replace("-", " to ")})
        )
    _note_manner(column, scores, has & ~beyond)
    frame["score"] = np.where(beyond, np.nan, grade)
    high = np.array([score.high if score and score.high else np.nan for score in scores], dtype=float)
    frame["score_high"] = np.where(beyond | np.isnan(high), frame["score"], high)
    left_out = np.where(beyond, grade, np.nan)
    for note in column.notes:
        if note.slug in ("score-unreadable", "number-became-date"):
            left_out[note.at] = perhaps(column.uniques[column.codes[note.at]])
    frame["score_left_out"] = left_out
    frame["scale_assumed"] = bare
    frame["scale"] = scale.astype("str")


def _count_signs(column: TypedColumn, frame: pd.DataFrame) -> None:
    """Lay the signs that stand among the scores to those of their rows."""
    signs = list(frame["signs"])
    for note in column.notes:
        if note.slug == "sign-in-score":
            signs[note.at] = tuple(sign for sign in SIGNS if sign in (*signs[note.at], note.words["read"]))
    frame["signs"] = pd.Series(signs, index=frame.index, dtype=object)


def _note_contradictions(column: TypedColumn, in_cell: pd.Series, of_row: pd.Series) -> None:
    """Say where a score names another scale than its row does."""
    own, other = in_cell.to_numpy(), of_row.to_numpy()
    for at in np.flatnonzero((own != "") & (other != "") & (own != other)).tolist():
        words = {"read": str(own[at]), "scale": str(other[at])}
        column.notes.append(Note(at, "scale-contradicts", "one scale for each score", words))


def perhaps(value: object) -> float:
    """The grade that an unreadable score may have been, NaN where nothing shows it.

    A spreadsheet turns 5/5 into 5 May; people write "5 (three-legged)".
    """
    moment = read_date(value) if not isinstance(value, str) else None
    if isinstance(moment, dt.datetime):
        figures = {moment.day, moment.month}
        return float(min(figures)) if figures <= {4, 5} else 10.0 if figures == {10} else float("nan")
    if (between := _NEIGHBOURS.match(str(value).strip())) and int(between[2]) == int(between[1]) + 1:
        return float(between[2])  # 3/4 may be 3 to 4
    found = _LEADING.match(str(value))
    return float(found[1]) if found else float("nan")


def column_scores(frame: pd.DataFrame) -> list[Score | None]:
    """The Score objects of the frame, in order."""
    return list(frame["score"])


def _allowed(scale: str) -> str:
    return f"0 to {SCALES[scale]:g}, whole or half"


def _assume(
    column: TypedColumn,
    frame: pd.DataFrame,
    scale: pd.Series,
    grade: npt.NDArray[np.float64],
    open_: npt.NDArray[np.bool_],
) -> None:
    """One scale for all of a horse's scores without one: 0-10 as soon as one of them is above 5."""
    if not open_.any():
        return
    horses = frame["horse"].to_numpy()
    for horse in dict.fromkeys(horses[open_]):
        mine = open_ & (horses == horse)
        possible = grade[mine & (grade <= SCALES["0-10"])]
        assumed = "0-10" if (possible > SCALES[DEFAULT_SCALE]).any() else DEFAULT_SCALE
        scale[mine] = assumed
        if not horse:  # the row is set aside for want of its horse
            continue
        at = int(np.flatnonzero(mine)[0])
        column.notes.append(Note(at, "scale-assumed", _allowed(assumed), {"scale": assumed}))


def _note_manner(column: TypedColumn, scores: list[Score | None], used: npt.NDArray[np.bool_]) -> None:
    """Say where a range, a plus, or a grade between the halves was typed."""
    allowed = allowed_in(column.column)
    kinds: dict[int, tuple[str, dict[str, str]]] = {}
    for code, at in column.first_at().items():
        score = scores[at]
        if score is None:
            continue
        if score.high is not None:
            kinds[code] = ("score-range", {"read": f"{score.grade:g}"})
        elif score.plus:
            kinds[code] = ("score-plus", {"read": f"{score.grade:g}"})
        elif not (score.grade * 2).is_integer():
            kinds[code] = ("score-between", {})
    for code, (slug, words) in kinds.items():
        column.notes += [Note(at, slug, allowed, words) for at in column.where(code) if used[at]]
