"""The form for one record of a sheet, made from the sheet's declaration."""

from __future__ import annotations

from dataclasses import dataclass

from tracker import sheets
from tracker.cells.text import fold
from tracker.sheets import BY_NAME, SOUNDNESS, Column, Sheet

# The daily note is entered in the yard, in gloves: first what is seen every day, the rest when it is wished.
NOTE_FIRST = ("date", "horse", "limb", "score", "than_last_time", "signs", "gait", "ground", "remarks")
BY_PROGRAM = {SOUNDNESS.name: "written"}

LONG_WORDS = 28  # the width, in signs, from which a column of words is meant for sentences
_KINDS = {
    sheets.DATE: "day",
    sheets.MOMENT: "moment",
    sheets.BORN: "words",
    sheets.TIME: "words",
    sheets.HORSE: "horse",
    sheets.CHOICE: "one of",
    sheets.FOOT: "one of",
    sheets.LIMBS: "several of",
    sheets.LIMBS_OR_YES: "several of",
    sheets.SIGNS: "several of",
    sheets.SCORE: "grade",
    sheets.PULSE: "pulse",
    sheets.CHECKED: "yes/no",
    sheets.LENGTH: "length",
}


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to ask, and how.

    `kind` is day, moment, horse, one of, several of, grade, pulse, yes/no, words, long words, length or
    number. `choices` are the words allowed; for words and yes/no they are only a suggestion. `unit` is the
    unit of a bare number. `at_once` is False for what is asked only when it is wished. `ahead`: a day still
    to come is meant.
    """

    key: str
    heading: str
    holds: str
    hint: str
    required: bool
    choices: tuple[str, ...]
    unit: str
    kind: str
    at_once: bool
    ahead: bool = False


def sheet_named(name: str) -> Sheet:
    """The declared sheet of that name, whatever its capitals. Raises KeyError where there is none."""
    by_fold = {fold(sheet): sheet for sheet in BY_NAME}
    return BY_NAME[by_fold[fold(name)]]


def form_of(sheet: str) -> tuple[Field, ...]:
    """The fields of one record, in the order in which they are asked. Raises KeyError for an unknown sheet."""
    declared = sheet_named(sheet)
    fields = [_field(declared, column) for column in declared.columns]
    asked = [field for field in fields if BY_PROGRAM.get(declared.name) != field.key]
    if declared is SOUNDNESS:
        asked.sort(key=lambda field: NOTE_FIRST.index(field.key) if field.at_once else len(NOTE_FIRST))
    return tuple(asked)


def _field(sheet: Sheet, column: Column) -> Field:
    return Field(
        key=column.key,
        heading=column.heading,
        holds=column.holds,
        hint=column.hint,
        required=column.required,
        choices=column.choices,
        unit=column.unit,
        kind=_kind(column),
        at_once=sheet is not SOUNDNESS or column.key in NOTE_FIRST,
        ahead=column.ahead,
    )


def _kind(column: Column) -> str:
    if column.holds == sheets.TEXT:
        return "long words" if column.width >= LONG_WORDS else "words"
    return _KINDS.get(column.holds, "number")


def key_of(name: str) -> str:
    """The key of a heading, or of a key: "Than last time" gives "than_last_time"."""
    return fold(name).replace(" ", "_").replace("-", "_")
