"""Answers to warnings: what they fold away, what they never may, and which of them are not understood."""

from __future__ import annotations

import datetime as dt

import pytest
from books import TODAY, told
from books import checked as books_checked

from tracker.check.book import Checked
from tracker.derive.referral.answer import Answer, warning_named
from tracker.derive.referral.answers import answered, read_answers
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.looked_back import firings_on
from tracker.derive.referral.recorded import Records
from tracker.derive.referral.rules import RULES, Rule

HORSES = "Horse | Usual scale\nBramble | 0-5"
SLUGS = [rule.slug for rule in RULES]
LAME = "Date | Gait | Limb | Score | Signs\n@2026-06-04 | walk | LF | 4/5 |"
STUCK = "Date | Gait | Limb | Score | Signs\n@2026-06-04 | stand | LF | | won't bear weight"
OPEN = "Foot | First seen\nLF | @2026-06-04"
TWO_OPEN = f"{OPEN}\nRH | @2026-06-04"


def checked(**sheets: str) -> Checked:
    """The check; `Follow_up` names the sheet Follow-up."""
    return books_checked(
        **{"Follow-up" if name == "Follow_up" else name: text for name, text in sheets.items()}
    )


def answers(*lines: str) -> str:
    return "\n".join(["Date | Warning | What was done | By | Outcome | Quiet until", *lines])


def warnings(on: str, **sheets: str) -> list[Firing]:
    day = dt.date.fromisoformat(on)
    tables = checked(Horses=HORSES, **sheets).tables
    told = read_answers(Records(tables, TODAY)).answers
    return list(answered(firings_on(tables, "Bramble", day, TODAY), told.get("Bramble", ()), tables, day))


def one(rule: str, on: str, **sheets: str) -> Firing:
    (found,) = (firing for firing in warnings(on, **sheets) if firing.rule == rule)
    return found


def problems(**sheets: str) -> list[tuple[str, str]]:
    return [found for found in told(checked(Horses=HORSES, **sheets)) if found[0].startswith("Follow-up")]


def test_an_unanswered_warning_is_open() -> None:
    found = one("lame-at-walk", "2026-06-05", Soundness=LAME)
    assert (found.answers, found.quiet, found.answered, found.again) == ((), False, False, None)


@pytest.mark.parametrize(("on", "quiet"), [("2026-06-05", True), ("2026-06-08", True), ("2026-06-09", False)])
def test_quiet_until_holds_to_its_last_day(on: str, quiet: bool) -> None:
    row = answers("@2026-06-05 | lame-at-walk | vet called | Anna | comes tomorrow | @2026-06-08")
    found = one("lame-at-walk", on, Soundness=LAME, Follow_up=row)
    assert found.quiet is quiet
    (answer,) = found.answers
    assert (answer.done, answer.by, answer.outcome) == ("vet called", "Anna", "comes tomorrow")
    assert answer.cell == "Follow-up!B2"


def test_an_answer_without_a_day_is_listed_and_quiets_nothing() -> None:
    found = one(
        "lame-at-walk",
        "2026-06-05",
        Soundness=LAME,
        Follow_up=answers("@2026-06-05 | lame-at-walk | vet called"),
    )
    assert found.answered
    assert not found.quiet


def test_an_answer_is_not_known_before_its_day() -> None:
    row = answers("@2026-06-06 | lame-at-walk | vet called | | | @2026-06-20")
    assert not one("lame-at-walk", "2026-06-05", Soundness=LAME, Follow_up=row).answers


def test_an_answer_has_no_power_over_what_began_after_it() -> None:
    notes = "Date | Gait | Score\n@2026-06-01 | walk | 4/5\n@2026-06-20 | walk | 4/5"
    row = answers("@2026-06-02 | lame-at-walk | vet called | | | @2026-07-30")
    found = one("lame-at-walk", "2026-06-21", Soundness=notes, Follow_up=row)
    assert (found.since, found.answers, found.quiet) == (dt.date(2026, 6, 20), (), False)


