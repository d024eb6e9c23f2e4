"""A photograph laid level is the one that OpenCV lays, and holds what the picture held."""

from __future__ import annotations

import io

import cv2
import numpy as np
import pytest
from PIL import Image

from tracker.photos.levelled import levelled_photo

CORNERS = [(310.0, 95.0), (260.0, 700.0), (1010.0, 640.0), (930.0, 140.0)]
SIZE = (600, 400)


def png(pixels: np.ndarray) -> bytes:
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    return out.getvalue()


def picture() -> np.ndarray:
    """A smooth picture, so that two ways of interpolating agree."""
    y, x = np.mgrid[:800, :1200]
    return np.stack(
        [127 + 100 * np.sin(x / 90), 127 + 100 * np.cos(y / 70), 127 + 60 * np.sin((x + y) / 120)], axis=-1
    ).astype(np.uint8)


def test_it_is_what_opencv_makes_of_the_same_corners() -> None:
    """cv2.getPerspectiveTransform and cv2.warpPerspective on the same four corners."""
    found = np.asarray(Image.open(io.BytesIO(levelled_photo(png(picture()), CORNERS, SIZE))), float)
    width, height = SIZE
    new = np.float32([(0, 0), (0, height), (width, height), (width, 0)])
    there = cv2.getPerspectiveTransform(np.float32(CORNERS), new)
    wanted = cv2.warpPerspective(picture(), there, SIZE, flags=cv2.INTER_LINEAR).astype(float)
    assert np.abs(found - wanted)[2:-2, 2:-2].mean() < 2.5  # of 255; JPEG's own loss is part of it


def test_what_lies_outside_the_photograph_is_grey() -> None:
    outside = [(-300.0, -300.0), (-300.0, 200.0), (200.0, 200.0), (200.0, -300.0)]
    found = Image.open(io.BytesIO(levelled_photo(png(picture()), outside, (200, 200))))
    assert found.getpixel((10, 10)) == pytest.approx((118, 118, 118), abs=3)


def test_an_upright_picture_is_laid_not_the_turned_one() -> None:
    """Exif orientation 6 (CIPA DC-008): the camera was held upright."""
    pixels = np.zeros((100, 200, 3), np.uint8)
    pixels[:, :100] = 255  # the left half lies on top once it is turned
    out, exif = io.BytesIO(), Image.Exif()
    exif[0x0112] = 6
    Image.fromarray(pixels).save(out, "JPEG", exif=exif, quality=95)
    whole = [(0.0, 0.0), (0.0, 200.0), (100.0, 200.0), (100.0, 0.0)]
    found = np.asarray(Image.open(io.BytesIO(levelled_photo(out.getvalue(), whole, (100, 200)))), float)
    assert found[:90].mean() > 245
    assert found[110:].mean() < 10


def test_corners_in_one_line_are_refused() -> None:
    with pytest.raises(ValueError, match="one line"):
        levelled_photo(png(picture()), [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (3.0, 3.0)], SIZE)
