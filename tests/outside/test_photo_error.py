"""The error of what is read from a photo, against the GUM, an independent package, and draws at random."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
import pytest
from uncertainties import ufloat, umath

from tracker.derive.photo.views import side_view
from tracker.derive.uncertainty import Measure, propagate

sys.path.insert(0, str(Path(__file__).parents[1]))
import camera

EXACT = {"focal_px": camera.FOCAL, "image_size": camera.SIZE, "point_sd_px": 2.0}


def angle(resistance, reactance):
    return math.atan2(reactance, resistance)


# JCGM 100:2008, H.2, table H.4: R and X of a circuit element, and their correlation.
RESISTANCE, REACTANCE = Measure(127.732, 0.071, "Ohm", "H.2"), Measure(219.847, 0.295, "Ohm", "H.2")
TOGETHER = [[1, -0.588], [-0.588, 1]]


def test_correlated_inputs_of_the_gum():
    """JCGM 100:2008, H.2: the phase's own u is 0.00075 rad (table H.2); without the correlation 0.00063."""
    correlated = propagate(angle, [RESISTANCE, REACTANCE], "rad", "H.2", correlation=TOGETHER)

    assert correlated.value == pytest.approx(1.04446, abs=2e-5)
    assert correlated.sd == pytest.approx(0.00075, abs=5e-6)
    assert propagate(angle, [RESISTANCE, REACTANCE], "rad", "H.2").sd == pytest.approx(0.00063, abs=5e-6)


# JCGM 100:2008, H.2, table H.2: V (V), I (A), phase (rad), their u and correlations; table H.4: results.
VOLTS = [
    Measure(4.9990, 0.0032, "V", ""),
    Measure(19.6610e-3, 0.0095e-3, "A", ""),
    Measure(1.04446, 0.00075, "rad", ""),
]
VOLTS_TOGETHER = [[1, -0.36, 0.86], [-0.36, 1, -0.65], [0.86, -0.65, 1]]


@pytest.mark.parametrize(
    ("function", "value", "sd"),
    [
        (lambda volt, ampere, phase: volt / ampere * math.cos(phase), 127.732, 0.071),
        (lambda volt, ampere, phase: volt / ampere * math.sin(phase), 219.847, 0.295),
        (lambda volt, ampere, phase: volt / ampere, 254.260, 0.236),
    ],
)
def test_the_circuit_element_of_the_gum(function, value, sd):
    found = propagate(function, VOLTS, "Ohm", "H.2", correlation=VOLTS_TOGETHER)

    assert found.value == pytest.approx(value, abs=0.003)
    assert found.sd == pytest.approx(sd, abs=0.003)


def foot():
    photos = camera.photos(1, 1000, 1001, 5)
    return {name: place[0] for name, place in photos.points.items()}


def written_again(points):
    """The measures once more, for a package that carries the points' errors through every step."""
    at = {name: (ufloat(x, 2.0), ufloat(-y, 2.0)) for name, (x, y) in points.items()}

    def slope(upper, lower):
        (x1, y1), (x0, y0) = at[upper], at[lower]
        return umath.atan2(y1 - y0, x1 - x0) * 180 / math.pi

    def apart(one, other):
        (x1, y1), (x0, y0) = at[one], at[other]
        return umath.sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2)

    ground = slope("ground_back", "ground_front")
    toe, heel = slope("toe_hairline", "toe_ground") - ground, slope("heel_hairline", "heel_ground") - ground
    per_px = 100 / apart("scale_a", "scale_b")
    lengths = {side: apart(f"{side}_hairline", f"{side}_ground") for side in ("toe", "heel")}
    return {
        "toe_angle": toe,
        "heel_angle": heel,
        "heel_lag": toe - heel,
        "hairline_angle": ground - slope("toe_hairline", "heel_hairline") + 180,
        "toe_length": lengths["toe"] * per_px,
        "heel_height": lengths["heel"] * per_px * umath.sin(heel * math.pi / 180),
        "heel_run": lengths["heel"] * per_px * umath.cos(heel * math.pi / 180),
        "toe_heel_ratio": lengths["toe"] / lengths["heel"],
    }


def test_the_points_error_agrees_with_the_uncertainties_package():
    points = foot() | {"scale_a": (1500.0, 1800.0), "scale_b": (1800.0, 1810.0)}
    points = {name: place for name, place in points.items() if not name.startswith("card")}
    seen = side_view(points, scale_mm=100, tilt_sd_deg=0, **EXACT)
    for name, theirs in written_again(points).items():
        assert seen[name].value % 360 == pytest.approx(theirs.nominal_value % 360, rel=1e-6), name
        assert seen[name].sd == pytest.approx(theirs.std_dev, rel=1e-4), name


def drawn_at_random(points, tilt_sd, count, seed):
    """Toe and heel angle from points moved and cameras turned at random; nothing of the code's own optics.

    JCGM 101:2008: the tilts uniform within √3 sd, each turned back by a matrix in space.
    """
    dice = np.random.default_rng(seed)
    reach = np.radians(tilt_sd) * np.sqrt(3)
    yaw, pitch = dice.uniform(-reach, reach, (2, count))
    across = np.stack([np.cos(yaw), np.zeros(count), -np.sin(yaw)], axis=1)
    upward = np.stack([-np.sin(yaw) * np.sin(pitch), np.cos(pitch), -np.cos(yaw) * np.sin(pitch)], axis=1)
    back = np.stack([np.sin(yaw) * np.cos(pitch), np.sin(pitch), np.cos(yaw) * np.cos(pitch)], axis=1)
    at = {}
    for name, pixel in points.items():
        ray = (np.asarray(pixel) + dice.normal(0, 2, (count, 2)) - np.array(camera.SIZE) / 2) / camera.FOCAL
        world = ray[:, :1] * across - ray[:, 1:] * upward - back
        at[name] = (world / -world[:, 2:])[:, :2]

    def slope(upper, lower):
        step = at[upper] - at[lower]
        return np.arctan2(step[:, 1], step[:, 0])

    ground = slope("ground_back", "ground_front")
    return {
        "toe_angle": np.degrees(slope("toe_hairline", "toe_ground") - ground),
        "heel_angle": np.degrees(slope("heel_hairline", "heel_ground") - ground),
    }


@pytest.mark.parametrize("tilt_sd", [0.0, 20 / math.sqrt(3)])
def test_a_million_draws_have_the_stated_spread(tilt_sd):
    points = {name: place for name, place in foot().items() if not name.startswith("card")}
    seen = side_view(points, tilt_sd_deg=tilt_sd, **EXACT)
    for name, drawn in drawn_at_random(points, tilt_sd, 1_000_000, 17).items():
        assert seen[name].sd == pytest.approx(drawn.std(), rel=0.02)
        assert seen[name].value == pytest.approx(drawn.mean(), abs=0.05)
