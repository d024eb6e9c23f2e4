"""Which horse a row is about: the name as the Horses sheet spells it, filled in where there is only one."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd

from tracker.cells.text import fold, listed, suggestion
from tracker.check.columns import Note, TypedColumn
from tracker.problem import Problem, make
from tracker.sheets import HORSES
from tracker.terms import UNNAMED

Columns = Mapping[str, list[TypedColumn]]


def name_horses(frames: dict[str, pd.DataFrame], columns: Columns) -> list[Problem]:
    """Give every record its horse, in place.

    A horse unknown to the Horses sheet is accepted with one doubt.
    """
    listed_names = _listed(frames, columns)
    known = {fold(name): name for name in listed_names}
    strangers = _strangers(frames, columns, known)
    only = _only_horse(listed_names, list(strangers.values()))
    for name, frame in frames.items():
        if name == HORSES.name:
            continue
        spelled = frame["horse"].map(
            {text: (known | strangers).get(fold(text), "") for text in frame["horse"].unique()}
        )
        frame["horse"] = spelled.where(spelled != "", only or "").astype("str")
        unnamed = np.flatnonzero(frame["horse"] == "")
        if only is None and len(unnamed):
            _note_unnamed(columns[name], unnamed, listed_names)
    return [] if listed_names else _no_horses(frames, columns)


def _listed(frames: dict[str, pd.DataFrame], columns: Columns) -> list[str]:
    if HORSES.name not in frames:
        return []
    frame = frames[HORSES.name]
    first: dict[str, tuple[str, int]] = {}
    column = _horse_column(columns[HORSES.name])
    for at, (row, name) in enumerate(zip(frame.index, frame["horse"], strict=True)):
        if not name:
            continue
        _, earlier = first.setdefault(fold(name), (name, int(row)))
        if earlier != row and column:
            column.notes.append(Note(at, "horse-twice", "one row a horse", {"row": str(earlier)}))
    return [name for name, _ in first.values()]


def _horse_column(columns: list[TypedColumn]) -> TypedColumn | None:
    return next((column for column in columns if column.column.key == "horse"), None)


def _strangers(frames: dict[str, pd.DataFrame], columns: Columns, known: dict[str, str]) -> dict[str, str]:
    """Names used in other sheets only, folded to their first spelling; each gets one doubt at its first cell."""
    strangers: dict[str, str] = {}
    for sheet, frame in frames.items():
        column = _horse_column(columns[sheet])
        if sheet == HORSES.name or column is None:
            continue
        for name, at in _first_places(frame["horse"]).items():
            key = fold(name)
            if not name or key in known or key in strangers:
                continue
            strangers[key] = name
            if known:
                words = {"suggestion": suggestion(name, known.values())}
                column.notes.append(Note(at, "horse-not-listed", listed(known.values()), words))
    return strangers


def _first_places(names: pd.Series) -> dict[str, int]:
    """Each distinct name, and the place where it first stands."""
    codes, distinct = pd.factorize(names)
    return dict(zip(distinct, np.unique(codes, return_index=True)[1].tolist(), strict=True))


def _only_horse(listed_names: list[str], strangers: list[str]) -> str | None:
    """The horse meant where none is named; None where the workbook holds several.

    A name that stands only in another sheet may be a slip of the pen, so it does not make a second horse.
    """
    names = listed_names or strangers
    if len(names) > 1:
        return None
    return names[0] if names else UNNAMED


def _note_unnamed(columns: list[TypedColumn], at: np.ndarray, names: list[str]) -> None:
    column = _horse_column(columns) or columns[0]
    column.notes += [Note(int(place), "which-horse", listed(names) if names else "a name") for place in at]


def _no_horses(frames: dict[str, pd.DataFrame], columns: Columns) -> list[Problem]:
    if not any(len(frame) for frame in frames.values()):
        return []
    return [make("no-horses", sheet=HORSES.name, column="Horse", allowed="one row a horse")]
