"""The camera's pose from a card, against OpenCV's pose and homography on the same corners."""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from tracker.derive.photo.views import side_view

sys.path.insert(0, str(Path(__file__).parents[1]))
import camera

LENS = np.array([[camera.FOCAL, 0, camera.SIZE[0] / 2], [0, camera.FOCAL, camera.SIZE[1] / 2], [0, 0, 1]])
LONG, SHORT = camera.CARD
FLAT = np.array([[0, 0, 0], [LONG, 0, 0], [LONG, SHORT, 0], [0, SHORT, 0]], float)
PLACED = FLAT + np.array([160.0, 0.0, 0.0])
WIDE = {"focal_px": camera.FOCAL, "image_size": camera.SIZE, "card_mm": camera.CARD, "tilt_sd_deg": 26.0}


def photo(yaw, pitch, noise, seed=1):
    """One foot with its card, seen from there; corners in turn."""
    world = camera.foot(50, 45, 85, 40, 110) | {f"card_{n + 1}": xyz for n, xyz in enumerate(PLACED)}
    place, turn = camera.look_at(np.array([70.0, 30.0, 0.0]), np.radians(yaw), np.radians(pitch), 800.0)
    dice = np.random.default_rng(seed)
    return {name: camera.shoot(place, turn, xyz) + dice.normal(0, noise, 2) for name, xyz in world.items()}


def corners(points):
    return np.array([points[f"card_{n}"] for n in (1, 2, 3, 4)])


def by_homography(points):
    """Toe angle with the picture flattened by the card's four corners alone."""
    flat, _ = cv2.findHomography(corners(points), PLACED[:, :2])
    at = {name: cv2.perspectiveTransform(np.array([[place]]), flat)[0, 0] for name, place in points.items()}
    wall, ground = at["toe_hairline"] - at["toe_ground"], at["ground_back"] - at["ground_front"]
    return np.degrees(np.arctan2(wall[1], wall[0]) - np.arctan2(ground[1], ground[0]))


def by_pose(points):
    """Tilt from square (deg) and distance of the card's plane (mm), by OpenCV's refined pose."""
    _, turn, shift = cv2.solvePnP(FLAT, corners(points), LENS, None, flags=cv2.SOLVEPNP_IPPE)
    turn, shift = cv2.solvePnPRefineLM(FLAT, corners(points), LENS, None, turn, shift)
    normal = cv2.Rodrigues(turn)[0][:, 2]
    return np.degrees(np.arccos(abs(normal[2]))), abs(float(normal @ shift.ravel()))


@pytest.mark.parametrize(("yaw", "pitch"), [(0, 0), (12, 0), (0, -9), (15, 10), (-25, 18), (30, -20)])
def test_clean_corners_give_the_pose_and_the_angle_of_opencv(yaw, pitch):
    points = photo(yaw, pitch, 0)
    seen = side_view(points, point_sd_px=0.05, **WIDE)
    tilt, distance = by_pose(points)

    assert by_homography(points) == pytest.approx(50, abs=1e-3)
    assert seen["toe_angle"].value == pytest.approx(by_homography(points), abs=0.05)
    assert seen.camera["distance"].value == pytest.approx(distance, rel=1e-3)
    if tilt > 5:  # the mean of a tilt near none lies above it
        assert seen.camera["tilt"].value == pytest.approx(tilt, abs=0.1)


def test_noisy_corners_give_nearly_the_pose_of_opencv():
    """Where the card is clear against what is likely beforehand, the mean lies by the best fit."""
    for seed in range(20):
        points = photo(22, 14, 0.4, seed)
        seen = side_view(points, point_sd_px=0.4, **WIDE)
        tilt, distance = by_pose(points)
        assert abs(seen.camera["tilt"].value - tilt) < 0.5 * seen.camera["tilt"].sd + 0.05
        assert seen.camera["distance"].value == pytest.approx(distance, rel=5e-3)


def test_the_fit_is_surer_than_the_bare_homography():
    ours, bare = [], []
    for seed in range(200):
        points = photo(8, -6, 2, seed)
        ours.append(
            side_view(points, point_sd_px=2, **(WIDE | {"tilt_sd_deg": 11.5}))["toe_angle"].value - 50
        )
        bare.append(by_homography(points) - 50)

    assert np.std(ours) < 0.8 * np.std(bare)
