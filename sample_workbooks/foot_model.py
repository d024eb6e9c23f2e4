"""A front foot in three dimensions whose every angle and length is known: the ground truth of the drawn photographs.

World: mm, X from the toe's tip to the heel along the ground, Y up, Z toward the camera; the foot's middle plane is
Z = 0. Surfaces are grids of points (… × 3). A foot is built from its side profile, so that angles and lengths of
the profile are exact:

- the front wall, the pastern's front and the ground line lie in the middle plane;
- the heel's wall lies `HEEL_OUT` nearer to the camera, both its ends alike. A plane before the middle plane is seen
  larger by D / (D − z), about the point opposite the camera (D its distance). Its angles therefore stay exact, and
  lengths of the heel read 3 to 4 % long; what joins heel and toe is off by z / (D − z) times how far the heel lies
  from that point, here up to 0.4° (the hairline) and 1.7 mm (the support length);
- the ends of a growth line lie in two such planes, which makes up to 0.4°.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

HEEL_OUT = 34.0
"""mm from the middle plane to each heel's wall."""

CARD_LEFT, CARD_SIDES = -98.0, (53.98, 85.60)
"""A bank card (ISO/IEC 7810, ID-1) stands in the middle plane on its short side, before the toe."""

_WIDE, _WIDE_ABOVE = 63.0, 53.0  # half the widths at the ground and at the hairline
_PASTERN = 62.0  # mm of the pastern's front that are straight
# Growth lines are marked at these parts of the way from toe to heel, between these parts of the way down.
_LINES, _LINE_ENDS = (0.22, 0.40, 0.56, 0.72), (0.10, 0.94)
_TURN = 0.74 * np.pi  # the part of a ring around the leg that lies above the wall, to each side


@dataclass(frozen=True, slots=True)
class Foot:
    """The side profile, in degrees and mm; `hollow` is how far the front wall lies behind its chord a third down."""

    toe_angle: float
    heel_angle: float
    toe_length: float
    heel_length: float
    support_length: float
    pastern_angle: float
    hollow: float

    @property
    def toe_hairline(self) -> Any:
        """Where the front wall meets the hairline, x and y."""
        return self.toe_length * _direction(self.toe_angle)

    @property
    def heel_hairline(self) -> Any:
        """Where the heel's wall meets the hairline, x and y."""
        return np.array([self.support_length, 0.0]) + self.heel_length * _direction(self.heel_angle)

    @property
    def pastern_lower(self) -> Any:
        """Where the straight part of the pastern's front begins, x and y."""
        return self.toe_hairline + np.array([7.0, 11.0])

    def landmarks(self) -> dict[str, Any]:
        """Every point that can be marked from the side (`tracker.derive.photo.points.SIDE`), as world points."""
        left, (across, up) = CARD_LEFT, CARD_SIDES
        flat = {
            "toe_hairline": self.toe_hairline,
            "toe_ground": (0, 0),
            "ground_front": (-25, 0),
            "ground_back": (self.support_length + 70, 0),
            "pastern_lower": self.pastern_lower,
            "pastern_upper": self.pastern_lower + _PASTERN * _direction(self.pastern_angle),
            "card_1": (left, 0),
            "card_2": (left + across, 0),
            "card_3": (left + across, up),
            "card_4": (left, up),
        }
        places = {name: np.array([*place, 0.0]) for name, place in flat.items()}
        places["heel_hairline"] = np.array([*self.heel_hairline, HEEL_OUT])
        places["heel_ground"] = np.array([self.support_length, 0.0, HEEL_OUT])
        places["wall_third"] = self.wall(np.array(0.0), np.array(1 / 3))
        for number, around in enumerate(_LINES, 1):
            for end, down in zip(("upper", "lower"), _LINE_ENDS, strict=True):
                places[f"line{number}_{end}"] = self.wall(np.array(around), np.array(down))
        return places

    def wall(self, around: Any, down: Any) -> Any:
        """Points of the hoof wall: `around` from -1 (inner heel) by 0 (toe) to 1, `down` from 0 (hairline) to 1."""
        top, bottom = self.hairline(around), self.ground(around)
        inward = np.stack([np.sin(self._lean(around)), -np.cos(self._lean(around))], axis=-1)
        hollow = self.hollow * 6.75 * down * (1 - down) ** 2 * np.clip(1 - np.abs(around), 0, 1)
        place = top + down[..., None] * (bottom - top)
        place[..., :2] += hollow[..., None] * inward
        return place

    def _lean(self, around: Any) -> Any:
        part = np.abs(around)
        return np.radians(self.toe_angle + part * (self.heel_angle - self.toe_angle))

    def ground(self, around: Any) -> Any:
        """Where the wall bears, a world point for each part of the way around."""
        x, z = _outline(around, 0.0, self.support_length, _WIDE)
        return np.stack([x, np.zeros_like(x), z], axis=-1)

    def hairline(self, around: Any) -> Any:
        """The hairline: nearly straight seen from the side, a little bowed."""
        toe, heel = self.toe_hairline, self.heel_hairline
        x, z = _outline(around, toe[0], heel[0], _WIDE_ABOVE)
        part = (x - toe[0]) / (heel[0] - toe[0])
        y = toe[1] + part * (heel[1] - toe[1]) + 7.0 * part * (1 - part) * (1.25 - part)
        return np.stack([x, y, z], axis=-1)

    def skin(self, turn: Any, up: Any) -> Any:
        """Points of the leg: `turn` around it in radians (0 in front), `up` in rings from 0 (under the bulbs) to 1."""
        rings = np.stack([_bulb_ring(self, turn, *row) for row in _BULBS] + self._leg_rings(turn))
        return _through(rings, up * (len(rings) - 3))

    def _leg_rings(self, turn: Any) -> list[Any]:
        along, low = _direction(self.pastern_angle), self.pastern_lower
        heel = self.heel_hairline
        rings = []
        for front, back, wide in _PASTERN_RINGS:
            behind = heel + np.array(back)
            rings.append(_ring(low + front * along, behind, wide, turn))
        top = low + _PASTERN * along
        for ahead, behind, wide in _LEG_RINGS:
            rings.append(_ring(top + np.array(ahead), top + np.array(behind), wide, turn))
        return rings


