"""The two photographs of the sample's left front foot: what is on them, and what their owner marked."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from sample_workbooks.foot_camera import FILM, SIZE, Pinhole
from sample_workbooks.foot_colours import Look
from sample_workbooks.foot_model import Foot
from tracker.derive.photo.marking import Marking, read_marking
from tracker.derive.photo.seen import Seen
from tracker.show.marking import ID_CARD

FOOT = "LF"
POINT_ERROR = 2.0
"""px, one standard deviation in x and in y: how well a point is set with a finger and a loupe."""

TOLD_FOCAL = FILM * math.hypot(*SIZE) / math.hypot(36, 24)
"""px; what the camera's own words about its lens come to."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One photograph: days after the shoes came off, the foot as it then is, where the camera was held."""

    day: int
    foot: Foot
    camera: Pinhole
    look: Look = field(default_factory=Look)

    @property
    def name(self) -> str:
        """The photograph's file name."""
        return f"{FOOT} side day {self.day}.jpg"

    @property
    def true_points(self) -> dict[str, tuple[float, float]]:
        """Where each landmark lies in the picture, px."""
        seen = {name: self.camera.project(place)[0] for name, place in self.foot.landmarks().items()}
        return {name: (float(x), float(y)) for name, (x, y) in seen.items()}


def shot(day: int, true: Mapping[str, float]) -> Shot:
    """The photograph of that day; `true` is what the story says of the foot."""
    first = day < 100
    foot = Foot(
        true["Toe angle"], true["Heel angle"], true["Toe length"], true["Heel length"], true["Support length"],
        pastern_angle=52.0 if first else 53.0, hollow=1.3 if first else 0.4,
    )  # fmt: skip
    if first:
        return Shot(day, foot, Pinhole((100.0, 60.0, 1000.0), (42.0, 105.0, 0.0), 0.7), Look(nails=True))
    return Shot(day, foot, Pinhole((94.0, 74.0, 1030.0), (38.0, 103.0, 0.0), -0.5), Look(moved=537.0))


@cache
def marked(of: Shot) -> tuple[Marking, Seen]:
    """The points as the owner set them, each a little off, and what they measure."""
    dice = random.Random(of.day)

    def off() -> float:  # nearly a bell; only random() gives the same numbers in every version of Python
        return POINT_ERROR * (sum(dice.random() for _ in range(12)) - 6)

    points = {name: (round(x + off(), 1), round(y + off(), 1)) for name, (x, y) in of.true_points.items()}
    marking = Marking(of.name, "side", FOOT, points=points, card=ID_CARD)
    return marking, read_marking(marking, focal_px=TOLD_FOCAL, image_size=SIZE)
