"""How a person types: dates now and then as words, limbs in several ways, grades with and without a scale."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TypeVar

Row = dict[str, object]
T = TypeVar("T")

# Not from the machine's language: the samples are the same everywhere.
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

_LIMBS = {
    "LF": ("LF", "LF", "LF", "left front", "near fore"),
    "RF": ("RF", "RF", "RF", "right front", "off fore"),
    "both fronts": ("both fronts", "both fronts", "fronts", "LF, RF"),
}


class Hand:
    """One person's hand: the same seed types the same things."""

    def __init__(self, seed: int) -> None:
        # Only random() is promised to give the same numbers in every version of Python.
        self._next = random.Random(seed).random

    def chance(self, share: float) -> bool:
        """Say yes in that share of cases."""
        return self._next() < share

    def pick(self, options: Sequence[T]) -> T:
        """Take one of the options."""
        return options[int(self._next() * len(options))]

    def about(self, value: float, spread: float) -> float:
        """Miss the value by up to `spread`, either way."""
        return value + (2 * self._next() - 1) * spread

    def day(self, day: date) -> object:
        """Type a date: nearly always a true one, sometimes words."""
        return words(day) if self.chance(0.04) else day

    def limb(self, limb: str) -> str:
        """Type a limb in one of its names."""
        return self.pick(_LIMBS[limb])

    def grade(self, grade: float) -> str:
        """Type a grade, sometimes with its scale."""
        return f"{grade:g}/5" if self.chance(0.1) else f"{grade:g}"


def words(day: date) -> str:
    """Write a date in words: 4 Mar 2026."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def days_on(start: date, number: int) -> date:
    """Count days on from `start`."""
    return start + timedelta(days=number)


def rows(headings: str, *lines: tuple[object, ...]) -> list[Row]:
    """Make rows of one sheet from its headings, with " | " between them, and one tuple a row; None stays empty."""
    names = headings.split(" | ")
    return [
        {name: value for name, value in zip(names, line, strict=True) if value is not None} for line in lines
    ]
