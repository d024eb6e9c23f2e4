"""Small drawings of a foot that show where a point lies: from the side, from the front, from below.

All in the units of one sheet of 200 x 150, on a pale ground of its own, so that they are read on light and dark
pages alike. The side view's toe points left; the other two show a left foot, whose inner side is then on the left.
"""

from __future__ import annotations

from functools import cache

Place = tuple[float, float]

WIDTH, HEIGHT = 200, 150
_GROUND = 128.0

_PALE, _EARTH, _EDGE = "#f8f5ef", "#e3dccf", "#43392f"
_WALL, _RING, _HAIR, _SKIN, _SOLE, _FROG = "#d3bf9f", "#ad9674", "#94755a", "#6f5a49", "#e4d6bd", "#8a7a69"
_MARK = "#d5004f"

_LINES = 9
_CARD: dict[str, Place] = {
    "card_1": (128, 89), "card_2": (188, 89), "card_3": (188, 127), "card_4": (128, 127),
}  # fmt: skip
_SCALE: dict[str, Place] = {"scale_a": (128, 122), "scale_b": (188, 122)}
_BESIDE = "translate(0 35.84) scale(0.72)"  # the foot makes room for a card, and stays on the ground


def _between(one: Place, other: Place, part: float) -> Place:
    return one[0] + (other[0] - one[0]) * part, one[1] + (other[1] - one[1]) * part


def _curve(ends: tuple[Place, Place, Place, Place], part: float) -> Place:
    """A place on a cubic Bézier curve."""
    one, two, three, four = ends
    low = _between(_between(one, two, part), _between(two, three, part), part)
    high = _between(_between(two, three, part), _between(three, four, part), part)
    return _between(low, high, part)


# From the side

_TOE_HAIR, _TOE, _HEEL_HAIR, _HEEL = (74.0, 62.0), (22.0, 128.0), (152.0, 93.0), (125.0, 128.0)
_HAIRLINE = (_TOE_HAIR, (100.0, 66.0), (128.0, 82.0), _HEEL_HAIR)


def _line_ends(number: int) -> tuple[Place, Place]:
    """A tubule runs from the hairline to the ground, one after another from toe to heel."""
    part = number / (_LINES + 1)
    top = _curve(_HAIRLINE, part)
    foot = _between(_TOE, _HEEL, part)
    return _between(top, foot, 0.08), _between(top, foot, 0.97)


_SIDE: dict[str, Place] = {
    "toe_hairline": _TOE_HAIR,
    "toe_ground": _TOE,
    "heel_hairline": _HEEL_HAIR,
    "heel_ground": _HEEL,
    "ground_front": (12, _GROUND),
    "ground_back": (188, _GROUND),
    "pastern_upper": (107, 19),
    "pastern_lower": (81, 52),
    "wall_third": _between(_TOE_HAIR, _TOE, 1 / 3),
    **{
        f"line{number}_{end}": place
        for number in range(1, _LINES + 1)
        for end, place in zip(("upper", "lower"), _line_ends(number), strict=True)
    },
}

_SIDE_ART = (
    # the pastern: its front goes on in the line of the wall, its back is hollow above the heel
    f'<path fill="{_HAIR}" d="M73 63 L81 52 L107 19 Q112 12 117 0 Q124 -26 124 -50 L178 -50 Q178 -20 174 0 Q170 26 160 46 Q152 62 155 77 '
    'Q160 84 158 95 Z"/>'
    # the bulb of the heel
    f'<path fill="{_SKIN}" d="M150 90 Q157 84 161 90 Q169 101 162 114 Q154 125 138 126.5 L124 128 Z"/>'
    # the wall, rounded a little where it meets the ground
    f'<path fill="{_WALL}" d="M74 62 L24 125.5 Q22 128 26 128 L125 128 Q138 112 152 93 C128 82 100 66 74 62 Z"/>'
    # growth rings follow the hairline, and lie wider apart at the heel of a foot that grows there
    f'<g fill="none" stroke="{_RING}" stroke-width="1">'
    '<path d="M65 73.5 C92 78 118 92 144.5 103"/><path d="M55.5 85.5 C84 90 112 103 137 113"/>'
    '<path d="M46 98 C74 102 104 113 130 121.5"/><path d="M36.5 110 C62 113 88 119 112 127"/></g>'
    f'<path fill="none" stroke="{_SKIN}" stroke-width="4" stroke-linecap="round" d="M77 60.5 C102 65 129 80 151 90.5"/>'
    f'<path fill="none" stroke="{_EDGE}" stroke-width="2" stroke-linejoin="round" d="M124 -50 Q124 -26 117 0 Q112 12 107 19 L81 52 '
    "L24 125.5 Q22 128 26 128 L125 128 L138 126.5 Q154 125 162 114 Q169 101 161 90 L155 77 Q152 62 160 46 "
    'Q170 26 174 0 Q178 -20 178 -50 M125 128 Q138 112 152 93"/>'
)

