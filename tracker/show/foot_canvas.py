"""The paper that a foot is drawn on: from millimetres to pixels, a line, a word, and what makes words harmless.

All plain attributes are those of paper, so that the picture needs no style sheet to be right in black and
white; the classes are for a screen (see `STYLE`).
"""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass

WIDTH = 360
SIDE, HEAD, FOOT = 14, 60, 80
LARGEST = 2.4  # px per mm
TEXT, LINE = 13, 18
LETTER = 8.2  # how wide a letter of that size is, px: a wide one of the fonts that may be there

INK, SOFT, PAPER = "#1b1b1b", "#5a5a5a", "#ffffff"
STYLE = (
    "@media screen{.hoof .i{stroke:var(--ink,#1b1b1b)}.hoof .s{stroke:var(--soft,#5a5a5a)}"
    ".hoof .fi{fill:var(--ink,#1b1b1b)}.hoof .fs{fill:var(--soft,#5a5a5a)}"
    ".hoof .st{stop-color:var(--ink,#1b1b1b)}.hoof text{stroke:var(--paper,#fff)}}"
    "@media screen and (prefers-color-scheme:dark){.hoof{--ink:#ececec;--soft:#b4b4b4;--paper:#161616}}"
)


@dataclass(frozen=True, slots=True)
class Frame:
    """The size in mm that a picture has room for: the same for all the feet of a page, so the same scale."""

    width: float
    height: float
    head: float = HEAD
    """Room above it, px."""

    @property
    def scale(self) -> float:
        """Pixels for a millimetre."""
        return min((WIDTH - 2 * SIDE) / self.width, LARGEST)


@dataclass(frozen=True, slots=True)
class Canvas:
    """From millimetres on the ground to pixels."""

    frame: Frame
    middle: float
    toe_left: bool
    remarked: bool

    @property
    def ground(self) -> float:
        """How far down the ground lies, px."""
        return self.frame.head + self.frame.height * self.frame.scale

    @property
    def height(self) -> float:
        """The whole picture, px."""
        return self.ground + FOOT + (LINE if self.remarked else 0)

    def x(self, point: complex) -> float:
        """How far from the left, px."""
        way = 1 if self.toe_left else -1
        return WIDTH / 2 + way * (point.real - self.middle) * self.frame.scale

    def y(self, point: complex) -> float:
        """How far down, px."""
        return self.ground - point.imag * self.frame.scale

    def path(self, points: Sequence[complex]) -> str:
        """A line through these points, as SVG has it."""
        return "M" + " L".join(f"{self.x(point):.2f} {self.y(point):.2f}" for point in points)


def line(*points: tuple[float, float], look: str = "s", width: float = 1) -> str:
    """A line through points in px; `look` is i for ink, s for softer."""
    path = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    colour = INK if look == "i" else SOFT
    return f'<path class="{look}" d="{path}" fill="none" stroke="{colour}" stroke-width="{width}"/>'


def label(
    canvas: Canvas, inset: float, y: float, said: str, fill: str, *, from_toe: bool, italic: bool = False
) -> str:  # fmt: skip
    """Words so far in from the toe's edge of the picture, or from the heel's."""
    left = from_toe == canvas.toe_left
    return text_at(inset if left else WIDTH - inset, y, said, fill, "start" if left else "end", italic)


def text_at(x: float, y: float, said: str, fill: str, anchor: str, italic: bool = False) -> str:
    """Words, with a rim of paper round them where they lie over a line; `fill` is fi for ink, fs for softer."""
    colour = INK if fill == "fi" else SOFT
    slant = ' font-style="italic"' if italic else ""
    return (
        f'<text class="{fill}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}" stroke="{PAPER}" '
        f'stroke-width="3" paint-order="stroke"{slant}>{harmless(said)}</text>'
    )


def cut(said: str, width: float) -> str:
    """The words, shortened to what so many pixels hold; nothing where not even three letters fit."""
    most = int(width / LETTER)
    if len(said) <= most:
        return said
    return f"{said[: most - 1].rstrip()}…" if most > 3 else ""


def harmless(said: str) -> str:
    """Safe to stand in XML: what an owner typed is shown, never obeyed; signs that XML cannot hold are left out."""
    return html.escape("".join(sign for sign in said if sign.isprintable()))
