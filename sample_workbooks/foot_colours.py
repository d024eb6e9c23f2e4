"""What horn, hair, a card and a block of wood look like in soft daylight; colours are shares of light, 0 to 1."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from sample_workbooks.foot_model import CARD_LEFT, CARD_SIDES
from sample_workbooks.foot_noise import pattern, rough
from sample_workbooks.foot_surfaces import Seen

_SUN = np.array([-0.42, 0.72, 0.55]) / np.linalg.norm([-0.42, 0.72, 0.55])
_SUN_LIGHT = np.array([1.0, 0.95, 0.88])
_SKY, _FLOOR = np.array([0.60, 0.66, 0.74]), np.array([0.30, 0.28, 0.25])
_ROUND = 3.18  # mm, the corner of a bank card (ISO/IEC 7810)
_NAILS = ((0.24, 19.0), (0.36, 21.0), (0.49, 21.0), (0.62, 19.0))  # where around, mm above the ground


@dataclass(frozen=True, slots=True)
class Look:
    """What tells one day from another: old nail holes, and how far the horn's pattern is moved, mm."""

    nails: bool = False
    moved: float = 0.0


def coloured(seen: Seen, look: Look) -> tuple[Any, Any]:
    """The light that comes from each place (n × 3), and whether there is anything (a card has round corners)."""
    kept = np.ones(len(seen.pixels), bool)
    if seen.surface.material == "wall":
        return _wall(seen, look), kept
    if seen.surface.material == "card":
        return _card(seen), _within_card(seen.place)
    return _OTHERS[seen.surface.material](seen), kept


def _lit(colour: Any, normal: Any, open_: Any, gloss: Any = 0.0, sharp: float = 24.0) -> Any:
    """Light from a bright sky on the left, from the rest of the sky and from the ground; `open_` is how much of it."""
    normal = normal / np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    sun = np.clip((normal @ _SUN + 0.25) / 1.25, 0, 1)[:, None]
    up = (0.5 + 0.5 * normal[:, 1])[:, None]
    open_ = np.broadcast_to(open_, len(normal))[:, None]
    light = 1.0 * sun**1.3 * _SUN_LIGHT * open_**0.7 + (up * _SKY + (1 - up) * _FLOOR) * 0.62 * open_
    half = _SUN + np.array([0.0, 0.0, 1.0])
    shine = np.clip(normal @ (half / np.linalg.norm(half)), 0, 1) ** sharp
    return colour * light + (np.broadcast_to(gloss, len(normal)) * shine)[:, None] * open_


def _mix(one: Any, other: Any, part: Any) -> Any:
    return one + (np.asarray(other) - one) * np.clip(part, 0, 1)[:, None]


