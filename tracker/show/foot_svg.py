"""The picture of a foot from the side: one SVG, to scale, for the pages and for paper alike.

Its plain attributes are those of paper, so that it needs no style sheet to be right in black and white; for
a screen its own style sheet takes the page's colours where it stands in a page, and the dark side's where
it is a picture by itself. No script, no link, nothing from elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tracker.show import words
from tracker.show.foot_canvas import HEAD, INK, LINE, SOFT, STYLE, TEXT, WIDTH, Canvas, Frame, harmless, line
from tracker.show.foot_growth import line_angle
from tracker.show.foot_labels import labels, remark
from tracker.show.foot_limb import limb
from tracker.show.foot_parts import Part, Placed, laid_over, parts
from tracker.show.foot_shape import DRAWN, Profile, Shape, mark_key, shape_of

# Stroke width, then what else there is, of each kind of line: the latest's and the first's.
_PENS = {
    "outline": (2.4, 1.4, ""),
    "measured": (0.8, 0.6, ""),
    "open": (2.4, 1.4, ' stroke-dasharray="0 5"'),
    "hair": (0.8, 0.8, ""),
    "mark": (1.4, 1.0, ""),
    "growth": (1.2, 0.8, ' stroke-dasharray="4 4"'),
}
_FILLS = {"body": 0.05, "fan": 0.16}
_NOT_FOR_FIRST = ("body", "fan", "hair")
_DASHED = ' stroke-dasharray="7 6"'
_ONLY_DRAWN = (
    "Pastern and heel bulb are pale and only drawn, but for the front of the pastern, which is as measured."
)
_ASSUMED = "Pastern and heel bulb are pale and only drawn: the pastern angle was not measured."
_FIRST = "The first at the same stage"
_UNCHECKED = " (photo, not yet checked on the live foot)"


def frame_of(pairs: Iterable[tuple[Profile, Profile | None]]) -> Frame:
    """The frame that holds all these pictures at one scale."""
    widths, heights, head = [100.0], [60.0], HEAD
    for now, first in pairs:
        points = [point for part in _drawn(now, first) for point in part.points]
        widths.append(max(p.real for p in points) - min(p.real for p in points))
        heights.append(max(p.imag for p in points))
        if now.pastern_angle and first and first.pastern_angle:
            head = HEAD + LINE  # both are written above the pastern
    return Frame(max(widths), max(heights), head)


def foot_svg(
    title: str, now: Profile, first: Profile | None = None, *, frame: Frame | None = None, toe_left: bool = True,
    thin: str = _FIRST,
) -> str:  # fmt: skip
    """Draw a foot from the side, the first profile (thin) under the latest (thick), as one SVG.

    `title` names the foot. Angles in degrees and lengths in mm are drawn as they are; see `foot_words` for
    what the picture says to those who cannot see it, which is in it too. Pictures that are to be compared
    are given one `frame`. A profile without a wall (`drawable`) is drawn as bare ground.
    """
    latest, earlier = _placed(now, first)
    frame = frame or frame_of([(now, first)])
    canvas = Canvas(frame, _middle(_drawn(now, first)), toe_left, bool(remark(latest, earlier)))
    name = f"foot-{_slug(title)}"
    body = [
        *_limb(canvas, latest, f"{name}-fades"),
        *_ground(canvas, latest),
        *(_group("first", earlier, canvas) if earlier else []),
        *_group("now", latest, canvas),
        *labels(canvas, latest, earlier),
    ]
    told = " ".join(foot_words(now, first, thin))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="hoof" viewBox="0 0 {WIDTH} {canvas.height:.0f}" '
        f'width="{WIDTH}" height="{canvas.height:.0f}" role="img" aria-labelledby="{name} {name}-told" '
        f'font-family="system-ui, -apple-system, Segoe UI, Roboto, Arial, sans-serif" font-size="{TEXT}" '
        f'stroke-linecap="round" stroke-linejoin="round">'
        f'<title id="{name}">{harmless(title)}, from the side</title><desc id="{name}-told">{harmless(told)}</desc>'
        f"<style>{STYLE}</style>{''.join(body)}</svg>"
    )


def foot_words(now: Profile, first: Profile | None = None, thin: str = _FIRST) -> tuple[str, ...]:
    """What the picture shows, in sentences: the measures with their errors, what they rest on, what is open.

    `thin` says what the profile drawn thin is.
    """
    shape = shape_of(now)
    told = [_measures(now), *shape.said, *shape.notes]
    if shape.closed:
        told.append(_ONLY_DRAWN if now.pastern_angle else _ASSUMED)
    if first:
        told += [f"{thin}, drawn thin: {_measures(first)}"]
    return tuple(told)


def _measures(profile: Profile) -> str:
    named = [(words.name(key), key, profile.get(key)) for key in DRAWN]
    named += [(f"growth mark {name}".strip(), mark_key(name), mark) for name, mark in profile.marks.items()]
    lines = [f"growth {line_angle(name)} {words.measure(line.angle)}" for name, line in profile.lines.items()]
    said = [
        f"{name[0].lower()}{name[1:]} {words.measure(measure)}{_UNCHECKED if key in profile.unchecked else ''}"
        for name, key, measure in named
        if measure
    ]
    said += [f"{line}{_UNCHECKED}" for line in lines]
    return f"{profile.when}: {', '.join(said) or 'nothing measured from the side'}."


def _placed(now: Profile, first: Profile | None) -> tuple[Placed, Placed | None]:
    return laid_over(shape_of(now), _thin(first))


def _thin(first: Profile | None) -> Shape | None:
    return shape_of(first) if first and first.drawable else None


def _drawn(now: Profile, first: Profile | None) -> list[Part]:
    latest, earlier = _placed(now, first)
    own = [*limb(latest), *parts(latest)]
    under = [part for part in parts(earlier) if part.kind not in _NOT_FOR_FIRST] if earlier else []
    return [*own, *under] or [Part("ground", "measured", (0j, 100 + 0j))]


def _middle(drawn: Sequence[Part]) -> float:
    places = [point.real for part in drawn for point in part.points]
    return (min(places) + max(places)) / 2


def _group(name: str, placed: Placed, canvas: Canvas) -> list[str]:
    shown = [part for part in parts(placed) if name == "now" or part.kind not in _NOT_FOR_FIRST]
    return [f'<g class="{name}">', *(_part(part, name == "now", canvas) for part in shown), "</g>"]


def _limb(canvas: Canvas, latest: Placed, fades: str) -> list[str]:
    """What is only drawn: pale, and fading away upward."""
    drawn, top = limb(latest), latest.toe_top
    if not drawn or top is None:
        return []
    end = drawn[0].points[0]
    x1, y1, x2, y2 = canvas.x(top), canvas.y(top), canvas.x(end), canvas.y(end)
    stops = "".join(
        f'<stop class="st" offset="{offset}" stop-color="{INK}" stop-opacity="{opacity}"/>'
        for offset, opacity in ((0, 0.22), (0.35, 0.17), (1, 0))
    )
    return [
        f'<linearGradient id="{fades}" gradientUnits="userSpaceOnUse" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" '
        f'y2="{y2:.1f}">{stops}</linearGradient>',
        *(f'<path class="limb" d="{canvas.path(part.points)} Z" fill="url(#{fades})"/>' for part in drawn),
    ]


def _part(part: Part, latest: bool, canvas: Canvas) -> str:
    path = canvas.path(part.points)
    if part.kind in _FILLS:
        return f'<path class="{part.name} fi" d="{path} Z" fill="{INK}" fill-opacity="{_FILLS[part.kind]}"/>'
    thick, thin, more = _PENS[part.kind]
    soft = not latest or part.kind in ("hair", "measured")
    return (
        f'<path class="{part.name} {"s" if soft else "i"}" d="{path}" fill="none" stroke="{SOFT if soft else INK}" '
        f'stroke-width="{thick if latest else thin}"{more}{_DASHED if part.unchecked and not more else ""}/>'
    )


def _ground(canvas: Canvas, latest: Placed) -> list[str]:
    """The ground, from edge to edge; broken between toe and heel where their distance is not known."""
    y = canvas.ground
    if not latest.apart or latest.heel is None or not latest.shape.profile.heel_angle:
        return [line((4, y), (WIDTH - 4, y))]
    gap = canvas.x(complex(latest.heel * 0.6))
    breaks = [line((gap + at - 3, y + 6), (gap + at + 3, y - 6)) for at in (-5, 5)]
    return [line((4, y), (gap - 5, y)), line((gap + 5, y), (WIDTH - 4, y)), *breaks]


def _slug(title: str) -> str:
    return "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in title.lower())
