"""What is written in the picture of a foot: which line is which, the angles, the growth marks, the scale."""

from __future__ import annotations

from collections.abc import Iterator

from tracker.reference.measuring import COVERAGE
from tracker.show import words
from tracker.show.foot_canvas import LETTER, LINE, WIDTH, Canvas, cut, label, line, text_at
from tracker.show.foot_growth import line_number
from tracker.show.foot_limb import limb_end
from tracker.show.foot_parts import Placed, growth_lines, mark_lines

_SCALE_MM = 50
_EDGE = 4
_NEAR = 8.0  # of marks nearer to each other than this only one has its label, mm
_NEAR_HAIR = 14.0  # above a line nearer to the hairline there is no room for words, mm
_INSIDE, _BEFORE = 18, 6  # how far from the toe's wall a mark's label stands, px
_NAME_INSIDE = 140  # the widest a mark's name may be, px
_NUMBER = (9, 4)  # how far a growth line's number stands behind and above its lower end, px
_PASTERN_HALF = 84  # half the room that the words above the pastern need, px
_DASHED = "dashed: from a photo, not yet checked"
_NO_WALL = "no wall's angle measured: nothing to draw"


def labels(canvas: Canvas, latest: Placed, earlier: Placed | None) -> list[str]:
    """Everything that is written in the picture."""
    return [
        *_key(canvas, latest, earlier),
        *_angles(canvas, latest, earlier),
        *_pastern(canvas, latest, earlier),
        *_marks(canvas, latest, earlier),
        *_growth(canvas, latest),
        *_remark(canvas, remark(latest, earlier)),
        *_scale_bar(canvas),
    ]


def _key(canvas: Canvas, latest: Placed, earlier: Placed | None) -> Iterator[str]:
    """Which line is which, above the toe."""
    rows = [(latest, "i", 2.4, "fi"), *([(earlier, "s", 1.4, "fs")] if earlier else [])]
    for number, (placed, look, width, fill) in enumerate(rows):
        y, own = 16 + number * LINE, placed.shape.profile
        ends = (_EDGE, 24) if canvas.toe_left else (WIDTH - 24, WIDTH - _EDGE)
        yield line((ends[0], y - 4), (ends[1], y - 4), look=look, width=width)
        yield label(canvas, 32, y, cut(own.when, WIDTH - 36), fill, from_toe=True)


def _angles(canvas: Canvas, latest: Placed, earlier: Placed | None) -> Iterator[str]:
    """The walls' angles below the ground, each under its own side."""
    for number, (placed, fill) in enumerate(((latest, "fi"), (earlier, "fs"))):
        if placed is None:
            continue
        own, y = placed.shape.profile, canvas.ground + 20 + number * LINE
        for side in ("toe", "heel"):
            angle = own.get(f"{side}_angle")
            if angle:
                named = not (number and latest.shape.profile.get(f"{side}_angle"))
                said = f"{side + ' ' if named else ''}{words.measure(angle)}"
                italic = f"{side}_angle" in own.unchecked
                yield label(canvas, _EDGE, y, said, fill, from_toe=side == "toe", italic=italic)


def _pastern(canvas: Canvas, latest: Placed, earlier: Placed | None) -> Iterator[str]:
    """The pastern's angle above it; where there is only a drawn one, that it was not measured."""
    end = limb_end(latest)
    if end is None:
        return
    x = min(max(canvas.x(end), _PASTERN_HALF), WIDTH - _PASTERN_HALF)
    y, own = canvas.y(end) - 4, latest.shape.profile
    before = earlier.shape.profile if earlier else None
    rows = [
        (name + words.measure(angle), fill, "pastern_angle" in profile.unchecked)
        for name, fill, profile in (("pastern ", "fi", own), ("", "fs", before))
        if profile and (angle := profile.pastern_angle)
    ]
    if own.pastern_angle is None:
        rows = [("pastern not measured", "fs", False)]
    for number, (said, fill, italic) in enumerate(reversed(rows)):
        yield text_at(x, y - number * LINE, said, fill, "middle", italic)


def _marks(canvas: Canvas, latest: Placed, earlier: Placed | None) -> Iterator[str]:
    """Each growth mark's name and distance, over its line near the toe; before the toe where the hairline is near."""
    found = [
        (line[0], name, mark, fill)
        for placed, fill in ((latest, "fi"), (earlier, "fs"))
        if placed
        for name, line in mark_lines(placed).items()
        for mark in (placed.shape.profile.marks[name],)
    ]
    last: complex | None = None
    for start, name, mark, fill in sorted(found, key=lambda one: -one[0].imag):
        if last is None or abs(start - last) >= _NEAR:
            figure = words.number(mark.value, COVERAGE * mark.sd, "mm")
            yield _mark_label(canvas, start, name, figure, fill, inside=mark.value > _NEAR_HAIR)
            last = start


def _mark_label(canvas: Canvas, start: complex, name: str, figure: str, fill: str, *, inside: bool) -> str:
    """A mark's words; its name is shortened where there is no room, never its figure."""
    back = 1 if canvas.toe_left else -1
    x, y = canvas.x(start) + back * (_INSIDE if inside else -_BEFORE), canvas.y(start) + 3
    anchor = "start" if inside == canvas.toe_left else "end"
    before = x if canvas.toe_left else WIDTH - x
    room = _NAME_INSIDE if inside else before - _EDGE - LETTER * (len(figure) + 1)
    return text_at(x, y, f"{cut(name, room)} {figure}".strip(), fill, anchor)


def _growth(canvas: Canvas, latest: Placed) -> Iterator[str]:
    """The number of each growth line of the latest, beside its lower end."""
    back = 1 if canvas.toe_left else -1
    for name, (low, _) in growth_lines(latest).items():
        x, y = canvas.x(low) + back * _NUMBER[0], canvas.y(low) - _NUMBER[1]
        yield text_at(x, y, line_number(name), "fs", "middle")


def remark(latest: Placed, earlier: Placed | None) -> str:
    """What dashes mean, or why there is nothing."""
    shown = [placed.shape.profile for placed in (latest, earlier) if placed]
    if not any(profile.drawable for profile in shown):
        return _NO_WALL
    return _DASHED if any(profile.unchecked or profile.lines for profile in shown) else ""


def _remark(canvas: Canvas, said: str) -> Iterator[str]:
    """In the middle below the angles."""
    if said:
        yield text_at(WIDTH / 2, canvas.ground + 20 + 2 * LINE, said, "fs", "middle")


def _scale_bar(canvas: Canvas) -> list[str]:
    """How long 50 mm are, in the middle below everything."""
    half, y = _SCALE_MM * canvas.frame.scale / 2, canvas.height - 20
    left, right = WIDTH / 2 - half, WIDTH / 2 + half
    ticks = [(x, y - 4) for x in (left, right)]
    return [
        '<g class="scale">',
        line(ticks[0], (left, y), (right, y), ticks[1]),
        text_at(WIDTH / 2, y + 15, f"{_SCALE_MM} mm", "fs", "middle"),
        "</g>",
    ]
