"""Feet with a known truth, photographed by a plain pinhole camera; shares nothing with what it tests.

World: mm, X from toe to heel along the ground, Y up, Z toward the camera; the foot's plane is Z = 0.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

SIZE, FOCAL = (4000, 3000), 3000.0
CARD = (85.60, 53.98)


@dataclass
class Photos:
    """Marked points (px, feet × 2 each), the true angles (deg) and lengths (mm) of each foot."""

    points: dict
    truth: dict
    tilts: np.ndarray


def look_at(target, yaw, pitch, distance, roll=0.0):
    """Camera place and the rows of its turning matrix (right, down, forward), from angles in radians."""
    back = np.array([np.sin(yaw) * np.cos(pitch), np.sin(pitch), np.cos(yaw) * np.cos(pitch)])
    forward = -back
    right = np.cross(forward, [0.0, 1.0, 0.0])
    right /= np.linalg.norm(right)
    down = np.cross(forward, right)
    right, down = right * np.cos(roll) + down * np.sin(roll), down * np.cos(roll) - right * np.sin(roll)
    return target + distance * back, np.stack([right, down, forward])


def shoot(place, turn, points, focal=FOCAL, size=SIZE):
    """Pixels (… × 2) at which world points (… × 3) appear."""
    seen = (np.asarray(points, float) - place) @ turn.T
    return focal * seen[..., :2] / seen[..., 2:] + np.array(size) / 2


def foot(toe, heel, toe_length, heel_length, support):
    """World points of a flat foot; angles in degrees."""
    toe, heel = np.radians([toe, heel])
    flat = {
        "toe_ground": (0, 0),
        "toe_hairline": (toe_length * np.cos(toe), toe_length * np.sin(toe)),
        "heel_ground": (support, 0),
        "heel_hairline": (support + heel_length * np.cos(heel), heel_length * np.sin(heel)),
        "ground_front": (-40, 0),
        "ground_back": (support + 40, 0),
    }
    return {name: np.array([x, y, 0.0]) for name, (x, y) in flat.items()}


def card_corners(dice):
    """A bank card in the foot's plane, behind the heel or before the toe, lying or standing, any corner first."""
    long, short = CARD if dice.random() < 0.5 else CARD[::-1]
    corners = np.array([[0, 0], [long, 0], [long, short], [0, short]], float)
    corners += [dice.uniform(150, 170) if dice.random() < 0.5 else dice.uniform(-110, -100), 0]
    corners = np.roll(corners[:: dice.choice([1, -1])], dice.integers(4), axis=0)
    return {f"card_{n + 1}": np.array([*corner, 0.0]) for n, corner in enumerate(corners)}


def photos(count, near, far, seed, *, tilt=20.0, noise=2.0):
    """Feet of every kind, each photographed once from between `near` and `far` mm."""
    dice = np.random.default_rng(seed)
    shots, truths, tilts = [], [], []
    for _ in range(count):
        toe = dice.uniform(40, 60)
        heel = toe - dice.uniform(0, 15)
        sizes = dice.uniform(75, 95), dice.uniform(30, 50), dice.uniform(100, 125)
        world = foot(toe, heel, *sizes) | card_corners(dice)
        yaw, pitch = np.radians(dice.uniform(-tilt, tilt, 2))
        target = np.array([dice.uniform(40, 80), dice.uniform(20, 50), 0])
        place, turn = look_at(target, yaw, pitch, dice.uniform(near, far))
        shots.append({n: shoot(place, turn, p) + dice.normal(0, noise, 2) for n, p in world.items()})
        truths.append((toe, heel, sizes[0], sizes[1], sizes[2]))
        tilts.append((yaw, pitch))
    names = ("toe_angle", "heel_angle", "toe_length", "heel_length", "support_length")
    return Photos(
        {name: np.array([shot[name] for shot in shots]) for name in shots[0]},
        dict(zip(names, np.array(truths).T, strict=True)),
        np.degrees(tilts),
    )
