"""How far the camera stood from square to the foot: what is likely beforehand, and what a flat card tells.

Yaw and pitch are each anywhere within ±√3 times their sd, all equally likely (JCGM 100:2008, 4.3.7). Every
measure is smooth in them, so it is worked out at a few nodes and known in between: an average over what is
likely is then a weighted sum over the nodes, and the card only changes the weights. For each tilt the
card's size, place and turn are fitted; what remains of its corners says how likely that tilt is.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.polynomial.chebyshev import chebvander

_NODES = 5  # along each axis
_GRID = 16  # points along each axis at which the tilt is weighed
_WIDEST = 45.0  # deg

_AT = np.cos((2 * np.arange(_NODES) + 1) * np.pi / (2 * _NODES))
_TO_NODES = np.linalg.inv(chebvander(_AT, _NODES - 1))
_UNLIKELY = 30.0  # of chi-square above the best; e^-15
_ROUNDS = 6
_ENOUGH = 40  # grid points that share the weight


def reach(tilt_sd_deg: float) -> float:
    """Largest tilt thought of, radians, to each side and up and down; beyond 45° nothing is measured."""
    return float(np.radians(min(np.sqrt(3) * tilt_sd_deg, _WIDEST)))


def nodes(limit: float) -> tuple[Any, Any]:
    """Yaw and pitch of the nodes, radians."""
    yaw, pitch = np.meshgrid(_AT, _AT, indexing="ij")
    return limit * yaw.ravel(), limit * pitch.ravel()


def prior_weights() -> Any:
    """One weight a node, of what is likely without a card."""
    line = (chebvander(_fine(-1.0, 1.0, 400), _NODES - 1) @ _TO_NODES).mean(axis=0)
    return np.outer(line, line).ravel()


def _fine(low: Any, high: Any, count: int) -> Any:
    """Middles of equal steps between two ends, along a last axis."""
    return np.asarray(low)[..., None] + np.multiply.outer(
        np.asarray(high) - low, (2 * np.arange(count) + 1) / (2 * count)
    )


def in_turn(corners: Any) -> Any:
    """The corners (4 × feet) in turn round their middle, whichever way they were marked."""
    order = np.argsort(np.angle(corners - corners.mean(axis=0)), axis=0)
    return np.take_along_axis(corners, order, axis=0)


def card_shape(long: float, short: float) -> Any:
    """The card's corners in turn round its middle, its first side the long one."""
    return np.array([-long - 1j * short, long - 1j * short, long + 1j * short, -long + 1j * short]) / 2


def card_scale(plane: Any, shape: Any) -> Any:
    """Size of one mm of the card in the plane that holds its corners (4 × …), by least squares."""
    # Not by @: the threads that it starts for so little cost more than they save.
    along = sum(corner * place for corner, place in zip(shape.conj(), plane, strict=True))
    return np.abs(along) / (np.abs(shape) ** 2).sum()


def mm_per_px(corners: Any, shape: Any) -> Any:
    """Size of a pixel of the picture at the card, from the areas of both."""
    return np.sqrt(_area(shape) / _area(corners))


def _area(corners: Any) -> Any:
    return np.abs((corners.conj() * np.roll(corners, -1, axis=0)).imag.sum(axis=0)) / 2


def misfit(plane: Any, shape: Any) -> tuple[Any, Any]:
    """What the best placed card leaves of its corners (4 × tilts × feet): two complex numbers, mm.

    And whether it lies across: the second side as marked is the long one. No card, no misfit.
    """
    ways = [_left_over(corners, shape) for corners in (plane, np.roll(plane, 1, axis=0))]
    least = [(way.real**2 + way.imag**2).sum(axis=0).min(axis=0) for way in ways]
    across = least[1] < least[0]
    return np.nan_to_num(np.where(across, ways[1], ways[0])), across


def _left_over(plane: Any, shape: Any) -> Any:
    cross, shift = np.array([1, -1, 1, -1]) / 2, np.ones(4) / 2
    # Of four corners, one direction is the place, one turn and size; two are left.
    basis, _ = np.linalg.qr(np.stack([shift, shape, cross, np.array([1, 0, 0, 0])], axis=1))
    size = card_scale(plane, shape)
    return np.stack(
        [
            sum(part * place for part, place in zip(way, plane, strict=True)) / size
            for way in basis[:, 2:].conj().T
        ]
    )


def card_weights(left: Any, sd: Any) -> tuple[Any, Any, Any]:
    """One weight a node and foot, what the card says of the tilt; its lowest chi-square; its evidence.

    `left` is the misfit at each node (2 × nodes × feet) over its own sd. Weighed on a grid, which is drawn
    closer round the likely tilts until it is fine enough for them.
    """
    feet = left.shape[-1]
    values = np.concatenate([left.real, left.imag]).reshape(4, _NODES, _NODES, feet).transpose(3, 0, 1, 2)
    values = values / np.reshape(sd, (-1, 1, 1, 1))
    box = np.tile([-1.0, 1.0], (2, feet, 1))
    weights = np.empty((feet, _NODES * _NODES))
    best, evidence = np.empty(feet), np.empty(feet)
    todo = np.arange(feet)
    for _ in range(_ROUNDS):
        sides = [_basis(box[axis, todo]) for axis in (0, 1)]
        square = _chi_square(values[todo], *sides)
        best[todo] = square.min(axis=(1, 2))
        likely = np.exp(-(square - best[todo, None, None]) / 2)
        total = likely.sum(axis=(1, 2))
        share = likely / total[:, None, None]
        at_nodes = np.swapaxes(sides[0], 1, 2) @ share @ sides[1]
        weights[todo] = at_nodes.reshape(len(todo), -1)
        area = np.prod(box[:, todo, 1] - box[:, todo, 0], axis=0)
        evidence[todo] = np.log(total * area) - best[todo] / 2
        box[:, todo] = _closer(box[:, todo], square, best[todo])
        spread = 1 / (share**2).sum(axis=(1, 2))
        todo = todo[spread < _ENOUGH]
        if not todo.size:
            break
    return weights.T, best, evidence


def _basis(box: Any) -> Any:
    """From nodes to grid, one matrix a foot."""
    return chebvander(_fine(box[:, 0], box[:, 1], _GRID), _NODES - 1) @ _TO_NODES


def _chi_square(values: Any, yaw: Any, pitch: Any) -> Any:
    fine = yaw[:, None] @ values @ np.swapaxes(pitch, 1, 2)[:, None]
    return np.einsum("fcij,fcij->fij", fine, fine)


def _closer(box: Any, square: Any, best: Any) -> Any:
    """The part of the grid that is not ruled out, and a step more; a coarse grid's best counts for more."""
    allowed = square - best[:, None, None] < _UNLIKELY * np.maximum(1, best[:, None, None] / 4)
    closer = np.empty_like(box)
    for axis in (0, 1):
        inside = allowed.any(axis=2 - axis)
        step = (box[axis, :, 1] - box[axis, :, 0]) / _GRID
        first, last = inside.argmax(axis=1), _GRID - 1 - inside[:, ::-1].argmax(axis=1)
        closer[axis, :, 0] = np.maximum(box[axis, :, 0] + (first - 1) * step, box[axis, :, 0])
        closer[axis, :, 1] = np.minimum(box[axis, :, 0] + (last + 2) * step, box[axis, :, 1])
    return closer
