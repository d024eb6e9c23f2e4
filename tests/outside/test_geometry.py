"""The hoof's geometry against tables of derived geometry, exact trigonometry; no horse was measured."""

from __future__ import annotations

import math

import pytest

from tracker.cells.numbers import canonical, read_quantity
from tracker.derive import angles

# Derived geometry, exact trigonometry. Toe length and angle, heel length and angle, support length;
# then toe height, heel height, hairline angle, hairline length, heel height % of toe height,
# toe length over heel length, heel lag.
HOOVES = [
    ((85, 50, 40, 45, 110), (65.11, 28.28, 23.76, 91.40, 43.44, 2.125, 5)),
    ((85, 50, 35, 40, 115), (65.11, 22.50, 26.05, 97.03, 34.55, 2.429, 10)),
    ((90, 48, 30, 35, 125), (66.88, 17.21, 29.07, 102.23, 25.73, 3.000, 13)),
    ((80, 55, 45, 55, 105), (65.53, 36.86, 18.65, 89.63, 56.25, 1.778, 0)),
    ((85, 50, 42.5, 50, 110), (65.11, 32.56, 21.49, 88.86, 50.00, 2.000, 0)),
]


@pytest.mark.parametrize(("hoof", "expected"), HOOVES)
def test_a_whole_hoof(hoof, expected):
    toe_length, toe_angle, heel_length, heel_angle, _ = hoof
    toe_height = angles.toe_height(toe_length, toe_angle)
    heel_height = angles.heel_height(heel_length, heel_angle)

    assert (
        toe_height,
        heel_height,
        angles.hairline_angle_model(*hoof),
        angles.hairline_length(*hoof),
        angles.heel_toe_height_percent(heel_height, toe_height),
        angles.toe_heel_ratio(toe_length, heel_length),
        angles.heel_lag(toe_angle, heel_angle),
    ) == pytest.approx(expected, abs=0.0051)


def test_a_lag_of_exactly_five_degrees_is_five_and_not_a_shade_less():
    # The cut named by Turner includes 5 itself, so rounding must not push the value below it.
    assert angles.heel_lag(50, 45) >= 5


# Derived geometry: toe length × sin(toe angle), mm.
AT = (45, 48, 50, 52, 55, 58, 60)
TOE_HEIGHTS = {
    75: (53.0, 55.7, 57.5, 59.1, 61.4, 63.6, 65.0),
    85: (60.1, 63.2, 65.1, 67.0, 69.6, 72.1, 73.6),
    95: (67.2, 70.6, 72.8, 74.9, 77.8, 80.6, 82.3),
}


@pytest.mark.parametrize("length", TOE_HEIGHTS)
def test_toe_heights(length):
    assert [angles.toe_height(length, angle) for angle in AT] == pytest.approx(TOE_HEIGHTS[length], abs=0.051)


def test_the_line_drawn_by_the_square_and_circle_is_not_thirty_degrees():
    # Common practice, no published source: the line is drawn as "30°". Exactly, it is atan(1/2).
    drawn = angles.heel_angle_from_run(10, 20)

    assert drawn == pytest.approx(math.degrees(math.atan(1 / 2)))
    assert drawn == pytest.approx(26.57, abs=0.005)


@pytest.mark.parametrize(
    ("rise", "support", "degrees"),
    [(3.175, 100, 1.82), (6.35, 110, 3.30), (3.175, 140, 1.30), (9.62, 110, 5.0)],
)
def test_heel_wedges(rise, support, degrees):
    # Derived geometry: rise = support length × tan(angle), pivot at the toe.
    assert angles.heel_angle_from_run(rise, support) == pytest.approx(degrees, abs=0.0051)


# The inch is exactly 25.4 mm (international yard and pound agreement, 1959).
INCHES = {
    "1/16": 1.5875, "1/8": 3.175, "3/16": 4.7625, "1/4": 6.35, "5/16": 7.9375, "3/8": 9.525, "7/16": 11.1125,
    "1/2": 12.7, "5/8": 15.875, "3/4": 19.05, "7/8": 22.225, "3": 76.2, "3 1/4": 82.55, "3½": 88.9,
    "3-3/4": 95.25, "4": 101.6,
}  # fmt: skip


@pytest.mark.parametrize("typed", INCHES)
def test_inches(typed):
    quantity = read_quantity(typed)

    assert quantity is not None
    assert canonical(quantity.number, "in") == pytest.approx(INCHES[typed], abs=1e-9)