# Under and around the heel bulbs: mm down from the hairline's ring, inward under the wall, and back at the bulbs.
_BULBS = ((21.0, 20.0, -85.0), (20.0, 16.0, -52.0), (17.0, 9.0, -16.0), (9.0, 4.0, 5.0), (0.0, 0.0, 9.5))
# (mm up the pastern's front, the back of the same ring from the heel's hairline, half its width).
_PASTERN_RINGS = (
    (0.0, (8.0, 15.0), 49.5), (11.0, (-2.0, 34.0), 43.0), (24.0, (-7.0, 50.0), 37.0), (38.0, (-3.0, 66.0), 33.5),
    (51.0, (4.0, 77.0), 32.0), (_PASTERN, (12.0, 86.0), 32.0),
)  # fmt: skip
# Fetlock and cannon, from the upper end of the pastern's front: (front, back, half the width).
_LEG_RINGS = (
    ((8.0, 13.0), (64.0, -4.0), 33.0), ((14.0, 27.0), (73.0, 12.0), 34.5), ((18.0, 43.0), (77.0, 31.0), 34.0),
    ((19.5, 62.0), (73.0, 56.0), 30.0), ((19.0, 86.0), (66.0, 85.0), 25.0), ((19.0, 120.0), (63.0, 120.0), 22.0),
    ((19.0, 170.0), (62.0, 170.0), 22.0), ((19.0, 230.0), (62.0, 230.0), 22.0),
)  # fmt: skip


def _direction(degrees: float) -> Any:
    return np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])


def _outline(around: Any, toe: float, heel: float, wide: float) -> tuple[Any, Any]:
    """From above: half an ellipse before the widest part, then tapering to the heels."""
    part = np.abs(around)
    widest = toe + 0.53 * (heel - toe)
    angle = np.clip(part / 0.6, 0, 1) * np.pi / 2
    behind = np.clip((part - 0.6) / 0.4, 0, 1)
    x = np.where(part < 0.6, widest - (widest - toe) * np.cos(angle), widest + (heel - widest) * behind)
    z = np.where(part < 0.6, wide * np.sin(angle), wide - (wide - HEEL_OUT) * behind**2)
    return x, np.sign(around) * z


def _ring(front: Any, back: Any, wide: float, turn: Any) -> Any:
    middle, half = (front + back) / 2, (front - back) / 2
    flat = middle + np.cos(turn)[..., None] * half
    return np.concatenate([flat, (wide * np.sin(turn))[..., None]], axis=-1)


def _bulb_ring(foot: Foot, turn: Any, lower: float, inward: float, back: float) -> Any:
    """A ring that follows the hairline above the wall, and goes around the two heel bulbs behind it."""
    turn = (turn + np.pi) % (2 * np.pi) - np.pi
    around = np.clip(turn / _TURN, -1, 1)
    place = foot.hairline(around)
    behind = np.clip((np.abs(turn) - _TURN) / (np.pi - _TURN), 0, 1)
    bulge = np.sqrt(np.clip(1 - (1 - np.clip(2.2 * behind, 0, 1)) ** 2, 0, 1))
    cleft = np.clip((behind - 0.55) / 0.45, 0, 1) ** 2
    place[..., 0] += bulge * back - 7.0 * cleft
    place[..., 1] -= lower * (0.35 + 0.65 * bulge)
    place[..., 2] *= np.where(behind > 0, np.cos(behind * np.pi / 2), 1)
    middle = (foot.toe_hairline + foot.heel_hairline) / 2
    inside = inward / 55
    place[..., 0] += inside * (middle[0] - place[..., 0]) * (1 - bulge)
    place[..., 2] *= 1 - inside
    return place


def _through(rings: Any, at: Any) -> Any:
    """A smooth curve through the rings, from the second to the last but one (Catmull and Rom)."""
    first = np.clip(at.astype(int), 0, len(rings) - 4)
    part = (at - first)[..., None]
    column = np.arange(rings.shape[1])
    a, b, c, d = (rings[first + step, column] for step in range(4))
    return b + 0.5 * part * (c - a + part * (2 * a - 5 * b + 4 * c - d + part * (3 * (b - c) + d - a)))
