"""What holds of the warnings of every workbook: order, other horses, pain relief, worse signs."""

from __future__ import annotations

import datetime as dt

import pytest
from firings import notes, rules, warnings
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.derive.referral.rules import RULES, URGENCIES
from tracker.terms import SIGNS

ON = dt.date(2026, 6, 10)
FEW = settings(max_examples=20, deadline=None)
# These wait for a look outside pain relief, or are about the pain relief itself.
WAITS = (
    "pain-relief-",
    "abscess-not-better",
    "abscess-opened-not-better",
    "abscess-look-again",
    "new-lameness",
)

days = st.integers(0, 30).map(lambda ago: f"@{ON - dt.timedelta(days=ago)}")
feet = st.sampled_from(["LF", "RF", "LH", "both fronts", "not sure", ""])
grades = st.sampled_from(["", "0", "1", "2", "3", "4", "5", "2-3", "4/10", "nwb"])
said = st.sampled_from(["", "same", "better", "worse"])
pulses = st.sampled_from(["", "0", "1", "2", "3"])
signs = st.sampled_from(["", *SIGNS])
warm = st.sampled_from(["", "LF", "RF", "both fronts"])


@st.composite
def a_note(draw: st.DrawFn) -> str:
    parts = (days, st.just("trot"), feet, st.just("0-5"), grades, said, pulses, pulses, signs, warm)
    return " | ".join(draw(part) for part in parts)


@st.composite
def a_reading(draw: st.DrawFn) -> str:
    figures = [("", "38.6", "38.7", "39", "40.7"), ("", "44", "45", "60"), ("", "24", "25"), ("", "5", "6")]
    return " | ".join([draw(days), *(draw(st.sampled_from(found)) for found in figures)])


@st.composite
def an_abscess(draw: st.DrawFn) -> str:
    ago = draw(st.integers(0, 20))
    first = ON - dt.timedelta(days=ago)
    later = st.integers(0, ago).map(lambda more: f"@{first + dt.timedelta(days=more)}") | st.just("")
    return f"{draw(st.sampled_from(['LF', 'RF']))} | @{first} | {draw(later)} | {draw(later)} | {draw(later)}"


@st.composite
def a_course(draw: st.DrawFn) -> str:
    product = draw(st.sampled_from(["phenylbutazone", "meloxicam", "a paste"]))
    return f"{product} | {draw(days)} | {draw(st.sampled_from(['', 'a vet']))}"


some_notes = st.lists(a_note(), max_size=6)
some_readings = st.lists(a_reading(), max_size=3)
some_abscesses = st.lists(an_abscess(), max_size=2)
some_courses = st.lists(a_course(), max_size=2)


def book(
    noted: list[str], read: list[str] = (), abscesses: list[str] = (), given_: list[str] = ()
) -> dict[str, str]:  # type: ignore[assignment]
    """The sheets of these rows."""
    return {
        "Soundness": notes(*noted),
        "Body": "\n".join(["Date | Temperature | Heart rate | Breathing rate | Condition score", *read]),
        "Abscesses": "\n".join(["Foot | First seen | Opened | Comfortable again | Vet seen", *abscesses]),
        "Pain_relief": "\n".join(["Product | First given | Given by order of", *given_]),
    }


def told(sheets: dict[str, str]) -> set[tuple[str, dt.date | None, str]]:
    """Which warnings, since when, on which cause."""
    return {(one.rule, one.since, one.cause) for one in warnings(watched=False, **sheets)}


def top(sheets: dict[str, str]) -> int:
    """How urgent the most urgent is, 0 the most."""
    return min(
        (URGENCIES.index(one.urgency) for one in warnings(watched=False, **sheets)), default=len(URGENCIES)
    )


@FEW
@given(some_notes, some_readings, some_abscesses, some_courses, st.randoms())
def test_the_order_of_the_rows_does_not_matter(
    noted: list[str], read: list[str], abscesses: list[str], given_: list[str], dice: object
) -> None:
    before = told(book(noted, read, abscesses, given_))
    for rows in (noted, read, abscesses, given_):
        dice.shuffle(rows)  # type: ignore[attr-defined]
    assert told(book(noted, read, abscesses, given_)) == before


@FEW
@given(some_notes, some_readings, some_notes)
def test_other_horses_do_not_matter(noted: list[str], read: list[str], others: list[str]) -> None:
    alone = told(book(noted, read))
    named = {name: _named(text, "Bramble") for name, text in book(noted, read).items()}
    other = _named(notes(*others), "Clover").splitlines()[1:]
    named["Soundness"] = "\n".join([named["Soundness"], *other])
    horses = "Horse | Usual scale\nBramble | 0-5\nClover | 0-5"
    assert told(named | {"Horses": horses}) == alone


def _named(text: str, horse: str) -> str:
    head, *lines = text.splitlines()
    return "\n".join([f"{head} | Horse", *(f"{line} | {horse}" for line in lines)])


