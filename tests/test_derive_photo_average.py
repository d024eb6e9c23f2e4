"""Several photos of a foot, points marked again, and whether a difference is real."""

from __future__ import annotations

from datetime import date

import camera
import numpy as np
import pytest
from photo_points import SIDE

from tracker.derive.change import change, probability_real
from tracker.derive.photo.average import average, learned_point_sd, repeat_sd
from tracker.derive.photo.views import side_view
from tracker.derive.uncertainty import Measure


def deg(value, sd):
    return Measure(value, sd, "deg", "photo")


def test_equal_photos_average_by_the_root_of_their_number():
    mean = average([deg(50, 1.2), deg(51, 1.2), deg(50.5, 1.2)])

    assert (mean.value, mean.sd, mean.unit) == (pytest.approx(50.5), pytest.approx(1.2 / np.sqrt(3)), "deg")
    assert average([deg(50, 1.2)]) == deg(50, 1.2)


def test_the_surer_photo_counts_for_more():
    # Weights 1/1² and 1/2²: (50·1 + 55·0.25)/1.25 = 51; sd √(1/1.25), but they scatter more than that.
    mean = average([deg(50, 1), deg(52, 2)])

    assert mean.value == pytest.approx(50.4)
    assert mean.sd == pytest.approx(np.sqrt(1 / 1.25))


def test_photos_that_scatter_too_much_are_not_believed_so_far():
    assert average([deg(40, 1), deg(60, 1)]).sd == pytest.approx(10)


def test_no_error_and_no_photo():
    assert average([deg(50, 0), deg(51, 0)]).value == 50.5
    assert np.isnan(average([]).value)


def test_the_average_of_three_simulated_photos_holds_the_truth():
    given = {"focal_px": camera.FOCAL, "image_size": camera.SIZE, "point_sd_px": 2.0, "tilt_sd_deg": 0}
    exact = camera.photos(600, 700, 1300, 41, noise=0)
    # The same pictures marked three times: only the points' error averages, so the tilt is kept out of it.
    true = side_view(exact.points, **given)["heel_angle"].value
    dice = np.random.default_rng(60)
    repeats = [
        {name: place + dice.normal(0, 2, place.shape) for name, place in exact.points.items()}
        for _ in range(3)
    ]
    seen = [side_view(points, **given)["heel_angle"] for points in repeats]
    inside = 0
    for foot in range(600):
        mean = average([Measure(one.value[foot], one.sd[foot], "deg", "photo") for one in seen])
        inside += abs(mean.value - true[foot]) <= 1.96 * mean.sd
    assert 0.93 <= inside / 600 <= 0.985  # growing with the scatter errs to the safe side


def test_the_error_of_a_point_is_learned_from_marking_again():
    dice = np.random.default_rng(3)
    markings = [{name: np.array(xy) + dice.normal(0, 3, 2) for name, xy in SIDE.items()} for _ in range(30)]

    assert learned_point_sd(markings) == pytest.approx(3, rel=0.05)
    assert np.isnan(learned_point_sd(markings[:1]))


def test_an_owners_repeats():
    # By hand: 50, 52 and 40, 40, 43 leave 2 + 6 squares and 1 + 2 degrees of freedom.
    assert repeat_sd([[50, 52], [40, 40, 43], [99]]) == pytest.approx(np.sqrt(8 / 3))


def test_a_difference_at_the_smallest_detectable_change():
    found = change(date(2026, 3, 4), deg(50, 3), deg(50 + 1.96 * 5, 4))

    assert (found.sd, found.detectable, found.beyond_error) == (5, pytest.approx(9.8), True)
    # Normal distribution, handbook value: Φ(1.96) = 0.9750.
    assert found.probability == pytest.approx(0.9750, abs=5e-5)


def test_how_likely_a_difference_is_real():
    # Handbook values of the normal distribution: Φ(1) = 0.8413, Φ(2) = 0.9772.
    assert probability_real(-1, 1) == pytest.approx(0.8413, abs=5e-5)
    assert probability_real(2, 1) == pytest.approx(0.9772, abs=5e-5)
    assert (probability_real(0, 1), probability_real(0, 0), probability_real(1, 0)) == (0.5, 0.5, 1.0)


def test_a_photo_that_gives_none_of_a_measure_does_not_spoil_the_others():
    assert average([deg(50, 1), deg(np.nan, np.nan), deg(52, 1)]).value == 51
    assert average([deg(50, 1), deg(np.nan, np.nan)]) == deg(50, 1)
    assert np.isnan(average([deg(np.nan, np.nan)]).value)


def test_lengths_in_two_units_are_not_averaged():
    with pytest.raises(ValueError, match="mm and deg"):
        average([deg(50, 1), Measure(51, 1, "mm", "photo")])


def test_a_marking_without_a_place_is_passed_over():
    markings = [
        {"toe_ground": [1, 1]},
        {"toe_ground": None},
        {"toe_ground": ("x", 2)},
        {"toe_ground": [3, 5]},
    ]

    # By hand: 2 and 8 are the squares, 1 and 1 the degrees of freedom.
    assert learned_point_sd(markings) == pytest.approx(np.sqrt((2 + 8) / 2))
