"""When each warning fires, when it does not, and what it names."""

from __future__ import annotations

import datetime as dt

import pytest
from books import checked

from tracker.derive.referral.firing import Firing
from tracker.derive.referral.looked_back import firings_on
from tracker.derive.referral.worsening import in_ten

HORSES = "Horse | Usual scale | Front shoes off | Trim every\nBramble | 0-5 | @2026-01-05 | 5"
TRIMMED = "Date | Purpose\n@2026-05-25 | trim"


def warnings(
    on: str = "2026-06-10", horses: str = HORSES, visits: str = TRIMMED, **sheets: str
) -> list[Firing]:
    """The warnings of Bramble as of a day."""
    day = dt.date.fromisoformat(on)
    tables = checked(Horses=horses, Visits=visits, **sheets).tables
    return firings_on(tables, "Bramble", day, dt.date(2026, 6, 30))


def rules(on: str = "2026-06-10", **sheets: str) -> list[str]:
    """Only the slugs."""
    return [firing.rule for firing in warnings(on, **sheets)]


def note(*lines: str) -> str:
    """A Soundness sheet of these rows."""
    return "\n".join(
        ["Date | Gait | Limb | Scale | Score | Than last time | Pulse LF | Pulse RF | Signs", *lines]
    )


def test_a_quiet_record_gives_no_warning() -> None:
    assert rules(Soundness=note("@2026-06-09 | trot | LF | | 1 | same")) == []


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("@2026-06-09 | walk | LF | 0-5 | 5", "not-bearing-weight"),
        ("@2026-06-09 | walk | LF | 0-10 | 10", "not-bearing-weight"),
        ("@2026-06-09 | | LF | | | | | | won't bear weight", "not-bearing-weight"),
        ("@2026-06-09 | | LF | | | | | | won't move", "not-bearing-weight"),
        ("@2026-06-09 | | LF | | | | | | sweating or trembling", "not-bearing-weight"),
        ("@2026-06-09 | | | | | | 2 | 3 | hard to turn", "raised-pulses-and-stiff"),
        ("@2026-06-09 | trot | both fronts | 0-5 | 2 | | 2 | 2", "raised-pulses-and-stiff"),
        ("@2026-06-09 | trot | LF | 0-5 | 4", "lame-at-walk"),
        ("@2026-06-09 | trot | LF | 0-5 | 4.5", "lame-at-walk"),
        ("@2026-06-09 | walk | LF | 0-10 | 7", "lame-at-walk"),
    ],
)
def test_a_sign_or_grade_fires_its_rule_alone(line: str, rule: str) -> None:
    """Thresholds as in Devereux, The Veterinary Care of the Horse, pp. 146-147, and the AAEP lameness scale."""
    assert rules(Soundness=note(line)) == [rule]


@pytest.mark.parametrize(
    "line",
    [
        "@2026-06-09 | trot | LF | 0-5 | 3.5",
        "@2026-06-09 | trot | LF | 0-10 | 5",
        "@2026-06-09 | trot | LF | 0-10 | 9",
        "@2026-06-09 | walk | LF | 0-10 | 6.5",
        "@2026-06-09 | | | | | | 3 | 1",
        "@2026-06-09 | trot | both fronts | 0-5 | 2 | | 2 | 1",
    ],
)
def test_just_below_a_threshold_nothing_fires(line: str) -> None:
    assert rules(Soundness=note(line)) == []


def test_pulses_and_stiffness_of_one_day_count_together_and_of_two_days_do_not() -> None:
    pulses, stiff = "@2026-06-09 | | | | | | 2 | 2 |", "@{} | | | | | | | | short stilted walk"
    assert rules(Soundness=note(pulses, stiff.format("2026-06-09"))) == ["raised-pulses-and-stiff"]
    assert rules(Soundness=note(pulses, stiff.format("2026-06-08"))) == ["raised-pulses-or-stiff"]


