"""A horse's own limits: they may make a warning come sooner, never later, and what is mistaken is told at its cell."""

from __future__ import annotations

import datetime as dt

import pytest
from books import told
from firings import daily, notes, warnings
from test_derive_referral_answers import checked
from test_derive_referral_table import OPEN, abscess, body, hooves, relief, seen, sheet, visits

from tracker.derive.referral.limit import (
    LAME_FROM,
    LIMITS,
    OF_FIVE,
    SWOLLEN_FROM,
    WORK_FROM,
    Limit,
    whole_days,
)
from tracker.derive.referral.own_limits import own_limits
from tracker.derive.referral.rules import RULES, URGENCIES

HORSES = "Horse | Usual scale\nBramble | 0-5\nMoss | 0-5"
Sheets = dict[str, str]


def limits(*rows: str) -> str:
    return sheet("Warning | Limit", *rows)


def of(rule: str, **sheets: str) -> list[str]:
    """Why that rule fires."""
    return [one.because for one in warnings(**sheets) if one.rule == rule]


def pair(left: float) -> Sheets:
    angles = (("LF", left), ("RF", 50))
    days = ("04-10", "05-20")
    return hooves(
        *(f"@2026-{day} | {foot} | after trim | gauge | {at}" for day in days for foot, at in angles)
    )


BADLY = seen("@2026-06-09 | trot | LF | 0-5 | 4")
# rule, its own limit as typed, a record between it and the rule's, on the side where only the own limit warns.
BETWEEN: list[tuple[str, str, Sheets]] = [
    ("temperature-above-40-6", "39.5", body("@2026-06-09 | 39.6")),
    ("temperature-above-38-9", "38.4", body("@2026-06-09 | 38.5")),
    ("temperature-above-38-6-twice", "38.2", body("@2026-06-08 | 38.3", "@2026-06-09 | 38.3") | seen(*daily(1))),
    ("heart-rate-60-twice", "52", body("@2026-06-09 | | 52", "@2026-06-09 | | 53")),
    ("heart-rate-60-once", "52", body("@2026-06-09 | | 52")),
    ("heart-rate-above-44-twice", "40", body("@2026-06-08 | | 41", "@2026-06-09 | | 41")),
    ("breathing-above-24-twice", "20", body("@2026-06-08 | | | 21", "@2026-06-09 | | | 21")),
    ("abscess-and-fever-or-off-feed", "38.3", abscess(OPEN) | body("@2026-06-09 | 38.4")),
    ("abscess-not-better-48-h", "24", abscess(OPEN.replace("06-07", "06-09"))),
    ("abscess-open-14-days", "10", abscess(OPEN.replace("06-07", "05-30"))),
    ("abscess-back", "21", abscess("LF | @2026-05-10 | | | | @2026-05-20") | seen("@2026-06-09 | | LF | | | | | | pus or discharge")),
    ("abscess-again-same-foot", "24", abscess("LF | @2024-09-01 | | | | @2024-09-09", "LF | @2026-06-01 | | | | @2026-06-04")),
    ("abscess-again-other-foot", "24", abscess("RH | @2024-09-01 | | | | @2024-09-09", "LF | @2026-06-01 | | | | @2026-06-04")),
    (
        "abscess-again-older-horse", "12",
        {"Horses": "Horse | Born\nBramble | 2013"} | abscess("RH | @2025-09-01 | | | | @2025-09-09", "LF | @2026-06-01 | | | | @2026-06-04"),
    ),
    ("new-lameness-not-better", "1", seen(*daily(*[0] * 10, 2, 2))),
    ("opposite-foot-changed", "2", seen("@2026-06-08 | trot | LF | 0-5 | 4", "@2026-06-09 | | | | | | | 2")),
    ("opposite-foot-to-feel", "2", BADLY),
    ("pain-relief-without-vet", "12", relief("flunixin | @2026-06-09T08:00 | @2026-06-09T21:00")),
    ("sore-after-trim", "24", visits("@2026-06-01 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-31"), *daily(1, 1, last="2026-06-04"))),
    ("trim-past-8-weeks", "6", visits("@2026-04-28 | trimmer | trim")),
    ("condition-or-weight-lost", "3", body("@2026-04-01 | | | | | 500", "@2026-06-01 | | | | | 485")),
    ("left-and-right-differ", "1", pair(51.2)),
    ("lame-at-walk", "3/5", seen("@2026-06-09 | trot | LF | 0-5 | 3")),
    ("tendon-or-badly-swollen-leg", "2/5", seen("@2026-06-09 | trot | LF | 0-5 | 2 | | | | swelling up the leg")),
    ("worked-while-lame", "1/5", seen("@2026-06-09 | trot | LF | 0-5 | 1") | {"Work": "Date | What | Minutes\n@2026-06-09 | trot | 20"}),
]  # fmt: skip


