"""What a camera does to a foot, against tables of exact trigonometry; no horse was measured."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from test_geometry import AT, TOE_HEIGHTS

from tracker.derive.photo.camera import Camera, off_plane
from tracker.derive.photo.views import side_view

sys.path.insert(0, str(Path(__file__).parents[1]))
import camera

FLAT = {"ground_front": (-40.0, 0.0), "ground_back": (200.0, 0.0)}

# Derived geometry, exact trigonometry, as in test_geometry.py: toe length and angle, heel length and angle,
# support length; then toe and heel height, hairline angle and length, heel height %, ratio, heel lag.
HOOVES = [
    ((85, 50, 40, 45, 110), (65.11, 28.28, 23.76, 91.40, 43.44, 2.125, 5)),
    ((85, 50, 35, 40, 115), (65.11, 22.50, 26.05, 97.03, 34.55, 2.429, 10)),
    ((90, 48, 30, 35, 125), (66.88, 17.21, 29.07, 102.23, 25.73, 3.000, 13)),
    ((80, 55, 45, 55, 105), (65.53, 36.86, 18.65, 89.63, 56.25, 1.778, 0)),
    ((85, 50, 42.5, 50, 110), (65.11, 32.56, 21.49, 88.86, 50.00, 2.000, 0)),
]
MEASURES = (
    "toe_height", "heel_height", "hairline_angle", "hairline_length", "heel_toe_height_percent", "toe_heel_ratio",
    "heel_lag",
)  # fmt: skip


def marked(hoof, px_per_mm=4.0):
    """The hoof drawn flat in a picture, y downward."""
    toe_length, toe, heel_length, heel, support = hoof
    world = camera.foot(toe, heel, toe_length, heel_length, support)
    return {name: (px_per_mm * x + 500, 2000 - px_per_mm * y) for name, (x, y, _) in world.items()}


@pytest.mark.parametrize(("hoof", "expected"), HOOVES)
def test_a_whole_hoof_from_its_points(hoof, expected):
    seen = side_view(marked(hoof), mm_per_px=0.25, tilt_sd_deg=0)

    assert [seen[name].value for name in MEASURES] == pytest.approx(expected, abs=0.0051)


# Derived geometry: seen from far away, tan a' = tan a / cos(yaw) and tan a' = tan a · cos(pitch).
# Tilt; what 40, 45, 50 and 55° read as from the side; and from above.
TILTS = [
    (5, (40.11, 45.11, 50.11, 55.10), (39.89, 44.89, 49.89, 54.90)),
    (10, (40.43, 45.44, 50.43, 55.41), (39.57, 44.56, 49.57, 54.59)),
    (15, (40.98, 45.99, 50.97, 55.93), (39.03, 44.01, 49.02, 54.06)),
    (20, (41.76, 46.78, 51.74, 56.66), (38.26, 43.22, 48.24, 53.31)),
    (30, (44.10, 49.11, 53.99, 58.77), (36.01, 40.89, 45.90, 51.04)),
]
TRUE = np.array([40, 45, 50, 55])
FAR_AWAY = Camera(1e6, 0j)  # so long a lens that there is no perspective


def picture(yaw, pitch):
    """Points of walls of each true angle, on level ground, as the camera of the code projects them."""
    seen_from = np.radians(yaw), np.radians(pitch)
    aimed_at = FAR_AWAY.rectify(np.zeros(1, complex), *seen_from)
    plane = np.array([0j, 1 + 0j, *np.exp(-1j * np.radians(TRUE))]) * 1e-4
    return FAR_AWAY.project(aimed_at + plane, *seen_from)


def read(pixels):
    start, ground = pixels[0], pixels[1] - pixels[0]
    return -np.degrees(np.angle((pixels[2:] - start) / ground))


@pytest.mark.parametrize(("tilt", "from_the_side", "from_above"), TILTS)
def test_what_a_tilted_camera_makes_of_an_angle(tilt, from_the_side, from_above):
    assert read(picture(tilt, 0)) == pytest.approx(from_the_side, abs=0.0051)
    assert read(picture(0, tilt)) == pytest.approx(from_above, abs=0.0051)


@pytest.mark.parametrize(("tilt", "from_the_side", "from_above"), TILTS)
def test_the_known_tilt_is_taken_back(tilt, from_the_side, from_above):
    for yaw, pitch in ((tilt, 0), (0, tilt)):
        plane = FAR_AWAY.rectify(picture(yaw, pitch), np.radians(yaw), np.radians(pitch))
        assert read(plane) == pytest.approx(TRUE, abs=1e-6)


@pytest.mark.parametrize("yaw", [-20, 0, 13])
@pytest.mark.parametrize("pitch", [-15, 0, 20])
def test_the_projection_is_that_of_a_pinhole_camera(yaw, pitch):
    """Against `tests/camera.py`, which turns points in space by a matrix and shares nothing with the code."""
    world = np.array([[x, y, 0.0] for x in (-60.0, 0.0, 80.0) for y in (-30.0, 0.0, 70.0)])
    place, turn = camera.look_at(np.zeros(3), np.radians(yaw), np.radians(pitch), 900.0)
    pixels = camera.shoot(place, turn, world)
    lens = Camera(camera.FOCAL, complex(*camera.SIZE) / 2)
    plane = lens.rectify(pixels[:, 0] + 1j * pixels[:, 1], np.radians(yaw), np.radians(pitch))
    distance = place[2]
    offset = plane[4] * distance
    assert (plane * distance - offset).real == pytest.approx(world[:, 0], abs=1e-6)
    assert -(plane * distance - offset).imag == pytest.approx(world[:, 1], abs=1e-6)


# Derived geometry: a scale z mm before the plane makes lengths read (D − z)/D.
@pytest.mark.parametrize(
    ("nearer", "parts"),
    [(60, {300: 0.800, 500: 0.880, 1000: 0.940, 2000: 0.970, 3000: 0.980}),
     (40, {300: 0.867, 500: 0.920, 1000: 0.960, 2000: 0.980, 3000: 0.987})],
)  # fmt: skip
def test_a_scale_before_the_foot(nearer, parts):
    for distance, part in parts.items():
        assert off_plane(nearer, distance) == pytest.approx(part, abs=0.00051)
        place, turn = camera.look_at(np.array([50.0, 0, 0]), 0, 0, distance)
        points = {
            "toe_ground": (0, 0, 0), "heel_ground": (100, 0, 0), "ground_front": (-20, 0, 0),
            "ground_back": (120, 0, 0), "scale_a": (0, -20, nearer), "scale_b": (100, -20, nearer),
        }  # fmt: skip
        pixels = {name: camera.shoot(place, turn, xyz) for name, xyz in points.items()}
        seen = side_view(pixels, scale_mm=100, focal_px=camera.FOCAL, image_size=camera.SIZE, tilt_sd_deg=0)
        assert seen["support_length"].value == pytest.approx(100 * part, abs=0.051)


@pytest.mark.parametrize("length", TOE_HEIGHTS)
def test_toe_heights_from_points(length):
    found = [
        side_view(marked((length, angle, 40, 40, 110)), mm_per_px=0.25, tilt_sd_deg=0)["toe_height"].value
        for angle in AT
    ]
    assert found == pytest.approx(TOE_HEIGHTS[length], abs=0.051)


# Derived geometry: a wedge under the heel, pivot at the toe; support length; mm for each degree.
WEDGES = {
    100: (1.75, 3.49, 5.24, 6.99, 8.75, 10.51), 110: (1.92, 3.84, 5.76, 7.69, 9.62, 11.56),
    120: (2.09, 4.19, 6.29, 8.39, 10.50, 12.61), 130: (2.27, 4.54, 6.81, 9.09, 11.37, 13.66),
    140: (2.44, 4.89, 7.34, 9.79, 12.25, 14.71),
}  # fmt: skip


@pytest.mark.parametrize("support", WEDGES)
def test_a_wedge_under_the_heel_turns_the_toe_by_its_degrees(support):
    """The ground line drawn to the raised heel's old place reads the toe so many degrees otherwise."""
    for degrees, rise in enumerate(WEDGES[support], start=1):
        points = {"toe_ground": (0, 0), "toe_hairline": (55, -65), "ground_front": (0, 0)}
        level = side_view(points | {"ground_back": (support, 0)}, tilt_sd_deg=0)["toe_angle"].value
        raised = side_view(points | {"ground_back": (support, rise)}, tilt_sd_deg=0)["toe_angle"].value
        assert raised - level == pytest.approx(degrees, abs=0.0035)


