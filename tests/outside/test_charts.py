"""The control charts of the bench, against the worked examples of the NIST/SEMATECH e-Handbook."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.peers import cusum, ewma

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4 "EWMA Control Charts", doi:10.18434/M32189:
# target 50, weight 0.3. The figures were checked against a second copy of the example.
EWMA_DATA = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
    49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
]  # fmt: skip
EWMA_GIVEN = [
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
    50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
]  # fmt: skip

# The same, 6.3.2.3 "CUSUM Control Charts": target 325, k 0.3175, h 4.1959. Remembered values; data and both
# columns of sums were remembered apart from each other.
CUSUM_DATA = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
]  # fmt: skip
CUSUM_HIGH = [
    0.00, 0.00, 0.00, 0.00, 0.03, 0.00, 0.00, 0.00, 0.00, 0.00,
    0.00, 0.00, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04,
]  # fmt: skip
CUSUM_LOW = [
    0.00, 0.01, 0.00, 0.33, 0.00, 0.00, 0.56, 0.72, 0.17, 0.25,
    0.31, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00,
]  # fmt: skip


def test_the_moving_average_of_the_handbook() -> None:
    means = 50 + ewma(np.array([EWMA_DATA]) - 50, 0.3)[0]
    np.testing.assert_allclose(means, EWMA_GIVEN, atol=0.0051)


def test_the_cumulative_sums_of_the_handbook() -> None:
    off = np.array([CUSUM_DATA]) - 325
    np.testing.assert_allclose(cusum(off, 0.3175)[0], CUSUM_HIGH, atol=0.0076)  # given to two places
    np.testing.assert_allclose(cusum(-off, 0.3175)[0], CUSUM_LOW, atol=0.0076)


def test_the_handbooks_process_is_out_of_control_from_its_14th_sample() -> None:
    assert np.argmax(cusum(np.array([CUSUM_DATA]) - 325, 0.3175)[0] > 4.1959) + 1 == 14