def test_a_red_flag_names_its_cells_its_day_and_its_source() -> None:
    (firing, _) = warnings(
        Soundness=note(
            "@2026-06-08 | walk | LF | | 5", "@2026-06-09 | walk | LF | | 5 | | | | won't bear weight"
        )
    )
    assert (firing.urgency, firing.since) == ("now", dt.date(2026, 6, 8))
    assert firing.cells == ("Soundness!E2", "Soundness!I3", "Soundness!E3")
    assert (
        firing.because
        == "Recorded on 9 Jun 2026: won't bear weight and grade 5 on the 0-5 scale (LF); 2 notes in all."
    )
    assert "Devereux" in firing.source


@pytest.mark.parametrize(
    "line",
    [
        "@2026-06-09 | walk | LF | | 5",
        "@2026-06-09 | walk | LF | | 4",
        "@2026-06-09 | | | | | | | | wound near a joint",
    ],
)
def test_pain_relief_quiets_no_red_flag(line: str) -> None:
    relief = "Product | First given | Given by order of\nphenylbutazone | @2026-06-08 | a vet"
    assert rules(Soundness=note(line), Pain_relief=relief) == rules(Soundness=note(line)) != []


@pytest.mark.parametrize("date", ["soon", "31 Feb 2026", "#N/A", ""])
def test_a_sign_in_a_row_that_was_set_aside_for_its_date_still_warns(date: str) -> None:
    (firing,) = warnings(Soundness=note(f"{date} | | LF | | | | | | won't bear weight"))
    assert (firing.rule, firing.since) == ("not-bearing-weight", None)
    assert "on a date that is unclear" in firing.because


def test_a_sign_with_a_date_still_to_come_warns_at_once() -> None:
    (firing,) = warnings(Soundness=note("9 Jun 2062 | | LF | | | | | | won't bear weight"))
    assert (firing.rule, firing.since) == ("not-bearing-weight", None)
    assert "on a date that is unclear" in firing.because


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("@2026-06-09 | walk | LF | 0-5 | 10", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | 0-5 | 6", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | 0-5 | 5.5", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | | 6/5", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | | 5.5/5", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | 0-10 | 11", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | 0-5 | -5", ["not-bearing-weight"]),
        ("@2026-06-09 | trot | LF | 0-5 | -1", []),
        ("@2026-06-09 | walk | LF | | 8/10", ["lame-at-walk"]),
    ],
)
def test_a_score_beyond_its_scale_warns_as_perhaps_its_top(line: str, expected: list[str]) -> None:
    assert rules(Soundness=note(line)) == expected


@pytest.mark.parametrize(
    "typed", ["wont bear wieght", "not bearing any weight", "object or hole in fot", "sweting or trembling"]
)
def test_a_slip_in_a_sign_still_warns(typed: str) -> None:
    assert warnings(Soundness=note(f"@2026-06-09 | | LF | | | | | | {typed}"))[0].urgency == "now"


def test_a_vet_on_the_day_or_later_ends_it_and_an_earlier_one_does_not() -> None:
    lame = note("@2026-06-09 | walk | LF | | 5")
    assert (
        rules(Soundness=lame, visits="Date | Role | Purpose\n@2026-06-09 | vet | \n@2026-05-25 | | trim")
        == []
    )
    assert rules(
        Soundness=lame, visits="Date | Role | Purpose\n@2026-06-08 | vet | \n@2026-05-25 | | trim"
    ) == ["not-bearing-weight"]


def test_a_trimmers_visit_ends_no_red_flag() -> None:
    visits = "Date | Role | Purpose\n@2026-06-10 | trimmer | trim"
    assert rules(Soundness=note("@2026-06-09 | walk | LF | | 5"), visits=visits) == ["not-bearing-weight"]


def test_what_is_recorded_after_the_day_asked_for_does_not_count() -> None:
    assert rules("2026-06-08", Soundness=note("@2026-06-09 | walk | LF | | 5")) == []


