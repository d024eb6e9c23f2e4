"""Soft random patterns, the same for the same seed, for horn, hair and concrete."""

from __future__ import annotations

from typing import Any

import numpy as np

_SIDE = 256


def pattern(x: Any, y: Any, seed: int) -> Any:
    """A smooth pattern between -1 and 1 with one bump for each unit of x and y."""
    table = np.random.default_rng(seed).uniform(-1, 1, (_SIDE, _SIDE)).astype(np.float32)
    column, row = np.floor(x).astype(np.int64), np.floor(y).astype(np.int64)
    right, down = (x - column).astype(np.float32), (y - row).astype(np.float32)
    right, down = right * right * (3 - 2 * right), down * down * (3 - 2 * down)
    column, row = column % _SIDE, row % _SIDE
    next_column, next_row = (column + 1) % _SIDE, (row + 1) % _SIDE
    upper = table[row, column] * (1 - right) + table[row, next_column] * right
    lower = table[next_row, column] * (1 - right) + table[next_row, next_column] * right
    return upper * (1 - down) + lower * down


def rough(x: Any, y: Any, seed: int, octaves: int = 4) -> Any:
    """Patterns of several sizes over each other, each half as large and half as strong."""
    return sum(
        pattern(x * 2.0**octave, y * 2.0**octave, seed + octave) * 0.5**octave for octave in range(octaves)
    )


def softened(image: Any, radius: float) -> Any:
    """The picture (rows × columns × colours) blurred: three running means, near enough to a bell."""
    reach = round(radius)
    for axis in (0, 1) if reach >= 1 else ():
        for _ in range(3):
            image = _running_mean(image, reach, axis)
    return image


def _running_mean(image: Any, reach: int, axis: int) -> Any:
    pad = [(0, 0)] * image.ndim
    pad[axis] = (reach + 1, reach)
    total = np.cumsum(np.pad(image, pad, mode="edge"), axis=axis, dtype=np.float64)
    count = image.shape[axis]
    ahead = np.take(total, range(2 * reach + 1, 2 * reach + 1 + count), axis=axis)
    behind = np.take(total, range(count), axis=axis)
    return ((ahead - behind) / (2 * reach + 1)).astype(np.float32)
