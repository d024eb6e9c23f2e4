"""Numbers, lengths and scores as typed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker import sheets
from tracker.cells.figures import exact, or_more, with_fractions
from tracker.cells.numbers import canonical, read_quantity, read_span, unit_named, units_for
from tracker.cells.scores import Score, leading_score, read_score, scale_named, trailing_score


@pytest.mark.parametrize(
    ("typed", "number", "unit"),
    [
        ("3 1/2", 3.5, ""), ("3½", 3.5, ""), ("3 ½", 3.5, ""), ("3-1/2", 3.5, ""), ("3 - 1/2 in", 3.5, "in"), ("½", 0.5, ""),
        ("3⅜ in", 3.375, "in"), ("3 1⁄2", 3.5, ""), ("3.5", 3.5, ""), ("3,5", 3.5, ""), ('3.5"', 3.5, '"'), ("3.5″", 3.5, '"'),
        ("3 1/2 in", 3.5, "in"), ("89", 89, ""), ("89mm", 89, "mm"), ("89 MM", 89, "mm"), ("8.9 cm", 8.9, "cm"),
        ("89\u00a0mm", 89, "mm"), ("52°", 52, "°"), ("−2", -2, ""), (".5", 0.5, ""),
        ("3 and 1/2 in", 3.5, "in"), ("3–1/2", 3.5, ""), ("37·9", 37.9, ""), ("52º", 52, "°"), ("52˚", 52, "°"), ("3\u202f1/2\u00a0in", 3.5, "in"),
        ("2-3/4", 2.75, ""), ("3½”", 3.5, '"'), ("1¹⁄₄", 1.25, ""), ("1¹/₄ in", 1.25, "in"), ("1¹/4", 1.25, ""), ("¹⁄₂", 0.5, ""), ("12¹³⁄₁₆", 12.8125, ""),
    ],
)  # fmt: skip
def test_a_number_and_its_unit(typed: str, number: float, unit: str) -> None:
    quantity = read_quantity(typed)
    assert quantity is not None
    assert (quantity.number, quantity.unit) == (pytest.approx(number), unit)


@pytest.mark.parametrize(
    ("typed", "ends", "unit"),
    [
        ("89-92", (89, 92), ""), ("85 to 90 mm", (85, 90), "mm"), ("50–52°", (50, 52), "°"), ("3-3 1/2 in", (3, 3.5), "in"), ("3½-3¾", (3.5, 3.75), ""),
        ("85mm - 90mm", (85, 90), "mm"), ("37,9-38,1", (37.9, 38.1), ""), ("8 or 9 cm", (8, 9), "cm"),
    ],
)  # fmt: skip
def test_a_range_is_its_middle_with_both_ends(typed: str, ends: tuple[float, float], unit: str) -> None:
    quantity = read_quantity(typed)
    assert quantity is not None
    assert (quantity.number, quantity.ends, quantity.unit) == (pytest.approx(sum(ends) / 2), ends, unit)


@given(st.integers(0, 300), st.integers(0, 300))
def test_a_range_counts_upwards_only(low: int, high: int) -> None:
    quantity = read_quantity(f"{low}-{high} mm")
    assert (None if quantity is None else quantity.number) == ((low + high) / 2 if low < high else None)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "abc",
        "-",
        "about 50",
        "mm 89",
        "9 x 4",
        "92-89",
        "1.234,5",
        "1-2-3",
        "9" * 400 + "/1",
        "1 1/" + "9" * 5000,
        "9" * 400,
        "1/0",
        "8²",
        "89 m²",
        "8₂",
    ],
)
def test_what_is_no_number_is_not_read_as_one(typed: str) -> None:
    assert read_quantity(typed) is None


@pytest.mark.parametrize(
    ("typed", "halved", "alone"),
    [
        ("1/2", True, True), ("3/4 in", True, True), ("63/64", True, True), ("3 1/2", True, False), ("1¹⁄₄", True, False), ("3½", True, False),
        ("45/50", False, True), ("89/90", False, True), ("5/4", False, True), ("4/4", False, True), ("3 2/3", False, False), ("3 0/4", False, False),
    ],
)  # fmt: skip
def test_a_fraction_is_kept_as_typed_and_tells_whether_it_halves_one_whole(
    typed: str, halved: bool, alone: bool
) -> None:
    quantity = read_quantity(typed)
    assert quantity is not None
    assert [(part.halved, part.alone) for part in quantity.fractions] == [(halved, alone)]


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [("1h30", 90), ("1 h 30", 90), ("1h05m", 65), ("2 hrs 15 min", 135), ("1 hour and 30 minutes", 90), ("0h45", 45),
     ("1h75", None), ("1h", None), ("30", None), ("1h30 x", None), ("1" * 200 + "h30", None)],
)  # fmt: skip
def test_hours_and_minutes_come_to_minutes(typed: str, minutes: float | None) -> None:
    span = read_span(typed)
    assert (span and (span.number, span.unit)) == (minutes and (minutes, "minutes"))


@pytest.mark.parametrize(
    ("typed", "spelled"),
    [
        ("three and a half inches", "3 1/2 inches"), ("Three and a Half in", "3 1/2 in"), ("half an inch", "1/2 inch"), ("a quarter inch", "1/4 inch"),
        ("three quarters of an inch", "3/4 inch"), ("one and three quarters", "1 3/4"), ("3 half", "3 half"), ("2 quarters", "2 quarters"),
        ("half an hour", "1/2 hour"), ("nine mm", "9 mm"), ("89 mm", "89 mm"),
    ],
)  # fmt: skip
def test_numbers_in_words_keep_their_fractions(typed: str, spelled: str) -> None:
    assert with_fractions(typed) == spelled


@pytest.mark.parametrize(
    ("typed", "plain"),
    [("89mm (est)", "89mm"), ("89 est.", "89"), ("est. 89", "89"), ("89 (approx.)", "89"), ("89 (?)", "89"), ("roughly 89", "89"), ("89 mm or so", "89 mm"),
     ("89 west", "89 west"), ("89 (left)", "89 (left)")],
)  # fmt: skip
def test_a_mark_that_a_number_is_not_exact_is_taken_off(typed: str, plain: str) -> None:
    assert exact(typed) == plain


@pytest.mark.parametrize(
    ("typed", "plain"),
    [("89+", "89"), ("89+ mm", "89 mm"), ("89 mm+", "89 mm"), (">89", "89"), ("≥ 89", "89"), ("at least 89", "89"), ('3.5"+', '3.5"'), ("89+5", "89+5"), ("<89", "<89")],
)  # fmt: skip
def test_a_mark_that_says_or_more_is_taken_off(typed: str, plain: str) -> None:
    assert or_more(typed) == plain


def test_a_comma_parts_thousands_only_where_asked() -> None:
    with_thousands, without = read_quantity("1,100 lb", thousands=True), read_quantity("1,100 lb")
    assert with_thousands is not None
    assert without is not None
    assert (with_thousands.number, without.number) == (1100, 1.1)


@pytest.mark.parametrize(
    ("holds", "typed", "number", "expected"),
    [
        (sheets.LENGTH, "in", 1, 25.4), (sheets.LENGTH, '"', 4, 101.6), (sheets.LENGTH, "cm", 8.9, 89), (sheets.LENGTH, "m", 1.8, 1800),
        (sheets.TEMPERATURE, "F", 100.4, 38), (sheets.TEMPERATURE, "°C", 38, 38), (sheets.WEIGHT, "lb", 1000, 453.59237),
    ],
)  # fmt: skip
def test_units_come_to_the_canonical_one(holds: str, typed: str, number: float, expected: float) -> None:
    """Exact by definition: the inch and the pound (international agreement, 1959), the Fahrenheit scale."""
    unit = unit_named(typed, units_for(holds))
    assert unit is not None
    assert canonical(number, unit) == pytest.approx(expected, abs=1e-9)


@given(
    st.integers(0, 200), st.sampled_from([(1, 2), (1, 4), (3, 4), (1, 8), (3, 8), (5, 8), (7, 8), (1, 16)])
)
def test_whole_and_fraction_add_up(whole: int, part: tuple[int, int]) -> None:
    quantity = read_quantity(f"{whole} {part[0]}/{part[1]} in")
    assert quantity is not None
    assert quantity.number == pytest.approx(whole + part[0] / part[1])


@given(st.text(max_size=20))
def test_no_text_makes_the_readers_fail(text: str) -> None:
    quantity, score = read_quantity(text), read_score(text)
    assert quantity is None or math.isfinite(quantity.number)
    assert score is None or score.low >= 0


@pytest.mark.parametrize(
    ("typed", "low", "high", "scale", "plus"),
    [
        (2.0, 2, None, "", False), ("2", 2, None, "", False), ("2/5", 2, None, "0-5", False), ("2 / 5", 2, None, "0-5", False),
        ("7/10", 7, None, "0-10", False), ("7 out of 10", 7, None, "0-10", False), ("2 of 5", 2, None, "0-5", False),
        ("2-3", 2, 3, "", False), ("2–3", 2, 3, "", False), ("2 to 3", 2, 3, "", False), ("2-3/5", 2, 3, "0-5", False),
        ("2.5", 2.5, None, "", False), ("2½", 2.5, None, "", False), ("2 1/2", 2.5, None, "", False), ("1¹⁄₂", 1.5, None, "", False), ("2,5", 2.5, None, "", False),
        ("AAEP 2", 2, None, "0-5", False), ("2 AAEP", 2, None, "0-5", False), ("grade 2", 2, None, "", False), ("Grade: 2", 2, None, "", False),
        ("three", 3, None, "", False), ("grade two", 2, None, "", False), ("three out of five", 3, None, "0-5", False), ("Two and a half", 2.5, None, "", False),
        ("two to three", 2, 3, "", False), ("half", 0.5, None, "", False), ("zero", 0, None, "", False), ("2 or 3", 2, 3, "", False), ("2 (out of 5)", 2, None, "0-5", False),
        ("1/5-2/5", 1, 2, "0-5", False), ("1/5 to 2/5", 1, 2, "0-5", False), ("2 (AAEP)", 2, None, "0-5", False), ("seven of ten", 7, None, "0-10", False),
        ("two plus", 2, None, "", True), ("½", 0.5, None, "", False), ("2½/5", 2.5, None, "0-5", False), ("2\u00a0/\u00a05", 2, None, "0-5", False),
        ("5.", 5, None, "", False), ("2/5.", 2, None, "0-5", False), ("2 (AAEP).", 2, None, "0-5", False), ("2-3.", 2, 3, "", False), ("2+", 2, None, "", True), ("0.0", 0, None, "", False), (0.0, 0, None, "", False),
    ],
)  # fmt: skip
def test_a_score_with_its_scale(
    typed: object, low: float, high: float | None, scale: str, plus: bool
) -> None:
    assert read_score(typed) == Score(low, high, scale, plus)


@pytest.mark.parametrize(
    "typed",
    [
        "lame",
        "sound",
        "slight",
        "mild",
        "moderate",
        "severe",
        "the sore one",
        "3/4",
        "1/2",
        "1/5-2/10",
        "3-2",
        "-1",
        "2 mm",
        "5..",
        ".",
        "?",
    ],
)
def test_what_is_no_score_is_not_read_as_one(typed: str) -> None:
    assert read_score(typed) is None


@pytest.mark.parametrize(
    ("text", "grade", "behind"),
    [
        ("5/5 nwb", 5, "nwb"), ("5 (three-legged)", 5, "three-legged)"), ("4/5, won’t move", 4, "won’t move"), ("2.5 better", 2.5, "better"), ("4-5 nwb", 4.5, "nwb"),
        ("AAEP 2 lost nail", 2, "lost nail"), ("2 out of 5: nail", 2, "nail"), ("2? nwb", 2, "nwb"), ("4 - nwb", 4, "nwb"), ("3 legged", None, "3 legged"), ("3-legged", None, "3-legged"),
        ("nwb", None, "nwb"), ("lame 5/5", None, "lame 5/5"), ("", None, ""),
    ],
)  # fmt: skip
def test_a_score_with_words_behind_it(text: str, grade: float | None, behind: str) -> None:
    score, rest = leading_score(text)
    assert (score and score.grade, rest) == (grade, behind)


@pytest.mark.parametrize(
    ("text", "grade", "before"),
    [("nwb 5/5", 5, "nwb"), ("nail (3)", 3, "nail"), ("nwb, 2 of 5.", 2, "nwb"), ("nwb", None, "nwb"), ("5", None, "5"), ("toe 89 mm", None, "toe 89 mm")],
)  # fmt: skip
def test_a_score_with_words_before_it(text: str, grade: float | None, before: str) -> None:
    score, rest = trailing_score(text)
    assert (score and score.grade, rest) == (grade, before)


@pytest.mark.parametrize(
    ("text", "scale"),
    [("0-10", "0-10"), ("0 – 5", "0-5"), ("/10", "0-10"), ("out of 5", "0-5"), ("of 10", "0-10"), ("AAEP", "0-5"), ("AAEP 0-5", "0-5"),
     ("0 to 10", "0-10"), ("1-9", ""), ("0-3", ""), ("", ""), ("LF", "")],
)  # fmt: skip
def test_the_scale_in_a_heading(text: str, scale: str) -> None:
    assert scale_named(text) == scale