def _wall(seen: Seen, look: Look) -> Any:
    """Horn: tubules down the wall, growth rings around it, a pale band under the hair, dust at the ground."""
    around, down = seen.own[:, 0] * 150 + look.moved, seen.own[:, 1] * 84  # mm, about
    height = seen.place[:, 1]
    wander = 1.5 * pattern(around / 30, down / 40, 5)
    across = around + wander
    tubules = 0.55 * pattern(across * 1.6, down / 40, 11) + 0.55 * pattern(across / 2.2, down / 45, 12)
    tubules = tubules + 0.45 * pattern(across * 4.5, down / 25, 17)
    broad = pattern((around + 2 * wander) / 13, down / 90, 13)
    low = down + 0.04 * look.moved
    low = low + 2.2 * pattern(around / 16, down / 50, 14) + 0.7 * pattern(around / 5, down / 30, 15)
    rings = np.sin(2 * np.pi * (low / 7.4 + 0.35 * pattern(low / 9, np.zeros_like(low), 16)))
    rings *= 0.55 + 0.45 * pattern(around / 25, low / 14, 18)
    horn = np.array([0.118, 0.091, 0.068]) * (1 + 0.15 * tubules + 0.24 * broad + 0.12 * rings)[:, None]
    horn = _mix(horn, [0.27, 0.212, 0.155], 0.50 * np.clip(broad + 0.3 * tubules - 0.1, 0, 1))
    horn = _mix(horn, [0.28, 0.245, 0.205], 0.6 * np.exp(-((down / 6.5) ** 2)) * (0.8 + 0.4 * tubules))
    horn = _mix(horn, [0.105, 0.085, 0.070], 0.45 * np.exp(-(((down - 13 - 2 * wander) / 6) ** 2)))
    dust = np.exp(-height / 7) * (0.55 + 0.5 * rough(around / 9, down / 6, 21, 3))
    horn = _mix(horn, [0.31, 0.28, 0.24], 0.55 * dust)
    horn = _mix(horn, [0.42, 0.40, 0.36], 0.5 * np.clip(rough(around / 14, down / 18, 25, 4) - 0.25, 0, 0.4))
    if look.nails:
        horn = _with_nail_holes(horn, seen.own[:, 0], height)
    fringe = _fringe(around)
    hair = np.clip((fringe - down) / 0.5 + 0.5, 0, 1)
    strands = 1 + 0.4 * pattern(around * 2.6, down / 4, 41)
    horn = horn + hair[:, None] * (_HAIR * 1.15 * strands[:, None] - horn)
    normal = seen.normal + 0.26 * _tilted(rings) + 0.05 * pattern(around * 1.6, down / 40, 11)[:, None]
    normal[:, 1] -= 0.9 * np.exp(-height / 2.6)  # the edge is worn round
    open_ = (0.40 + 0.60 * (1 - np.exp(-height / 9))) * (0.72 + 0.28 * np.clip((down - fringe) / 5, 0, 1))
    open_ = open_ * (1 - 0.35 * np.clip(np.abs(seen.own[:, 0]) - 0.72, 0, 1) / 0.28)
    return _lit(horn, normal, open_, gloss=(1 - 0.8 * hair) * (0.055 + 0.03 * tubules), sharp=14)


def _fringe(around: Any) -> Any:
    """How far the hair hangs over the horn, mm, or ends before it."""
    one = np.ones_like(around)
    return 0.5 + 0.9 * pattern(around / 0.32, 0 * one, 31) + 0.6 * pattern(around / 2, one, 32)


def _tilted(rings: Any) -> Any:
    """How a growth ring turns the normal, along the wall's way down."""
    return rings[:, None] * np.array([0.55, 0.8, -0.15])


def _with_nail_holes(horn: Any, part: Any, height: Any) -> Any:
    """Four old holes with a little rust below each."""
    for place, above in _NAILS:
        across = (part - place) * 150
        hole = (across / 1.3) ** 2 + ((height - above) / 1.1) ** 2
        below = np.exp(-np.clip(above - height, 0, 99) / 9) * (height < above + 1.5)
        stain = below * np.exp(-((across / 2.6) ** 2))
        horn = _mix(horn, [0.24, 0.135, 0.07], 0.45 * stain)
        horn = _mix(horn, [0.035, 0.028, 0.024], 1.25 - hole**1.5)
    return horn


_HAIR = np.array([0.056, 0.035, 0.024])


