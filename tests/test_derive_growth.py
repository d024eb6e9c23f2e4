"""Growth by marks, new horn, and the angle of the newer wall against the older."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from dateutil.relativedelta import relativedelta
from tables import table

from tracker.derive.growth.front_wall import FrontWall, front_walls
from tracker.derive.growth.horse import growth
from tracker.derive.growth.marks import marks_of
from tracker.derive.growth.new_horn import new_horn, wall_lengths
from tracker.derive.growth.rates import (
    PUBLISHED_RANGE,
    RateRange,
    agreement,
    foot_rates,
    horse_rate,
    range_of,
)
from tracker.derive.hooves import hoof_records
from tracker.derive.photo.marking import Marking
from tracker.derive.photo.own import seen_together
from tracker.derive.uncertainty import Measure
from tracker.reference.growing import HEELS, MONTH, QUARTERS, TOE, renewal
from tracker.sheets import HOOVES

HEAD = "date | foot | stage | measured_with | growth_mark | growth_mark_below_hairline | toe_length | heel_length"
START = dt.date(2026, 1, 5)
OFF = {"front": START, "hind": None}
RULER_SD = 3 / 2.7719


def day(number: int) -> dt.date:
    return START + dt.timedelta(days=number)


def records(*lines: str):
    return hoof_records(table(HOOVES, "\n".join((HEAD, *lines))))


def mark(foot: str, name: str, *readings: tuple[int, float], way: str = "ruler") -> list[str]:
    return [f"{day(number)} | {foot} | | {way} | {name} | {below} | |" for number, below in readings]


def rates(*lines: str):
    return foot_rates(marks_of(records(*lines)))


def test_two_readings_give_the_rate_with_the_readings_error():
    """Worked by hand: 13 mm in six weeks are 9.41 mm a month of 30.4 days; each end read to 3 mm (19 in 20 of two)."""
    found = rates(*mark("LF", "ring", (0, 20), (42, 33)))["LF"]
    assert found.value == pytest.approx(13 / 42 * 30.4)
    assert found.sd == pytest.approx(math.sqrt(2) * RULER_SD / 42 * 30.4, rel=1e-3)
    assert (found.first, found.last, found.readings, found.marks) == (day(0), day(42), 2, 1)


@pytest.mark.parametrize(("days", "mm", "monthly"), [(42, 13, 9.4), (70, 21, 9.1)])
def test_the_rate_of_the_seven_mares(days, mm, monthly):
    """Kolstrung et al. 2012, Med Weter 68:426: 13 mm in six weeks, 2.1 mm a week; 9.4 and 9.1 mm a month."""
    found = rates(*mark("LF", "ring", (0, 20), (days, 20 + mm)))["LF"]
    assert found.value == pytest.approx(monthly, abs=0.05)


def test_two_marks_of_a_foot_share_one_slope_each_from_its_own_height():
    both = rates(*mark("LF", "ring", (0, 20), (42, 33)), *mark("LF", "nail hole", (0, 50), (42, 63)))["LF"]
    one = rates(*mark("LF", "ring", (0, 20), (42, 33)))["LF"]
    assert both.value == pytest.approx(one.value)
    assert both.sd == pytest.approx(one.sd / math.sqrt(2))
    assert (both.readings, both.marks) == (4, 2)


def test_a_name_in_other_capitals_is_the_same_mark():
    assert len(marks_of(records(*mark("LF", "Ring", (0, 20)), *mark("LF", " ring", (42, 33))))) == 1


@pytest.mark.parametrize("readings", [[(0, 20)], [(0, 20), (41, 33)], []])
def test_less_than_six_weeks_of_one_mark_give_no_rate(readings):
    assert rates(*mark("LF", "ring", *readings)) == {}


def test_a_mark_that_went_up_gives_no_rate_and_the_others_do():
    lines = mark("LF", "ring", (0, 20), (42, 33), (84, 12)) + mark("LF", "crack", (0, 40), (42, 52))
    ring, crack = marks_of(records(*lines))
    assert (ring.went_up, crack.went_up) == (True, False)
    assert rates(*lines)["LF"].value == pytest.approx(12 / 42 * MONTH)


def test_a_mark_read_a_little_higher_within_the_error_did_not_go_up():
    (ring,) = marks_of(records(*mark("LF", "ring", (0, 20), (42, 17.1))))
    assert not ring.went_up


LF_FAST = mark("LF", "ring", (0, 10), (150, 57.5))  # 9.63
RF_FAST = mark("RF", "ring", (0, 10), (150, 56))  # 9.32
RF_SLOW = mark("RF", "ring", (0, 10), (150, 40))  # 6.08


def test_feet_that_agree_give_the_horses_rate():
    found = rates(*LF_FAST, *RF_FAST)
    horse = horse_rate(found)
    assert agreement(found).agree
    assert horse.value == pytest.approx((47.5 + 46) / 2 / 150 * MONTH)
    assert horse.sd == pytest.approx(found["LF"].sd / math.sqrt(2))
    assert range_of(found, "LH") == RateRange(horse.low, horse.high, "horse")


def test_feet_that_do_not_agree_keep_their_own():
    found = rates(*LF_FAST, *RF_SLOW)
    assert horse_rate(found) is None
    assert range_of(found, "RF") == RateRange(found["RF"].low, found["RF"].high, "foot")
    assert range_of(found, "LH") == range_of(found) == RateRange(found["RF"].low, found["LF"].high, "feet")


def test_until_the_horse_has_its_own_the_published_range_holds():
    """6 to 10 mm a month: The Veterinary Care of the Horse, p. 196. A rate no surer than that says no more."""
    assert (range_of({}).low, range_of({}).high, range_of({}).whose) == (6.0, 10.0, "published")
    unsure = mark("LF", "ring", (0, 20), (45, 33), way="photo")
    assert rates(*unsure)["LF"].high - rates(*unsure)["LF"].low > 4
    assert range_of(rates(*unsure)) == range_of({})
    own = range_of(rates(*LF_FAST))
    assert 8.5 < own.low < 9.63 < own.high < 10.5


# How long a mark took from the hairline, and a crack to the ground, by months; common geometry, worked out exactly.
@pytest.mark.parametrize(
    ("mm", "at_6", "at_8", "at_9", "at_10"),
    [
        (10, 1.67, 1.25, 1.11, 1.00), (25, 4.17, 3.13, 2.78, 2.50), (40, 6.67, 5.00, 4.44, 4.00),
        (75, 12.5, 9.4, 8.3, 7.5), (85, 14.2, 10.6, 9.4, 8.5), (95, 15.8, 11.9, 10.6, 9.5),
    ],
)  # fmt: skip
def test_the_wall_is_new_after_its_length_over_the_rate(mm, at_6, at_8, at_9, at_10):
    for rate, months in ((6, at_6), (8, at_8), (9, at_9), (10, at_10)):
        toe = new_horn_of(mm, RateRange(rate, rate, "published"))
        assert (toe.all_from - START).days / MONTH == pytest.approx(months, abs=0.06)


def new_horn_of(mm: float, rate: RateRange, on: int = 0):
    exact = {"toe_length": Measure(mm, 0.0, "mm", "ruler")}
    (record,) = records(f"{START} | LF | after trim | ruler | | | {mm} |")
    sure = type(record)(**{**_fields(record), "measures": exact})
    return new_horn(["LF"], [sure], OFF, {"LF": rate}, day(on))[0]


def _fields(record):
    return {name: getattr(record, name) for name in record.__slots__}


def test_the_share_is_the_time_since_over_that_time():
    toe = new_horn_of(80, RateRange(8, 10, "horse"), on=152)  # five months of 30.4 days
    assert (toe.low, toe.high) == (pytest.approx(40 / 80), pytest.approx(50 / 80))
    assert not toe.is_all
    assert (toe.all_from, toe.all_until) == (day(round(8 * MONTH)), day(round(10 * MONTH)))
    late = new_horn_of(80, RateRange(8, 10, "horse"), on=310)
    assert (late.low, late.high, late.is_all) == (1.0, 1.0, True)


def test_the_error_of_the_length_widens_it():
    lengths = wall_lengths({"toe_length": Measure(80, 1, "mm", ""), "heel_length": Measure(35, 1, "mm", "")})
    assert lengths[TOE] == pytest.approx((78.04, 81.96))
    assert lengths[HEELS] == pytest.approx((33.04, 36.96))
    assert lengths[QUARTERS] == pytest.approx((33.04 + 45 / 3, 81.96 - 45 / 3))


def test_the_newest_length_counts_and_of_one_day_that_after_the_trim():
    found = records(
        f"{day(0)} | LF | after trim | ruler | | | 90 | 40",
        f"{day(70)} | LF | before trim | ruler | | | 88 |",
        f"{day(70)} | LF | after trim | ruler | | | 80 |",
    )
    parts = {part.site: part for part in new_horn(["LF"], found, OFF, {"LF": PUBLISHED_RANGE}, day(80))}
    assert sum(parts[TOE].length) / 2 == pytest.approx(80)
    assert sum(parts[HEELS].length) / 2 == pytest.approx(40)


def test_without_a_length_the_published_times_of_renewal_hold():
    """The fewest and the most months of three sources: toe 9 to 13, quarters 6 to 8, heels 3 to 6.

    Lungwitz and Adams (11-13, 6-8, 3-5), The Veterinary Care of the Horse p. 196 (9-12, heels about 6) and
    American Farriers Journal, article 564 (9-12, 6-8, 4-5).
    """
    assert [renewal(site) for site in (TOE, QUARTERS, HEELS)] == [(9, 13), (6, 8), (3, 6)]
    toe, quarters, heels = new_horn(["LF"], [], OFF, {"LF": PUBLISHED_RANGE}, day(100))
    assert (toe.all_from, toe.all_until) == (dt.date(2026, 10, 5), dt.date(2027, 2, 5))
    assert (quarters.all_from, heels.all_until) == (dt.date(2026, 7, 5), dt.date(2026, 7, 5))
    assert toe.rate is None
    assert toe.low == pytest.approx(100 / 396)
    assert toe.high == pytest.approx(100 / 273)


@pytest.mark.parametrize("since", ["2027-05-31", "2027-08-31", "2023-11-30", "2024-02-29", "2026-03-29"])
def test_months_end_where_dateutil_ends_them(since):
    """Month ends, leap days, and the day on which the clocks change in Europe (29 March 2026)."""
    began = dt.date.fromisoformat(since)
    _, _, heels = new_horn(["LF"], [], {"front": began}, {"LF": PUBLISHED_RANGE}, began)
    assert heels.all_from == began + relativedelta(months=3)
    assert heels.all_until == began + relativedelta(months=6)
    assert heels.all_from.day == min(began.day, (heels.all_from + relativedelta(day=31)).day)


def test_only_feet_whose_shoes_came_off():
    assert {part.foot for part in growth([], OFF, [], day(100)).new_horn} == {"LF", "RF"}
    assert growth([], OFF, [], day(-1)).new_horn == ()
    assert growth([], {"front": None, "hind": None}, [], day(10)).new_horn == ()


def test_nothing_after_the_day_counts():
    lines = mark("LF", "ring", (0, 20), (60, 38), (120, 60))
    assert growth(records(*lines), OFF, [], day(70)).feet["LF"].readings == 2


# The foot of the photograph: 10 px a mm, toe at the left, y downward.
POINTS = {
    "ground_front": (0.0, 1000.0), "ground_back": (2000.0, 1000.0), "toe_ground": (200.0, 1000.0),
    "heel_ground": (1300.0, 1000.0), "heel_hairline": (1600.0, 650.0),
}  # fmt: skip


def wall(upper_deg: float, lower_deg: float):
    """A front wall of 27 mm above and 53 mm below, each at its own angle."""
    lower, upper = math.radians(lower_deg), math.radians(upper_deg)
    third = (200 + 530 * math.cos(lower), 1000 - 530 * math.sin(lower))
    top = (third[0] + 270 * math.cos(upper), third[1] - 270 * math.sin(upper))
    points = {**POINTS, "wall_third": third, "toe_hairline": top}
    marking = Marking("lf.jpg", "side", "LF", "Juno", "2026-03-04", "", points, "", "")
    return front_walls(seen_together([marking], {"lf.jpg": (None, (2000.0, 1500.0))}))


def test_the_upper_wall_against_the_lower_as_drawn():
    (found,) = wall(60, 45)
    assert isinstance(found, FrontWall)
    assert (found.horse, found.foot, found.date) == ("Juno", "LF", dt.date(2026, 3, 4))
    assert found.upper.value - found.lower.value == pytest.approx(found.difference.value)
    assert found.difference.value == pytest.approx(15, abs=0.6)
    assert found.beyond_error


def test_a_difference_within_the_error_says_so():
    """A photograph is read to 3° for the whole toe, the upper third to three times that: measuring.py, repeatable.py."""
    (found,) = wall(52, 48)
    assert found.difference.value == pytest.approx(4, abs=0.5)
    assert not found.beyond_error


def test_a_photograph_without_the_third_or_without_its_file_says_nothing():
    bare = Marking("lf.jpg", "side", "LF", "Juno", "2026-03-04", "", POINTS)
    assert front_walls(seen_together([bare], {})) == ()
    whole = {**POINTS, "toe_hairline": (714.0, 387.0)}
    marking = Marking("lf.jpg", "side", "LF", "Juno", "2026-03-04", "", whole)
    assert front_walls(seen_together([marking], {"lf.jpg": (None, (2000.0, 1500.0))})) == ()
