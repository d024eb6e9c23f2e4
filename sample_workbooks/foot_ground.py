"""The yard around the foot: concrete with soft shadows, and a wall far behind it, out of focus."""

from __future__ import annotations

from typing import Any

import numpy as np

from sample_workbooks.foot_camera import Pinhole
from sample_workbooks.foot_model import CARD_LEFT, CARD_SIDES, Foot
from sample_workbooks.foot_noise import pattern, rough, softened

_WALL = -1500.0  # mm behind the foot
_SHARP = 90.0  # mm before and behind the foot in which the ground looks sharp
_FIELD = 3.0  # mm for each step of the map of shadows
_LOW, _HIGH = np.array([-400.0, -300.0]), np.array([500.0, 300.0])


def yard(camera: Pinhole, foot: Foot, moved: float = 0.0) -> Any:
    """The picture (rows × columns × 3) without foot and card, at a place so many mm further on."""
    height = camera.size[1]
    shadow = _shadows(foot)
    rows = [_rows(camera, shadow, moved, top, min(top + 100, height)) for top in range(0, height, 100)]
    picture, depth = (np.concatenate(parts) for parts in zip(*rows, strict=True))
    blurred = softened(picture, 26 * camera.scale)
    more = softened(picture, 7 * camera.scale)
    away = np.clip((np.abs(depth) - _SHARP) / 260, 0, 1)[..., None]
    picture = picture + (more - picture) * np.clip(away * 3, 0, 1)
    return picture + (blurred - picture) * np.clip(away * 1.5 - 0.5, 0, 1)


def _rows(camera: Pinhole, shadow: Any, moved: float, top: int, bottom: int) -> tuple[Any, Any]:
    width = camera.size[0]
    y, x = np.mgrid[top:bottom, :width]
    rays = camera.rays(np.stack([x, y], axis=-1) + 0.5)
    place = np.array(camera.place)
    falls = rays[..., 1] < -1e-6
    far = np.where(falls, -place[1] / np.where(falls, rays[..., 1], -1), np.inf)
    z = np.where(falls, place[2] + np.where(falls, far, 0) * rays[..., 2], -np.inf)
    on_ground = z > _WALL
    far = np.where(on_ground, far, (_WALL - place[2]) / rays[..., 2])
    spot = place + far[..., None] * rays
    ground = _concrete(spot, moved) * (1 - _at(shadow, spot[..., 0], spot[..., 2]))[..., None]
    picture = np.where(on_ground[..., None], ground, _boards(spot, moved))
    return picture.astype(np.float32), np.where(on_ground, spot[..., 2], 2 * _WALL).astype(np.float32)


def _concrete(spot: Any, moved: float) -> Any:
    x, z = spot[..., 0] + moved, spot[..., 2]
    grey = 0.36 + 0.045 * rough(x / 90, z / 90, 101, 4) + 0.035 * rough(x / 9, z / 9, 111, 3)
    grit = pattern(x / 2.3, z / 2.3, 121)
    grey = grey - 0.22 * np.clip(grit - 0.5, 0, 1) + 0.16 * np.clip(-grit - 0.58, 0, 1)
    stain = np.clip(rough(x / 160 + 3, z / 160, 131, 3) - 0.15, 0, 1)
    warm = np.array([1.0, 0.965, 0.905]) - 0.10 * stain[..., None] * np.array([0.6, 0.8, 1.0])
    near = np.clip(1 - (z - 200) / 2500, 0.8, 1.0)
    return (grey * near)[..., None] * warm


def _boards(spot: Any, moved: float) -> Any:
    """Weathered boards behind, with a strip of damp at their foot."""
    x, y = spot[..., 0] + moved, spot[..., 1]
    board = np.floor(x / 145)
    tone = 0.175 + 0.045 * pattern(board * 0.61, 0 * x, 141) + 0.022 * rough(x / 60, y / 500, 142, 3)
    gap = np.exp(-(((x / 145 - board - 0.5) * 145 / 9) ** 2))
    tone = tone * (1 - 0.6 * gap) * (1 + 0.0004 * np.clip(y, 0, 900))
    tone = tone * (1 - 0.45 * np.exp(-np.clip(y, 0, None) / 70))
    return tone[..., None] * np.array([0.97, 1.0, 0.84])


def _shadows(foot: Foot) -> Any:
    """A map of how much light is kept off the ground: close under what stands there, and softly beside it."""
    across, deep = np.ceil((_HIGH - _LOW) / _FIELD).astype(int)
    x = _LOW[0] + (np.arange(across) + 0.5) * _FIELD
    z = _LOW[1] + (np.arange(deep) + 0.5) * _FIELD
    spot = np.stack(np.meshgrid(x, z), axis=-1)
    around = np.linspace(-1, 1, 121)
    hoof = foot.ground(around)[:, [0, 2]]
    leg = foot.skin(np.linspace(-np.pi, np.pi, 61), np.full(61, 0.45))[:, [0, 2]]
    left, wide = CARD_LEFT, CARD_SIDES[0]
    card = np.array([[left, -14], [left + wide, -14], [left + wide, 1], [left, 1]])
    behind = np.array([14.0, -12.0])  # the bright part of the sky is in front, on the left
    light = 1 - 0.58 * np.exp(-_away(spot, hoof) / 9) - 0.34 * np.exp(-_away(spot, hoof) / 45)
    light *= 1 - 0.45 * np.exp(-_away(spot, hoof + behind) / 40)
    light *= 1 - 0.25 * np.exp(-_away(spot, leg + 3.5 * behind) / 40)
    light *= 1 - 0.45 * np.exp(-_away(spot, card) / 6) - 0.25 * np.exp(-_away(spot, card + behind) / 25)
    return 1 - np.clip(light, 0.03, 1)


def _away(spot: Any, outline: Any) -> Any:
    """How far each spot lies outside a closed outline, mm; 0 within."""
    best = np.full(spot.shape[:2], np.inf)
    inside = np.zeros(spot.shape[:2], bool)
    for one, other in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        step = other - one
        part = ((spot - one) @ step) / max(float(step @ step), 1e-9)
        best = np.minimum(best, np.linalg.norm(spot - one - np.clip(part, 0, 1)[..., None] * step, axis=-1))
        if step[1]:
            crossing = (one[1] > spot[..., 1]) != (other[1] > spot[..., 1])
            at = one[0] + (spot[..., 1] - one[1]) / step[1] * step[0]
            inside ^= crossing & (spot[..., 0] < at)
    return np.where(inside, 0, best)


def _at(field: Any, x: Any, z: Any) -> Any:
    """The map at these places, mixed between its steps; nothing beyond its edge."""
    column = np.clip((x - _LOW[0]) / _FIELD - 0.5, 0, field.shape[1] - 1.001)
    row = np.clip((z - _LOW[1]) / _FIELD - 0.5, 0, field.shape[0] - 1.001)
    left, up = column.astype(int), row.astype(int)
    right, down = column - left, row - up
    upper = field[up, left] * (1 - right) + field[up, left + 1] * right
    lower = field[up + 1, left] * (1 - right) + field[up + 1, left + 1] * right
    return upper * (1 - down) + lower * down
