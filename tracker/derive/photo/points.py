"""The points that can be marked on a photograph of a foot: their names, and where each lies."""

from __future__ import annotations

SCALE = {
    "scale_a": "one end of something whose length is known, at the foot's middle",
    "scale_b": "its other end",
}
CARDS = tuple(f"card_{number}" for number in range(1, 5))
CARD = {name: f"corner {name[-1]} of a flat card, in turn from any corner" for name in CARDS}
REFERENCE = SCALE | CARD

LINES = tuple(f"line{number}" for number in range(1, 10))
_GROWTH = {
    f"{line}_{end}": f"{end} end of growth line or tubule {line[-1]}, counted from the toe"
    for line in LINES
    for end in ("upper", "lower")
}

SIDE = {
    "toe_hairline": "where the front wall meets the hairline",
    "toe_ground": "where the front wall meets the ground",
    "heel_hairline": "where the heel's wall meets the hairline",
    "heel_ground": "where the heel's wall meets the ground",
    "ground_front": "on the ground, in front of the toe",
    "ground_back": "on the ground, behind the heel",
    "pastern_upper": "on the front of the pastern, high up",
    "pastern_lower": "on the front of the pastern, just above the hairline",
    "wall_third": "on the front wall, a third of the way down",
    **_GROWTH,
    **REFERENCE,
}

FRONT = {
    "medial_hairline": "where the inner wall's outline meets the hairline",
    "medial_ground": "where the inner wall meets the ground",
    "lateral_hairline": "where the outer wall's outline meets the hairline",
    "lateral_ground": "where the outer wall meets the ground",
    "medial_third": "on the inner wall's outline, a third of the way down",
    "lateral_third": "on the outer wall's outline, a third of the way down",
    "ground_medial": "on the ground, beside the inner wall",
    "ground_lateral": "on the ground, beside the outer wall",
    **REFERENCE,
}

SOLE = {
    "toe": "the middle of the toe, where it bears",
    "medial_heel": "the hindmost bearing point of the inner heel",
    "lateral_heel": "the hindmost bearing point of the outer heel",
    "medial_widest": "the inner edge where the foot is widest",
    "lateral_widest": "the outer edge where the foot is widest",
    "frog_tip": "the tip of the frog",
    "frog_base": "the middle of the back of the frog",
    "frog_medial": "the inner edge of the frog where it is widest",
    "frog_lateral": "the outer edge of the frog where it is widest",
    "medial_bulb": "the hindmost point of the inner heel bulb",
    "lateral_bulb": "the hindmost point of the outer heel bulb",
    **REFERENCE,
}
