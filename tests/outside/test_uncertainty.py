"""Error and its travel, against the GUM's example, an independent package, and published repeatability."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from tracker.derive import angles
from tracker.derive.quantities import with_derived
from tracker.derive.uncertainty import Measure, propagate
from tracker.reference.measuring import (
    ANCHORS,
    DECURNEX,
    PEEL_LEFT,
    PEEL_RIGHT,
    REPEATABILITY,
    detectable,
    reading_sd,
)


def test_the_end_gauge_of_the_gum():
    """JCGM 100:2008, H.1: the combined standard uncertainty of the calibrated gauge is 32 nm."""
    inputs = [
        Measure(50_000_623, 25, "nm", "length of the standard"),
        Measure(215, 9.7, "nm", "difference"),
        Measure(0, 0.58e-6, "1", "difference of the expansion coefficients"),
        Measure(-0.1, 0.41, "Cel", "temperature deviation"),
        Measure(11.5e-6, 1.2e-6, "1", "expansion coefficient"),
        Measure(0, 0.029, "Cel", "difference of the temperatures"),
    ]

    def length(standard, difference, d_alpha, theta, alpha, d_theta):
        return standard + difference - standard * (d_alpha * theta + alpha * d_theta)

    result = propagate(length, inputs, "nm", "H.1")

    assert result.value == pytest.approx(50_000_838)
    assert result.sd == pytest.approx(32, abs=0.5)


def rad(angle):
    return angle * math.pi / 180


def deg(angle):
    return angle * 180 / math.pi


def hairline(measured):
    toe, heel = measured["toe_length"], measured["heel_length"]
    forward = (
        measured["support_length"]
        + heel * umath.cos(rad(measured["heel_angle"]))
        - toe * umath.cos(rad(measured["toe_angle"]))
    )
    up = toe * umath.sin(rad(measured["toe_angle"])) - heel * umath.sin(rad(measured["heel_angle"]))
    return forward, up


# Each written again, for a package that carries errors and their correlations through every step.
AGAIN = {
    "heel_height": lambda m: m["heel_length"] * umath.sin(rad(m["heel_angle"])),
    "heel_run": lambda m: m["heel_length"] * umath.cos(rad(m["heel_angle"])),
    "toe_height": lambda m: m["toe_length"] * umath.sin(rad(m["toe_angle"])),
    "heel_lag": lambda m: m["toe_angle"] - m["heel_angle"],
    "axis_break": lambda m: m["pastern_angle"] - m["toe_angle"],
    "toe_heel_ratio": lambda m: m["toe_length"] / m["heel_length"],
    "heel_toe_height_percent": lambda m: (
        100
        * m["heel_length"]
        * umath.sin(rad(m["heel_angle"]))
        / (m["toe_length"] * umath.sin(rad(m["toe_angle"])))
    ),
    "hairline_angle_model": lambda m: deg(umath.atan2(*reversed(hairline(m)))),
    "hairline_length": lambda m: umath.hypot(*hairline(m)),
    "width_length_ratio": lambda m: m["hoof_width"] / m["hoof_length"],
    "frog_ratio": lambda m: m["frog_width"] / m["frog_length"],
    "heel_length_difference": lambda m: m["medial_heel_length"] - m["lateral_heel_length"],
    "wall_angle_difference": lambda m: m["medial_wall_angle"] - m["lateral_wall_angle"],
}
HOOF = {
    "toe_length": 85.0, "toe_angle": 50.0, "heel_length": 40.0, "heel_angle": 45.0, "support_length": 110.0,
    "pastern_angle": 53.0, "hoof_width": 120.0, "hoof_length": 125.0, "frog_width": 50.0, "frog_length": 88.0,
    "medial_heel_length": 42.0, "lateral_heel_length": 38.0,
    "medial_wall_angle": 76.0, "lateral_wall_angle": 72.0,
}  # fmt: skip


def both(values, way="photo"):
    """Give the same measures for us and for the package."""
    ours = {
        name: Measure(value, reading_sd(name, way), "deg" if "angle" in name else "mm", way)
        for name, value in values.items()
    }
    return ours, {name: ufloat(measure.value, measure.sd) for name, measure in ours.items()}


@pytest.mark.parametrize("name", AGAIN)
def test_every_quantity_agrees_with_the_uncertainties_package(name):
    ours, theirs = both(HOOF)
    found, expected = with_derived(ours)[name], AGAIN[name](theirs)

    assert found.value == pytest.approx(expected.nominal_value, rel=1e-9)
    assert found.sd == pytest.approx(expected.std_dev, rel=1e-4)


def test_everything_derived_is_checked_against_the_package():
    ours, _ = both(HOOF)

    assert set(with_derived(ours)) - set(ours) == set(AGAIN)


@pytest.mark.parametrize(
    "name", ["heel_lag", "heel_run", "heel_toe_height_percent", "hairline_angle_model", "hairline_length"]
)
def test_a_measure_that_enters_twice_is_not_counted_as_two(name):
    values = {key: HOOF[key] for key in ("toe_length", "toe_angle", "heel_length", "support_length")}
    ours, theirs = both({**values, "heel_height": 28.0})
    theirs["heel_angle"] = deg(umath.asin(theirs["heel_height"] / theirs["heel_length"]))
    found, expected = with_derived(ours)[name], AGAIN[name](theirs)

    assert found.value == pytest.approx(expected.nominal_value, rel=1e-9)
    assert found.sd == pytest.approx(expected.std_dev, rel=1e-3)


@given(st.floats(20, 60), st.floats(25, 75), st.floats(0.01, 2), st.floats(0.01, 2))
def test_random_heels_agree_with_the_uncertainties_package(length, angle, length_sd, angle_sd):
    inputs = [Measure(length, length_sd, "mm", ""), Measure(angle, angle_sd, "deg", "")]
    expected = AGAIN["heel_run"](
        {"heel_length": ufloat(length, length_sd), "heel_angle": ufloat(angle, angle_sd)}
    )

    assert propagate(angles.heel_run, inputs, "mm", "").sd == pytest.approx(expected.std_dev, rel=1e-4)


def test_one_call_with_arrays_gives_the_same():
    inputs = [Measure(40, 1.1, "mm", ""), Measure(45, 2.2, "deg", "")]
    one_by_one = propagate(angles.heel_height, inputs, "mm", "")
    at_once = propagate(angles.heel_height, inputs, "mm", "", arrays=True)

    assert (at_once.value, at_once.sd) == pytest.approx((one_by_one.value, one_by_one.sd))


def test_first_order_agrees_with_ten_thousand_hooves_drawn_at_random():
    ours, _ = both(HOOF)
    rng = np.random.default_rng(4)
    drawn = {name: rng.normal(measure.value, measure.sd, 10_000) for name, measure in ours.items()}
    flat = ("toe_length", "toe_angle", "heel_length", "heel_angle", "support_length")
    spread = np.std(angles.hairline_angle_model(*(drawn[name] for name in flat)))

    assert with_derived(ours)["hairline_angle_model"].sd == pytest.approx(spread, rel=0.05)


def test_no_error_in_is_no_error_out():
    assert (
        propagate(angles.heel_lag, [Measure(50, 0, "deg", ""), Measure(45, 0, "deg", "")], "deg", "").sd == 0
    )


# Derived: each end of the line placed with this SD, perpendicular to it, the ground line perfect.
# Wall length, SD of an end; then SD of the angle, smallest detectable change.
NOISE = [
    (30, 0.5, 1.35, 3.7), (40, 0.5, 1.01, 2.8), (50, 0.5, 0.81, 2.2), (85, 0.5, 0.48, 1.3),
    (30, 1.0, 2.70, 7.5), (40, 1.0, 2.03, 5.6), (50, 1.0, 1.62, 4.5), (85, 1.0, 0.95, 2.6),
]  # fmt: skip


def line(length, end_sd):
    """Compute the angle of a line of that length, from where its two ends were placed."""
    ends = [Measure(0, end_sd, "mm", "photo")] * 2
    return propagate(
        lambda lower, upper: math.degrees(math.atan2(upper - lower, length)), ends, "deg", "photo"
    )


@pytest.mark.parametrize(("length", "end_sd", "sd", "change"), NOISE)
def test_the_noise_floor_of_a_marked_line(length, end_sd, sd, change):
    assert line(length, end_sd).sd == pytest.approx(sd, abs=0.0051)
    assert REPEATABILITY * line(length, end_sd).sd == pytest.approx(change, abs=0.06)


@pytest.mark.parametrize(("end_sd", "sd", "change"), [(0.5, 1.12, 3.1), (1.0, 2.24, 6.2)])
def test_the_noise_floor_of_toe_less_heel(end_sd, sd, change):
    lag = propagate(angles.heel_lag, _at_fifty(line(85, end_sd), line(40, end_sd)), "deg", "photo")

    assert lag.sd == pytest.approx(sd, abs=0.0051)
    assert REPEATABILITY * lag.sd == pytest.approx(change, abs=0.06)


def _at_fifty(*lines):
    return [Measure(50, one.sd, "deg", "photo") for one in lines]


LINES = {"toe_angle": 85, "medial_wall_angle": 60, "heel_angle": 40, "hairline_angle": 90}


@pytest.mark.parametrize("name", LINES)
def test_the_figures_for_a_photograph_are_that_noise_rounded_up(name):
    floor = REPEATABILITY * line(LINES[name], 1.0).sd

    assert floor <= detectable(name, "photo").value < floor + 1


@pytest.mark.parametrize("name", ["toe_angle", "medial_wall_angle", "heel_angle"])
def test_the_figures_for_a_radiograph_are_that_noise_rounded_up(name):
    floor = REPEATABILITY * math.sqrt(2) * line(LINES[name], 0.5).sd

    assert floor <= detectable(name, "radiograph").value < floor + 1


def test_the_figure_for_a_photographed_length():
    ends = [Measure(0, 1, "mm", "photo"), Measure(85, 1, "mm", "photo"), Measure(1, 0.015, "1", "photo")]
    length = propagate(lambda one, other, scale: (other - one) * scale, ends, "mm", "photo")

    assert detectable("toe_length", "photo").value == pytest.approx(REPEATABILITY * length.sd, abs=0.5)


def test_published_repeatability_gives_the_published_spread():
    # Decurnex et al. 2009: 1.8 mm, so 0.65 mm within a horse.
    # Peel et al. 2006: 0.31 and 0.37°, so 0.11 to 0.13°.
    assert DECURNEX.value / REPEATABILITY == pytest.approx(0.65, abs=0.005)
    assert PEEL_LEFT.value / REPEATABILITY == pytest.approx(0.11, abs=0.005)
    assert PEEL_RIGHT.value / REPEATABILITY == pytest.approx(0.13, abs=0.005)


def test_an_owner_is_never_taken_to_be_surer_than_the_trained_people_of_the_papers():
    assert detectable("coronet_girth", "ruler").value >= DECURNEX.value
    assert detectable("toe_angle", "gauge").value >= max(PEEL_LEFT.value, PEEL_RIGHT.value)
    assert all(anchor.source for anchor in ANCHORS)
