"""Weight by tape against worked values of its formulas, trends with their error, vital signs beside the usual.

The worked weights were computed from the published formulas with a calculator: girth² × length / divisor.
"""

from __future__ import annotations

import datetime as dt
import math

import pytest
from books import checked
from hypothesis import given
from hypothesis import strategies as st
from tables import table
from uncertainties import ufloat

from tracker.derive.body.horse import BodyRecord, body_record, weight_formulas
from tracker.derive.body.trend import Reading, trend_of
from tracker.derive.body.vitals import Sign, vital_sign
from tracker.derive.body.weight import weight_by_tape, weight_of
from tracker.derive.relief import courses
from tracker.reference import body as reference
from tracker.sheets import BODY, HORSES, PAIN_RELIEF

ON = dt.date(2026, 12, 31)
OFF = {"front": dt.date(2026, 3, 1), "hind": None}


def of(text: str, relief: str = "", on: dt.date = ON, formula: str = reference.ANY) -> BodyRecord:
    given_relief = courses(table(PAIN_RELIEF, relief), on)
    return body_record("Juno", table(BODY, text), given_relief, OFF, on, formula)


@pytest.mark.parametrize(
    ("girth", "length", "any_breed", "icelandic"),
    [
        (150, 130, 245.8, 256.6), (170, 150, 364.3, 380.3), (180, 160, 435.6, 454.7), (190, 165, 500.5, 522.5),
        (200, 175, 588.2, 614.0),
    ],
)  # fmt: skip
def test_the_weight_by_tape(girth: float, length: float, any_breed: float, icelandic: float) -> None:
    assert weight_of(girth * 10, length * 10) == pytest.approx(any_breed, abs=0.05)
    assert weight_of(girth * 10, length * 10, reference.ICELANDIC) == pytest.approx(icelandic, abs=0.05)


def test_each_horse_has_the_formula_that_was_chosen_for_it() -> None:
    horses = table(HORSES, "horse | weight_formula\nJuno | Icelandic\nWren |\nJuno | any")
    assert weight_formulas(horses) == {"Juno": "Icelandic"}
    tables = checked(
        Horses="Horse | Weight formula\nJuno | icelandic\nWren |",
        Body="Date | Horse | Girth (cm) | Body length (cm)\n@2026-03-02 | Juno | 180 | 160\n@2026-03-02 | Wren | 180 | 160",
    ).tables
    assert weight_formulas(tables["Horses"]) == {"Juno": "Icelandic"}
    juno = body_record("Juno", tables["Body"], [], OFF, ON, "Icelandic").taped
    wren = body_record("Wren", tables["Body"], [], OFF, ON).taped
    assert juno
    assert wren
    assert (juno.last.value, wren.last.value) == pytest.approx((454.7, 435.6), abs=0.05)


def test_the_same_horse_in_inches() -> None:
    """72 in and 65 in are 1021.1 lb by girth² × length / 330 (extension leaflets); the divisor is 11 922 in metric."""
    pounds = weight_of(72 * 25.4, 65 * 25.4) * 11900 / 11922.0 / 0.45359237
    assert pounds == pytest.approx(1021.1, abs=0.1)


@given(st.floats(1000, 2600), st.floats(1000, 2600))
def test_its_error_is_that_of_the_tape(girth: float, length: float) -> None:
    found = weight_by_tape(girth, length)
    wanted = ufloat(girth / 10, 1.0) ** 2 * ufloat(length / 10, 2.0) / 11900
    assert (found.value, found.sd) == pytest.approx((wanted.nominal_value, wanted.std_dev))


def test_two_centimetres_of_girth() -> None:
    """2 cm at 180 cm are 2.2 % of the weight."""
    assert weight_of(1820, 1600) / weight_of(1800, 1600) == pytest.approx(1.022, abs=0.0005)


def test_a_row_without_a_length_has_no_weight_by_tape() -> None:
    found = of("date | girth | body_length | weight\n 2026-04-01 | 1800 | | \n 2026-05-01 | | | 450")
    assert found.taped is None
    assert found.typed is not None
    assert found.typed.last.value == 450
    assert not of("")
    assert not of("date | girth\n 2026-04-01 | 1800")


def test_changes_are_counted_from_the_first_since_the_shoes_came_off() -> None:
    found = of(
        "date | weight\n 2026-02-01 | 500\n 2026-03-02 | 480\n 2026-04-01 | 470\n 2026-05-01 | 450"
    ).typed
    assert found is not None
    assert found.since_first is not None
    assert found.since_last is not None
    assert (found.since_first.since, found.since_first.value) == (dt.date(2026, 3, 2), -30)
    assert (found.since_last.since, found.since_last.value) == (dt.date(2026, 4, 1), -20)
    assert found.since_last.detectable == pytest.approx(1.96 * math.hypot(9.4, 9.0), abs=0.01)
    assert (found.since_last.beyond_error, found.since_first.beyond_error) == (False, True)


