"""A horse's trims in lines for the terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from tracker.show.trimming import WEEKLY_NOTE, TrimsView


def trims_lines(view: TrimsView, width: int) -> list[str]:
    """What is due and why, the intervals, the latest trim, and what changes between trims; no line where none is known."""
    if not view:
        return []
    told = [view.due, *view.intervals]
    lines = ["", "Trims", *(_fill(text, width) for text in told if text)]
    lines += _latest(view) if view.at_trims else []
    lines += _between(view, width) if view.weekly else []
    return lines


def _latest(view: TrimsView) -> list[str]:
    trim = view.at_trims[0]
    lines = [f"  Before and after the trim of {trim.day} (* at least the measuring error)"]
    for foot in trim.feet:
        steps = [f"{step.values}{'*' if step.beyond_error else ''}" if step else "" for step in foot.steps]
        lines += _rows(foot.foot, view.headings, steps)
    return lines


def _between(view: TrimsView, width: int) -> list[str]:
    lines = ["  Change in a week between trims"]
    for row in view.weekly:
        lines += _rows(row.foot, view.headings, row.changes)
    return [*lines, _fill(WEEKLY_NOTE, width)]


def _rows(foot: str, headings: Sequence[str], cells: Sequence[str]) -> list[str]:
    """A foot's measures, two in a line."""
    told = [f"{heading.lower()} {cell}" for heading, cell in zip(headings, cells, strict=True) if cell]
    return [f"    {'' if at else foot:<12} {'; '.join(told[at : at + 2])}" for at in range(0, len(told), 2)]


def _fill(text: str, width: int) -> str:
    return textwrap.fill(text, width, initial_indent="  ", subsequent_indent="    ")