@FEW
@given(some_notes, some_readings, some_abscesses, a_note(), a_reading())
def test_another_sign_or_reading_never_lowers_the_urgency_of_what_calls_for_today(
    noted: list[str], read: list[str], abscesses: list[str], more: str, reading: str
) -> None:
    """A better grade may end what waits for one; a sign, a pulse or a temperature may not."""
    plain = " | ".join("" if at in (4, 5) else part for at, part in enumerate(more.split(" | ")))
    before = top(book(noted, read, abscesses))
    assert top(book([*noted, plain], read, abscesses)) <= before
    assert min(top(book(noted, [*read, reading], abscesses)), URGENCIES.index("within a week")) <= before


@FEW
@given(some_notes, st.integers(0, 5), st.sampled_from(["4", "5", "nwb"]))
def test_a_worse_grade_in_the_latest_note_never_lowers_the_urgency(
    noted: list[str], at: int, worse: str
) -> None:
    if noted:
        latest = max(range(len(noted)), key=lambda place: noted[place][:11])
        parts = noted[latest].split(" | ")
        parts[4] = worse if parts[4] not in ("5", "nwb") else parts[4]
        changed = [*noted]
        changed[latest] = " | ".join(parts)
        assert top(book(changed)) <= top(book(noted))


@FEW
@given(some_notes, some_readings, some_abscesses, some_courses)
def test_pain_relief_hides_nothing_and_what_calls_for_a_vet_now_does_not_know_of_it(
    noted: list[str], read: list[str], abscesses: list[str], given_: list[str]
) -> None:
    without, with_ = told(book(noted, read, abscesses)), told(book(noted, read, abscesses, given_))
    assert {one for one in without if not one[0].startswith("new-lameness-not")} <= with_
    assert {one for one in with_ if not one[0].startswith(WAITS)} <= without
    now = {rule.slug for rule in RULES if rule.urgency == "now"}
    assert {one for one in without if one[0] in now} == {one for one in with_ if one[0] in now}


@FEW
@given(a_note())
def test_a_sign_in_a_row_with_a_bad_date_warns_and_says_so(note: str) -> None:
    dateless = " | ".join(["soon", *note.split(" | ")[1:]])
    clear = note.replace(note.split(" | ")[0], f"@{ON}")
    now = {one.rule for one in warnings(watched=False, **book([clear])) if one.urgency == "now"}
    unclear = [one for one in warnings(watched=False, **book([dateless])) if one.urgency == "now"]
    assert {one.rule for one in unclear} == now
    assert all(one.since is None and "on a date that is unclear" in one.because for one in unclear)


def test_a_temperature_in_a_row_with_a_bad_date_warns_and_says_so() -> None:
    for date in ("soon", "9 Jun 2062"):
        (first, *_) = warnings(**book([], [f"{date} | 39.5"]))
        assert (first.rule, first.since) == ("temperature-above-38-9", None)
        assert "on a date that is unclear" in first.because


@pytest.mark.parametrize(
    ("typed", "fires"),
    [
        ("39.5 K", True),
        ("103 degs", True),
        ("39.5 and 37.9", True),
        ("38.9 K", False),
        ("37.9 K", False),
        ("3 K", False),
    ],
)
def test_a_temperature_that_cannot_be_used_warns_by_what_it_may_have_been(typed: str, fires: bool) -> None:
    found = [one for one in warnings(**book([], [f"@2026-06-09 | {typed}"])) if one.urgency == "now"]
    assert bool(found) is fires
    assert all("cannot be used as it is typed" in one.because for one in found)


def test_a_sign_every_day_is_one_episode_since_its_first_day() -> None:
    every = [f"@{ON - dt.timedelta(days=ago)} | | LF | | | | | | hard to turn" for ago in range(30)]
    (firing,) = [one for one in warnings(**book(every)) if one.rule == "raised-pulses-or-stiff"]
    assert firing.since == ON - dt.timedelta(days=29)
    assert "30 notes in all" in firing.because


def test_of_contradicting_rows_of_a_day_the_more_careful_counts() -> None:
    assert "temperature-above-38-9" in rules(**book([], ["@2026-06-09 | 37.5", "@2026-06-09 | 39.5"]))
    both = ["@2026-06-09 | trot | LF | 0-5 | 1 | better", "@2026-06-09 | trot | LF | 0-5 | 4 | worse"]
    assert "lame-at-walk" in rules(**book(both))
    open_one = "LF | @2026-06-07 | | | @2026-06-07"
    assert "abscess-not-better-48-h" in rules(
        **book([note.replace("| 4 |", "| 1 |") for note in both], [], [open_one])
    )


def test_what_is_said_in_full_by_a_more_urgent_warning_is_not_said_twice() -> None:
    stiff = "@2026-06-09 | | | | | | 2 | 2 | hard to turn"
    assert rules(**book([stiff])) == ["raised-pulses-and-stiff"]
    later = "@2026-06-10 | | | | | | | | shifts weight"
    assert rules(**book([stiff, later])) == ["raised-pulses-and-stiff", "raised-pulses-or-stiff"]