@pytest.mark.parametrize(("on", "stands"), [("2026-06-23", True), ("2026-06-24", False)])
def test_a_red_flag_without_a_vet_stands_for_two_weeks(on: str, stands: bool) -> None:
    assert ("not-bearing-weight" in rules(on, Soundness=note("@2026-06-09 | walk | LF | | 5"))) is stands


def abscess(*lines: str) -> str:
    """An Abscesses sheet of these rows."""
    return "\n".join(["Foot | First seen | Opened | Comfortable again | Vet seen", *lines])


def test_a_suspected_abscess_is_for_today_until_a_vet_has_seen_it_or_it_is_over() -> None:
    """Devereux, The Veterinary Care of the Horse, p. 212: vet or farrier at once."""
    assert rules(Abscesses=abscess("LF | @2026-06-10")) == ["abscess-suspected"]
    assert rules(Abscesses=abscess("LF | @2026-06-10 | | | @2026-06-10")) == []
    assert rules(Abscesses=abscess("LF | @2026-06-01 | @2026-06-03 | @2026-06-06")) == []


def test_an_abscess_row_that_was_set_aside_still_warns() -> None:
    (firing,) = warnings(Abscesses=abscess("LF | soon"))
    assert (firing.rule, firing.since, firing.cells) == ("abscess-suspected", None, ("Abscesses!B2",))


NAIL = ["object-or-hole-in-foot", "wound-and-tetanus-not-known"]
SEEN_BY_VET = abscess("LF | @2026-06-07 | | | @2026-06-07")


@pytest.mark.parametrize(
    ("lines", "fires"),
    [
        ([], True),
        (["@2026-06-09 | walk | LF | | 3 | same"], True),
        (["@2026-06-09 | walk | LF | | 3 | better"], False),
        (["@2026-06-09 | walk | LF | | 2 | better", "@2026-06-10 | walk | LF | | 2 | worse"], True),
        (["@2026-06-07 | walk | LF | | 3", "@2026-06-10 | walk | LF | | 2"], False),
        (["@2026-06-07 | walk | LF | | 3", "@2026-06-10 | walk | LF | | 2.5"], True),
        (["@2026-06-07 | walk | LF | | 3", "@2026-06-10 | trot | LF | | 2"], True),
        (["@2026-06-09 | walk | RF | | 1 | better"], True),
        (["@2026-06-07 | walk | LF | 0-10 | 6", "@2026-06-10 | walk | LF | 0-10 | 5"], True),
        (["@2026-06-07 | walk | LF | 0-10 | 6", "@2026-06-10 | walk | LF | 0-10 | 4"], False),
    ],
)
def test_not_clearly_better_after_two_days(lines: list[str], fires: bool) -> None:
    """Devereux p. 147 says a day or two; 48 h itself: common practice, no published source."""
    assert (
        "abscess-not-better-48-h" in rules("2026-06-10", Abscesses=SEEN_BY_VET, Soundness=note(*lines))
    ) is fires


def test_better_under_pain_relief_is_not_better() -> None:
    relief = "Product | First given\nphenylbutazone | @2026-06-08"
    better = note("@2026-06-09 | walk | LF | | 1 | better")
    assert rules("2026-06-10", Abscesses=SEEN_BY_VET, Soundness=better, Pain_relief=relief) == [
        "abscess-not-better-48-h"
    ]


def test_the_first_two_days_are_waited_for_with_a_reminder_on_the_second() -> None:
    """The reminder after 24 h: common practice, no published source."""
    assert rules("2026-06-07", Abscesses=SEEN_BY_VET) == []
    assert rules("2026-06-08", Abscesses=SEEN_BY_VET) == ["abscess-look-again-24-h"]
    assert rules("2026-06-09", Abscesses=SEEN_BY_VET) == ["abscess-not-better-48-h"]
    better = note("@2026-06-08 | walk | LF | | 3 | better")
    assert rules("2026-06-08", Abscesses=SEEN_BY_VET, Soundness=better) == []