def _hair(seen: Seen) -> Any:
    """Short hair that lies down and a little back, dark with a brown shine; bare dark skin under the bulbs."""
    turn, up = seen.own[:, 0] * 48, seen.own[:, 1] * 330  # mm, about
    x, y = seen.place.T[:2]
    lean = turn + 0.22 * up + 3 * pattern(turn / 22, up / 30, 50)
    strands = pattern(lean * 2.4, up / 5, 51) * 0.55 + pattern(lean * 1.0, up / 9, 52) * 0.3
    strands = strands + 0.55 * pattern(lean * 5.2, up / 3.6, 53)
    tufts = pattern(lean / 6, up / 16, 54)
    hair = _HAIR * (1 + 0.42 * strands + 0.25 * tufts)[:, None]
    hair = _mix(hair, [0.155, 0.088, 0.048], 0.7 * np.clip((y - 120) / 120 + 0.25 * tufts, 0, 1))
    hair = _mix(hair, [0.15, 0.115, 0.09], 0.16 * np.clip(tufts + 0.4 * strands, 0, 1))
    skin = np.clip((0.155 - seen.own[:, 1]) / 0.05, 0, 1)
    bare = np.array([0.060, 0.050, 0.045]) * (1 + 0.3 * rough(x / 5, y / 4, 61, 3))[:, None]
    colour = _mix(hair, bare, skin)
    normal = seen.normal + 0.15 * strands[:, None] * np.array([0.9, 0.1, 0.2]) + 0.08 * tufts[:, None]
    open_ = 0.35 + 0.65 * np.clip(y / 60, 0, 1)
    open_ = open_ * (1 - 0.45 * np.exp(-(((y - 62) / 22) ** 2)) * np.clip((x - 115) / 25, 0, 1))
    open_ = open_ * (1 - 0.55 * skin * np.clip(1 - y / 22, 0, 1) - 0.25 * np.clip(-seen.normal[:, 1], 0, 1))
    gloss = 0.07 * (0.6 + 0.5 * strands) * (1 - 0.6 * skin)
    return _lit(colour, normal, open_, gloss=gloss, sharp=9)


def _card(seen: Seen) -> Any:
    """A plain card with a stripe and a contact field; nothing is written on it."""
    across, up = (seen.place[:, 0] - CARD_LEFT), seen.place[:, 1]
    colour = np.array([0.62, 0.70, 0.72]) * (1 + 0.06 * (up / 85 - 0.5))[:, None]
    colour = _mix(colour, [0.10, 0.26, 0.34], (np.abs(up - 67) < 7.5) * 1.0)
    chip = (np.abs(across - 27) < 5.5) & (np.abs(up - 40) < 6.3)
    colour = _mix(colour, [0.66, 0.53, 0.27], chip * 1.0)
    lines = chip & ((np.abs(across - 27) < 0.25) | (np.abs(np.abs(up - 40) - 2.1) < 0.25))
    colour = _mix(colour, [0.30, 0.23, 0.11], lines * 1.0)
    edge = _card_edge(seen.place)
    colour = _mix(colour, [0.85, 0.86, 0.86], np.clip(1 - edge / 0.5, 0, 1) * 0.6)
    colour = colour * (1 - 0.10 * np.exp(-up / 5))[:, None]
    return _lit(colour, seen.normal, 0.92, gloss=0.02, sharp=8)


def _card_edge(place: Any) -> Any:
    """How far inside the card's edge a place lies, mm; negative outside its round corners."""
    across, up = CARD_SIDES
    x = np.abs(place[:, 0] - CARD_LEFT - across / 2) - across / 2 + _ROUND
    y = np.abs(place[:, 1] - up / 2) - up / 2 + _ROUND
    return _ROUND - np.hypot(np.maximum(x, 0), np.maximum(y, 0)) - np.minimum(np.maximum(x, y), 0)


def _within_card(place: Any) -> Any:
    return _card_edge(place) >= 0


def _wood(seen: Seen) -> Any:
    x, y, z = seen.place.T
    year = y / 3.2 + 0.8 * pattern(x / 25, z / 9, 71) + 0.3 * pattern(x / 60, y / 2, 72)
    grain = np.sin(2 * np.pi * year)
    colour = np.array([0.50, 0.36, 0.22]) * (1 + 0.11 * grain + 0.06 * pattern(x / 7, y * 2, 73))[:, None]
    open_ = 0.55 + 0.45 * (1 - np.exp(-y / 8))
    return _lit(colour, seen.normal, open_)


_OTHERS: dict[str, Callable[[Seen], Any]] = {"hair": _hair, "wood": _wood}
