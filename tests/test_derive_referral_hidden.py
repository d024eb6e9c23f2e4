"""Nothing urgent is hidden: not by a date to come, a row set aside, a unit, another row of the day, or a limit."""

from __future__ import annotations

import pytest
from books import checked
from firings import notes, rules, warnings
from hypothesis import given
from hypothesis import strategies as st
from test_derive_referral_properties import FEW, a_note, a_reading, an_abscess, book, some_abscesses, top

from tracker.derive.referral.limit import LIMITS, OF_FIVE

STUCK = "@2026-06-09 | stand | LF | 0-5 | | | | | won't bear weight"
TWO = "Horse | Usual scale\nBramble | 0-5\nMoss | 0-5"


def visit(day: str, role: str = "vet") -> str:
    return f"Date | Role | Purpose\n{day} | {role} | check"


@pytest.mark.parametrize("day", ["@2026-06-11", "@2026-07-20", "soon", "31 Feb 2026", ""])
def test_a_vet_who_has_not_come_yet_ends_nothing(day: str) -> None:
    """As of 10 June; the tests' today is the 30th."""
    assert "not-bearing-weight" in rules(Soundness=notes(STUCK), Visits=visit(day))
    assert "not-bearing-weight" not in rules(Soundness=notes(STUCK), Visits=visit("@2026-06-10"))


@pytest.mark.parametrize("day", ["@2026-06-11", "@2026-07-20", "soon"])
@pytest.mark.parametrize("heading", ["Comfortable again", "Vet seen"])
def test_an_abscess_that_is_to_be_over_or_seen_later_is_open(heading: str, day: str) -> None:
    assert "abscess-suspected" in rules(Abscesses=f"Foot | First seen | {heading}\nLF | @2026-06-09 | {day}")


@pytest.mark.parametrize(
    "row", ["both fronts | @2026-06-08 |", "LF | soon |", "tail | @2026-06-08 | @2026-06-08"]
)
@pytest.mark.parametrize(
    "ill",
    [
        {"Soundness": notes("@2026-06-09 | | LF | | | | | | off feed")},
        {"Body": "Date | Temperature\n@2026-06-09 | 38.7"},
    ],
)
def test_an_abscess_in_a_row_that_is_set_aside_calls_for_a_vet_with_fever_or_off_feed(
    row: str, ill: dict[str, str]
) -> None:
    sheet = f"Foot | First seen | Vet seen\n{row}"
    (found,) = [
        one for one in warnings(**ill, Abscesses=sheet) if one.rule == "abscess-and-fever-or-off-feed"
    ]
    assert "cannot be used in full" in found.because
    assert found.cells[-1] == "Abscesses!B2"
    over = f"Foot | First seen | Comfortable again\n{row.rpartition('|')[0]}| @2026-06-09"
    assert "abscess-and-fever-or-off-feed" not in rules(**ill, Abscesses=over)
    seen = visit("@2026-06-10")
    assert "abscess-and-fever-or-off-feed" not in rules(**ill, Abscesses=sheet, Visits=seen)


def test_a_row_without_its_horse_warns_of_no_horse_in_particular() -> None:
    rows = "Date | Horse | Signs\n@2026-06-09 | | won't bear weight\n@2026-06-09 | Moss | off feed"
    (found,) = warnings(horse="", Horses=TWO, Soundness=rows)
    assert (found.rule, found.horse) == ("not-bearing-weight", "")


@pytest.mark.parametrize("order", [1, -1])
def test_notes_of_two_feet_of_one_day_warn_alike_in_both_orders(order: int) -> None:
    """A vet who saw the abscess of the left front saw that foot: the other's raised pulses still warn."""
    rows = ["@2026-06-09 | | LF | | | same | 2 | 2 |", "@2026-06-09 | | RF | | | same | | | hard to turn"]
    seen = "Foot | First seen | Vet seen\nLF | @2026-06-08 | @2026-06-10"
    assert "raised-pulses-and-stiff" in rules(
        Soundness=notes(*rows[::order]), Abscesses=seen, on="2026-06-11"
    )


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_trims_of_one_day_the_earlier_due_day_holds(order: int) -> None:
    rows = ["@2026-05-01 | trim | both fronts | @2026-06-05", "@2026-05-01 | trim | both hinds |"][::order]
    (found,) = warnings(Visits="\n".join(["Date | Purpose | Feet | Next due", *rows]))
    assert (found.rule, found.because) == (
        "trim-overdue",
        "Due 5 Jun 2026 (as named at the last trim); last trim 1 May 2026.",
    )
    assert f"Visits!D{rows.index('@2026-05-01 | trim | both fronts | @2026-06-05') + 2}" in found.cells


@pytest.mark.parametrize(
    ("said", "asks"),
    [
        ("Tetanus vaccination May 2026", False),
        ("tetanus: in date, next in 2027", False),
        ("tetanus not known", True),
        ("no tetanus cover", True),
        ("tetanus?", True),
        ("hasn't had tetanus", True),
        ("tetanus lapsed in 2024", True),
        ("", True),
    ],
)
def test_a_tetanus_cover_that_is_doubted_is_asked_about(said: str, asks: bool) -> None:
    wound = notes("@2026-06-09 | | LF | | | | | | nail in foot")
    horses = f"Horse | Known conditions\nBramble | {said}"
    assert ("wound-and-tetanus-not-known" in rules(Horses=horses, Soundness=wound)) is asks


