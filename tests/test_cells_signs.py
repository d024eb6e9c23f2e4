"""Signs and pulses as people write them: what is plain is read, what is denied is not, what is unsure is told.

The readings are common practice, no published source.
"""

from __future__ import annotations

import datetime as dt

import pytest
from books import checked
from hypothesis import given
from hypothesis import strategies as st

from tracker.cells.pulses import read_pulse
from tracker.cells.signs import ends_with_sign, read_signs
from tracker.problem import KINDS, LEFT_OUT, Problem
from tracker.terms import (
    HARD_TURN,
    NO_MOVE,
    NO_WEIGHT,
    OBJECT,
    PULSES,
    SIGNS,
    STILTED,
    SWEATING,
    SYNONYMS,
    WOUND,
)

OFF_FEED = "off feed"

MEANT = {
    NO_WEIGHT: [
        "no weight bearing", "No weight-bearing", "no weight on LF", "no weight on the left fore", "unable to bear weight", "can't bear weight",
        "cannot bear weight", "3 legged", "3-legged", "three legged lame", "three-legged lame", "on three legs", "nonweightbearing",
        "non weightbearing", "LF nwb", "won't bear weight on RH", "not bearing any weight", "wont bear wieght", "no longer bearing weight",
        "refuses to bear weight", "completely non weight bearing", "severe nwb", "clearly nwb", "won’t put any weight on it", "Will NOT bear weight!", "none weight bearing",
    ],
    NO_MOVE: ["won't walk", "refuses to move", "refuses to walk", "doesn't want to move", "unable to walk", "cannot move", "will not walk", "unwilling to move", "wont moove"],
    OBJECT: [
        "puncture wound", "nail", "nail in sole", "nail in LF", "nail in left hind", "hole in the hoof", "a nail in the frog", "stood on a nail",
        "Puncture", "object or hole in fot", "puncture in sole", "nail in near fore foot",
    ],
    WOUND: ["wound near joint", "wound near a jonit", "puncture wound near a joint"],
    SWEATING: ["sweting or trembling", "sweting", "trembles"],
    HARD_TURN: ["hard to tun", "very hard to turn"],
    OFF_FEED: ["off feeed", "off his feed", "won't eat", "not eating", "no longer eating"],
    "points a foot": ["points LF", "pointing the foot", "points foot"],
    "swelling up the leg": ["swelling up LH", "swollen left hind"],
    "lies down more": ["lying down more", "lies down mroe"],
}  # fmt: skip


@pytest.mark.parametrize(("sign", "text"), [(sign, text) for sign, texts in MEANT.items() for text in texts])
def test_a_sign_is_found_in_the_words_that_people_use(sign: str, text: str) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug in ("", "sign-near")) == ((sign,), True)


@pytest.mark.parametrize(
    "text",
    ["eating", "heating", "beating", "eats well", "weight bearing", "will bear weight", "bearing weight", "now weight bearing", "not nwb", "not off feed", "not off his feed",
     "no longer non weight bearing", "not non-weight-bearing", "moves", "will move", "not refusing to move", "no nail in sole", "no nail", "not three legged", "not sweating",
     "no sweating", "never points a foot", "not hard to turn", "easy to turn", "isn't off feed", "no heat", "no more", "not lame", "no problem bearing weight",
     "not fully weight bearing", "not really bearing full weight", "no trouble moving", "lies down less", "on feed", "no weight loss", "no lameness", "not at all", "lame", "LF",
     "no longer off feed", "not walked", "not moved today", "not sweating and trembling", "no heat and sweating", "no wound and nail", "no puncture wound", "without wound near a joint", "not much weight"],
)  # fmt: skip
def test_no_sentence_is_turned_into_its_opposite(text: str) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug) == ((), "sign-unknown")


@pytest.mark.parametrize("wording", [*SIGNS, *(word for word, sign in SYNONYMS.items() if sign in SIGNS)])
@pytest.mark.parametrize("denial", ["not", "no", "never", "isn't", "no longer"])
def test_a_denied_sign_is_never_that_sign(wording: str, denial: str) -> None:
    assert read_signs(wording).value == (SYNONYMS.get(wording, wording),)
    assert SYNONYMS.get(wording, wording) not in read_signs(f"{denial} {wording}").value


def test_what_is_read_stays_beside_what_was_not_understood() -> None:
    reading = read_signs("nail in sole, eating, no heat")
    assert (reading.value, reading.slug) == ((OBJECT,), "sign-unknown")


@pytest.mark.parametrize(
    ("text", "signs"),
    [
        ("not eating and sweating", (SWEATING, OFF_FEED)),
        ("no heat and won't bear weight", (NO_WEIGHT,)),
        ("won't move and trembling", (NO_MOVE, SWEATING)),
        ("sweating and no nail in foot", (SWEATING,)),
        ("no heat. nail in sole", (OBJECT,)),
        ("Won't move & trembling AND off feed", (NO_MOVE, SWEATING, OFF_FEED)),
        ("no sweating & trembling", ()),
    ],
)
def test_a_denial_reaches_over_an_and_unless_it_belongs_to_a_sign(text: str, signs: tuple[str, ...]) -> None:
    assert read_signs(text).value == signs