@pytest.mark.parametrize(("on", "fires"), [("2026-06-21", False), ("2026-06-22", True)])
def test_open_more_than_fourteen_days(on: str, fires: bool) -> None:
    assert ("abscess-open-14-days" in rules(on, Abscesses=SEEN_BY_VET)) is fires


def test_a_second_abscess_in_one_foot_within_a_year() -> None:
    first, again = "LF | @2025-08-01 | | @2025-08-09", "LF | @2026-05-20 | | @2026-05-26"
    assert rules(Abscesses=abscess(first, again)) == ["abscess-again-same-foot"]
    assert rules(Abscesses=abscess(first, again.replace("LF", "RF"))) == ["abscess-again-other-foot"]
    assert rules(Abscesses=abscess(first.replace("2025-08", "2025-05"), again)) == []
    assert rules(Abscesses=abscess(first, f"{again} | @2026-05-21")) == []


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2026-06-29", []),
        ("2026-06-30", ["trim-overdue"]),
        ("2026-07-20", ["trim-overdue"]),
        ("2026-07-21", ["trim-past-8-weeks"]),
    ],
)
def test_a_trim_is_overdue_by_the_horses_own_interval_and_then_by_eight_weeks(
    on: str, expected: list[str]
) -> None:
    """Pollard et al. 2019, BMC Vet Res 15:59: intervals above 8 weeks went with more laminitis."""
    assert rules(on) == expected


def test_the_day_that_the_trimmer_named_wins_over_the_interval() -> None:
    visits = "Date | Purpose | Next due\n@2026-05-25 | trim | @2026-06-08"
    (firing,) = warnings("2026-06-10", visits=visits)
    assert (firing.rule, firing.cells) == ("trim-overdue", ("Visits!A2", "Visits!C2"))


def test_without_a_trim_the_interval_counts_from_the_day_the_shoes_came_off() -> None:
    horses = "Horse | Front shoes off\nBramble | @2026-01-05"
    assert rules("2026-03-02", horses=horses, visits="Date | Purpose") == []
    assert rules("2026-03-03", horses=horses, visits="Date | Purpose") == ["trim-past-8-weeks"]
    assert rules("2026-03-03", horses="Horse\nBramble", visits="Date | Purpose") == []


def test_the_most_urgent_comes_first() -> None:
    found = warnings(
        "2026-07-21",
        Soundness=note("@2026-07-20 | walk | LF | | 4", "@2026-07-21 | | | | | | | | won't move"),
    )
    assert [firing.urgency for firing in found] == ["now", "same day", "next visit"]


def test_on_the_day_of_the_vets_visit_the_warning_stays() -> None:
    visits = "Date | Role | Purpose\n@2026-06-09 | vet | \n@2026-05-25 | | trim"
    lame = note("@2026-06-09 | walk | LF | | 5")
    assert rules("2026-06-09", Soundness=lame, visits=visits) == ["not-bearing-weight"]
    assert rules("2026-06-10", Soundness=lame, visits=visits) == []


def test_a_vet_who_saw_an_abscess_saw_that_foot() -> None:
    seen = abscess("LF | @2026-06-05 | | @2026-06-09 | @2026-06-09")
    assert rules(Soundness=note("@2026-06-09 | walk | RH | | 5"), Abscesses=seen) == ["not-bearing-weight"]
    assert rules(Soundness=note("@2026-06-09 | walk | LF | | 5"), Abscesses=seen) == []


@pytest.mark.parametrize(
    ("score", "rule"),
    [
        ("4-5", "not-bearing-weight"), ("3-4", "lame-at-walk"), ("2-3", None), ("4-6", "not-bearing-weight"), ("3-6", "not-bearing-weight"), ("4-5.5", "not-bearing-weight"),
        ("9-11/10", "not-bearing-weight"), ("9 to 10 of 10", "not-bearing-weight"), ("4-6/10", None), ("8-9/10", "lame-at-walk"),
    ],
)  # fmt: skip
def test_a_range_warns_by_its_worse_end(score: str, rule: str | None) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | walk | LF | | {score}")) == ([rule] if rule else [])