# From the front

_INNER = ((69.0, 60.0), (65.0, 84.0), (59.0, 106.0), (52.0, 128.0))
_OUTER = ((131.0, 60.0), (135.0, 84.0), (141.0, 106.0), (149.0, 128.0))
_FRONT: dict[str, Place] = {
    "medial_hairline": _INNER[0],
    "medial_ground": _INNER[3],
    "lateral_hairline": _OUTER[0],
    "lateral_ground": _OUTER[3],
    "medial_third": _curve(_INNER, 1 / 3),
    "lateral_third": _curve(_OUTER, 1 / 3),
    "ground_medial": (20, _GROUND),
    "ground_lateral": (180, _GROUND),
}
_FRONT_ART = (
    f'<path fill="{_HAIR}" d="M69 60 Q76 44 75 26 Q74 12 70 0 Q62 -24 62 -50 L138 -50 Q138 -24 130 0 Q126 12 125 26 Q124 44 131 60 Q100 70 69 60 Z"/>'
    f'<path fill="{_WALL}" d="M69 60 C65 84 59 106 52 125 Q51 128 55 128 L146 128 Q150 128 149 125 '
    'C141 106 135 84 131 60 Q100 49 69 60 Z"/>'
    f'<g fill="none" stroke="{_RING}" stroke-width="1"><path d="M66.5 74 Q100 63 133.5 74"/>'
    '<path d="M63.5 88 Q100 77 136.5 88"/><path d="M59.5 102 Q100 92 140.5 102"/>'
    '<path d="M55 116 Q100 108 145 116"/></g>'
    f'<path fill="none" stroke="{_SKIN}" stroke-width="4" stroke-linecap="round" d="M70.5 58 Q100 47 129.5 58"/>'
    f'<path fill="none" stroke="{_EDGE}" stroke-width="2" stroke-linejoin="round" d="M62 -50 Q62 -24 70 0 Q74 12 75 26 Q76 44 69 60 '
    "C65 84 59 106 52 125 Q51 128 55 128 L146 128 Q150 128 149 125 C141 106 135 84 131 60 Q124 44 125 26 "
    'Q126 12 130 0 Q138 -24 138 -50"/>'
)

# From below

_BELOW: dict[str, Place] = {
    "toe": (100, 12),
    "medial_heel": (61, 123),
    "lateral_heel": (139, 123),
    "medial_widest": (42, 74),
    "lateral_widest": (158, 74),
    "frog_tip": (100, 58),
    "frog_base": (100, 124),
    "frog_medial": (80, 113),
    "frog_lateral": (120, 113),
    "medial_bulb": (78, 138),
    "lateral_bulb": (122, 138),
}

_BELOW_ART = (
    # the bulbs behind, then the wall's bearing edge, which turns in at the heels and becomes the bars
    f'<path fill="{_SKIN}" stroke="{_EDGE}" stroke-width="2" d="M57 116 Q58 138 78 138 Q92 138 100 130 Q108 138 122 138 '
    'Q142 138 143 116 Z"/>'
    f'<path fill="{_WALL}" stroke="{_EDGE}" stroke-width="2" stroke-linejoin="round" d="M100 12 C137 12 158 42 158 74 '
    "C158 96 150 112 142 121 Q139 125 134 122 L110 82 L100 74 L90 82 L66 122 Q61 125 58 121 "
    'C50 112 42 96 42 74 C42 42 63 12 100 12 Z"/>'
    # the sole within the white line
    f'<path fill="{_SOLE}" stroke="#fbf8f0" stroke-width="2.5" d="M100 21 C131 21 149 47 149 74 C149 91 144 104 138 113 '
    'L112 72 L100 56 L88 72 L62 113 C56 104 51 91 51 74 C51 47 69 21 100 21 Z"/>'
    # the frog with its furrows
    f'<path fill="{_FROG}" stroke="{_EDGE}" stroke-width="1.5" stroke-linejoin="round" d="M100 58 Q104 68 109 82 '
    'L120 113 Q119 124 108 124 Q102 122 100 124 Q98 122 92 124 Q81 124 80 113 L91 82 Q96 68 100 58 Z"/>'
    f'<path fill="none" stroke="{_EDGE}" stroke-width="2" stroke-linecap="round" d="M100 94 Q98.5 106 100 117"/>'
)