def test_the_latest_answer_that_names_a_day_holds() -> None:
    row = answers(
        "@2026-06-04 | lame-at-walk | vet called | | | @2026-06-20",
        "@2026-06-05 | lame-at-walk | it is worse | | | @2026-06-05",
        "@2026-06-06 | lame-at-walk | vet seen",
    )
    found = one("lame-at-walk", "2026-06-06", Soundness=LAME, Follow_up=row)
    assert [answer.done for answer in found.answers] == ["vet called", "it is worse", "vet seen"]
    assert not found.quiet


def test_a_now_warning_is_answered_and_never_quiet() -> None:
    row = answers("@2026-06-04 | not bearing weight | vet called | | | @2026-06-30")
    found = one("not-bearing-weight", "2026-06-05", Soundness=STUCK, Follow_up=row)
    assert found.answered
    assert not found.quiet
    assert found.answers[0].quiet_until is None


@pytest.mark.parametrize(
    ("day", "open_again"), [("2026-06-04", False), ("2026-06-05", False), ("2026-06-06", True)]
)
def test_a_now_warning_comes_back_when_its_sign_is_recorded_again(day: str, open_again: bool) -> None:
    notes = f"{STUCK}\n@{day} | stand | LF | | won't bear weight"
    row = answers("@2026-06-05 | not-bearing-weight | vet called")
    found = one("not-bearing-weight", "2026-06-07", Soundness=notes, Follow_up=row)
    assert found.answered is not open_again
    assert found.again == (dt.date(2026, 6, 6) if open_again else None)
    assert len(found.answers) == 1


def test_a_sign_without_a_clear_day_is_never_answered() -> None:
    """It may have been seen after the answer."""
    notes = f"{STUCK}\nsoon | stand | LF | | won't bear weight"
    row = answers("@2026-06-05 | not-bearing-weight | vet called")
    assert not one("not-bearing-weight", "2026-06-07", Soundness=notes, Follow_up=row).answered


def test_an_answer_names_the_foot_or_the_first_day() -> None:
    row = answers("@2026-06-05 | abscess-suspected, right hind | vet called | | | @2026-06-20")
    quiet = {
        firing.cells: firing.quiet
        for firing in warnings("2026-06-06", Abscesses=TWO_OPEN, Follow_up=row)
        if firing.rule == "abscess-suspected"
    }
    assert quiet == {("Abscesses!B2",): False, ("Abscesses!B3",): True}
    later = "Foot | First seen\nLF | @2026-06-04\nRH | @2026-06-05"
    row = answers("@2026-06-05 | abscess-suspected since 2026-06-04 | vet called | | | @2026-06-20")
    quiet = {
        firing.cells: firing.quiet
        for firing in warnings("2026-06-06", Abscesses=later, Follow_up=row)
        if firing.rule == "abscess-suspected"
    }
    assert quiet == {("Abscesses!B2",): True, ("Abscesses!B3",): False}


def test_an_answer_that_may_mean_two_warnings_quiets_neither() -> None:
    row = answers("@2026-06-05 | abscess-suspected | vet called | | | @2026-06-20")
    found = [
        f for f in warnings("2026-06-06", Abscesses=TWO_OPEN, Follow_up=row) if f.rule == "abscess-suspected"
    ]
    assert [(firing.quiet, len(firing.answers)) for firing in found] == [(False, 1), (False, 1)]
    assert problems(Abscesses=TWO_OPEN, Follow_up=row) == [("Follow-up!B2", "answer-several")]
    closed = (
        f"{OPEN}\nRH | @2026-06-04".replace("First seen", "First seen | Comfortable again") + " | @2026-06-06"
    )
    (left,) = (
        f for f in warnings("2026-06-07", Abscesses=closed, Follow_up=row) if f.rule == "abscess-suspected"
    )
    assert not left.quiet, "which of the two was meant is still not known"