def test_the_square_and_circle_line_is_not_thirty_degrees():
    # Common practice, no published source: drawn as "30°"; exactly it is atan(1/2) = 26.565°.
    points = FLAT | {"heel_hairline": (200.0, -100.0), "toe_hairline": (0.0, -200.0)}

    assert side_view(points, tilt_sd_deg=0)["hairline_angle"].value == pytest.approx(26.565, abs=5e-4)


# Derived: each end placed with this SD square to the line, the ground line perfect; SD in degrees.
@pytest.mark.parametrize(
    ("length", "end_sd", "sd"),
    [(30, 0.5, 1.35), (40, 0.5, 1.01), (50, 0.5, 0.81), (85, 0.5, 0.48),
     (30, 1.0, 2.70), (40, 1.0, 2.03), (50, 1.0, 1.62), (85, 1.0, 0.95)],
)  # fmt: skip
def test_the_noise_floor_of_a_wall(length, end_sd, sd):
    far = {"ground_front": (-1e6, 0.0), "ground_back": (1e6, 0.0)}
    rise = np.sin(np.radians(50)) * length
    points = far | {"toe_ground": (0.0, 0.0), "toe_hairline": (np.cos(np.radians(50)) * length, -rise)}

    assert side_view(points, point_sd_px=end_sd, tilt_sd_deg=0)["toe_angle"].sd == pytest.approx(
        sd, abs=0.0051
    )