def number(typed: str) -> float:
    return float(typed.partition("/")[0])


def as_typed(limit: Limit, value: float) -> str:
    return f"{value:g}" + ("/5" if limit.unit == OF_FIVE else "")


@pytest.mark.parametrize(("rule", "typed", "record"), BETWEEN)
def test_a_more_careful_limit_warns_where_the_rule_itself_does_not(
    rule: str, typed: str, record: Sheets
) -> None:
    assert of(rule, **record) == []
    (because,) = of(rule, **record, Limits=limits(f"{rule} | {typed}"))
    limit = LIMITS[rule]
    said = f"The limit is this horse's own, {limit.words(number(typed))}; the rule's is {limit.words(limit.value)}."
    assert because.endswith(said)


@pytest.mark.parametrize(("rule", "typed", "record"), BETWEEN)
def test_its_cell_is_named_and_without_it_the_rule_is_as_before(
    rule: str, typed: str, record: Sheets
) -> None:
    (found,) = [one for one in warnings(**record, Limits=limits(f"{rule} | {typed}")) if one.rule == rule]
    assert found.cells[-1] == "Limits!B2"
    assert len(found.cells) > 1 or rule == "trim-past-8-weeks"


def test_every_limit_is_held_to_its_rule() -> None:
    assert {rule for rule, _, _ in BETWEEN} == set(LIMITS)
    assert {rule.slug: rule.limit for rule in RULES if rule.limit} == LIMITS


@pytest.mark.parametrize("limit", LIMITS.values(), ids=lambda limit: limit.rule)
def test_a_less_careful_limit_never_holds(limit: Limit) -> None:
    less = limit.value + (1 if limit.lower_is_careful else -1)
    result = checked(
        Horses=HORSES,
        Limits=sheet("Horse | Warning | Limit", f"Bramble | {limit.rule} | {as_typed(limit, less)}"),
    )
    assert told(result) == [("Limits!C2", "limit-less-careful")]
    (problem,) = result.problems
    assert (problem.severity, problem.allowed) == ("error", limit.allowed)
    assert own_limits(result.tables["Limits"]) == {}
    assert result.tables["Limits"].set_aside == {2}


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.limit], ids=lambda rule: rule.slug)
def test_the_declared_number_stands_in_the_rules_own_words(rule) -> None:  # type: ignore[no-untyped-def]
    said = {
        "abscess-back": "two weeks",
        "pain-relief-without-vet": "24 hours",
        "new-lameness-not-better": "two days",
    }
    said |= {"abscess-not-better-48-h": "two days", "sore-after-trim": "48 hours"}
    assert said.get(rule.slug, f"{rule.limit.value:g}") in rule.threshold


@pytest.mark.parametrize(("rule", "typed", "record"), BETWEEN)
def test_no_limit_makes_the_most_urgent_warning_less_urgent(rule: str, typed: str, record: Sheets) -> None:
    def top(**sheets: str) -> int:
        found = [URGENCIES.index(one.urgency) for one in warnings(**sheets)]
        return min(found, default=len(URGENCIES))

    assert top(**record, Limits=limits(f"{rule} | {typed}")) <= top(**record)


