"""Whether the inner side lies where it must on that foot; a mirrored picture, or the other foot, has it elsewhere.

From the front a left foot's inner side lies to the left of the picture, since the horse faces the camera. From
below, with the toe up, it lies to the left as well: however the foot is held, a picture of its sole can be
turned but not turned over.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from tracker.derive.photo import checks
from tracker.derive.photo.level import Pair, difference
from tracker.derive.photo.seen import Seen, doubts
from tracker.derive.photo.sole import SOLE
from tracker.terms import FEET, FOOT_WORDS

_CLEAR = 0.3  # sine between across and along: less, and the points contradict one another

_SIDES = {"front": "Seen from the front", "sole": "Seen from below with the toe up"}


def from_the_front(seen: Seen, foot: str | None) -> Seen:
    """The same, with a doubt where the inner side of a foot such as "LF" is marked on the wrong side."""
    if foot not in FEET or seen.plane is None:
        return seen
    inner_left = np.where(np.isfinite(seen.plane.along), seen.plane.mirrored, _is_left(foot))
    return _told(seen, foot, inner_left != _is_left(foot), "front")


def from_below(seen: Seen, points: Mapping[str, Any], foot: str | None) -> Seen:
    """The same for a sole, where points that run across and points that run along it are marked."""
    if foot not in FEET or not seen:
        return seen
    read, _, _ = checks.gather(points, SOLE)
    across, along = (_way(read, pairs) for pairs in (SOLE.across, SOLE.backward))
    turn = (np.conj(along) * across).imag
    wrong = np.where(np.abs(turn) > _CLEAR, (turn < 0) != _is_left(foot), False)
    return _told(seen, foot, wrong, "sole")


def _way(points: Mapping[str, Any], pairs: tuple[Pair, ...]) -> Any:
    """The direction in which most of the pairs run; 0 where none is marked."""
    steps = [np.asarray(difference(points, pair)) for pair in pairs]
    votes = sum(np.nan_to_num(step / np.where(np.abs(step) > 0, np.abs(step), np.nan)) for step in steps)
    return np.nan_to_num(votes / np.where(np.abs(votes) > 0, np.abs(votes), np.nan))


def _is_left(foot: str | None) -> bool:
    return str(foot).startswith("L")


def _told(seen: Seen, foot: str | None, wrong: Any, view: str) -> Seen:
    side, other = ("left", "right") if _is_left(foot) else ("right", "left")
    words = {"foot": FOOT_WORDS[str(foot)], "view": _SIDES[view], "side": side, "other": other}
    return Seen(
        dict(seen), [*seen.doubts, *doubts(wrong, "photo-inner-side", **words)], seen.camera, seen.plane
    )
