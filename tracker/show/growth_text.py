"""A horse's growth in lines for the terminal."""

from __future__ import annotations

import textwrap

from tracker.show.growth import GrowthView


def growth_lines(view: GrowthView, width: int) -> list[str]:
    """How fast the wall grows, how much of it is new, how the newer stands against the older; no line where nothing is known."""
    if not view:
        return []
    lines = ["", "Growth", *(_fill(text, width) for text in view.rates)]
    if view.parts:
        lines.append(f"  {'New horn since shoes off':<34} {'new':<13} all new")
    for part in view.parts:
        lines.append(f"  {f'{part.foot}, {part.part.lower()}':<34} {part.share:<13} {part.all_new}")
    return lines + [_fill(text, width) for text in (*view.walls, *view.notes)]


def _fill(text: str, width: int) -> str:
    return textwrap.fill(text, width, initial_indent="  ", subsequent_indent="    ")