@pytest.mark.parametrize(
    ("rule", "typed", "value"),
    [
        ("temperature-above-38-9", "38,4", 38.4),
        ("temperature-above-38-9", "38.4 °C", 38.4),
        ("temperature-above-38-9", "101 F", (101 - 32) / 1.8),
        ("temperature-above-38-9", "101", (101 - 32) / 1.8),
        ("Temperature above 38-9", "38.4", 38.4),
        ("heart-rate-60-once", "52 bpm", 52),
        ("abscess-not-better-48-h", "1 day", 24),
        ("abscess-not-better-48-h", "36 hrs", 36),
        ("abscess-open-14-days", "1 week", 7),
        ("trim-past-8-weeks", "42 days", 6),
        ("abscess-again-same-foot", "2 years", 24),
        ("condition-or-weight-lost", "4 %", 4),
        ("left-and-right-differ", "1 1/4 deg", 1.25),
        ("temperature-above-38-9", "38.9", 38.9),
        ("lame-at-walk", "3/5", 3),
        ("lame-at-walk", "grade 3 of 5", 3),
        ("lame-at-walk", "AAEP 2", 2),
        ("lame-at-walk", "5/10", 5),
        ("worked-while-lame", "2½/5", 2.5),
    ],
)
def test_a_limit_is_read_as_people_type_it(rule: str, typed: str, value: float) -> None:
    tables = checked(Horses="Horse\nBramble", Limits=limits(f"{rule} | {typed}")).tables
    ((own,),) = [found.values() for found in own_limits(tables["Limits"]).values()]
    assert own.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("row", "cell", "kind"),
    [
        ("temperature-above-38-8 | 38.4", "Limits!A2", "limit-unknown-warning"),
        ("not-bearing-weight | 4/5", "Limits!A2", "limit-no-number"),
        ("lame-at-walk | 3", "Limits!B2", "limit-unreadable"),
        ("lame-at-walk | 2-3/5", "Limits!B2", "limit-unreadable"),
        ("lame-at-walk | 8/10", "Limits!B2", "limit-less-careful"),
        ("lame-at-walk | 0.5/5", "Limits!B2", "limit-too-far"),
        ("trim-overdue | 3", "Limits!A2", "limit-no-number"),
        ("abscess-not-better-48-h LF | 24", "Limits!A2", "limit-unknown-warning"),
        ("temperature-above-38-9 | about right", "Limits!B2", "limit-unreadable"),
        ("temperature-above-38-9 | 38.2-38.4", "Limits!B2", "limit-unreadable"),
        ("temperature-above-38-9 | 38 K", "Limits!B2", "limit-unreadable"),
        ("trim-past-8-weeks | 4 months", "Limits!B2", "limit-unreadable"),
        ("temperature-above-38-9 | 3.84", "Limits!B2", "limit-too-far"),
        ("abscess-not-better-48-h | 2", "Limits!B2", "limit-too-far"),
        ("abscess-not-better-48-h | 3 days", "Limits!B2", "limit-less-careful"),
        ("temperature-above-38-9 |", "Limits!B2", "required-empty"),
        (" | 38.4", "Limits!A2", "required-empty"),
        ("temperature-above-38-9 | #N/A", "Limits!B2", "cell-error"),
        ("temperature-above-38-9 | @2026-04-08", "Limits!B2", "limit-unreadable"),
        ("temperature-above-38-9 | 101.5", "Limits!B2", "limit-by-size"),
    ],
)
def test_a_mistake_is_told_at_its_cell(row: str, cell: str, kind: str) -> None:
    assert told(checked(Horses="Horse\nBramble", Limits=limits(row))) == [(cell, kind)]


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_rows_the_more_careful_holds_whatever_their_order(order: int) -> None:
    rows = ["temperature-above-38-9 | 38.5", "temperature-above-38-9 | 38.3"][::order]
    result = checked(Horses="Horse\nBramble", Limits=limits(*rows))
    assert told(result) == [("Limits!B3", "limit-twice")]
    assert own_limits(result.tables["Limits"])["Bramble"]["temperature-above-38-9"].value == 38.3


@pytest.mark.parametrize(
    ("limit", "record"),
    [
        (LAME_FROM, "@2026-06-09 | walk | LF | {scale} | {grade:g}"),
        (SWOLLEN_FROM, "@2026-06-09 | trot | LF | {scale} | {grade:g} | | | | swelling up the leg"),
        (WORK_FROM, "@2026-06-09 | trot | LF | {scale} | {grade:g}"),
    ],
    ids=lambda one: one.rule if isinstance(one, Limit) else "",
)
@pytest.mark.parametrize("scale", ["0-5", "0-10"])
def test_the_declared_grade_is_the_one_from_which_the_rule_fires(
    limit: Limit, record: str, scale: str
) -> None:
    declared = limit.by_scale[scale].value
    assert of(limit.rule, **seen(record.format(scale=scale, grade=declared)), **WORKED)
    assert not of(limit.rule, **seen(record.format(scale=scale, grade=declared - 0.5)), **WORKED)
    assert (
        f"{declared:g} of {scale.partition('-')[2]}"
        in {rule.slug: rule.threshold for rule in RULES}[limit.rule]
    )


GRADED = {
    "lame-at-walk": "@2026-06-09 | walk | LF | {scale} | {grade}",
    "tendon-or-badly-swollen-leg": "@2026-06-09 | trot | LF | {scale} | {grade} | | | | swelling up the leg",
    "worked-while-lame": "@2026-06-09 | trot | LF | {scale} | {grade}",
}
WORKED = {"Work": "Date | What | Minutes\n@2026-06-09 | trot | 20"}


@pytest.mark.parametrize("rule", GRADED)
def test_a_limit_on_one_scale_holds_for_grades_on_that_scale_only(rule: str) -> None:
    """No grade is converted."""

    def fires(scale: str, grade: str, *own: str) -> bool:
        record = seen(GRADED[rule].format(scale=scale, grade=grade)) | WORKED
        return bool(of(rule, **record, Limits=limits(*(f"{rule} | {one}" for one in own))))

    assert not fires("0-5", "2")
    assert not fires("0-10", "3")
    assert (fires("0-5", "2", "2/5"), fires("0-10", "3", "2/5")) == (True, False)
    assert (fires("0-5", "2", "3/10"), fires("0-10", "3", "3/10")) == (False, True)
    assert (fires("0-5", "2", "2/5", "3/10"), fires("0-10", "3", "2/5", "3/10")) == (True, True)
    assert not fires("0-5", "1.5", "2/5", "3/10")
    assert (
        told(
            checked(
                Horses=HORSES,
                Limits=sheet("Horse | Warning | Limit", f"Moss | {rule} | 2/5", f"Moss | {rule} | 3/10"),
            )
        )
        == []
    )