def test_a_bare_five_warns_whatever_the_scale_is_guessed_to_be() -> None:
    bare = note("@2026-06-01 | trot | LF | | 7", "@2026-06-09 | trot | LF | | 5")
    assert rules(horses="Horse | Front shoes off\nBramble | @2026-01-05", Soundness=bare) == [
        "not-bearing-weight"
    ]


@pytest.mark.parametrize(
    ("score", "expected"), [("4-6", ["not-bearing-weight"]), ("3-6", ["not-bearing-weight"]), ("6-8", [])]
)
def test_a_bare_range_over_five_warns_whatever_the_scale_is_guessed_to_be(
    score: str, expected: list[str]
) -> None:
    horses = "Horse | Front shoes off\nBramble | @2026-01-05"
    assert rules(horses=horses, Soundness=note(f"@2026-06-09 | trot | LF | | {score}")) == expected


def test_a_range_across_the_top_of_ten_warns() -> None:
    assert rules(Soundness=note("@2026-06-09 | trot | LF | 0-10 | 9-11")) == ["not-bearing-weight"]


def test_a_sign_among_the_scores_names_the_cell_that_it_stands_in() -> None:
    (firing,) = warnings(Soundness=note("@2026-06-09 | | LF | | 5/5 nwb"))
    assert firing.cells == ("Soundness!E2",)
    both = note("@2026-06-09 | | LF | | nwb | | | | won't bear weight")
    assert [firing.cells for firing in warnings(Soundness=both)] == [("Soundness!I2",)]
    stiff = note("@2026-06-09 | | LF | | hard to turn | | 2 | 2")
    assert [firing.cells for firing in warnings(Soundness=stiff)] == [
        ("Soundness!G2", "Soundness!H2", "Soundness!E2")
    ]


@pytest.mark.parametrize(
    ("score", "expected"),
    [
        ("2/5 lost nail", []), ("2/5 loose nail", []), ("removed nail", []), ("2/5 healed puncture", []), ("2/5 was nwb", []), ("better than nwb", []), ("2/5 stopped sweating", []),
        ("4/5 lost nail", ["lame-at-walk"]), ("5/5 lost nail", ["not-bearing-weight"]), ("2? nwb", ["not-bearing-weight"]), ("2/5 but nwb", ["not-bearing-weight"]),
        ("2/5 with nail in foot", NAIL), ("very lame, nwb", ["not-bearing-weight"]), ("2/5 nail in sole, no heat", NAIL),
        ("2/5 LF nwb", ["not-bearing-weight"]), ("nwb 2/5", ["not-bearing-weight"]), ("nail in foot (3)", NAIL), ("lost nail 2/5", []),
        ("won't move or bear weight", ["not-bearing-weight"]), ("3 legged, grumpy", ["not-bearing-weight"]), ("off feed, 4/5", ["lame-at-walk", "other-warning-sign"]), ("won´t bear weight", ["not-bearing-weight"]),
    ],
)  # fmt: skip
def test_words_beside_a_score_warn_as_they_would_under_signs(score: str, expected: list[str]) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | trot | LF | | {score}")) == expected


@pytest.mark.parametrize(
    ("left", "right"),
    [
        ("2-3", "2"),
        ("no heat but raised", ">1"),
        ("no doubt raised", "1 or more"),
        ("1/2", "2.5"),
        ("strong", "very raised"),
        ("0 (bounding)", "3 not sure"),
        ("raised?", "2+"),
    ],
)
def test_an_unsure_pulse_warns_by_the_strongest_that_it_can_mean(left: str, right: str) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | | | | | | {left} | {right} | hard to turn")) == [
        "raised-pulses-and-stiff"
    ]


