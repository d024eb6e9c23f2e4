"""What all charts share: colours, sizes, the words that appear under the pointer, and the graph's settings.

Colours are those of Okabe and Ito (2008) that keep a contrast of 3 to 1 on white and on the dark page
(WCAG 2.2, 1.4.11). Text has no colour of its own here: the page's style gives it the ink of its light or
dark side.
"""

from __future__ import annotations

import datetime as dt
import html
import textwrap
from dataclasses import dataclass
from typing import Any

import plotly.graph_objects as go

from tracker.show import words

BLUE, VERMILLION, GREEN, PURPLE = "#0072B2", "#D55E00", "#009E73", "#CC79A7"
GREY = "#808080"
FAINT = "rgba(128,128,128,0.25)"
CLEAR = "rgba(0,0,0,0)"
TEXT_SIZE = 14
NARROW_TEXT_SIZE = 13
_FAMILY = "system-ui, sans-serif"
_HOVER_WIDTH = 44

GRAPH_CONFIG: dict[str, Any] = {
    "displayModeBar": False,
    "displaylogo": False,
    "showSendToCloud": False,
    "plotlyServerURL": "",
    "scrollZoom": False,
    "doubleClick": False,
    "editable": False,
    "showTips": False,
    "responsive": True,
}


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture, its height in pixels, and what it shows in one sentence, for those who cannot see it."""

    figure: go.Figure
    height: int
    summary: str


def base_layout(height: int, margin: dict[str, int], narrow: bool) -> dict[str, Any]:
    """The settings that hold for every chart: no background, no legend, nothing that can be dragged."""
    return {
        "height": height,
        "margin": {**margin, "autoexpand": False},
        "paper_bgcolor": CLEAR,
        "plot_bgcolor": CLEAR,
        "showlegend": False,
        "dragmode": False,
        "hovermode": "closest",
        "hoverdistance": 24 if narrow else 12,
        "hoverlabel": {"align": "left", "font": {"family": _FAMILY, "size": text_size(narrow)}},
        "font": {"family": _FAMILY, "size": text_size(narrow), "color": GREY},
        "template": "none",
    }


def text_size(narrow: bool) -> int:
    """The size of all text in a chart, in pixels."""
    return NARROW_TEXT_SIZE if narrow else TEXT_SIZE


def since_words(day: dt.date, day_0: dt.date | None) -> str:
    """A day, and where it stands from the day the shoes came off: "4 Mar 2026, week 12"."""
    if day_0 is None:
        return words.day(day)
    days = (day - day_0).days
    place = f"week {days // 7}" if days >= 0 else f"{words.span(-days)} before the shoes came off"
    return f"{words.day(day)}, {place}"


def hover(*lines: str) -> str:
    """Lines for the box under the pointer, as typed: whatever looks like markup in them is shown, not obeyed."""
    shown = [
        html.escape(piece, quote=False)
        for line in lines
        if line
        for piece in textwrap.wrap(line, _HOVER_WIDTH, max_lines=4, placeholder=" …")
    ]
    return "<br>".join(shown)


def shorten(text: str, most: int) -> str:
    """The text, cut to `most` characters, safe to stand in a chart."""
    line = " ".join(text.split())
    return html.escape(line if len(line) <= most else f"{line[: most - 1].rstrip()}…", quote=False)
