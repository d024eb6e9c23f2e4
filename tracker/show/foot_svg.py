"""The picture of a foot from the side: one SVG, to scale, for the pages and for paper alike.

Its plain attributes are those of paper, so that it needs no style sheet to be right in black and white; for
a screen its own style sheet takes the page's colours where it stands in a page, and the dark side's where
it is a picture by itself. No script, no link, nothing from elsewhere.
"""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.show.foot_parts import Part, Placed, laid_over, mark_lines, parts
from tracker.show.foot_shape import DRAWN, Profile, Shape, mark_key, shape_of

WIDTH = 360
_SIDE, _HEAD, _FOOT = 14, 50, 82
_LARGEST = 2.4  # px per mm
_SCALE_MM = 50
_SMALL, _LINE = 13, 18
_NEAR = 8.0  # of marks nearer to each other than this only one has its label, mm
_NEAR_HAIR = 14.0  # above a line nearer to the hairline there is no room for words, mm
_LONGEST, _LONGEST_BEFORE = 26, 18
_UNCHECKED = " (photo, not yet checked on the live foot)"

_INK, _SOFT = "#1b1b1b", "#6a6a6a"
_STYLE = (
    "@media screen{.hoof .i{stroke:var(--ink,#1b1b1b)}.hoof .s{stroke:var(--soft,#5a5a5a)}"
    ".hoof .fi{fill:var(--ink,#1b1b1b)}.hoof .fs{fill:var(--soft,#5a5a5a)}}"
    "@media screen and (prefers-color-scheme:dark){.hoof{--ink:#ececec;--soft:#b4b4b4}}"
)

# Stroke width, then what else there is, of each kind of line: the latest's and the first's.
_PENS = {
    "outline": (2.4, 1.4, ""),
    "measured": (0.8, 0.6, ""),
    "open": (2.4, 1.4, ' stroke-dasharray="0 5"'),
    "hair": (0.8, 0.8, ""),
    "mark": (1.4, 1.0, ""),
}
_FILLS = {"body": 0.05, "fan": 0.16}
_NOT_FOR_FIRST = ("body", "fan", "hair")
_DASHED = ' stroke-dasharray="7 6"'


@dataclass(frozen=True, slots=True)
class Frame:
    """The size in mm that a picture has room for: the same for all the feet of a page, so the same scale."""

    width: float
    height: float

    @property
    def scale(self) -> float:
        """Pixels for a millimetre."""
        return min((WIDTH - 2 * _SIDE) / self.width, _LARGEST)


@dataclass(frozen=True, slots=True)
class _Canvas:
    """From millimetres on the ground to pixels."""

    frame: Frame
    middle: float
    toe_left: bool

    @property
    def ground(self) -> float:
        return _HEAD + self.frame.height * self.frame.scale

    @property
    def height(self) -> float:
        return self.ground + _FOOT

    def x(self, point: complex) -> float:
        way = 1 if self.toe_left else -1
        return WIDTH / 2 + way * (point.real - self.middle) * self.frame.scale

    def y(self, point: complex) -> float:
        return self.ground - point.imag * self.frame.scale

    def path(self, points: Sequence[complex]) -> str:
        return "M" + " L".join(f"{self.x(point):.2f} {self.y(point):.2f}" for point in points)


def frame_of(pairs: Iterable[tuple[Profile, Profile | None]]) -> Frame:
    """The frame that holds all these pictures at one scale."""
    widths, heights = [100.0], [60.0]
    for now, first in pairs:
        points = [point for part in _drawn(now, first) for point in part.points]
        widths.append(max(p.real for p in points) - min(p.real for p in points))
        heights.append(max(p.imag for p in points))
    return Frame(max(widths), max(heights))