@pytest.mark.parametrize("behind", ["tail", "since soon", "rang Ann"])
def test_an_answer_with_more_behind_the_name_than_was_understood_quiets_nothing(behind: str) -> None:
    row = answers(f"@2026-06-05 | lame-at-walk {behind} | vet called | | | @2026-06-20")
    found = one("lame-at-walk", "2026-06-06", Soundness=LAME, Follow_up=row)
    assert (len(found.answers), found.quiet) == (1, False)
    assert problems(Soundness=LAME, Follow_up=row) == [("Follow-up!B2", "answer-part-unread")]


def test_a_warning_of_an_unclear_day_is_not_kept_quiet() -> None:
    row = answers("@2026-06-05 | abscess-suspected | vet called | | | @2026-06-20")
    found = one("abscess-suspected", "2026-06-06", Abscesses="Foot | First seen\nLF | soon", Follow_up=row)
    assert (found.since, len(found.answers), found.quiet) == (None, 1, False)


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("lame-at-walk", "lame-at-walk"),
        ("Lame at walk", "lame-at-walk"),
        ("lame_at_walk", "lame-at-walk"),
        ("lame–at–walk.", "lame-at-walk"),
        ("abscess-not-better-48-h", "abscess-not-better-48-h"),
        ("temperature above 38.9", "temperature-above-38-9"),
        ("Temperature above 38,6 twice", "temperature-above-38-6-twice"),
        ("lame at walker", None),
        ("lame", None),
        ("", None),
    ],
)
def test_a_warning_is_known_as_people_type_it(text: str, rule: str | None) -> None:
    found = warning_named(text, SLUGS)
    assert (found.rule if found else None) == rule


def test_every_slug_names_itself() -> None:
    for slug in SLUGS:
        named = warning_named(slug, SLUGS)
        assert named
        assert (named.rule, named.feet, named.since) == (slug, (), None)


@pytest.mark.parametrize(
    ("row", "cell", "kind"),
    [
        ("@2026-06-05 | lame-at-wlak | vet called", "Follow-up!B2", "answer-unknown-warning"),
        ("@2026-05-05 | lame-at-walk | vet called", "Follow-up!B2", "answer-no-such-warning"),
        ("@2026-06-05 | wound-near-a-joint | vet called", "Follow-up!B2", "answer-no-such-warning"),
        ("@2026-06-05 | lame-at-walk | vet called | | | @2026-06-04", "Follow-up!F2", "answer-quiet-before"),
        ("@2026-06-05 | lame-at-walk | vet called | | | @2027-06-08", "Follow-up!F2", "answer-quiet-long"),
        ("@2026-07-05 | lame-at-walk | vet called", "Follow-up!A2", "date-in-future"),
    ],
)
def test_a_mistaken_answer_is_told_at_its_cell(row: str, cell: str, kind: str) -> None:
    assert problems(Soundness=LAME, Follow_up=answers(row)) == [(cell, kind)]


def test_a_now_warning_with_a_quiet_day_is_told_at_its_cell() -> None:
    row = answers("@2026-06-05 | not-bearing-weight | vet called | | | @2026-06-20")
    assert problems(Soundness=STUCK, Follow_up=row) == [("Follow-up!F2", "answer-quiet-now")]


def test_a_right_answer_is_no_problem() -> None:
    row = answers("@2026-06-05 | lame-at-walk | vet called | | | @2026-06-20")
    assert problems(Soundness=LAME, Follow_up=row) == []


def test_an_answer_may_come_after_the_vet_has_ended_the_warning() -> None:
    visits = "Date | Role | Purpose\n@2026-06-06 | vet | vet examination"
    row = answers("@2026-06-08 | lame-at-walk | vet seen")
    assert problems(Soundness=LAME, Visits=visits, Follow_up=row) == []


