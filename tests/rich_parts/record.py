"""The invented record that every rich workbook holds, whatever stands around it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

HEADINGS = (
    "Date", "Horse", "Gait", "Limb", "Scale", "Score", "Signs", "Written", "Remarks", "Weather", "Twice",
)  # fmt: skip
"""Weather and Twice are the owner's own columns; Twice is a formula, the score doubled."""

TWICE = HEADINGS.index("Twice")
KNOWN = tuple(range(TWICE - 1))
"""The columns that the program knows, counted from 0."""

HORSES = ("Clover", "Old Tom", "Żaneta")
LIMBS = ("LF", "left front", "RH", "both fronts")
REMARKS = (
    "short on the stones", "  two blanks before, three after   ", "", "first line\nsecond line",
    "<b> & \"quotes\" 'n' all", "3½ – “better”", "=not a formula", "日本語 🐴", "_x0041_ stays as it is",
)  # fmt: skip
NOTES = 12

FEET = ("LF", "RF", "LH", "RH")
HOOF_HEADINGS = ("Date", "Horse", "Foot", "Toe angle", "Heel angle", "Lag", "Remarks")
"""Lag is the owner's own column: a formula, the toe angle less the heel angle."""

HORSE_HEADINGS = ("Horse", "Born", "Front shoes off", "Usual scale", "Remarks")


def note(number: int) -> dict[int, object]:
    """One row of the Soundness sheet by column, without its formula; the same number gives the same row."""
    day = dt.datetime(2026, 2, 3) + dt.timedelta(days=number)
    full: dict[int, object] = {
        0: day,
        1: HORSES[number % 3],
        2: ("walk", "trot")[number % 2],
        3: LIMBS[number % 4],
        4: "0-5",
        5: number % 9 / 2,
        6: "points a foot, off feed" if number % 5 == 4 else None,
        7: day.replace(hour=19, minute=number % 60) if number % 2 else None,
        8: REMARKS[number % len(REMARKS)] or None,
        9: ("dry", "wet", "frost")[number % 3],
    }
    return {column: value for column, value in full.items() if value is not None}


def notes() -> Iterator[dict[int, object]]:
    """The rows of the Soundness sheet."""
    return (note(number) for number in range(NOTES))


def hooves() -> Iterator[tuple[dt.datetime, str, str, float, float]]:
    """The rows of the Hooves sheet, without their formula."""
    for number in range(8):
        day = dt.datetime(2026, 2, 5) + dt.timedelta(days=number // 4 * 35)
        yield day, "Clover", FEET[number % 4], 48.5 + number / 2, 45.0 + number / 4


def horses() -> Iterator[tuple[str, float, dt.datetime, str]]:
    """The rows of the Horses sheet."""
    for number, name in enumerate(HORSES):
        yield name, 2010.0 + number, dt.datetime(2025, 11, 3 + number), "0-5"