@pytest.mark.parametrize(
    ("left", "right"), [("normal", "2-3"), ("0-1", "3"), ("not bounding", "3"), ("0/3", "3")]
)
def test_a_pulse_that_cannot_mean_raised_does_not_warn(left: str, right: str) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | | | | | | {left} | {right}")) == []


@pytest.mark.parametrize(
    ("typed", "rule"),
    [
        ("no weight on LF", "not-bearing-weight"),
        ("3 legged", "not-bearing-weight"),
        ("won't walk", "not-bearing-weight"),
        ("sweating", "not-bearing-weight"),
        ("eating", None),
        ("weight bearing", None),
        ("no sweating and trembling", None),
    ],
)
def test_a_sign_in_other_words_warns_and_its_opposite_does_not(typed: str, rule: str | None) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | | LF | | | | | | {typed}")) == ([rule] if rule else [])


@pytest.mark.parametrize(
    "typed", ["no object or hole in foot", "no wound near a joint", "without swelling up the leg"]
)
def test_what_is_denied_is_no_sign(typed: str) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | | LF | | | | | | {typed}")) == []


def test_lameness_of_both_fronts_in_two_notes_counts_together() -> None:
    two = note("@2026-06-09 | trot | LF | 0-5 | 2 | | 2 | 2", "@2026-06-09 | trot | RF | 0-5 | 2")
    assert rules(Soundness=two) == ["raised-pulses-and-stiff"]


def test_worse_under_pain_relief_is_worse() -> None:
    relief = "Product | First given\nphenylbutazone | @2026-06-09"
    notes = note("@2026-06-08 | walk | LF | | 3 | better", "@2026-06-10 | walk | LF | | 3 | worse")
    assert "abscess-not-better-48-h" in rules(
        "2026-06-10", Abscesses=SEEN_BY_VET, Soundness=notes, Pain_relief=relief
    )


def test_one_abscess_typed_twice_is_one() -> None:
    row = "LF | @2026-05-20 | | @2026-05-26"
    assert rules(Abscesses=abscess(row, f"{row} |")) == []


def test_an_abscess_with_its_first_day_still_to_come_warns() -> None:
    (firing,) = warnings(Abscesses=abscess("LF | 9 Jun 2062"))
    assert (firing.rule, firing.since) == ("abscess-suspected", None)


def test_a_trimmer_without_a_purpose_trimmed() -> None:
    assert rules("2026-07-21", visits="Date | Role | Purpose\n@2026-07-10 | trimmer |") == []


@pytest.mark.parametrize(
    ("score", "expected"),
    [
        ("@2026-05-05", ["not-bearing-weight"]),
        ("@2026-10-10", ["not-bearing-weight"]),
        ("@2026-05-04", ["lame-at-walk"]),
        ("@2026-05-02", []),
        ("5 (three-legged)", ["not-bearing-weight"]),
        ("5!", ["not-bearing-weight"]),
        ("2 or so", []), ("lame", []), ("5.", ["not-bearing-weight"]), ("4.", ["lame-at-walk"]), ("LF 5/5", ["not-bearing-weight"]), ("RF 5/5, LF 2/5", ["not-bearing-weight"]),
        ("was 3 now 5", ["not-bearing-weight"]), ("3 then 5", ["not-bearing-weight"]), ("three then five", ["not-bearing-weight"]), ("LF 4/5", ["lame-at-walk"]), ("LF 2/5", []),
        ("LF 2 RF 3 of 5", []), ("LF 5/10", []), ("RF 5/5, LF 7/10", ["not-bearing-weight"]), ("LF 10/10", ["not-bearing-weight"]), ("LF 6/5", ["not-bearing-weight"]),
        ("2/5 after 10 min", []), ("2/5 on 5 May", []), ("2/5 for 5 days", []), ("2 (0-5), better", []), ("2/5, 4/3/2026", []), ("LF 4½/5", ["lame-at-walk"]),
        ("nwb 5/5", ["not-bearing-weight"]),
    ],
)  # fmt: skip
def test_a_score_that_cannot_be_used_warns_by_what_it_may_have_been(score: str, expected: list[str]) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | trot | LF | | {score}")) == expected


