"""No measure of a photograph is surer than a photograph can be repeated."""

from __future__ import annotations

import math

import pytest
from photo_points import side
from uncertainties import ufloat
from uncertainties.umath import cos, radians

from tracker.derive.photo.repeatable import repeatable
from tracker.derive.uncertainty import Measure
from tracker.reference.measuring import detectable, reading_sd


def of(value: float, sd: float = 0.1, unit: str = "deg") -> Measure:
    return Measure(value, sd, unit, "photo")


def test_what_is_measured_has_at_least_the_error_of_a_reading():
    found = repeatable({"pastern_angle": of(52), "toe_length": of(85, unit="mm"), "toe_angle": of(50, 9.0)})

    assert found["pastern_angle"].sd == reading_sd("pastern_angle", "photo")
    # Bland and Altman 1996: the smallest detectable change is 1.96·√2·s.
    assert 1.96 * math.sqrt(2) * found["toe_length"].sd == pytest.approx(
        detectable("toe_length", "photo").value
    )
    assert found["toe_angle"] == of(50, 9.0)


def test_what_follows_has_the_error_that_the_uncertainties_library_gives_it():
    toe, pastern, heel, length = (
        ufloat(value, reading_sd(key, "photo"))
        for key, value in (("toe_angle", 50), ("pastern_angle", 54), ("heel_angle", 45), ("heel_length", 40))
    )
    seen = {
        "toe_angle": of(50),
        "pastern_angle": of(54),
        "heel_angle": of(45),
        "heel_length": of(40, unit="mm"),
    }
    seen |= {"axis_break": of(4), "heel_lag": of(5), "heel_run": of(28.28, unit="mm")}
    found = repeatable(seen)

    assert found["axis_break"].sd == pytest.approx((pastern - toe).s)
    assert found["heel_lag"].sd == pytest.approx((toe - heel).s)
    assert found["heel_run"].sd == pytest.approx((length * cos(radians(heel))).s, rel=1e-3)


def test_nothing_of_a_whole_foot_gets_surer_or_moves():
    seen = side()
    found = repeatable(seen)

    assert [*found] == [*seen]
    for key, measure in found.items():
        assert measure.sd >= seen[key].sd
        assert (measure.value, measure.unit, measure.how) == (seen[key].value, seen[key].unit, seen[key].how)
    assert found["heel_toe_height_percent"].sd > seen["heel_toe_height_percent"].sd
    assert found["axis_break"].sd > 2.3  # the stance: 6°/(1.96·√2) of the pastern, 3°/(1.96·√2) of the toe


def test_parts_of_the_toes_wall_are_read_so_much_worse_as_they_are_shorter():
    """The uncertainties library, on a wall of which three points are each placed to 1 across the wall."""
    top, third, ground = (ufloat(0, 1) for _ in range(3))
    whole, upper, lower = (top - ground) / 85, (top - third) / (85 / 3), (third - ground) / (170 / 3)
    toe = reading_sd("toe_angle", "photo")
    found = repeatable({key: of(50) for key in ("upper_toe_angle", "lower_toe_angle", "toe_flare")})

    for key, expected in (
        ("upper_toe_angle", upper),
        ("lower_toe_angle", lower),
        ("toe_flare", upper - lower),
    ):
        assert found[key].sd == pytest.approx(toe * expected.s / whole.s, rel=1e-3), key


def test_what_no_table_has_keeps_its_own():
    assert repeatable({"line_lean": of(2, unit="deg/cm")}) == {"line_lean": of(2, unit="deg/cm")}


def test_a_growth_line_is_no_surer_than_a_wall_as_short_and_its_lean_widens_with_it() -> None:
    least = reading_sd("heel_angle", "photo")
    found = repeatable(
        {"line1_angle": of(50, 0.2), "line2_angle": of(48, 0.4), "line_lean": of(-0.5, 0.1, unit="deg/cm")}
    )
    assert found["line1_angle"].sd == found["line2_angle"].sd == least
    assert found["line_lean"].sd == pytest.approx(0.1 * (least / 0.2 + least / 0.4) / 2)
    wide = repeatable({"line1_angle": of(50, 9.0), "line_lean": of(-0.5, 3.0, unit="deg/cm")})
    assert (wide["line1_angle"].sd, wide["line_lean"].sd) == (9.0, 3.0)