def foot_svg(
    title: str, now: Profile, first: Profile | None = None, *, frame: Frame | None = None, toe_left: bool = True
) -> str:  # fmt: skip
    """Draw a foot from the side, the first profile (thin) under the latest (thick), as one SVG.

    `title` names the foot. Angles in degrees and lengths in mm are drawn as they are; see `foot_words` for
    what the picture says to those who cannot see it, which is in it too. Pictures that are to be compared
    are given one `frame`. A profile without a wall (`drawable`) is drawn as bare ground.
    """
    latest, earlier = _placed(now, first)
    frame = frame or frame_of([(now, first)])
    canvas = _Canvas(frame, _middle(_drawn(now, first)), toe_left)
    body = [
        *_ground(canvas, latest),
        *(_group("first", earlier, canvas) if earlier else []),
        *_group("now", latest, canvas),
        *_key(canvas, latest, earlier),
        *_angles(canvas, latest, earlier),
        *_marks(canvas, latest, earlier),
        *_scale_bar(canvas),
    ]
    name = f"foot-{_slug(title)}"
    told = " ".join(foot_words(now, first))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="hoof" viewBox="0 0 {WIDTH} {canvas.height:.0f}" '
        f'width="{WIDTH}" height="{canvas.height:.0f}" role="img" aria-labelledby="{name} {name}-told" '
        f'font-family="system-ui, -apple-system, Segoe UI, Roboto, Arial, sans-serif" font-size="{_SMALL}" '
        f'stroke-linecap="round" stroke-linejoin="round">'
        f'<title id="{name}">{_text(title)}, from the side</title><desc id="{name}-told">{_text(told)}</desc>'
        f"<style>{_STYLE}</style>{''.join(body)}</svg>"
    )


def foot_words(now: Profile, first: Profile | None = None) -> tuple[str, ...]:
    """What the picture shows, in sentences: the measures with their errors, what they rest on, what is open."""
    shape = shape_of(now)
    told = [_measures(now), *shape.said, *shape.notes]
    if first:
        told += [f"The first at the same stage, drawn thin: {_measures(first)}"]
    return tuple(told)


def _measures(profile: Profile) -> str:
    named = [(words.name(key), key, profile.get(key)) for key in DRAWN]
    named += [(f"growth mark {name}".strip(), mark_key(name), mark) for name, mark in profile.marks.items()]
    said = [
        f"{name[0].lower()}{name[1:]} {words.measure(measure)}{_UNCHECKED if key in profile.unchecked else ''}"
        for name, key, measure in named
        if measure
    ]
    return f"{profile.when}: {', '.join(said) or 'nothing measured from the side'}."


def _placed(now: Profile, first: Profile | None) -> tuple[Placed, Placed | None]:
    return laid_over(shape_of(now), _thin(first))


def _thin(first: Profile | None) -> Shape | None:
    return shape_of(first) if first and first.drawable else None


def _drawn(now: Profile, first: Profile | None) -> list[Part]:
    latest, earlier = _placed(now, first)
    own = parts(latest)
    under = [part for part in parts(earlier) if part.kind not in _NOT_FOR_FIRST] if earlier else []
    return [*own, *under] or [Part("ground", "measured", (0j, 100 + 0j))]


def _middle(drawn: Sequence[Part]) -> float:
    places = [point.real for part in drawn for point in part.points]
    return (min(places) + max(places)) / 2


def _group(name: str, placed: Placed, canvas: _Canvas) -> list[str]:
    shown = [part for part in parts(placed) if name == "now" or part.kind not in _NOT_FOR_FIRST]
    return [f'<g class="{name}">', *(_part(part, name == "now", canvas) for part in shown), "</g>"]


def _part(part: Part, latest: bool, canvas: _Canvas) -> str:
    path = canvas.path(part.points)
    if part.kind in _FILLS:
        return f'<path class="{part.name} fi" d="{path} Z" fill="{_INK}" fill-opacity="{_FILLS[part.kind]}"/>'
    thick, thin, more = _PENS[part.kind]
    soft = not latest or part.kind in ("hair", "measured")
    return (
        f'<path class="{part.name} {"s" if soft else "i"}" d="{path}" fill="none" stroke="{_SOFT if soft else _INK}" '
        f'stroke-width="{thick if latest else thin}"{more}{_DASHED if part.unchecked and not more else ""}/>'
    )


def _line(canvas: _Canvas, *points: tuple[float, float], look: str = "s", width: float = 1) -> str:
    path = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    colour = _INK if look == "i" else _SOFT
    return f'<path class="{look}" d="{path}" fill="none" stroke="{colour}" stroke-width="{width}"/>'


def _ground(canvas: _Canvas, latest: Placed) -> list[str]:
    """The ground, from edge to edge; broken between toe and heel where their distance is not known."""
    y = canvas.ground
    if not latest.apart or latest.heel is None or not latest.shape.profile.heel_angle:
        return [_line(canvas, (4, y), (WIDTH - 4, y))]
    gap = canvas.x(complex(latest.heel * 0.6))
    breaks = [_line(canvas, (gap + at - 3, y + 6), (gap + at + 3, y - 6)) for at in (-5, 5)]
    return [_line(canvas, (4, y), (gap - 5, y)), _line(canvas, (gap + 5, y), (WIDTH - 4, y)), *breaks]


