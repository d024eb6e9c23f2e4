"""The value and the error of every measure, over all tilts that are likely.

A measure's value is its mean over the likely tilts, since a tilt's effect is not linear. Its variance is
that of the points at the likeliest tilt, and that of its value over the tilts.

References: JCGM 100:2008, 5.2.2 (correlated inputs); law of total variance for the tilt.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from tracker.derive.photo import pose
from tracker.derive.photo.reader import Reader
from tracker.derive.photo.taken import Taken
from tracker.derive.photo.view import Row, View
from tracker.reference.photo import FOCAL_SD

# Two focal lengths that stand for a guess, one sd to each side: Gauss-Hermite, exact to the third power.
_GUESSES = np.array([-1.0, 1.0])
NO_FIT = 25.0  # chi-square of a card: with two degrees of freedom one in 270,000
_POOR_FIT = 16.0  # one in 3,000: worth a look further from square
_LEAST_SD = 0.05  # px: no corner is placed better, and a smaller error would weigh one tilt only

Tilts = tuple[Any, Any, Any]


def derive(taken: Taken, rows: tuple[Row, ...], view: View) -> tuple[Any, dict[str, Any]]:
    """Value and sd of each row (2 × rows × feet), and what is told of the camera.

    Where a card does not fit, it is tried once more with a camera further from square than was allowed for.
    """
    values, telling = _derive(taken, rows, view)
    poor = np.flatnonzero(telling["misfit"] > _POOR_FIT)
    wide = pose.reach(90)
    if poor.size and taken.reach < wide:
        again, told = _derive(replace(taken.only(poor), reach=wide), rows, view)
        better = told["misfit"] < np.minimum(telling["misfit"][poor] - 10, NO_FIT)
        values[..., poor[better]] = again[..., better]
        told["wide"] = np.ones(poor.size)
        for name, told_wide in told.items():
            telling[name][..., poor[better]] = told_wide[..., better]
    return values, telling


def _derive(taken: Taken, rows: tuple[Row, ...], view: View) -> tuple[Any, dict[str, Any]]:
    tilts = _tilts(taken)
    weights, misfit, corners = _weights(taken, tilts)
    taken = replace(taken, corners=np.where(misfit > NO_FIT, np.nan, corners))
    read = Reader(taken, rows, view)
    at_tilts, size, other = read(*tilts)
    value = (weights * at_tilts).sum(axis=1)
    over_tilts = (weights * (at_tilts - value[:, None]) ** 2).sum(axis=1)
    likeliest = [(weights * part).sum(axis=0) + np.zeros(misfit.size) for part in tilts]
    variance = np.maximum(over_tilts, 0) + read.points_variance(*likeliest)
    telling = {
        "misfit": misfit,
        "wide": np.zeros(misfit.size),
        "tilt": _root(weights + np.zeros(misfit.size), np.arccos(np.cos(tilts[0]) * np.cos(tilts[1])) ** 2),
        "distance": np.stack(_moments(weights, size)),
        "likeliest": np.stack(likeliest),
        "off": np.stack(_moments(weights, other / size)),
    }
    return np.stack([value, np.sqrt(variance)]), telling


def _moments(weights: Any, values: Any) -> tuple[Any, Any]:
    mean = (weights * values).sum(axis=0)
    return mean, np.sqrt(np.maximum((weights * (values - mean) ** 2).sum(axis=0), 0))


def _root(weights: Any, square: Any) -> Any:
    """Mean and sd of a root, deg, from its square's."""
    mean, sd = _moments(weights, square)
    root = np.sqrt(np.maximum(mean, 0))
    return np.degrees([root, sd / np.maximum(2 * root, np.sqrt(sd) + 1e-12)])


def _tilts(taken: Taken) -> Tilts:
    """Yaw, pitch and the part of the focal length, at every node, as columns.

    Without a card the tilts' two signs make up for a focal length that is a little off.
    """
    yaw, pitch = pose.nodes(taken.reach)
    parts = 1 + FOCAL_SD.value * _GUESSES if taken.guessed and taken.scale.card else np.ones(1)
    count = len(parts)
    return np.tile(yaw, count)[:, None], np.tile(pitch, count)[:, None], np.repeat(parts, yaw.size)[:, None]


def _weights(taken: Taken, tilts: Tilts) -> tuple[Any, Any, Any]:
    """One weight a node and foot, the card's chi-square (0 without a card), its corners, a long side first."""
    prior = pose.prior_weights()
    if not taken.scale.card:
        return prior[:, None], np.zeros(taken.sd.size), taken.corners
    beforehand = np.full(2, 0.5) if taken.guessed else np.ones(1)
    shape = pose.card_shape(*taken.scale.card)
    yaw, pitch, part = tilts
    plane = taken.focused(part).rectify(taken.corners[:, None], yaw, pitch)
    left, across = pose.misfit(plane, shape)
    corners = np.where(across, np.roll(taken.corners, 1, axis=0), taken.corners)
    left = left.reshape(2, len(beforehand), prior.size, -1)
    sd = np.maximum(taken.sd, _LEAST_SD) * pose.mm_per_px(corners, shape)
    sd = np.where(np.isfinite(sd), sd, 1)
    found = [pose.card_weights(left[:, number], sd) for number in range(len(beforehand))]
    weights, misfit, evidence = (np.stack(parts) for parts in zip(*found, strict=True))
    misfit = misfit.min(axis=0)
    share = beforehand[:, None] * np.exp(evidence - evidence.max(axis=0))
    weights = ((share / share.sum(axis=0))[:, None] * weights).reshape(-1, taken.sd.size)
    unseen = np.outer(beforehand, prior).reshape(-1, 1)
    return np.where(misfit > NO_FIT, unseen, weights), misfit, corners
