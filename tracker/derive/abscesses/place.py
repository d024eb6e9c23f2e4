"""Where in the foot an abscess sits, from words that owners type freely."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tracker.cells.text import fold

TOE, QUARTER, HEEL, BULB, SOLE = "toe", "quarter", "heel", "bulb", "sole"
_PARTS = {"toe": TOE, "quarter": QUARTER, "heel": HEEL, "bulb": BULB, "sole": SOLE}
_SIDES = {
    "inner": "inner", "inside": "inner", "medial": "inner",
    "outer": "outer", "outside": "outer", "lateral": "outer",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Spot:
    """A part of the foot and its side; "" for what the words do not say, or where they name more than one."""

    part: str
    side: str


def spot_of(where: str) -> Spot:
    """The part and the side that such words name: "inside heel" is the inner heel."""
    found = re.findall(r"[a-z]+", fold(where))
    singular = [word.removesuffix("s") for word in found]
    parts = {_PARTS[word] for word in singular if word in _PARTS}
    if parts == {HEEL, BULB}:  # "heel bulb": a bulb is always the heel's
        parts = {BULB}
    sides = {_SIDES[word] for word in found if word in _SIDES}
    return Spot(parts.pop() if len(parts) == 1 else "", sides.pop() if len(sides) == 1 else "")


def same_spot(one: str, other: str) -> bool:
    """Whether two places are the same as far as they are told; False where either is not told."""
    first, second = spot_of(one), spot_of(other)
    if not first.part or not second.part:
        return bool(one.strip()) and fold(one) == fold(other)
    return first.part == second.part and (first.side == second.side or not first.side or not second.side)