@FEW
@given(
    st.lists(a_note(), max_size=4),
    st.lists(a_reading(), max_size=3),
    some_abscesses,
    st.sampled_from([*LIMITS.values()]),
    st.sampled_from([0.0, 0.5, 1.0]),
)
def test_a_horses_own_limit_never_lowers_the_urgency(noted, read, abscesses, limit, part) -> None:  # type: ignore[no-untyped-def]
    sheets = book(noted, read, abscesses)
    value = limit.value + part * (limit.end - limit.value)
    own = sheets | {
        "Limits": f"Warning | Limit\n{limit.rule} | {value:.4f}{'/5' if limit.unit == OF_FIVE else ''}"
    }
    assert top(own) <= top(sheets)


@FEW
@given(st.lists(a_note(), max_size=4), st.lists(an_abscess(), min_size=1, max_size=2), st.data())
def test_an_abscess_row_typed_once_more_without_its_end_never_lowers_the_urgency(
    noted, abscesses, data
) -> None:  # type: ignore[no-untyped-def]
    again = data.draw(st.sampled_from(abscesses))
    foot, first, *_rest = again.split(" | ")
    assert top(book(noted, [], [*abscesses, f"{foot} | {first} | | |"])) <= top(book(noted, [], abscesses))


def test_a_mistaken_limit_takes_nothing_from_the_rule() -> None:
    hot = {"Body": "Date | Temperature\n@2026-06-09 | 39.0"}
    for limit in ("45", "abc", "3", ""):
        assert "temperature-above-38-9" in rules(
            **hot, Limits=f"Warning | Limit\ntemperature-above-38-9 | {limit}"
        )


def test_an_answer_to_a_warning_of_the_future_quiets_nothing() -> None:
    sheets = {
        "Soundness": "Date | Gait | Score\n@2026-06-09 | walk | 4/5",
        "Follow-up": "Date | Warning | Quiet until\n@2026-07-09 | lame-at-walk | @2026-07-20",
    }
    assert ("Follow-up!A2", "date-in-future") in [
        (one.cell, one.kind) for one in checked(Horses="Horse\nBramble", **sheets).problems
    ]


RELIEF = "Product | First given | Last given | Given by order of"


def relief(*rows: str) -> dict[str, str]:
    return {"Pain_relief": "\n".join([RELIEF, *rows])}


def without_vet(*rows: str, **sheets: str) -> list[tuple[object, str, tuple[str, ...]]]:
    """Since when, why, by which cells."""
    return [
        (one.since, one.because, one.cells)
        for one in warnings(watched=False, **relief(*rows), **sheets)
        if one.rule == "pain-relief-without-vet"
    ]


@pytest.mark.parametrize("first", ["soon", "31 Feb 2026", "@2062-06-09", ""])
@pytest.mark.parametrize("last", ["", "@2026-06-10", "@2026-06-09", "@2026-06-20", "soon"])
def test_pain_relief_whose_first_day_is_unclear_warns_and_says_so(first: str, last: str) -> None:
    ((since, because, cells),) = without_vet(f"flunixin | {first} | {last}")
    assert since is None
    assert because == (
        "Flunixin is recorded as given since a date that is unclear, perhaps for longer than a day; "
        "no vet's order and no vet's visit is recorded."
    )
    assert cells == ("Pain relief!A2", "Pain relief!B2")


def test_pain_relief_of_an_unclear_first_day_is_over_ordered_or_seen_as_any_other() -> None:
    assert without_vet("flunixin | soon | @2026-06-08") == []
    assert without_vet("flunixin | soon | | a vet") == []
    assert without_vet("flunixin | soon", Visits=visit("@2026-05-27")) == []
    assert without_vet("flunixin | soon", Visits=visit("@2026-05-26")) != []
    assert without_vet(" | soon") == []  # with nothing that says what is given, no course


def test_pain_relief_that_is_not_named_warns_once_it_is_given_for_longer() -> None:
    ((since, because, _),) = without_vet(" | @2026-06-08")
    assert (str(since), because[:34]) == ("2026-06-09", "Pain relief that is not named has ")
    assert without_vet(" | @2026-06-09") == []
    assert without_vet(" | @2026-06-12") == []  # as of 10 June not known yet; the tests' today is the 30th


def test_a_last_dose_before_the_first_does_not_say_that_it_is_over() -> None:
    """One of the two dates is a slip; a day without its hour is no earlier than an hour of that day."""
    assert without_vet("flunixin | @2026-06-08T08:00 | @2026-06-08") == []
    assert without_vet("flunixin | @2026-06-08 | @2026-06-01") != []
    assert "pain-relief-overlaps" in rules(
        watched=False, **relief("flunixin | @2026-06-08 | @2026-06-01", "meloxicam | @2026-06-09")
    )


@pytest.mark.parametrize("first", ["soon", "@2062-06-09"])
@pytest.mark.parametrize("order", [1, -1])
def test_pain_relief_of_an_unclear_first_day_overlaps_with_what_is_given_beside_it(
    first: str, order: int
) -> None:
    rows = [f"flunixin | {first} | | a vet", "meloxicam | @2026-06-09 | | a vet"][::order]
    (found,) = [one for one in warnings(watched=False, **relief(*rows)) if one.rule == "pain-relief-overlaps"]
    assert found.since is None
    assert found.because.endswith("are both recorded as given, since when is unclear.")
    assert set(found.cells) == {"Pain relief!A2", "Pain relief!A3"}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("flunixin | soon | @2026-06-08", "meloxicam | @2026-06-09 |"),
        ("flunixin | soon |", "flunixin | @2026-06-09 |"),
        ("flunixin | soon | @2026-06-08", "meloxicam | @2026-06-07 |"),
        (" | soon |", "meloxicam | @2026-06-09 |"),
    ],
)
def test_pain_relief_that_was_over_or_is_of_one_product_does_not_overlap(one: str, other: str) -> None:
    assert "pain-relief-overlaps" not in rules(watched=False, **relief(one, other))