_POINTS = {"side": _SIDE, "front": _FRONT, "sole": _BELOW}
_ART = {"side": _SIDE_ART, "front": _FRONT_ART, "sole": _BELOW_ART}
PLACES: dict[str, dict[str, Place]] = {
    view: {**points, **_CARD, **_SCALE} for view, points in _POINTS.items()
}


@cache
def drawing_of(view: str, point: str) -> str:
    """A foot in that view, as SVG, with the place of one point marked."""
    where = PLACES[view][point]
    beside = point in _CARD or point in _SCALE
    foot = f'<g transform="{_BESIDE}">{_ART[view]}</g>' if beside else _ART[view]
    ground = f'<rect y="{_GROUND}" width="{WIDTH}" height="{HEIGHT - _GROUND}" fill="{_EARTH}"/>'
    line = f'<path stroke="{_EDGE}" stroke-width="1.5" d="M0 {_GROUND} H{WIDTH}"/>'
    under, over = ("", "") if view == "sole" else (ground, line)
    parts = [under, foot, over, _thing(point), _line(point), "" if beside else _sides(view), _ring(where)]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}">'
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{_PALE}"/>{"".join(parts)}</svg>'
    )


def _thing(point: str) -> str:
    """The card or the ruler that stands beside the foot."""
    if point in _CARD:
        (left, top), (right, bottom) = _CARD["card_1"], _CARD["card_3"]
        return (
            f'<rect x="{left}" y="{top}" width="{right - left}" height="{bottom - top}" rx="3" fill="#3f6f8f" '
            f'stroke="{_EDGE}" stroke-width="1.5"/><path stroke="#dbe7ee" stroke-width="4" '
            f'd="M{left + 8} {bottom - 10} H{right - 22}"/>'
        )
    if point not in _SCALE:
        return ""
    (left, middle), (right, _) = _SCALE["scale_a"], _SCALE["scale_b"]
    ticks = "".join(f"M{left + 8 * number} {middle - 5} v5" for number in range(1, 8))
    return (
        f'<rect x="{left}" y="{middle - 5}" width="{right - left}" height="10" fill="#f3d778" stroke="{_EDGE}" '
        f'stroke-width="1.5"/><path stroke="{_EDGE}" d="{ticks}"/>'
    )


def _line(point: str) -> str:
    """The whole of a growth line, one end of which is asked for."""
    if not point.startswith("line"):
        return ""
    (ax, ay), (bx, by) = _line_ends(int(point[4]))
    return f'<path stroke="{_MARK}" stroke-width="2" d="M{ax:.1f} {ay:.1f} L{bx:.1f} {by:.1f}"/>'


def _sides(view: str) -> str:
    """Which side is the inner one; a right foot is the other way round."""
    if view == "side":
        return ""
    words = (
        ("4", "16", "start", "a left foot"),
        ("4", "112", "start", "inner"),
        ("196", "112", "end", "outer"),
    )
    return "".join(
        f'<text x="{x}" y="{y}" text-anchor="{anchor}" font-family="sans-serif" font-size="14" fill="{_EDGE}">{word}</text>'
        for x, y, anchor, word in words
    )


def _ring(where: Place) -> str:
    x, y = (f"{value:.1f}" for value in where)
    return (
        f'<g class="asked"><circle cx="{x}" cy="{y}" r="7.5" fill="none" stroke="#ffffff" stroke-width="6"/>'
        f'<circle cx="{x}" cy="{y}" r="7.5" fill="none" stroke="{_MARK}" stroke-width="3"/>'
        f'<circle cx="{x}" cy="{y}" r="2.5" fill="{_MARK}" stroke="#ffffff"/></g>'
    )