def test_an_unknown_name_sets_the_row_aside_and_names_the_nearest() -> None:
    result = checked(
        Horses=HORSES, Soundness=LAME, Follow_up=answers("@2026-06-05 | lame-at-wlak | vet called")
    )
    (problem,) = result.problems
    assert problem.severity == "error"
    assert problem.allowed.startswith("lame-at-walk")
    assert result.tables["Follow-up"].set_aside == {2}
    assert result.rows["Follow-up"] == (1, 1)


def test_all_answers_are_kept_for_the_history() -> None:
    rows = answers("@2026-06-05 | lame-at-walk | vet called", "@2026-05-05 | lame-at-walk | vet called")
    tables = checked(Horses=HORSES, Soundness=LAME, Follow_up=rows).tables
    assert [answer.day.month for answer in read_answers(Records(tables, TODAY)).answers["Bramble"]] == [5, 6]


def test_the_order_of_rows_does_not_matter() -> None:
    rows = [
        "@2026-06-04 | lame-at-walk | a | | | @2026-06-20",
        "@2026-06-05 | lame-at-walk | b | | | @2026-06-05",
    ]
    one_way = one("lame-at-walk", "2026-06-06", Soundness=LAME, Follow_up=answers(*rows))
    other = one("lame-at-walk", "2026-06-06", Soundness=LAME, Follow_up=answers(*reversed(rows)))
    assert one_way.quiet is other.quiet is False


@pytest.mark.parametrize(
    ("abscesses", "names"),
    [
        (OPEN, {"abscess-suspected"}),
        (TWO_OPEN, {"abscess-suspected LF", "abscess-suspected RH"}),
        (
            "Foot | First seen\nLF | @2026-06-01\nLF | @2026-06-04",
            {"abscess-suspected since 2026-06-01", "abscess-suspected since 2026-06-04"},
        ),
    ],
)
def test_a_warning_has_a_name_by_which_an_answer_means_it_alone(abscesses: str, names: set[str]) -> None:
    found = [
        firing for firing in warnings("2026-06-05", Abscesses=abscesses) if firing.rule == "abscess-suspected"
    ]
    assert {firing.name for firing in found} == names
    for firing in found:
        row = answers(f"@2026-06-05 | {firing.name} | vet called | | | @2026-06-20")
        quiet = [f.name for f in warnings("2026-06-05", Abscesses=abscesses, Follow_up=row) if f.quiet]
        assert quiet == [firing.name]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_only_what_does_not_call_for_a_vet_now_can_be_kept_quiet(rule: Rule) -> None:
    day = dt.date(2026, 6, 5)
    firing = Firing(rule.slug, rule.urgency, "Bramble", day, "why", (), rule.words, rule.source, rule.sure)
    given = Answer(rule.slug, day, "vet called", "", "", day + dt.timedelta(days=9), "Follow-up!B2")
    (found,) = answered([firing], [given], {}, day)
    assert found.quiet is (rule.urgency != "now")
    assert found.answered


UNEVEN = "\n".join(
    ["Date | Foot | Stage | Measured with | Toe angle"]
    + [
        f"@2026-{day} | {foot} | after trim | gauge | {angle}"
        for day in ("03-10", "04-20")
        for foot, angle in (("LF", 54), ("RF", 50), ("LH", 55), ("RH", 51))
    ]
)
CHANGES_LEGS = "\n".join(
    ["Date | Gait | Limb | Score"]
    + [f"@2026-06-0{day} | trot | {limb} | 1/5" for day, limb in ((1, "LF"), (3, "RF"), (5, "LF"))]
)


@pytest.mark.parametrize(
    ("rule", "sheets"),
    [
        ("left-and-right-differ", {"Hooves": UNEVEN}),
        ("lame-leg-changes", {"Soundness": CHANGES_LEGS}),
        ("trim-past-8-weeks", {"Visits": "Date | Role | Purpose\n@2026-03-01 | trimmer | trim"}),
    ],
)
def test_what_is_worked_out_is_seen_when_the_day_of_an_answer_is_fired_again(
    rule: str, sheets: dict[str, str]
) -> None:
    row = answers(f"@2026-06-05 | {rule} | trimmer told | | | @2026-06-20")
    found = warnings("2026-06-06", **sheets, Follow_up=row)
    told_by = [firing for firing in found if firing.rule == rule]
    assert told_by
    assert all(firing.answers for firing in told_by)
    several = [("Follow-up!B2", "answer-several")] if len(told_by) > 1 else []
    assert problems(**sheets, Follow_up=row) == several


