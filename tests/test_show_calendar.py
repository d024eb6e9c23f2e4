"""The calendar against RFC 5545 by its bytes, and against two independent readers, icalendar and vobject."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any

import icalendar
import pytest
import vobject
from exported import workbook
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sample_workbooks.build import END, FOLDER, NAMES
from tracker import Book, calendar_bytes, open_book
from tracker.book import book_of
from tracker.problem import NotWritten
from tracker.show.calendar.ics import PRODID, is_ours
from tracker.show.calendar.save import write_calendar

Sheets = dict[str, list[list[object]]]
ON = dt.date(2026, 6, 30)
HORSES: list[list[object]] = [
    ["Horse", "Born", "Usual scale", "Trim every", "Vet phone"],
    ["Bramble", 2014.0, "0-5", 5.0, "0170 55"],
]
VISITS: list[list[object]] = [
    ["Date", "Horse", "Name", "Role", "Purpose", "Feet", "Advice", "Next due", "Remarks"],
    [dt.date(2026, 6, 3), "Bramble", "Tam", "trimmer", "trim", "all", "", "", "paid"],
    [dt.date(2026, 6, 20), "Bramble", "Dr Finch", "vet", "check", "LF", "box rest", dt.date(2026, 7, 4), ""],
]
PLAN: list[list[object]] = [
    ["Horse", "Step", "From", "Until", "What", "Minutes a day", "Move on when", "Set by"],
    ["Bramble", "1", dt.date(2026, 7, 1), dt.date(2026, 7, 14), "hand-walk", 10.0, "no worse", "Dr Finch"],
    ["Bramble", "2", dt.date(2026, 7, 15), "", "ridden walk", 20.0, "", ""],
]
ANSWERS: list[list[object]] = [
    ["Date", "Horse", "Warning", "What was done", "By", "Outcome", "Quiet until"],
    [
        dt.date(2026, 6, 29),
        "Bramble",
        "trim-overdue",
        "trimmer called",
        "Anna",
        "comes",
        dt.date(2026, 7, 10),
    ],
]
ALL: Sheets = {"Horses": HORSES, "Visits": VISITS, "Plan": PLAN, "Follow-up": ANSWERS}


def book(sheets: Sheets = ALL, on: dt.date = ON) -> Book:
    return book_of(workbook(Path("barn.xlsx"), sheets), on=on)


def events(content: bytes) -> dict[str, Any]:
    """Each event by its title, as icalendar reads it."""
    return {str(one["SUMMARY"]): one for one in icalendar.Calendar.from_ical(content).walk("VEVENT")}


def by_vobject(content: bytes) -> dict[str, Any]:
    """The same as vobject reads it."""
    return {
        one.summary.value: one for one in vobject.readOne(content.decode("utf-8")).contents.get("vevent", [])
    }


def days(one: Any) -> tuple[dt.date, dt.date]:
    return one.decoded("dtstart"), one.decoded("dtend")


EXPECTED = {
    "Bramble: plan step 1: hand-walk": (
        dt.date(2026, 7, 1), dt.date(2026, 7, 15), "10 minutes a day. As the Plan sheet has it; nothing is added here.",
    ),
    "Bramble: vet check due": (dt.date(2026, 7, 4), dt.date(2026, 7, 5), "The day named at the visit of 20 Jun 2026."),
    "Bramble: trim due": (
        dt.date(2026, 7, 8), dt.date(2026, 7, 9), "Trim due, by your own interval; the last trim was 3 Jun 2026.",
    ),
    "Bramble: the quiet of a warning is over": (
        dt.date(2026, 7, 11), dt.date(2026, 7, 12), "A warning was to be kept quiet until 10 Jul 2026, as written on 29 Jun 2026.",
    ),
    "Bramble: plan step 2: ridden walk": (
        dt.date(2026, 7, 15), dt.date(2026, 7, 16),
        "20 minutes a day. As the Plan sheet has it; nothing is added here. No last day is written; it is shown up to 15 Jul 2026.",
    ),
}  # fmt: skip


def test_all_that_is_to_come_in_order_and_in_plain_words() -> None:
    found = events(calendar_bytes(book()))
    assert {title: (*days(one), str(one["DESCRIPTION"])) for title, one in found.items()} == EXPECTED
    assert [*found] == [*EXPECTED]


def test_a_second_reader_agrees() -> None:
    found = by_vobject(calendar_bytes(book()))
    assert {
        title: (one.dtstart.value, one.dtend.value, one.description.value) for title, one in found.items()
    } == EXPECTED


def test_every_day_is_a_date_without_a_time() -> None:
    """RFC 5545, 3.6.1: DTSTART of value DATE, DTEND not included."""
    content = calendar_bytes(book())
    assert len(re.findall(rb"\r\nDT(?:START|END);VALUE=DATE:\d{8}\r\n", content)) == len(
        re.findall(rb"\r\nDTSTART", content)
    )
    assert b"TZID" not in content


def test_what_the_standard_asks_for_is_there() -> None:
    """RFC 5545, 3.6: PRODID and VERSION once; 3.6.1: UID and DTSTAMP in each event, DTSTAMP in UTC (3.8.7.2)."""
    content = calendar_bytes(book())
    assert content.startswith(f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:{PRODID}\r\n".encode())
    assert content.endswith(b"END:VCALENDAR\r\n")
    for one in events(content).values():
        assert one["UID"]
        assert one.decoded("dtstamp") == dt.datetime(2026, 6, 30, tzinfo=dt.UTC)
    uids = [str(one["UID"]) for one in events(content).values()]
    assert len({*uids}) == len(uids)
    assert b"VALARM" not in content
    assert b"METHOD" not in content


TEXTS = st.text(st.characters(exclude_characters="\0"), max_size=120) | st.sampled_from(
    [
        "é" * 100,
        "🐴" * 40,
        "a;b,c\\n\\d",
        "END:VEVENT\r\nBEGIN:VEVENT",
        "\u202eevil",
        "x\x07y",
        "line\u2028two",
        "\ud800",
    ]
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TEXTS, TEXTS)
def test_lines_are_short_and_end_as_they_must_whatever_was_typed(what: str, advice: str) -> None:
    """RFC 5545, 3.1: lines of at most 75 octets that end in CRLF; no text breaks out of its line."""
    plan = [PLAN[0], ["Bramble", "1", dt.date(2026, 7, 1), dt.date(2026, 7, 14), what, "", advice, ""]]
    content = calendar_bytes(book({"Horses": HORSES, "Plan": plan}), details=True)
    assert re.fullmatch(rb"(?:[^\r\n]{1,75}\r\n)+", content)
    for line in content.split(b"\r\n"):
        line.decode("utf-8")  # no letter is cut in two
    assert content.count(b"\r\nBEGIN:VEVENT\r\n") == 1
    ((title, one),) = events(content).items()
    assert days(one) == (dt.date(2026, 7, 1), dt.date(2026, 7, 15))
    assert title.startswith("Bramble: plan step 1")
    ((other, second),) = by_vobject(content).items()
    assert other == title
    assert second.description.value == str(one["DESCRIPTION"])


def test_a_long_text_is_whole_again_when_it_is_read() -> None:
    what = "Schritt, “ganz ruhig”; über weichen Boden, 🐴 " * 20
    plan = [PLAN[0], ["Bramble", "1", dt.date(2026, 7, 1), dt.date(2026, 7, 14), what, "", "", ""]]
    (title,) = events(calendar_bytes(book({"Horses": HORSES, "Plan": plan})))
    assert title == f"Bramble: plan step 1: {what.strip()}"


def test_nothing_private_is_in_it_unless_it_is_asked_for() -> None:
    private = ("Finch", "Tam", "box rest", "no worse", "Anna", "trimmer called", "comes", "trim-overdue")
    plain, full = calendar_bytes(book()), calendar_bytes(book(), details=True)
    unfolded = full.replace(b"\r\n ", b"").decode()
    assert not [word for word in private if word in plain.replace(b"\r\n ", b"").decode()]
    assert not [word for word in private[0:1] + private[2:] if word not in unfolded]
    for content in (plain, full):
        assert b"0170" not in content
        assert b"paid" not in content


def test_people_are_left_out_of_the_words_of_a_step_unless_they_are_asked_for() -> None:
    plan = [
        PLAN[0],
        ["Bramble", "1 (finch)", dt.date(2026, 7, 1), "", "walk with Anna, ring 01632 960147", 10.0, "", ""],
    ]
    one = book({**ALL, "Plan": plan})
    assert (
        "Bramble: plan step 1 ([name left out]): walk with [name left out], ring [number left out]"
        in events(calendar_bytes(one))
    )
    full = calendar_bytes(one, details=True)
    assert "Bramble: plan step 1 (finch): walk with Anna, ring 01632 960147" in events(full)
    assert sorted(uids(full).values()) == sorted(uids(calendar_bytes(one)).values())


def test_warnings_are_not_in_it() -> None:
    sheets: Sheets = {"Horses": HORSES, "Soundness": [["Date", "Score", "Gait"], [ON, "4/5", "walk"]]}
    assert any(one.urgency == "now" or one.urgency == "same day" for one in book(sheets).horses[0].warnings)
    assert events(calendar_bytes(book(sheets))) == {}


def uids(content: bytes) -> dict[str, str]:
    return {title: str(one["UID"]) for title, one in events(content).items()}


def test_an_event_stays_the_same_when_rows_come_in_above_it_and_its_day_moves() -> None:
    before = uids(calendar_bytes(book()))
    visits = [
        VISITS[0],
        [dt.date(2026, 5, 1), "Bramble", "Tam", "trimmer", "trim", "all", "", "", ""],
        [
            dt.date(2026, 6, 10),
            "Bramble",
            "Dr Finch",
            "vet",
            "radiographs",
            "LF",
            "",
            dt.date(2026, 9, 1),
            "",
        ],
        VISITS[1],
        [*VISITS[2][:7], dt.date(2026, 7, 18), "moved"],
    ]
    plan = [PLAN[0], ["Bramble", "0", dt.date(2026, 6, 25), dt.date(2026, 6, 30), "box rest", "", "", ""],
            ["Bramble", "1", dt.date(2026, 7, 3), dt.date(2026, 7, 20), "hand-walk", 12.0, "", ""], PLAN[2]]  # fmt: skip
    answers = [
        *ANSWERS,
        [dt.date(2026, 7, 1), "Bramble", "trim-overdue", "again", "", "", dt.date(2026, 7, 20)],
    ]
    after = calendar_bytes(
        book({"Horses": HORSES, "Visits": visits, "Plan": plan, "Follow-up": answers}, dt.date(2026, 7, 2))
    )
    assert {title: uid for title, uid in uids(after).items() if title in before} == before
    found = events(after)
    assert days(found["Bramble: vet check due"])[0] == dt.date(2026, 7, 18)
    assert days(found["Bramble: plan step 1: hand-walk"])[0] == dt.date(2026, 7, 3)
    assert days(found["Bramble: the quiet of a warning is over"])[0] == dt.date(2026, 7, 21)
    assert len(found) == len(before) + 2


def test_the_next_trim_is_one_event_that_moves_on() -> None:
    trimmed = [*VISITS[:2], [dt.date(2026, 7, 8), "Bramble", "Tam", "trimmer", "trim", "all", "", "", ""]]
    before = events(calendar_bytes(book()))["Bramble: trim due"]
    after = events(calendar_bytes(book({"Horses": HORSES, "Visits": trimmed}, dt.date(2026, 7, 9))))[
        "Bramble: trim due"
    ]
    assert str(before["UID"]) == str(after["UID"])
    assert days(after)[0] == dt.date(2026, 8, 12)
    assert int(after["SEQUENCE"]) > int(before["SEQUENCE"])


def test_two_horses_and_two_kinds_are_never_one_event() -> None:
    horses = [*HORSES, ["Moss", "", "", 5.0, ""]]
    visits = [*VISITS[:2], [dt.date(2026, 6, 3), "Moss", "Tam", "trimmer", "trim", "all", "", "", ""]]
    found = uids(calendar_bytes(book({"Horses": horses, "Visits": visits, "Plan": PLAN})))
    assert len({*found.values()}) == len(found) == 4
    older = [HORSES[0], ["Bramble", 1999.0, "", 5.0, ""]]
    other = uids(calendar_bytes(book({"Horses": older, "Visits": VISITS[:2]})))
    assert other["Bramble: trim due"] != found["Bramble: trim due"]


def test_a_step_that_goes_on_reaches_to_the_day_of_the_record() -> None:
    one = events(calendar_bytes(book(on=dt.date(2026, 8, 20))))["Bramble: plan step 2: ridden walk"]
    assert days(one) == (dt.date(2026, 7, 15), dt.date(2026, 8, 21))
    assert str(one["DESCRIPTION"]).endswith("No last day is written; it is shown up to 20 Aug 2026.")
    wrong = [PLAN[0], ["Bramble", "1", dt.date(2026, 7, 14), dt.date(2026, 7, 1), "", "", "", ""]]
    (other,) = events(calendar_bytes(book({"Horses": HORSES, "Plan": wrong}))).values()
    assert days(other) == (dt.date(2026, 7, 14), dt.date(2026, 7, 15))
    assert str(other["DESCRIPTION"]).endswith(
        "Its last day lies before its first, so only the first is shown."
    )


def test_steps_of_one_name_are_told_apart() -> None:
    plan = [*PLAN[:2], ["Bramble", "1", dt.date(2026, 9, 1), dt.date(2026, 9, 14), "once more", "", "", ""]]
    assert len({*uids(calendar_bytes(book({"Horses": HORSES, "Plan": plan}))).values()}) == 2


def test_the_same_book_gives_the_same_bytes_on_the_same_day() -> None:
    assert calendar_bytes(book()) == calendar_bytes(book())
    later = calendar_bytes(book(on=ON + dt.timedelta(days=1)))
    assert later != calendar_bytes(book())


def test_over_an_older_one_what_is_unchanged_keeps_its_number_and_what_moved_gets_a_higher_one() -> None:
    older = calendar_bytes(book())
    moved = [*VISITS[:2], [*VISITS[2][:7], dt.date(2026, 7, 18), ""]]
    newer = calendar_bytes(book({**ALL, "Visits": moved}), before=older)
    was, now = events(older), events(newer)
    for title in EXPECTED:
        higher = int(now[title]["SEQUENCE"]) - int(was[title]["SEQUENCE"])
        assert higher == (1 if title == "Bramble: vet check due" else 0), title
    later = events(calendar_bytes(book(on=dt.date(2026, 7, 1)), before=older))
    for title in EXPECTED:
        assert later[title]["SEQUENCE"] == was[title]["SEQUENCE"]
        assert later[title].decoded("last-modified") == was[title].decoded("last-modified")
        assert later[title].decoded("dtstamp") == dt.datetime(2026, 7, 1, tzinfo=dt.UTC)


def test_what_the_record_no_longer_has_is_cancelled_once_and_in_words() -> None:
    """RFC 5545, 3.8.1.11: STATUS CANCELLED."""
    older = calendar_bytes(book())
    without = book({"Horses": HORSES, "Visits": VISITS[:2], "Plan": PLAN, "Follow-up": ANSWERS})
    newer = calendar_bytes(without, before=older)
    gone = events(newer)["No longer in the record: Bramble: vet check due"]
    assert str(gone["STATUS"]) == "CANCELLED"
    assert str(gone["UID"]) == uids(older)["Bramble: vet check due"]
    assert int(gone["SEQUENCE"]) == int(events(older)["Bramble: vet check due"]["SEQUENCE"]) + 1
    again = calendar_bytes(without, before=newer)
    assert again == newer
    back = events(calendar_bytes(book(), before=newer))["Bramble: vet check due"]
    assert (str(back["STATUS"]), int(back["SEQUENCE"])) == ("CONFIRMED", int(gone["SEQUENCE"]) + 1)
    long_after = book({"Horses": HORSES, "Visits": VISITS[:2]}, dt.date(2027, 7, 20))
    assert "No longer" not in calendar_bytes(long_after, before=newer).decode()


def test_what_is_long_over_or_of_another_horse_is_left_as_it_is() -> None:
    older = calendar_bytes(book())
    later = events(calendar_bytes(book(on=dt.date(2026, 12, 1)), before=older))
    assert [*later] == ["Bramble: trim due", "Bramble: plan step 2: ridden walk"]  # it still goes on
    horses = [*HORSES, ["Moss", "", "", 5.0, ""]]
    two = book({**ALL, "Horses": horses})
    assert events(calendar_bytes(two, "Moss", before=older)) == {}
    assert len(events(calendar_bytes(two, "bramble", before=older))) == len(EXPECTED)
    assert events(calendar_bytes(two, "nobody")) == {}


def test_a_named_day_stands_until_a_visit_for_the_same_came_before_it_and_named_its_own() -> None:
    def due(*more: object) -> list[str]:
        visits = [*VISITS, [dt.date(2026, 6, 28), "Bramble", "Dr Finch", *more, ""]]
        found = events(calendar_bytes(book({"Horses": HORSES, "Visits": visits})))
        return sorted(
            f"{title} {days(one)[0]}" for title, one in found.items() if title != "Bramble: trim due"
        )

    named = dt.date(2026, 8, 1)
    assert due("vet", "check", "", "", named) == ["Bramble: vet check due 2026-08-01"]
    assert due("vet", "check", "", "", "") == ["Bramble: vet check due 2026-07-04"]
    assert due("vet", "radiographs", "", "", named) == [
        "Bramble: vet check due 2026-07-04", "Bramble: vet radiographs due 2026-08-01",
    ]  # fmt: skip
    assert due("trimmer", "trim", "all", "", named) == ["Bramble: vet check due 2026-07-04"]


def test_a_note_that_would_help_is_asked_for_on_the_day_itself() -> None:
    first = dt.date(2026, 1, 5)
    notes: list[list[object]] = [["Date", "Score", "Gait", "Ground", "Line", "Limb"]]
    grades = [*((number, 1) for number in range(60)), (62, 2), (64, 2), (66, 2)]
    for number, grade in grades:
        notes.append([first + dt.timedelta(days=number), f"{grade}/5", "trot", "hard", "straight", "LF"])
    asking = book(
        {"Horses": HORSES, "Soundness": notes, "Visits": [VISITS[0], [first, *VISITS[1][1:]]]},
        first + dt.timedelta(days=67),
    )
    assert any(watch.asks for watch in asking.horses[0].watches)
    assert len({*uids(calendar_bytes(asking)).values()}) == 2  # the note and the trim
    one = events(calendar_bytes(asking))["Bramble: a note would help"]
    assert days(one)[0] == asking.as_of
    assert "sound" not in str(one["DESCRIPTION"])


@pytest.mark.parametrize("name", NAMES)
def test_every_sample_is_read_alike_by_both(name: str) -> None:
    content = calendar_bytes(open_book(FOLDER / name, on=END))
    assert re.fullmatch(rb"(?:[^\r\n]{1,75}\r\n)+", content)
    ours = {str(one["UID"]): days(one) for one in icalendar.Calendar.from_ical(content).walk("VEVENT")}
    read = vobject.readOne(content.decode("utf-8")).contents.get("vevent", [])
    assert {one.uid.value: (one.dtstart.value, one.dtend.value) for one in read} == ours


def test_ours_is_known_by_its_own_name_at_its_head(tmp_path: Path) -> None:
    content = calendar_bytes(book())
    assert is_ours(content)
    assert is_ours(content.replace(b"\r\n", b"\n"))
    assert not is_ours(content.replace(b"Soundness Ledger", b"Somebody"))
    assert not is_ours(
        b"BEGIN:VCALENDAR\r\nPRODID:-//x//y//EN\r\nBEGIN:VEVENT\r\nSUMMARY:PRODID:" + PRODID.encode()
    )
    assert not is_ours(b"")
    target = tmp_path / "horse.ics"
    target.write_bytes(b"")
    with pytest.raises(NotWritten) as caught:
        write_calendar(book(), target)
    assert caught.value.problem.kind == "write-not-our-calendar"


def test_ours_that_somebody_spoilt_is_written_anew(tmp_path: Path) -> None:
    target = tmp_path / "horse.ics"
    assert write_calendar(book(), target) == len(EXPECTED)
    target.write_bytes(target.read_bytes()[:700])
    write_calendar(book(), target)
    assert [*events(target.read_bytes())] == [*EXPECTED]
    assert [path.name for path in tmp_path.iterdir()] == ["horse.ics"]


def test_where_the_disk_is_full_the_older_one_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device")

    target = tmp_path / "horse.ics"
    write_calendar(book(), target)
    before = target.read_bytes()
    monkeypatch.setattr("tracker.workbook.exported.save.write_through", full)
    with pytest.raises(NotWritten):
        write_calendar(book(on=dt.date(2026, 7, 2)), target)
    assert target.read_bytes() == before