@pytest.mark.parametrize(
    ("text", "signs"),
    [
        ("won't move or bear weight", (NO_WEIGHT, NO_MOVE)), ("won't walk or trot", (NO_MOVE,)), ("won't trot or walk", (NO_MOVE,)), ("can't bear weight or move", (NO_WEIGHT, NO_MOVE)),
        ("not eating or drinking", (OFF_FEED,)), ("refuses to walk or trot", (NO_MOVE,)), ("doesn't want to move or eat", (NO_MOVE, OFF_FEED)), ("horse won't walk or trot", (NO_MOVE,)),
        ("won’t walk or trot, sweating", (NO_MOVE, SWEATING)), ("no longer moving or eating", (NO_MOVE, OFF_FEED)),
        ("won't move or won't bear weight", (NO_WEIGHT, NO_MOVE)), ("can't walk or bear any weight on LF", (NO_WEIGHT, NO_MOVE)), ("hard to turn or off feed", (HARD_TURN, OFF_FEED)),
        ("nail or puncture", (OBJECT,)),
    ],
)  # fmt: skip
def test_a_denial_is_carried_over_an_or(text: str, signs: tuple[str, ...]) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug) == (signs, "sign-near")


@pytest.mark.parametrize(
    "text", ["no heat or swelling", "not sweating or trembling", "no wound or nail", "not nwb or off feed", "never sweating or nwb", "won't trot or canter", "eating or off feed"]
)  # fmt: skip
def test_what_an_or_denies_twice_is_no_sign(text: str) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug) == ((), "sign-unknown")


@pytest.mark.parametrize(
    ("text", "sign"),
    [("wound", WOUND), ("Wound near", WOUND), ("object", OBJECT), ("swelling", "swelling up the leg"), ("lies down", "lies down more"), ("short stilted", STILTED), ("hard to", HARD_TURN)],
)  # fmt: skip
def test_the_first_whole_words_of_one_sign_are_read_with_a_doubt(text: str, sign: str) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug, reading.words) == ((sign,), "sign-near", {"read": sign})


@pytest.mark.parametrize(
    "text", ["obj", "off", "hard", "short", "swell", "wou", "sho", "won't", "Off.", "lies down m", "s"]
)
def test_no_other_beginning_is_a_sign(text: str) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug) == ((), "sign-unknown")


@pytest.mark.parametrize(
    "text", ["wound, healed", "nwb - yesterday", "sweating - no", "sweating, no", "off feed; not now", "nwb, last week", "wound near a joint - healed"]
)  # fmt: skip
def test_a_sign_that_is_taken_back_behind_itself_is_told_and_not_read(text: str) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug) == ((), "sign-unknown")


@pytest.mark.parametrize(
    ("text", "signs"),
    [
        ("nail in foot, removed", (OBJECT,)), ("nail, gone", (OBJECT,)), ("sweating, no heat", (SWEATING,)), ("nwb - better", (NO_WEIGHT,)),
        ("nwb, wound, healed", (NO_WEIGHT,)), ("no, nwb", (NO_WEIGHT,)),
    ],
)  # fmt: skip
def test_what_was_pulled_out_or_is_better_still_warns(text: str, signs: tuple[str, ...]) -> None:
    reading = read_signs(text)
    assert (reading.value, reading.slug) == (signs, "sign-unknown")


@pytest.mark.parametrize("mark", ["´", "`", "’", "‘", "‛", "ˊ", "ˋ", "′"])
def test_an_accent_typed_for_the_apostrophe_is_one(mark: str) -> None:
    """U+00B4 and the backtick stand beside the apostrophe on many keyboards; NFKC takes the first apart."""
    assert read_signs(f"won{mark}t bear weight").value == (NO_WEIGHT,)
    assert read_signs(f"WON{mark}T MOVE").value == (NO_MOVE,)
    assert read_pulse(f"can{mark}t feel").value == 0


@pytest.mark.parametrize(
    ("text", "ends"), [("2/5 lost nail", True), ("was NWB.", True), ("2/5 (isn’t sweating)", True), ("thumbnail", False), ("nail, lost", False), ("", False)]
)  # fmt: skip
def test_whether_a_text_ends_with_the_words_of_a_sign(text: str, ends: bool) -> None:
    assert ends_with_sign(text) == ends


@given(st.text())
def test_any_text_among_the_signs_is_read_or_told(text: str) -> None:
    reading = read_signs(text)
    assert isinstance(reading.value, tuple)


def problem_of(heading: str, text: str) -> Problem:
    (problem,) = checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness=f"Date | Score | {heading}\n@2026-03-04 | 2/5 | {text}",
    ).problems
    return problem


def test_a_sign_that_was_not_understood_is_told_in_words() -> None:
    problem = problem_of("Signs", "not off feed")
    assert (problem.kind, problem.severity, problem.found) == ("sign-unknown", "doubt", "not off feed")
    assert problem.message == KINDS["sign-unknown"].message
    assert "not understood as a sign" in problem.message