def test_a_limit_of_ten_for_lame_at_walk_asks_for_the_walk_and_leaves_the_top_to_its_own_rule() -> None:
    own = limits("lame-at-walk | 5/10", "lame-at-walk | 3/5")
    assert of("lame-at-walk", **seen("@2026-06-09 | trot | LF | 0-10 | 5"), Limits=own) == []
    assert of("lame-at-walk", **seen("@2026-06-09 | walk | LF | 0-10 | 10"), Limits=own) == []
    assert of("lame-at-walk", **seen("@2026-06-09 | walk | LF | 0-5 | 5"), Limits=own) == []
    assert of("lame-at-walk", **seen("@2026-06-09 | trot | LF | | 3ish"), Limits=own) != []


@pytest.mark.parametrize("days", range(14, 57))
def test_a_limit_in_days_is_of_so_many_days(days: int) -> None:
    """40 days are a little less than 40 / 7 × 7 to a computer."""
    result = checked(
        Horses=HORSES, Limits=sheet("Horse | Warning | Limit", f"Bramble | trim-past-8-weeks | {days} days")
    )
    own = own_limits(result.tables["Limits"])["Bramble"]["trim-past-8-weeks"]
    assert whole_days(own.value * 7) == dt.timedelta(days=days)


@pytest.mark.parametrize(("own", "warns"), [("2/10", False), ("2/5", True)])
def test_a_score_that_cannot_be_used_is_held_to_the_limit_of_its_own_scale(own: str, warns: bool) -> None:
    unclear = seen("@2026-06-09 | walk | LF | 0-5 | -3")
    assert bool(of("lame-at-walk", **unclear, Limits=limits(f"lame-at-walk | {own}"))) == warns


def test_a_limit_is_of_its_horse_alone() -> None:
    sheets = {
        "Horses": HORSES,
        "Body": sheet("Date | Horse | Temperature", "@2026-06-09 | Bramble | 38.5", "@2026-06-09 | Moss | 38.5"),
        "Limits": sheet("Horse | Warning | Limit", "Moss | temperature-above-38-9 | 38.4"),
    }  # fmt: skip
    assert [one.rule for one in warnings(horse="Bramble", **sheets)] == []
    assert [one.rule for one in warnings(horse="Moss", **sheets)] == ["temperature-above-38-9"]


def test_the_heart_is_taken_again_from_a_horses_own_limit() -> None:
    own = limits("heart-rate-above-44-twice | 40")
    assert of("vital-sign-to-take-again", **body("@2026-06-09 | | 41")) == []
    assert of("vital-sign-to-take-again", **body("@2026-06-09 | | 41"), Limits=own)


def test_a_limit_of_an_abscess_in_an_older_horse_looks_back_as_far() -> None:
    record = {"Horses": "Horse | Born\nBramble | 2005"} | abscess(
        "RH | @2024-09-01 | | | | @2024-09-09", "LF | @2026-06-01 | | | | @2026-06-04"
    )
    assert of("abscess-again-older-horse", **record) == []
    assert of("abscess-again-older-horse", **record, Limits=limits("abscess-again-other-foot | 24"))


def test_notes_of_a_horse_without_limits_are_told_as_before() -> None:
    (one,) = warnings(Soundness=notes("@2026-06-09 | walk | LF | 0-5 | 5"))
    assert "own" not in one.because


@pytest.mark.parametrize(
    ("rule", "number", "said"),
    [
        ("new-lameness-not-better", 1, "1 day"),
        ("new-lameness-not-better", 2, "2 days"),
        ("pain-relief-without-vet", 1, "1 hour"),
        ("temperature-above-38-9", 38.4, "38.4 °C"),
        ("left-and-right-differ", 1, "1°"),
    ],
)
def test_a_limit_in_words(rule: str, number: float, said: str) -> None:
    assert LIMITS[rule].words(number) == said


def test_a_reading_to_take_again_says_that_the_limit_is_the_horses_own() -> None:
    body, own = (
        "Date | Temperature\n@2026-06-09 | 38.4",
        "Warning | Limit\ntemperature-above-38-6-twice | 38.2",
    )
    (found,) = warnings(watched=False, Body=body, Limits=own)
    assert (found.rule, found.cells) == ("vital-sign-to-take-again", ("Body!B2",))
    assert found.because.endswith("The limit is this horse's own, 38.2 °C; the rule's is 38.6 °C.")
