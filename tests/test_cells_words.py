"""Limbs, choices, signs, pulses, yes and no, and the signs for nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.cells.choices import read_checked, read_choice, read_limbs_or_yes
from tracker.cells.limbs import label, read_limbs
from tracker.cells.pulses import read_pulse
from tracker.cells.signs import read_signs
from tracker.cells.text import fold, heading, says_nothing, typed
from tracker.sheets import ABSCESSES, CHANGES, WORK, Sheet
from tracker.terms import FEET, GAITS, SCALES, SIGNS, THAN_LAST, YES

NAMES = {
    "LF": [
        "LF",
        "lf",
        "L/F",
        "left front",
        "Left Fore",
        "near fore",
        "NF",
        "FL",
        "front left",
        "left front foot",
        "L.F",
        "near-fore",
        "N.F.",
        "L. fore",
        "lf.",
        "n/f",
        "LeftFront",
        "leftfore",
        "left forelimb",
        "near side fore",
        "L\u00a0F",
    ],
    "RF": ["RF", "fr", "right front", "off fore", "OF", "right fore leg"],
    "LH": ["LH", "left hind", "near hind", "NH", "left rear", "HL", "left back", "LR"],
    "RH": [
        "RH",
        "off hind",
        "OH",
        "right hind",
        "hind right",
        "RR",
        "o/h",
        "right hindlimb",
        "off-hind",
        "R. hind leg",
    ],
}


@pytest.mark.parametrize(("limb", "name"), [(limb, name) for limb, names in NAMES.items() for name in names])
def test_a_limb_in_all_its_names(limb: str, name: str) -> None:
    assert read_limbs(name) == (limb,)


@pytest.mark.parametrize(
    ("typed_text", "limbs"),
    [
        ("both fronts", ("LF", "RF")), ("fronts", ("LF", "RF")), ("LF+RF", ("LF", "RF")), ("LF, RF", ("LF", "RF")), ("RF & LF", ("LF", "RF")),
        ("LF/RF", ("LF", "RF")), ("left front and right hind", ("LF", "RH")), ("both hinds", ("LH", "RH")), ("hinds", ("LH", "RH")),
        ("LF RF", ("LF", "RF")), ("LF\u00a0RF LH", ("LF", "RF", "LH")), ("Lf-Rf", ("LF", "RF")), ("R/F, L/F", ("LF", "RF")), ("LF|RF", ("LF", "RF")),
        ("left and right front", ("LF", "RF")), ("L+R front", ("LF", "RF")), ("left & right fores", ("LF", "RF")), ("near/off hind", ("LH", "RH")),
        ("near fore + off hind", ("LF", "RH")), ("both forelimbs", ("LF", "RF")), ("fore feet", ("LF", "RF")), ("2 fronts", ("LF", "RF")),
        ("front pair", ("LF", "RF")), ("hindlimbs", ("LH", "RH")), ("LF\nRF", ("LF", "RF")), ("all 4 feet", FEET), ("all four", FEET), ("all", FEET), ("fronts, LH", ("LF", "RF", "LH")), ("not sure", ("not sure",)),
    ],
)  # fmt: skip
def test_several_limbs(typed_text: str, limbs: tuple[str, ...]) -> None:
    assert read_limbs(typed_text) == limbs


@pytest.mark.parametrize(
    ("typed_text", "limbs"),
    [
        ("left fore and hind", ("LF", "LH")), ("near fore and hind", ("LF", "LH")), ("LF and hind", ("LF", "LH")), ("left fore/hind", ("LF", "LH")),
        ("right front and hind", ("RF", "RH")), ("R fore+hind", ("RF", "RH")), ("fore & hind left", ("LF", "LH")), ("off hind & fore", ("RF", "RH")),
        ("left front and back", ("LF", "LH")), ("front and rear right", ("RF", "RH")), ("left fore and both hinds", ("LF", "LH", "RH")),
        ("front feet and LH", ("LF", "RF", "LH")), ("hindlimbs, left fore", ("LF", "LH", "RH")), ("left fore and hinds", ("LF", "LH", "RH")), ("fronts and LH", ("LF", "RF", "LH")), ("left fore foot and hind foot", ("LF", "LH")), ("left fore, right fore, hinds", FEET),
    ],
)  # fmt: skip
def test_a_side_named_once_is_the_side_of_both_ends(typed_text: str, limbs: tuple[str, ...]) -> None:
    assert read_limbs(typed_text) == limbs


@pytest.mark.parametrize(
    "text",
    ["LF, RF and hind", "LF, hind, RF", "hind and left fore", "fore and LH", "LF and front", "LF hind", "left hind and fore feet", "left front and hindlimbs", "LF, not sure", "L and fore",
     "left fore and hind, right fore and hind"],
)  # fmt: skip
def test_a_side_that_is_not_plain_is_left_out(text: str) -> None:
    assert read_limbs(text) is None


@pytest.mark.parametrize(
    "text",
    ["tail", "L", "left", "LF, tail", "5", "", "both", "left side", "LF or RF", "LF?", "off", "diagonal"],
)
def test_what_is_no_limb_is_not_read_as_one(text: str) -> None:
    assert read_limbs(text) is None


@given(st.sets(st.sampled_from(FEET), min_size=1))
def test_a_label_reads_back_as_the_same_limbs(limbs: set[str]) -> None:
    ordered = tuple(limb for limb in FEET if limb in limbs)
    assert read_limbs(label(ordered)) == ordered


@pytest.mark.parametrize(
    ("text", "word"), [("Walk", "walk"), ("walking", "walk"), ("tro", "trot"), (" TROT ", "trot")]
)
def test_a_choice_in_other_words(text: str, word: str) -> None:
    assert read_choice(text, GAITS).value == word


@pytest.mark.parametrize(
    ("text", "word"),
    [("A little better", "better"), ("much worse", "worse"), ("=", "same"), ("unchanged", "same"), ("better than last time", "better"),
     ("same as last time", "same"), ("Worse.", "worse")],
)  # fmt: skip
def test_how_people_compare(text: str, word: str) -> None:
    assert read_choice(text, THAN_LAST).value == word


@pytest.mark.parametrize(
    ("sheet", "key", "text", "word"),
    [
        (WORK, "what", "Hand walking", "hand-walk"), (WORK, "what", "handwalk", "hand-walk"),
        (WORK, "what", "walk in hand", "hand-walk"), (WORK, "what", "walked in hand", "hand-walk"),
        (WORK, "what", "led walk", "hand-walk"), (WORK, "what", "turned out", "turnout"),
        (WORK, "what", "turn-out", "turnout"), (WORK, "what", "cantering", "canter"),
        (WORK, "what", "walk under saddle", "ridden walk"), (WORK, "what", "walk", None), (WORK, "what", "riding", None),
        (CHANGES, "kind", "rain", "weather"), (CHANGES, "kind", "hoof boots", "boots"), (CHANGES, "kind", "hay", "feed"),
        (CHANGES, "kind", "stable", None),
        (ABSCESSES, "opened_at", "hair line", "hairline"), (ABSCESSES, "opened_at", "coronet band", "hairline"),
        (ABSCESSES, "opened_at", "heel bulb", "bulb"),
    ],
)  # fmt: skip
def test_what_people_write_of_work_changes_and_abscesses(
    sheet: Sheet, key: str, text: str, word: str | None
) -> None:
    """What is plain is read; a walk that may be led or ridden is not guessed."""
    assert read_choice(text, sheet.by_key[key].choices).value == word


def test_a_slip_in_a_choice_is_suggested_and_not_guessed() -> None:
    reading = read_choice("trott", GAITS)
    assert (reading.value, reading.slug, reading.words["suggestion"]) == (
        None,
        "choice-unknown",
        " Did you mean trot?",
    )


@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_is_read_as_declared_and_with_a_curly_apostrophe(sign: str) -> None:
    assert read_signs(sign).value == read_signs(sign.replace("'", "’").upper()).value == (sign,)


def test_signs_in_a_row_keep_the_known_and_tell_the_unknown() -> None:
    reading = read_signs("off feed; nail in foot, grumpy")
    assert reading.value == ("object or hole in foot", "off feed")
    assert reading.slug == "sign-unknown"


@pytest.mark.parametrize(
    ("text", "pulse"),
    [
        ("0", 0),
        (2.0, 2),
        ("none", 0),
        ("just felt", 1),
        ("raised", 2),
        ("Bounding", 3),
        ("two", 2),
        ("2 raised", 2),
        ("3 - bounding", 3),
        ("n/a", None),
    ],
)
def test_a_pulse_in_figures_and_words(text: object, pulse: int | None) -> None:
    """Common practice, no published source: there is no published scale of the pulse."""
    assert read_pulse(text).value == pulse


@pytest.mark.parametrize("text", ["0-5", "0–5", "0 - 5", "AAEP", "/5"])
def test_a_scale_with_another_dash_is_the_scale(text: str) -> None:
    assert read_choice(text, tuple(SCALES)).value == "0-5"


@pytest.mark.parametrize("text", [*sorted(YES), "Yes", "TRUE"])
def test_yes_in_all_its_signs(text: str) -> None:
    assert read_checked(text).value == "yes"
    assert read_limbs_or_yes(text, ()).value == ("yes",)


def test_who_checked_is_kept_as_typed() -> None:
    assert read_checked("Marta at the trim").value == "Marta at the trim"


@pytest.mark.parametrize(
    "text", ["", "  ", "n/a", "N/A", "-", "–", "—", "−", "--", "?", "none", "Nil", "n.a.", "\u00a0", "\u200b"]
)
def test_signs_for_nothing_say_nothing(text: str) -> None:
    assert says_nothing(text)


@pytest.mark.parametrize("value", [0.0, "0", "0.0", "no", "nothing special", False])
def test_a_nought_or_a_word_is_not_nothing(value: object) -> None:
    assert not says_nothing(value)


@pytest.mark.parametrize(
    ("text", "name", "unit"),
    [
        ("Toe length (in)", "toe length", "in"),
        ("  TOE\nLENGTH [mm] ", "toe length", "mm"),
        ("Date*", "date", ""),
        ("Trim every (weeks):", "trim every", "weeks"),
        ("toe_length", "toe length", ""),
        ("Toe\u00a0length\u2009(mm)\u200b", "toe length", "mm"),
    ],
)
def test_a_heading_without_its_unit_and_marks(text: str, name: str, unit: str) -> None:
    assert heading(text) == (name, unit)


def test_a_number_is_shown_as_it_was_typed() -> None:
    assert [typed(value) for value in (3.0, 3.5, True, "x ")] == ["3", "3.5", "TRUE", "x "]


@given(st.text())
def test_folding_twice_changes_nothing_more(text: str) -> None:
    assert fold(fold(text)) == fold(text)