@pytest.mark.parametrize(
    ("score", "scale", "expected"),
    [
        ("was 3 now 5", "0-10", []),
        ("was 3 now 10", "0-10", ["not-bearing-weight"]),
        ("RF 7, LF 2", "0-5", ["not-bearing-weight"]),
        ("RF 5/5", "0-10", ["not-bearing-weight"]),
    ],
)
def test_a_score_that_cannot_be_used_may_have_been_one_of_its_rows_scale(
    score: str, scale: str, expected: list[str]
) -> None:
    assert rules(Soundness=note(f"@2026-06-09 | trot | LF | {scale} | {score}")) == expected


def diary(limb: str, *grades: float) -> list[str]:
    """Notes of grades at trot, a day each, the last on 9 June."""
    last = dt.date(2026, 6, 9)
    days = [last - dt.timedelta(days=ago) for ago in reversed(range(len(grades)))]
    return [f"@{day} | trot | {limb} | 0-5 | {grade}" for day, grade in zip(days, grades, strict=True)]


CALM, WORSE = [1] * 46, [2.5] * 14


def warnings_of_grades(**sheets: str) -> list[Firing]:
    """Only what the filter makes of the grades: a horse that is lame for weeks has other warnings too."""
    return [firing for firing in warnings(**sheets) if firing.rule.startswith("grades-")]


def of_grades(**sheets: str) -> list[str]:
    """Only the slugs."""
    return [firing.rule for firing in warnings_of_grades(**sheets)]


@pytest.mark.parametrize(
    ("grades", "expected"),
    [
        ([*CALM, *WORSE], ["grades-likely-worse"]),
        (CALM, []),
        ([*CALM, *[1.5, 1] * 7], []),  # as often up as down, by half a grade
        ([*WORSE, *CALM], []),  # got better
        ([2.5] * 60, []),  # lame, and no worse
        ([*[1] * 5, *[2.5] * 8], []),  # what is usual is not known yet
    ],
)
def test_grades_that_are_lastingly_worse(grades: list[float], expected: list[str]) -> None:
    """Our own rule, no published source."""
    assert of_grades(Soundness=note(*diary("LF", *grades))) == expected


def test_grades_perhaps_worse_come_before_likely_worse_and_end_with_it() -> None:
    found = [of_grades(Soundness=note(*diary("LF", *CALM, *[2] * more))) for more in range(15)]
    perhaps = [place for place, rule in enumerate(found) if rule == ["grades-perhaps-worse"]]
    likely = [place for place, rule in enumerate(found) if rule == ["grades-likely-worse"]]
    assert found[0] == []
    assert perhaps
    assert likely
    assert max(perhaps) < min(likely)


def test_likely_worse_says_which_limb_since_when_how_sure_and_names_the_last_cells() -> None:
    (firing,) = warnings_of_grades(Soundness=note(*diary("LF", *CALM, *WORSE)))
    assert firing.urgency == "within a week"
    assert firing.since is not None
    assert abs((firing.since - dt.date(2026, 5, 27)).days) <= 4
    assert firing.because.startswith(
        "Grades of left front, trot: likely worse by half a grade or more since about "
    )
    assert firing.because.endswith("(more than 19 in 20).")
    assert firing.cells == tuple(f"Soundness!E{row}" for row in range(56, 62))
    assert firing.sure == "our own, no published source"


@pytest.mark.parametrize(
    ("visit", "fires"),
    [
        ("@2026-06-05 | vet | ", False),
        ("@2026-04-20 | vet | ", True),  # before it began
        ("@2026-06-05 | trimmer | trim", True),
    ],
)
def test_a_vet_since_it_began_answers_worse_grades(visit: str, fires: bool) -> None:
    visits = f"Date | Role | Purpose\n{visit}\n@2026-05-20 | | trim"
    found = of_grades(Soundness=note(*diary("LF", *CALM, *WORSE)), visits=visits)
    assert ("grades-likely-worse" in found) is fires


