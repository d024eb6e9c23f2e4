"""A whole foot of each view, photographed squarely; and every mistake that its points can have."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import camera
import numpy as np

from tracker.derive.photo.seen import Seen
from tracker.derive.photo.views import front_view, side_view, sole_view

DISTANCE = 1200.0
HOOF = {"toe": 50, "heel": 45, "toe_length": 85, "heel_length": 40, "support": 110}
EXACT: dict[str, Any] = {"focal_px": camera.FOCAL, "image_size": camera.SIZE, "tilt_sd_deg": 0}

Pixels = dict[str, tuple[float, float]]


def shot(flat: dict[str, Any], yaw: float = 0, pitch: float = 0, distance: float = DISTANCE) -> Pixels:
    """Pixels of points of a plane (mm, x to the right, y up), seen from those angles (deg)."""
    middle = np.array([50.0, 30.0, 0.0])
    place, turn = camera.look_at(middle, np.radians(yaw), np.radians(pitch), distance)
    return {name: tuple(camera.shoot(place, turn, [*xy[:2], 0.0]).tolist()) for name, xy in flat.items()}


def card(x: float, y: float) -> dict[str, tuple[float, float]]:
    """The corners of a bank card that stands there, mm."""
    long, short = camera.CARD
    return {
        "card_1": (x, y),
        "card_2": (x + short, y),
        "card_3": (x + short, y + long),
        "card_4": (x, y + long),
    }


SIDE_MM: dict[str, Any] = {
    **camera.foot(*HOOF.values()),
    "wall_third": (85 * 2 / 3 * np.cos(np.radians(50)), 85 * 2 / 3 * np.sin(np.radians(50))),
    "pastern_lower": (62, 72),
    "pastern_upper": (62 + 40 * np.cos(np.radians(54)), 72 + 40 * np.sin(np.radians(54))),
    "scale_a": (0, -30),
    "scale_b": (100, -30),
    **card(180, 0),
}
FRONT_MM = {
    "medial_ground": (0, 0), "lateral_ground": (120, 0),
    "medial_hairline": (60 / np.tan(np.radians(76)), 60.0),
    "lateral_hairline": (120 - 62 / np.tan(np.radians(72)), 62.0),
    "medial_third": (40 / np.tan(np.radians(74)), 40.0),
    "lateral_third": (120 - 41 / np.tan(np.radians(70)), 41.0),
    "ground_medial": (-30, 0), "ground_lateral": (150, 0),
    **card(180, 0),
}  # fmt: skip
SOLE_MM = {
    "toe": (60, 125), "medial_heel": (20, 0), "lateral_heel": (100, 0),
    "medial_widest": (0, 60), "lateral_widest": (122, 60),
    "frog_tip": (60, 85), "frog_base": (60, -5), "frog_medial": (35, 2), "frog_lateral": (86, 2),
    "medial_bulb": (28, -12), "lateral_bulb": (92, -12),
    **card(180, 0),
}  # fmt: skip

SIDE, FRONT, SOLE = shot(SIDE_MM), shot(FRONT_MM), shot(SOLE_MM)


def side(*without: str, scale_mm: Any = 100.0, card_mm: Any = camera.CARD, **other: Any) -> Seen:
    """The whole side view without some points; `moved` are points that lie elsewhere."""
    moved = other.pop("moved", {})
    points = {name: place for name, place in SIDE.items() if name not in without} | moved
    sizes = {"focal_px": camera.FOCAL, "image_size": camera.SIZE, "point_sd_px": 2.0}
    return side_view(points, scale_mm=scale_mm, card_mm=card_mm, **sizes | other)


def swapped(one: str, other: str) -> Pixels:
    """Two points, each in the other's place."""
    return {one: SIDE[other], other: SIDE[one]}


def _nearer(factor: float) -> Pixels:
    a, b = (np.array(SIDE[name]) for name in ("scale_a", "scale_b"))
    return {"scale_b": tuple(a + factor * (b - a))}


def _sloping(degrees: float) -> tuple[float, float]:
    front, back = (np.array(SIDE[name]) for name in ("ground_front", "ground_back"))
    return float(back[0]), float(front[1] - (back[0] - front[0]) * np.tan(np.radians(degrees)))


_CARD = tuple(f"card_{number}" for number in range(1, 5))
_PLAIN = np.array([[3000, 1400], [3100, 1400], [3160, 1550], [3000, 1600]], float)
_FAR = shot(SIDE_MM, yaw=30, distance=900)
_CLOSE = shot(SIDE_MM, distance=500)

LINES_OF_ONE_MIDDLE = {
    "line1_upper": (1900.0, 1500.0), "line1_lower": (1800.0, 1600.0),
    "line2_upper": (1870.0, 1460.0), "line2_lower": (1830.02, 1640.0),
}  # fmt: skip

# Each has exactly one problem, of that kind.
MISTAKES: dict[str, Callable[[], Seen]] = {
    "photo-no-points": lambda: side_view({}),
    "photo-not-a-point": lambda: side(moved={"fetlock": (1, 1)}),
    "photo-no-place": lambda: side("scale_a", "scale_b", scale_mm=None, moved={"scale_a": ("left", 3)}),
    "photo-size": lambda: side(mm_per_px=0),
    "photo-not-marked": lambda: side("wall_third"),
    "photo-outside": lambda: side(moved={"ground_back": (4200.0, SIDE["ground_back"][1])}),
    "photo-same-place": lambda: side(moved={"pastern_upper": SIDE["wall_third"]}),
    "photo-swapped": lambda: side(moved=swapped("pastern_upper", "pastern_lower")),
    "photo-flat": lambda: side(moved={"pastern_upper": (SIDE["pastern_lower"][0] + 90, SIDE["pastern_lower"][1])}),
    "photo-crossed": lambda: side(moved=swapped("toe_hairline", "heel_hairline")),
    "photo-ground-turned": lambda: side(moved=swapped("ground_front", "ground_back")),
    "photo-ground-off": lambda: side(moved={"ground_back": _sloping(14)}),
    "photo-no-ground": lambda: side("ground_front", "ground_back", "heel_ground", "toe_ground"),
    "photo-no-scale": lambda: side("scale_a", "scale_b", *_CARD, scale_mm=None, card_mm=None),
    "photo-scale-half": lambda: side("scale_b"),
    "photo-scale-size": lambda: side(scale_mm=None),
    "photo-card-half": lambda: side("card_3"),
    "photo-card-size": lambda: side(card_mm=None),
    "photo-card-shape": lambda: side(moved={"card_2": SIDE["card_1"]}),
    "photo-card-fit": lambda: side(moved=dict(zip(_CARD, map(tuple, _PLAIN), strict=True))),
    "photo-far-from-square": lambda: side(moved=_FAR, point_sd_px=1),
    "photo-scales-differ": lambda: side(moved=_nearer(1.2)),
    "photo-near": lambda: side(moved=_CLOSE),
    "photo-inner-side": lambda: front_view(FRONT, foot="RF", image_size=camera.SIZE, card_mm=camera.CARD),
    "photo-unsure": lambda: side(moved=LINES_OF_ONE_MIDDLE),
}  # fmt: skip
ALSO = {"photo-no-ground": {"photo-not-marked"}}  # what else such a photo has to be told

__all__ = [
    "ALSO",
    "EXACT",
    "FRONT",
    "HOOF",
    "LINES_OF_ONE_MIDDLE",
    "MISTAKES",
    "SIDE",
    "SOLE",
    "front_view",
    "side_view",
    "sole_view",
]
