"""The stated errors are the true ones: feet of known measures, photographed by a simulated camera."""

from __future__ import annotations

import camera
import numpy as np
import pytest
from photo_figures import (
    ANGLES,
    DISTANCES,
    GIVEN,
    LEAST_HELD,
    MOST,
    MOST_HELD,
    NEAR,
    errors,
    flattened,
    held,
    rms,
)

from tracker.derive.photo.views import side_view

SEED, MANY = 11, 6000


@pytest.mark.parametrize("contacts", [False, True])
@pytest.mark.parametrize(("distances", "name"), MOST)
def test_the_error_with_a_card(distances, name, contacts):
    """At most what was set out, never worse than without the card, and better than its bare homography."""
    with_card = rms(errors(distances, True, SEED, contacts=contacts)[name][0])

    assert with_card <= MOST[distances, name]
    assert with_card <= rms(errors(distances, False, SEED, contacts=contacts)[name][0])
    assert with_card <= rms(flattened(distances, SEED, contacts)[name][0])


@pytest.mark.parametrize("distances", DISTANCES)
@pytest.mark.parametrize(
    ("with_card", "name"),
    [(True, name) for name in (*ANGLES, "toe_length", "heel_length", "support_length")]
    + [(False, name) for name in ANGLES],
)
def test_the_interval_holds_the_truth_in_nineteen_of_twenty(distances, with_card, name):
    error, sd = errors(distances, with_card, 12, MANY)[name]

    assert LEAST_HELD <= held(error, sd) <= MOST_HELD


@pytest.mark.parametrize("distances", DISTANCES)
@pytest.mark.parametrize("with_card", [True, False])
@pytest.mark.parametrize("name", ANGLES)
def test_the_interval_of_an_angle_holds_the_truth_in_400_photos(distances, with_card, name):
    # A share of 400 scatters by 1.1 % itself. Of many seeds one in twenty lies outside, without a card and near
    # by one in six: there the tilt's effect has longer tails than a normal distribution, and 94.1 % are held.
    error, sd = errors(distances, with_card, SEED)[name]

    assert LEAST_HELD <= held(error, sd) <= MOST_HELD


def test_what_shares_the_ground_line_shares_its_error():
    photos = camera.photos(1, 1000, 1001, 5)
    points = {name: place[0] for name, place in photos.points.items()}
    seen = side_view(points, image_size=camera.SIZE, focal_px=camera.FOCAL, point_sd_px=2, tilt_sd_deg=0)

    assert seen["heel_lag"].sd < 0.99 * np.hypot(seen["toe_angle"].sd, seen["heel_angle"].sd)


def test_no_error_of_points_and_no_tilt_is_no_error():
    points = {
        name: place[0] for name, place in camera.photos(1, 1000, 1001, 5, noise=0, tilt=0).points.items()
    }
    seen = side_view(points, image_size=camera.SIZE, focal_px=camera.FOCAL, point_sd_px=0, tilt_sd_deg=0)

    assert [measure.sd for measure in seen.values()] == pytest.approx([0] * len(seen), abs=1e-9)


def test_the_card_measures_tilt_and_distance():
    photos = camera.photos(300, 500, 1000, 21, noise=0.2)
    seen = side_view(photos.points, card_mm=camera.CARD, **(GIVEN | {"point_sd_px": 0.2}))
    true = np.degrees(np.arccos(np.cos(np.radians(photos.tilts)).prod(axis=1)))

    assert rms(seen.camera["tilt"].value - true) < 1.0


def test_an_unknown_focal_length_is_carried_too():
    """Each photo by a camera of its own, whose focal length lies within what is taken for granted."""
    dice = np.random.default_rng(31)
    kept = camera.shoot.__defaults__
    try:
        parts = []
        for number in range(20):
            camera.shoot.__defaults__ = (3000 * (1 + 0.12 * dice.normal()), kept[1])
            parts.append(camera.photos(100, *NEAR, 300 + number))
    finally:
        camera.shoot.__defaults__ = kept
    points = {name: np.concatenate([part.points[name] for part in parts]) for name in parts[0].points}
    seen = side_view(points, card_mm=camera.CARD, **(GIVEN | {"focal_px": None}))
    for name in ("toe_angle", "heel_angle"):
        error = seen[name].value - np.concatenate([part.truth[name] for part in parts])
        assert 0.93 <= (np.abs(error) <= 1.96 * seen[name].sd).mean() <= 0.97