PLAIN_PULSES = [
    ("0", 0), ("2", 2), (2.0, 2), ("two", 2), ("2 raised", 2), ("3 - bounding", 3), ("3/3", 3), ("2 of 3", 2), ("0/3", 0), ("3!", 3), ("2 strong", 2),
    ("0 normal", 0), ("1, not bounding", 1), ("raised pulse", 2), ("bounding pulse", 3), ("no pulse", 0), ("not felt", 0), ("increased", 2), ("faint", 1), ("Bounding", 3),
    ("2.0", 2), ("(3)", 3), ("1, not 2", 1), ("2 not 3", 2),
]  # fmt: skip


@pytest.mark.parametrize(("text", "pulse"), PLAIN_PULSES)
def test_a_plain_pulse_bears_no_doubt(text: object, pulse: int) -> None:
    reading = read_pulse(text)
    assert (reading.value, reading.slug) == (pulse, "")


UNSURE_PULSES = [
    ("2-3", 3), ("2–3", 3), ("2 to 3", 3), ("2/3", 3), ("1/2", 2), ("1-2", 2), ("0 or 1", 1), (2.5, 3), ("2,5", 3), ("1.5", 2), ("0.5", 1), ("one and a half", 2),
    ("strong", 3), ("very raised", 3), ("slightly raised", 2), ("0 (bounding)", 3), ("3 not sure", 3), ("3?", 3), ("2 maybe", 2), ("0 raised", 2), ("3 none", 3),
    ("normal", 1), ("2 not raised", 2), ("not raised", 1), ("not very raised", 1), ("no longer raised", 1), ("not normal", 3), ("2+", 3), ("1+", 2), ("3+", 3), ("2-", 2), ("raised?", 2), ("bounding, LF only", 3),
    ("3 at 60 bpm", 3), (dt.datetime(2026, 3, 2), 3), (dt.datetime(2026, 2, 1), 2),
    # Over other words a denial is only possible: the word itself may be meant, too.
    ("no heat but raised", 2), ("no change still raised", 2), ("no doubt raised", 2), ("not gone still raised", 2), ("no better bounding", 3), ("not at all raised", 2),
    ("no heat but normal", 1), ("no change 1", 1), ("no 2", 2), ("No. 2", 2),
    (">1", 3), (">= 1", 3), ("≥1", 3), ("more than 1", 3), ("1 or more", 3), ("one or more", 3), ("at least 1", 3), ("1 at least", 3), ("over 1", 3), ("1 and up", 3), ("1 plus", 2),
    ("stronger than 1", 3), ("just felt or more", 3), ("more than just felt", 3), ("raised or stronger", 3), ("higher than normal", 3), ("above normal", 3), ("no less than 1", 3), (">3", 3),
    ("not 0", 3), ("not zero", 3), ("isn't 0", 3), ("not 1", 3), ("not 2", 3), ("never 0", 3),
    ("not more than 1", 1), ("no more than 1", 1), ("no more than normal", 1),
]  # fmt: skip


@pytest.mark.parametrize(("text", "pulse"), UNSURE_PULSES)
def test_an_unsure_pulse_counts_as_the_strongest_that_it_can_mean(text: object, pulse: int) -> None:
    reading = read_pulse(text)
    assert (reading.value, reading.slug) == (pulse, "pulse-unsure")
    assert reading.words == {"read": f"{pulse} {PULSES[pulse]}"}


@pytest.mark.parametrize(
    "text",
    [
        "4",
        "48",
        "4/5",
        "2/5",
        "sore",
        "yes",
        "not bounding",
        "not 3",
        "more than 4",
        "over 40",
        "not absent",
        -1.0,
        "same as before",
        "2026",
        dt.datetime(2026, 3, 12),
        True,
        "…",
    ],
)
def test_what_is_no_step_is_left_out_and_says_what_a_raised_pulse_calls_for(text: object) -> None:
    reading = read_pulse(text)
    assert (reading.value, reading.slug) == (None, "pulse-unknown")
    assert "ring the vet" in KINDS["pulse-unknown"].hint


def test_pulses_that_are_left_out_or_unsure_are_told_in_words() -> None:
    unsure, unknown = problem_of("Pulse LF", "2-3"), problem_of("Pulse LF", "4")
    assert (unsure.kind, unsure.severity, unsure.found) == ("pulse-unsure", "doubt", "2-3")
    assert unsure.message.endswith("3 bounding.")
    assert (unknown.kind, unknown.severity, unknown.found) == ("pulse-unknown", "doubt", "4")
    assert unknown.message.endswith(LEFT_OUT)
    assert unsure.allowed == unknown.allowed == "0 none, 1 just felt, 2 raised or 3 bounding"


@given(
    st.one_of(
        st.text(), st.from_regex(r"[0-3] ?(?:[-/+?]|not|raised|bounding|none)* ?[0-9]?", fullmatch=True)
    )
)
def test_any_text_as_a_pulse_is_a_step_or_nothing(text: str) -> None:
    assert read_pulse(text).value in (None, 0.0, 1.0, 2.0, 3.0)