def test_two_readings_of_a_day_are_their_mean() -> None:
    found = of("date | condition_score\n 2026-05-01 | 6\n 2026-05-01 | 5").condition
    assert found is not None
    assert (found.last.value, found.last.rows) == (5.5, (2, 3))
    assert found.last.sd == pytest.approx(0.5 / math.sqrt(2))
    assert found.since_first is None


def test_what_comes_later_is_not_known_yet() -> None:
    found = of("date | crest_score\n 2026-05-01 | 2\n 2026-06-01 | 3", on=dt.date(2026, 5, 31)).crest
    assert found is not None
    assert [reading.value for reading in found.readings] == [2]


def test_a_straight_loss_of_weight_has_its_slope() -> None:
    readings = [Reading(ON + dt.timedelta(days=10 * at), 500 - 2.0 * at, 8, (at,)) for at in range(12)]
    found = trend_of("Weight", "kg", readings, None)
    assert found is not None
    assert found.slope is not None
    # Twelve days 10 apart: the squares about their middle are 14,300, so the tape alone gives 8 / √14,300 kg a day.
    reach = 1.96 * 30 * 8 / 14300**0.5
    assert (found.slope.value, found.slope.low, found.slope.high) == pytest.approx(
        (-6, -6 - reach, -6 + reach)
    )
    assert trend_of("Weight", "kg", readings[:5], None).slope is None  # type: ignore[union-attr]
    assert trend_of("Weight", "kg", readings[:6], None).slope is None  # type: ignore[union-attr] # 50 days


def test_the_same_weight_each_time_is_no_proof_that_it_did_not_change() -> None:
    readings = [Reading(ON + dt.timedelta(days=10 * at), 437, 7, (at,)) for at in range(12)]
    found = trend_of("Weight", "kg", readings, None)
    assert found is not None
    assert found.slope is not None
    assert (found.slope.low, found.slope.value, found.slope.high) == pytest.approx((-3.44, 0, 3.44), abs=0.01)


STEADY = "date | temperature | heart_rate\n" + "".join(
    f"2026-04-{day:02} | {37.4 + day % 3 / 10} | {34 + day % 5}\n" for day in range(1, 11)
)


def test_the_usual_value_is_that_of_the_readings_before() -> None:
    temperature, heart = of(STEADY + "2026-05-01 | 38.3 | 40").vitals
    assert temperature.usual is not None
    assert (temperature.usual.middle, temperature.usual.count) == (pytest.approx(37.5), 10)
    assert (temperature.beside_published, temperature.beside_usual) == ("within", "above")
    assert (heart.beside_published, heart.beside_usual, heart.asks) == ("within", "within", False)


@pytest.mark.parametrize(
    ("value", "published", "asks"),
    [(37.1, "below", False), (37.2, "within", False), (38.6, "within", False), (38.7, "above", False), (38.9, "above", True)],
)  # fmt: skip
def test_beside_the_published_range(value: float, published: str, asks: bool) -> None:
    found = vital_sign(reference.TEMPERATURE, [Sign(ON, value, False, 2)])
    assert found is not None
    assert (found.beside_published, found.asks, found.beside_usual) == (published, asks, "")


def test_four_readings_are_too_few_to_be_usual() -> None:
    def usual(readings: int) -> bool:
        rows = "".join(f"2026-04-{day:02} | 37.5\n" for day in range(1, readings + 2))
        (found,) = of("date | temperature\n" + rows).vitals
        return found.usual is not None

    assert (usual(4), usual(5)) == (False, True)


def test_readings_under_pain_relief_are_marked_and_not_usual() -> None:
    relief = "product | first_given | last_given\n phenylbutazone | 2026-04-01 | 2026-04-05"
    temperature, _ = of(STEADY + "2026-05-01 | 37.5 | 36", relief).vitals
    assert sum(sign.masked for sign in temperature.signs) == 10
    assert temperature.usual is None
    (masked,) = of("date | temperature\n 2026-04-03 | 37.3", relief).vitals
    assert masked.last.masked


@given(st.lists(st.floats(30, 44), min_size=5, max_size=40))
def test_the_middle_half_lies_around_the_middle(values: list[float]) -> None:
    signs = [Sign(ON + dt.timedelta(days=at), value, False, at) for at, value in enumerate([*values, 37.0])]
    found = vital_sign(reference.TEMPERATURE, signs)
    assert found is not None
    assert found.usual is not None
    assert min(values) <= found.usual.low <= found.usual.middle <= found.usual.high <= max(values)


def test_every_figure_says_where_it_comes_from() -> None:
    figures = [value for value in vars(reference).values() if isinstance(value, reference.Figure)]
    figures += [figure for vital in reference.VITALS for figure in (vital.low, vital.high, vital.ask_from)]
    assert len(figures) >= 12
    assert all(figure.source and figure.standing for figure in figures)