def _key(canvas: _Canvas, latest: Placed, earlier: Placed | None) -> list[str]:
    """Which line is which, above the toe."""
    rows = [(latest, "i", 2.4, "fi"), *([(earlier, "s", 1.4, "fs")] if earlier else [])]
    drawn = []
    for number, (placed, look, width, fill) in enumerate(rows):
        y, own = 16 + number * _LINE, placed.shape.profile
        ends = (4, 24) if canvas.toe_left else (WIDTH - 24, WIDTH - 4)
        unsure = "; dashed: photo, not checked" if own.unchecked else ""
        drawn.append(_line(canvas, (ends[0], y - 4), (ends[1], y - 4), look=look, width=width))
        drawn.append(_label(canvas, 32, y, own.when + unsure, fill, from_toe=True))
    return drawn


def _angles(canvas: _Canvas, latest: Placed, earlier: Placed | None) -> list[str]:
    """The walls' angles below the ground, each under its own side."""
    drawn = []
    for number, (placed, fill) in enumerate(((latest, "fi"), (earlier, "fs"))):
        if placed is None:
            continue
        own, y = placed.shape.profile, canvas.ground + 20 + number * _LINE
        for side in ("toe", "heel"):
            angle = own.get(f"{side}_angle")
            if angle:
                named = not (number and latest.shape.profile.get(f"{side}_angle"))
                said = f"{side + ' ' if named else ''}{words.measure(angle)}"
                italic = f"{side}_angle" in own.unchecked
                drawn.append(_label(canvas, 4, y, said, fill, from_toe=side == "toe", italic=italic))
    return drawn


def _marks(canvas: _Canvas, latest: Placed, earlier: Placed | None) -> list[str]:
    """Each growth mark's name and distance, over its line near the toe; before the toe where the hairline is near."""
    found = [
        (line[0], mark.value, f"{name} {words.number(mark.value, COVERAGE * mark.sd, 'mm')}".strip(), fill)
        for placed, fill in ((latest, "fi"), (earlier, "fs"))
        if placed
        for name, line in mark_lines(placed).items()
        for mark in (placed.shape.profile.marks[name],)
    ]
    drawn: list[str] = []
    last: complex | None = None
    for start, below, said, fill in sorted(found, key=lambda one: -one[0].imag):
        if last is None or abs(start - last) >= _NEAR:
            drawn.append(_mark_label(canvas, start, said, fill, inside=below > _NEAR_HAIR))
            last = start
    return drawn


def _mark_label(canvas: _Canvas, start: complex, said: str, fill: str, *, inside: bool) -> str:
    back = 1 if canvas.toe_left else -1
    x, y = canvas.x(start) + back * (18 if inside else -6), canvas.y(start) + 3
    anchor = "start" if inside == canvas.toe_left else "end"
    return _text_at(x, y, _cut(said, _LONGEST if inside else _LONGEST_BEFORE), fill, anchor)


def _scale_bar(canvas: _Canvas) -> list[str]:
    """How long 50 mm are, in the middle below everything."""
    half, y = _SCALE_MM * canvas.frame.scale / 2, canvas.height - 20
    left, right = WIDTH / 2 - half, WIDTH / 2 + half
    ticks = [(x, y - 4) for x in (left, right)]
    return [
        '<g class="scale">',
        _line(canvas, ticks[0], (left, y), (right, y), ticks[1]),
        _text_at(WIDTH / 2, y + 15, f"{_SCALE_MM} mm", "fs", "middle"),
        "</g>",
    ]


def _label(
    canvas: _Canvas, inset: float, y: float, said: str, fill: str, *, from_toe: bool, italic: bool = False
) -> str:  # fmt: skip
    left = from_toe == canvas.toe_left
    return _text_at(inset if left else WIDTH - inset, y, said, fill, "start" if left else "end", italic)


def _text_at(x: float, y: float, said: str, fill: str, anchor: str, italic: bool = False) -> str:
    colour = _INK if fill == "fi" else _SOFT
    slant = ' font-style="italic"' if italic else ""
    return f'<text class="{fill}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}"{slant}>{_text(said)}</text>'


def _cut(said: str, most: int) -> str:
    return said if len(said) <= most else f"{said[: most - 1].rstrip()}…"


def _text(said: str) -> str:
    """Safe to stand in XML: what an owner typed is shown, never obeyed; signs that XML cannot hold are left out."""
    return html.escape("".join(sign for sign in said if sign.isprintable()))


def _slug(title: str) -> str:
    return "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in title.lower())
