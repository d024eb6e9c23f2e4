"""Where the quarters lie on the way from heel to toe, by the published times until each part of the wall is new."""

from __future__ import annotations

import pytest

from tracker.derive.growth.new_horn import wall_lengths
from tracker.derive.uncertainty import Measure
from tracker.reference.growing import HEELS, QUARTERS, TOE

# Months, the middle of each range: Lungwitz and Adams, A Text-Book of Horseshoeing (toe 11 to 13, sides and quarters
# 6 to 8, heels 3 to 5); American Farriers Journal, article 564 (9 to 12, 6 to 8, 4 to 5).
TIMES = {
    "Lungwitz": {TOE: 12.0, QUARTERS: 7.0, HEELS: 4.0},
    "Farriers": {TOE: 10.5, QUARTERS: 7.0, HEELS: 4.5},
}


@pytest.mark.parametrize("source", TIMES)
def test_the_quarters_lie_in_the_middle_third_of_the_way(source: str) -> None:
    """Horn of one rate all round: lengths are as times. 10 mm for each month and no error."""
    times = TIMES[source]
    found = wall_lengths(
        {
            "toe_length": Measure(10 * times[TOE], 0.0, "mm", "ruler"),
            "heel_length": Measure(10 * times[HEELS], 0.0, "mm", "ruler"),
        }
    )
    shortest, longest = found[QUARTERS]
    assert shortest < 10 * times[QUARTERS] < longest
