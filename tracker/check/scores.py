"""Scores need their scale: the cell's own, the row's, the horse's usual one, or, with a doubt, one that fits."""

from __future__ import annotations

import datetime as dt

import numpy as np
import numpy.typing as npt
import pandas as pd

from tracker.cells.dates import read_date
from tracker.cells.figures import exact
from tracker.cells.reading import Reading
from tracker.cells.scores import Score, leading_score, read_score, scale_named, trailing_score
from tracker.cells.signs import ends_with_sign, read_signs
from tracker.cells.text import typed
from tracker.check.at_worst import count_signs, highest, lay_worst_beside
from tracker.check.columns import Note, TypedColumn, allowed_in, read_one
from tracker.sheets import Column
from tracker.terms import DEFAULT_SCALE, SCALES


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
    if (reading := _among_words(typed(value), column)) is not None:
        return reading
    words = "" if any(map(str.isdecimal, str(value))) else " No grade is guessed from words."
    return Reading(None, "score-unreadable", allowed_in(column), {"why": words})


def _among_words(text: str, column: Column) -> Reading | None:
    """A score with words beside it, or words alone: signs among them are read just as under Signs."""
    whole, behind = read_signs(text), leading_score(text)
    if whole.slug == "sign-unknown":  # else the figure belongs to the sign, as in "3 legged"
        for score, words in (behind, trailing_score(text)):
            if score is not None and (signs := _named(read_signs(words))):
                return _sign(column, score, signs)
    if signs := _named(whole):
        return _sign(column, None, signs)
    score, words = behind
    if score is not None and ends_with_sign(words) and not any(map(str.isdecimal, words)):
        return Reading(score, "score-with-words", allowed_in(column), {"read": f"{score.grade:g}"})
    return None


def _sign(column: Column, score: Score | None, signs: str) -> Reading:
    return Reading(score, "sign-in-score", allowed_in(column), {"read": signs})


def _named(reading: Reading) -> str:
    return ", ".join(reading.value) if isinstance(reading.value, tuple) else ""


def settle_scales(
    column: TypedColumn, frame: pd.DataFrame, usual: dict[str, str], of_rows: TypedColumn | None = None
) -> None:
    """Fill `score` and `scale` of the frame from its Score objects; `usual` is each horse's usual scale.

    `of_rows` is the Scale column: where its cell cannot be read, the scale that is taken instead is a guess.

    What a warning must not miss stays at hand beside it: `scale_assumed`, whether the scale is only a guess, and
    what tracker.check.at_worst lays there.
    """
    scores = column_scores(frame)
    has = np.array([score is not None for score in scores], dtype=bool)
    grade = np.array([score.grade if score else np.nan for score in scores], dtype=float)
    worst = highest(scores)
    count_signs(column, frame)
    in_cell = pd.Series([score.scale if score else "" for score in scores], index=frame.index, dtype=object)
    of_horse = pd.Series([usual.get(horse, "") for horse in frame["horse"]], index=frame.index, dtype=object)
    _note_contradictions(column, in_cell, frame["scale"])
    likely = in_cell.where(in_cell != "", frame["scale"].astype(object))
    unread = _unread(of_rows, likely)
    likely = likely.where(likely != "", scale_named(column.place.unit))
    likely = likely.where(likely != "", of_horse)
    scale = likely.where(has | (frame["scale"] != ""), "")
    bare = has & (scale == "").to_numpy()
    _assume(column, frame, scale, worst, bare, unread)
    _note_unread(column, scale, has & unread)
    top = scale.map(SCALES).to_numpy(dtype=float)
    beyond = has & ((worst > top) | (grade < 0))
    _note_beyond(column, scale, beyond)
    _note_manner(column, scores, has & ~beyond)
    frame["score"] = np.where(beyond, np.nan, grade)
    lay_worst_beside(column, frame, scores, beyond, scale, likely.mask(unread & (likely == "0-10"), ""))
    frame["scale_assumed"] = bare | (has & unread)
    frame["scale"] = scale.astype("str")


def _unread(of_rows: TypedColumn | None, named: pd.Series) -> npt.NDArray[np.bool_]:
    """For each row whether its Scale cannot be read; a doubt about one that was read, such as a merged one, is none.

    `named` is the scale that the score or its row names.
    """
    found = np.zeros(len(named), dtype=bool)
    found[[note.at for note in of_rows.notes] if of_rows else []] = True
    return found & (named == "").to_numpy()


def _note_unread(column: TypedColumn, scale: pd.Series, unread: npt.NDArray[np.bool_]) -> None:
    """Say on which scale a score is read whose row names one that cannot be read."""
    for at in np.flatnonzero(unread).tolist():
        name = str(scale.iloc[at])
        column.notes.append(Note(at, "scale-unread", _allowed(name), {"scale": name}))


def _note_beyond(column: TypedColumn, scale: pd.Series, beyond: npt.NDArray[np.bool_]) -> None:
    """Say where a score lies outside its scale, and nothing else of it."""
    column.notes = [note for note in column.notes if note.slug != "number-about" or not beyond[note.at]]
    for at in np.flatnonzero(beyond).tolist():
        name = str(scale.iloc[at])
        words = {"scale": name.replace("-", " to ")}
        column.notes.append(Note(at, "score-beyond-scale", _allowed(name), words))


def _note_contradictions(column: TypedColumn, in_cell: pd.Series, of_row: pd.Series) -> None:
    """Say where a score names another scale than its row does."""
    own, other = in_cell.to_numpy(), of_row.to_numpy()
    for at in np.flatnonzero((own != "") & (other != "") & (own != other)).tolist():
        words = {"read": str(own[at]), "scale": str(other[at])}
        column.notes.append(Note(at, "scale-contradicts", "one scale for each score", words))


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
    told: npt.NDArray[np.bool_],
) -> None:
    """One scale for all of a horse's scores without one: 0-10 as soon as one of them is above 5.

    It is said once for each horse, at the first of its scores of which it is not `told` otherwise.
    """
    if not open_.any():
        return
    horses = frame["horse"].to_numpy()
    for horse in dict.fromkeys(horses[open_]):
        mine = open_ & (horses == horse)
        possible = grade[mine & (grade <= SCALES["0-10"])]
        assumed = "0-10" if (possible > SCALES[DEFAULT_SCALE]).any() else DEFAULT_SCALE
        scale[mine] = assumed
        untold = np.flatnonzero(mine & ~told)
        if not horse or not len(untold):  # without its horse the row is set aside
            continue
        at = int(untold[0])
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
