"""The cells that a warning rests on, in few words: those that lie one below the other as one, the rest folded away."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from dash import html

SHOWN = 4
_CELL = re.compile(r"(.+!)([A-Z]+)(\d+)")


def told(cells: Sequence[str]) -> tuple[str, list[Any]]:
    """The places in one sentence, "" where there are none; and below it, folded, all of them where they are many."""
    found = places(cells)
    if len(found) <= SHOWN:
        return (f"Cells: {', '.join(found)}. " if found else ""), []
    few = f"Cells: {', '.join(found[:SHOWN])} and {len(found) - SHOWN} more. "
    rest = html.P(", ".join(found), className="small")
    return few, [html.Details([html.Summary("All cells"), rest])]


def places(cells: Sequence[str]) -> list[str]:
    """Each run of cells one below the other in one column as one, such as "Soundness!F12 to F18"; the others alone.

    They stand in the order in which each column is first named, and within it from above.
    """
    rows: dict[tuple[str, str], set[int]] = {}
    for cell in cells:
        found = _CELL.fullmatch(cell)
        sheet, column, row = found.groups() if found else (cell, "", "0")
        rows.setdefault((sheet, column), set()).add(int(row))
    return [
        f"{sheet}{column}{_span(column, first, last)}" if column else sheet
        for (sheet, column), own in rows.items()
        for first, last in _runs(sorted(own))
    ]


def _span(column: str, first: int, last: int) -> str:
    return f"{first}" if first == last else f"{first} to {column}{last}"


def _runs(rows: Sequence[int]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for row in rows:
        if runs and row == runs[-1][1] + 1:
            runs[-1] = runs[-1][0], row
        else:
            runs.append((row, row))
    return runs