@pytest.mark.parametrize(("ago", "fires"), [(28, False), (29, True)])
def test_a_vet_answers_worse_grades_for_four_weeks(ago: int, fires: bool) -> None:
    visit = dt.date(2026, 6, 10) - dt.timedelta(days=ago)
    long = note(*diary("LF", *[1] * 40, *[2.5] * 34))  # since 7 May
    found = of_grades(
        Soundness=long, visits=f"Date | Role | Purpose\n@{visit} | vet | \n@2026-05-25 | | trim"
    )
    assert ("grades-likely-worse" in found) is fires


@pytest.mark.parametrize(("later", "fires"), [(2, False), (4, True)])
def test_grades_that_rise_again_after_a_vet_are_told_again(later: float, fires: bool) -> None:
    """Our own rule, no published source."""
    twice = note(*diary("LF", *CALM, *[2] * 16, *[later] * 6))  # the vet on the eighth day of the first rise
    found = of_grades(
        Soundness=twice, visits="Date | Role | Purpose\n@2026-05-27 | vet | \n@2026-05-25 | | trim"
    )
    assert ("grades-likely-worse" in found) is fires


def test_what_a_vet_has_answered_does_not_hide_what_is_perhaps_worse_elsewhere() -> None:
    seen = abscess("LF | @2026-05-27 | | @2026-06-03 | @2026-06-02")
    left = diary("LF", *CALM, *WORSE)
    rising = ([*[1] * (60 - more), *[2] * more] for more in range(10))
    found = [of_grades(Soundness=note(*left, *diary("RH", *grades)), Abscesses=seen) for grades in rising]
    assert found[0] == []
    assert ["grades-perhaps-worse"] in found


def test_a_vet_who_saw_an_abscess_answers_worse_grades_of_that_foot_only() -> None:
    seen = abscess("LF | @2026-06-01 | | @2026-06-03 | @2026-06-02")
    assert of_grades(Soundness=note(*diary("LF", *CALM, *WORSE)), Abscesses=seen) == []
    assert of_grades(Soundness=note(*diary("RH", *CALM, *WORSE)), Abscesses=seen) == ["grades-likely-worse"]


def test_of_two_limbs_that_are_worse_both_are_meant_and_of_one_that_one() -> None:
    left, right = diary("LF", *CALM, *WORSE), diary("RF", *CALM, *WORSE)
    (both,) = warnings_of_grades(Soundness=note(*left, *right))
    assert both.because.startswith("Grades of the worst limb, trot: ")
    (one,) = warnings_of_grades(Soundness=note(*left, *diary("RF", *[0] * 60)))
    assert one.because.startswith("Grades of left front, trot: ")


def test_another_way_of_looking_that_is_worse_too_is_counted() -> None:
    trot = diary("LF", *CALM, *WORSE)
    (firing,) = warnings_of_grades(Soundness=note(*trot, *(line.replace("trot", "walk") for line in trot)))
    assert firing.because.endswith(" So are those of 1 other way of looking.")


def test_pain_relief_does_not_quiet_worse_grades() -> None:
    relief = "Product | First given | Given by order of\nphenylbutazone | @2026-06-05 | a vet"
    eased = note(*diary("LF", *CALM, *WORSE, *[0] * 5))
    assert of_grades(Soundness=eased, Pain_relief=relief) == ["grades-likely-worse"]


@pytest.mark.parametrize(
    ("p", "words"),
    [
        (0.001, "less than 1 in 10"),
        (0.0999, "less than 1 in 10"),
        (0.1, "1 in 10"),
        (0.5, "5 in 10"),
        (0.949, "9 in 10"),
        (0.95, "more than 19 in 20"),
        (1.0, "more than 19 in 20"),
    ],
)
def test_a_chance_in_words_is_never_certain(p: float, words: str) -> None:
    assert in_ten(p) == words