def test_uneven_feet_of_two_pairs_are_two_warnings_and_the_foot_says_which() -> None:
    row = answers("@2026-06-05 | left-and-right-differ, left hind | trimmer told | | | @2026-06-20")
    assert problems(Hooves=UNEVEN, Follow_up=row) == []
    quiet = [one.quiet for one in warnings("2026-06-06", Hooves=UNEVEN, Follow_up=row)]
    assert quiet == [False, True]


def test_legs_that_did_not_change_are_told_as_no_such_warning() -> None:
    row = answers("@2026-06-05 | lame-leg-changes | vet told")
    one_leg = CHANGES_LEGS.replace("RF", "LF")
    assert problems(Soundness=one_leg, Follow_up=row) == [("Follow-up!B2", "answer-no-such-warning")]


def test_of_feet_it_is_not_said_that_a_warning_never_was() -> None:
    """The errors of photographs are their own, and not known while a workbook is only checked."""
    even = UNEVEN.replace("| 54", "| 50.2").replace("| 55", "| 51.2")
    row = answers("@2026-06-05 | left-and-right-differ | trimmer told")
    assert problems(Hooves=even, Follow_up=row) == []


@pytest.mark.parametrize("on", ["2026-06-02", "2026-06-04", "2026-06-08", "2026-06-20"])
def test_a_past_day_is_seen_as_a_workbook_of_that_day_shows_it(on: str) -> None:
    """What is gathered once for all days is, cut to a day, what a workbook without the later rows holds."""
    until = dt.date.fromisoformat(on)
    sheets = {
        "Soundness": "Date | Gait | Limb | Score | Signs\n@2026-06-01 | walk | LF | 4/5 |\n@2026-06-07 | trot | LF | 3/5 | hard to turn",
        "Abscesses": "Foot | First seen | Opened | Comfortable again\nLF | @2026-06-02 | @2026-06-05 | @2026-06-10\nRH | @2026-06-08 | |",
        "Visits": "Date | Role | Purpose\n@2026-04-01 | trimmer | trim\n@2026-06-18 | vet | check",
        "Pain relief": "Product | First given | Last given\nflunixin | @2026-06-03 | @2026-06-06\nmeloxicam | @2026-06-05 | @2026-06-09",
        "Body": "Date | Temperature\n@2026-06-02 | 38.8\n@2026-06-07 | 39.4",
    }
    later = {name: _cut(text, until) for name, text in sheets.items()}
    whole = firings_on(checked(Horses=HORSES, **sheets).tables, "Bramble", until, TODAY)
    of_the_day = firings_on(checked(Horses=HORSES, **later).tables, "Bramble", until, until)
    assert {(one.rule, one.since, one.because) for one in whole} == {
        (one.rule, one.since, one.because) for one in of_the_day
    }
    assert whole


def _cut(text: str, until: dt.date) -> str:
    """The sheet as it stood on that day: rows that begin later are not there, later cells are empty."""
    head, *lines = text.splitlines()
    first = [name.strip() for name in head.split("|")].index
    at = next(first(name) for name in ("Date", "First seen", "First given") if name in head)
    kept = []
    for line in lines:
        cells = [cell.strip() for cell in line.split("|")]
        if dt.date.fromisoformat(cells[at][1:]) <= until:
            kept.append(" | ".join("" if cell.startswith("@") and dt.date.fromisoformat(cell[1:]) > until else cell for cell in cells))  # fmt: skip
    return "\n".join([head, *kept])
