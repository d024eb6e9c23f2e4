"""Photographs of one foot, day and stage: their own errors average, what they share stays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from tracker.derive.photo.several import PhotoReading, of_photos

LEAST = 1.08


def photo(value: float, own: float | None = None, name: str = "") -> PhotoReading:
    return PhotoReading(value, name, own)


@pytest.mark.parametrize(("own", "shown"), [(None, LEAST), (0.4, LEAST), (2.5, 2.5)])
def test_one_photograph_has_the_larger_of_both_errors(own: float | None, shown: float) -> None:
    found = of_photos([photo(50, own)], LEAST, "deg")
    assert (found.value, found.sd, found.unit, found.how) == (50, pytest.approx(shown), "deg", "photo")


def test_two_photographs_average_as_the_uncertainties_library_has_it() -> None:
    found = of_photos([photo(50, 2.5, "a"), photo(52, 3.5, "b")], LEAST, "deg")
    one, other = ufloat(50, 2.5), ufloat(52, 3.5)
    mean = (one / 2.5**2 + other / 3.5**2) / (2.5**-2 + 3.5**-2)
    assert (found.value, found.sd) == (pytest.approx(mean.n), pytest.approx(mean.s))
    assert found.how == "mean of 2 by photo"


def test_the_error_of_the_average_is_that_of_photographs_drawn_at_random() -> None:
    """Monte Carlo (JCGM 101:2008): 20,000 pairs of photographs, each with its own error, weighed as they are here."""
    dice = np.random.default_rng(8)
    drawn = np.stack([50 + dice.normal(0, 2.5, 20_000), 50 + dice.normal(0, 3.5, 20_000)], axis=1)
    means = [of_photos([photo(a, 2.5), photo(b, 3.5)], LEAST, "deg").value for a, b in drawn]
    assert of_photos([photo(50, 2.5), photo(50, 3.5)], LEAST, "deg").sd == pytest.approx(
        np.std(means), rel=0.02
    )


def test_how_the_horse_stood_is_no_surer_for_any_number_of_photographs() -> None:
    assert of_photos([photo(50, 1.2)] * 400, LEAST, "deg").sd == LEAST
    assert of_photos([photo(50)] * 400, LEAST, "deg").sd == LEAST


def test_photographs_that_scatter_more_than_their_errors_say_are_believed_less() -> None:
    # By hand (Birge 1932): two that lie 10 apart, equally sure, have a mean with an sd of 5.
    assert of_photos([photo(45, 1.2), photo(55, 1.2)], LEAST, "deg").sd == pytest.approx(5)


def test_one_photograph_that_was_read_twice_is_one_photograph() -> None:
    found = of_photos([photo(50, 2.5, "a.jpg"), photo(51, None, "a.jpg")], LEAST, "deg")
    assert (found.value, found.sd) == (50.5, 2.5)
    both = of_photos(
        [photo(50, 2.5, "a.jpg"), photo(51, 2.5, "a.jpg"), photo(50.5, 2.5, "b.jpg")], LEAST, "deg"
    )
    assert both.sd == pytest.approx(
        2.5 / np.sqrt(2)
    )  # the mean of two equal photographs: standard statistics


@given(st.lists(st.tuples(st.floats(20, 70), st.none() | st.floats(0.01, 20)), min_size=1, max_size=5))
def test_a_mean_lies_among_its_readings_and_is_never_surer_than_a_reading(
    drawn: list[tuple[float, float | None]],
) -> None:
    found = of_photos([photo(*each) for each in drawn], LEAST, "deg")
    values = [value for value, _ in drawn]
    assert min(values) - 1e-9 <= found.value <= max(values) + 1e-9
    assert found.sd >= LEAST
