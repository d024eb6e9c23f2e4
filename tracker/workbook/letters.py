"""A column's letters and its number, and where the grid ends."""

from __future__ import annotations

from functools import cache

LAST_COLUMN, LAST_ROW = 16_384, 1_048_576
"""The end of the grid, counted from 1 (Microsoft, "Excel specifications and limits")."""


@cache
def column_letter(index0: int) -> str:
    """Give the letters of a column, 0 being A. Raises ValueError below 0."""
    if index0 < 0:
        raise ValueError(f"there is no column {index0}")
    letters, left = "", index0 + 1
    while left:
        left, letter = divmod(left - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return letters


@cache
def column_index(letters: str) -> int:
    """Give the number of a column from its capital letters, A being 0."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1
