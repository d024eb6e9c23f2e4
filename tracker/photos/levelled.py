"""A part of a photograph laid level and to scale, as if it had been seen squarely."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from PIL import Image

from tracker.photos.look import jpeg, upright

Corner = tuple[float, float]


def levelled_photo(photo: Path | str | bytes, corners: Sequence[Corner], size: tuple[int, int]) -> bytes:
    """The part between four corners as a JPEG of that size (width, height), and no metadata.

    `corners` are the places in the upright picture, px, of the new picture's upper left, lower left, lower
    right and upper right corner. What lies outside the photograph is grey. Raises Unreadable, and ValueError
    for corners of which three lie in one line.

    References: Hartley and Zisserman 2004, Multiple View Geometry, 4.1 (a homography from four points).
    """
    image = upright(photo)
    laid = image.convert("RGB").transform(
        size, Image.Transform.PERSPECTIVE, _coefficients(corners, size), Image.Resampling.BICUBIC,
        fillcolor=(118, 118, 118),
    )  # fmt: skip
    return jpeg(laid)


def _coefficients(corners: Sequence[Corner], size: tuple[int, int]) -> list[float]:
    """The eight numbers of the homography from the new picture's pixels to the photograph's."""
    width, height = size
    new = [(0, 0), (0, height), (width, height), (width, 0)]
    rows, wanted = [], []
    for (x, y), (u, v) in zip(new, corners, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    try:
        found = np.linalg.solve(np.array(rows, float), np.array(wanted, float))
    except np.linalg.LinAlgError as failure:
        raise ValueError("three corners in one line") from failure
    return [float(number) for number in found]
