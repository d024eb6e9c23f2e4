"""Draw photographs of a foot that never was: `python -m sample_workbooks.foot_photograph`, a minute each.

Without a name those of the year barefoot are drawn anew, beside it; with one (`out.jpg`) the first of them.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from sample_workbooks.foot_camera import Pinhole
from sample_workbooks.foot_colours import Look, coloured
from sample_workbooks.foot_days import Shot
from sample_workbooks.foot_ground import yard
from sample_workbooks.foot_jpeg import as_jpeg
from sample_workbooks.foot_model import CARD_LEFT, CARD_SIDES, Foot
from sample_workbooks.foot_noise import softened
from sample_workbooks.foot_surfaces import Surface, seen_in
from sample_workbooks.year_feet import shots
from sample_workbooks.year_photos import kept_at

_FINER = 2  # each pixel is the mean of so many times so many
_STRIP = 64  # rows of the picture drawn at once


def drawn(foot: Foot, camera: Pinhole, look: Look | None = None) -> Any:
    """The picture as bytes of red, green and blue (rows × columns × 3)."""
    look = look or Look()
    picture = yard(camera, foot, look.moved)
    things = surfaces(foot)
    fine = replace(camera, scale=camera.scale * _FINER)
    for top in range(0, camera.size[1], _STRIP):
        strip = picture[top : top + _STRIP]
        strip[:] = _laid_over(strip, things, fine, top * _FINER, look)
    return _developed(picture, camera.scale)


def surfaces(foot: Foot) -> list[Surface]:
    """All that stands on the ground."""
    around, down = np.meshgrid(np.linspace(-1, 1, 361), np.linspace(0, 1, 121))
    turn, up = np.meshgrid(np.linspace(-np.pi, np.pi, 361), np.linspace(0, 1, 421))
    wall = Surface("wall", foot.wall(around, down), np.stack([around, down], -1))
    points = np.stack([foot.skin(line, height) for line, height in zip(turn, up, strict=True)])
    leg = Surface("hair", points[::-1], np.stack([turn, up], -1)[::-1], shut=True)
    (across, tall), left = CARD_SIDES, CARD_LEFT
    card = Surface("card", *_flat((left, 0, 0), (across, 0, 0), (0, tall, 0)))
    wood = [
        Surface("wood", *_flat((left - 13, 0, -4), (40, 0, 0), (0, 27, 0))),
        Surface("wood", *_flat((left - 13, 27, -4), (40, 0, 0), (0, 0, -30))),
        Surface("wood", *_flat((left + 27, 0, -4), (0, 0, -30), (0, 27, 0))),
    ]
    return [wall, leg, card, *wood]


def _flat(corner: Any, along: Any, up: Any) -> tuple[Any, Any]:
    across, high = np.meshgrid(np.linspace(0, 1, 61), np.linspace(1, 0, 61))
    own = np.stack([across, high], -1)
    return np.array(corner, float) + own[..., :1] * np.array(along) + own[..., 1:] * np.array(up), own


def _laid_over(strip: Any, things: list[Surface], fine: Pinhole, top: int, look: Look) -> Any:
    rows, columns = strip.shape[0] * _FINER, strip.shape[1] * _FINER
    above: Any = np.repeat(np.repeat(strip, _FINER, axis=0), _FINER, axis=1).reshape(-1, 3)
    for seen in seen_in(things, fine, top, top + rows):
        colour, kept = coloured(seen, look)
        above[seen.pixels[kept]] = colour[kept]
    return above.reshape(strip.shape[0], _FINER, columns // _FINER, _FINER, 3).mean(axis=(1, 3))


def _developed(light: Any, scale: float) -> Any:
    """What the camera makes of the light: a soft lens, darker corners, its curve of tones, a little noise."""
    light = (light + softened(light, 1.0 if scale > 0.6 else 0)) / 2
    rows, columns = light.shape[:2]
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    light = light * (1 - 0.14 * ((x**2 + y**2) / 2) ** 1.5)[..., None] * 1.22
    tone = np.clip(light / (1 + 0.18 * light), 0, 1)
    tone = np.where(tone <= 0.0031308, 12.92 * tone, 1.055 * np.maximum(tone, 1e-6) ** (1 / 2.4) - 0.055)
    tone = tone + 0.16 * tone * (1 - tone) * (2 * tone - 1) + 0.02 * np.sin(np.pi * tone)
    noise = np.random.default_rng(7).normal(0, 0.006, (rows, columns, 1))
    return (np.clip(tone + noise, 0, 1) * 255 + 0.5).astype(np.uint8)


def draw(of: Shot, path: Path) -> None:
    """Write that photograph there."""
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(as_jpeg(drawn(of.foot, of.camera, of.look)))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        draw(shots()[0], Path(sys.argv[1]))
    else:
        for each in shots():
            draw(each, kept_at(each))
