"""What is typed into a form is checked as the workbook is: the same words, the field's heading for the place."""

from __future__ import annotations

import datetime as dt

import pytest
from books import TODAY, raw

from tracker.check import dates
from tracker.entry.look import Look, look_over

NAMED = "Horse | Usual scale\nBramble | 0-5"
NOTES = "Date | Horse | Gait | Limb | Score | Signs | Pulse LF | Pulse RF | Than last time | Remarks"
NOW = dt.datetime(2026, 6, 30, 19, 5, 42, 999)


def look(typed: dict[str, str], sheet: str = "Soundness", row: int | None = None, **more: object) -> Look:
    """Look over an entry into a workbook of one horse; `notes` is its Soundness sheet."""
    notes = str(more.pop("notes", NOTES))
    sheets = {"Horses": str(more.pop("horses", NAMED)), "Soundness": notes, **more.pop("sheets", {})}  # type: ignore[dict-item]
    return look_over(raw(**sheets), sheet, typed, row, today=TODAY, now=NOW, **more)  # type: ignore[arg-type]


def told(found: Look) -> list[tuple[str | None, str, str]]:
    return [(problem.column, problem.severity, problem.kind) for problem in found.problems]


@pytest.fixture(autouse=True)
def _day_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dates, "machine_day_first", lambda: True)


def test_a_date_becomes_a_true_date_and_all_else_stays_as_typed() -> None:
    found = look(
        {
            "Date": "28.6.2026",
            "Score": "2/5",
            "limb": "left fore ",
            "than_last_time": "same",
            "Remarks": "=1+1",
        }
    )
    assert found.values == {
        "Date": dt.date(2026, 6, 28), "Limb": "left fore ", "Score": "2/5", "Than last time": "same", "Remarks": "=1+1",
    }  # fmt: skip
    assert found.shown["Date"] == "28 Jun 2026"
    assert (found.problems, found.refused) == ((), False)


def test_without_a_date_it_is_today() -> None:
    assert look({"Score": "2"}).values == {"Date": TODAY, "Score": "2"}


def test_the_moment_of_writing_is_filled_in_to_the_second_where_the_sheet_has_the_column() -> None:
    notes = "Date | Score | Written"
    assert look({"Score": "2"}, notes=notes).values["Written"] == dt.datetime(2026, 6, 30, 19, 5, 42)
    assert look({"Score": "2", "Written": "29 Jun 2026 8:00"}, notes=notes).values["Written"] == dt.datetime(
        2026, 6, 29, 8
    )


@pytest.mark.parametrize(
    ("notes", "day_first", "read"),
    [
        (f"{NOTES}\n25/3/26 | | | LF | 2", None, dt.date(2026, 3, 4)),
        (f"{NOTES}\n3/25/26 | | | LF | 2", None, dt.date(2026, 4, 3)),
        (NOTES, None, dt.date(2026, 3, 4)),
        (NOTES, False, dt.date(2026, 4, 3)),
    ],
    ids=["the column writes days first", "the column writes months first", "this computer", "as asked"],
)
def test_a_date_that_can_be_read_two_ways_is_read_as_the_check_reads_it(
    notes: str, day_first: bool | None, read: dt.date
) -> None:
    found = look({"Date": "4/3/26", "Score": "2"}, notes=notes, day_first=day_first)
    assert found.values["Date"] == read
    assert not found.refused


def test_the_doubt_says_what_an_unclear_date_was_read_as() -> None:
    found = look({"Date": "4/3/26", "Score": "2"})
    assert str(found.problems[0]) == (
        "doubt: Soundness · Date\n"
        "  found:   4/3/26\n"
        "  allowed: a date, such as 4 Mar 2026 or 2026-03-04\n"
        "  These dates can be read day first or month first, and the column does not show which. They are read "
        "day first, as this computer writes dates, so this one is 4 Mar 2026.\n"
        "  To do: Write the month by name, or type the dates as true dates of your spreadsheet."
    )


def test_an_error_refuses_the_entry_in_the_words_of_the_check() -> None:
    found = look({"Date": "31 Feb 2026", "Score": "2"})
    assert found.refused
    assert str(found.problems[0]) == (
        "error: Soundness · Date\n"
        "  found:   31 Feb 2026\n"
        "  allowed: a date, such as 4 Mar 2026 or 2026-03-04\n"
        "  There is no such day in the calendar. The entry is not written until it is mended.\n"
        "  To do: Write the day, the month by name and the year, such as 4 Mar 2026."
    )


@pytest.mark.parametrize(
    ("typed", "problem", "refused"),
    [
        ({"Gait": "trott", "Score": "2"}, ("Gait", "doubt", "choice-unknown"), False),
        ({"Score": "2-3"}, ("Score", "doubt", "score-range"), False),
        ({"Score": "7"}, ("Score", "error", "score-beyond-scale"), True),
        ({"Remarks": "sunny"}, ("Score", "error", "nothing-observed"), True),
        ({"Horse": "Brambel", "Score": "2/5"}, ("Horse", "doubt", "horse-not-listed"), False),
        ({"Date": "1 Jul 2026", "Score": "2"}, ("Date", "doubt", "date-in-future"), False),
        ({"Signs": "off feeed"}, ("Signs", "doubt", "sign-near"), False),
        ({}, (None, "error", "entry-nothing"), True),
        ({"Score": "  "}, (None, "error", "entry-nothing"), True),
        ({"Scor": "2"}, (None, "error", "entry-no-field"), True),
        ({"Remarks": "x" * 32_768, "Score": "2"}, ("Remarks", "error", "write-too-long"), True),
        ({"Remarks": "a \ud800", "Score": "2"}, ("Remarks", "error", "write-not-a-value"), True),
        ({"Remarks": "a \ufffe", "Score": "2"}, ("Remarks", "error", "write-not-a-value"), True),
        ({"Remarks": "a \uffff", "Score": "2"}, ("Remarks", "error", "write-not-a-value"), True),
    ],
)  # fmt: skip
def test_errors_refuse_and_doubts_are_shown(
    typed: dict[str, str], problem: tuple[str | None, str, str], refused: bool
) -> None:
    found = look(typed)
    assert told(found) == [problem]
    assert found.refused is refused


def test_of_several_horses_the_entry_must_name_one() -> None:
    horses = f"{NAMED}\nMoss | 0-5"
    assert told(look({"Score": "2"}, horses=horses)) == [("Horse", "error", "which-horse")]
    assert not look({"Score": "2", "Horse": "moss"}, horses=horses).problems


def test_only_the_entry_is_judged_and_not_the_rest_of_the_workbook() -> None:
    assert told(look({"Score": "2"}, notes=f"{NOTES}\nsoon | | jog | tail | sore")) == []


def test_a_value_without_a_column_is_refused_with_the_choice() -> None:
    found = look({"Score": "2", "Ground": "hard"})
    assert found.refused
    assert str(found.problems[0]) == (
        "error: Soundness · Ground\n"
        "  found:   hard\n"
        "  allowed: Date, Horse, Gait, Limb, Score, Signs, Pulse LF, Pulse RF, Than last time, Remarks\n"
        "  Your sheet Soundness has no column Ground, so this would have no place.\n"
        "  To do: Let the column be added (--add-column), or put it into Remarks (--to-remarks)."
    )


def test_without_a_remarks_column_only_the_column_can_be_added() -> None:
    found = look({"Score": "2", "Ground": "hard"}, notes="Date | Score", to_remarks=True)
    assert [problem.hint for problem in found.problems] == ["Let the column be added (--add-column)."]


def test_the_column_is_added_when_that_is_chosen() -> None:
    found = look({"Score": "2", "Ground": "hard", "Line": "strait"}, add_column=True)
    assert found.added == ("Ground", "Line")
    assert told(found) == [("Line", "doubt", "choice-unknown")]
    assert found.values == {"Date": TODAY, "Score": "2", "Ground": "hard", "Line": "strait"}


def test_a_value_goes_into_remarks_when_that_is_chosen() -> None:
    typed = {"Score": "2", "Ground": "hard", "Line": "straight", "Remarks": "sunny"}
    found = look(typed, to_remarks=True)
    assert found.values["Remarks"] == "sunny; Ground: hard; Line: straight"
    assert not found.refused
    assert found.added == ()
    assert look({"Score": "2", "Ground": "hard"}, to_remarks=True).values["Remarks"] == "Ground: hard"


@pytest.mark.parametrize("to_remarks", [False, True])
def test_what_would_be_no_record_as_a_remark_needs_its_column(to_remarks: bool) -> None:
    found = look({"Than last time": "worse"}, notes="Date | Score | Remarks", to_remarks=to_remarks)
    assert told(found) == [("Than last time", "error", "entry-no-column")]
    assert found.problems[0].hint == "Let the column be added (--add-column)."


@pytest.mark.parametrize("to_remarks", [False, True])
def test_a_sign_without_a_column_warns_and_may_be_a_remark(to_remarks: bool) -> None:
    found = look({"Signs": "won't move"}, notes="Date | Score | Remarks", to_remarks=to_remarks)
    kept = [("Remarks", "doubt", "sign-in-remarks")]
    assert told(found) == (kept if to_remarks else [("Signs", "error", "entry-no-column")])
    assert [warning.rule for warning in found.warnings] == ["not-bearing-weight"]


def test_a_missing_sheet_is_refused_and_added_when_that_is_chosen() -> None:
    typed = {"Foot": "LF", "First seen": "29 Jun 2026"}
    refused = look(typed, "Abscesses")
    assert str(refused.problems[0]) == (
        "error: Abscesses\n"
        "  allowed: Abscesses\n"
        "  The workbook has no sheet Abscesses.\n"
        "  To do: Let the sheet be added (--add-sheet), or write the entry on another one."
    )
    added = look(typed, "abscesses", add_sheet=True)
    assert (added.adds_sheet, added.refused) == (True, False)
    assert added.values == {"Foot": "LF", "First seen": dt.date(2026, 6, 29)}


def test_a_sheet_without_its_headings_says_which_are_missing() -> None:
    found = look({"Score": "2"}, notes="notes of last year\nall well")
    assert told(found) == [(None, "error", "heading-missing")]
    assert found.problems[0].message.startswith("The sheet has no heading row with Date,")


def test_below_a_second_table_nothing_is_judged_as_if_it_belonged_to_the_first() -> None:
    notes = "Date | Score | Limb\n@2026-06-01 | 2 | LF\n | | \nDate | Name | \n@2026-06-01 | Kim | "
    found = look({"Score": "2", "Limb": "tail"}, notes=notes)
    assert told(found) == [("Limb", "doubt", "limb-unknown")]


ABSCESS = {
    "Abscesses": "Foot | First seen | Opened | Comfortable again | Remarks\nLF | @2026-06-20 | | | poultice"
}


def test_a_record_is_changed_where_it_stands() -> None:
    found = look({"Opened": "22 Jun 2026"}, "Abscesses", 2, sheets=ABSCESS)
    assert (found.row, found.values, found.problems) == (2, {"Opened": dt.date(2026, 6, 22)}, ())


def test_a_change_is_judged_together_with_the_rest_of_its_record() -> None:
    found = look({"Opened": "1 Jun 2026"}, "Abscesses", 2, sheets=ABSCESS)
    assert told(found) == [("Opened", "doubt", "dates-out-of-order")]


def test_a_change_is_not_refused_for_what_stood_in_the_record_before() -> None:
    sheets = {"Abscesses": "Foot | First seen | Opened\nLF | soon |"}
    assert not look({"Opened": "22 Jun 2026"}, "Abscesses", 2, sheets=sheets).refused
    assert look({"First seen": "later"}, "Abscesses", 2, sheets=sheets).refused


def test_nothing_typed_empties_a_cell_of_a_record_that_is_changed() -> None:
    assert look({"Remarks": ""}, "Abscesses", 2, sheets=ABSCESS).values == {"Remarks": None}
    emptied = look({"First seen": " "}, "Abscesses", 2, sheets=ABSCESS)
    assert told(emptied) == [("First seen", "error", "required-empty")]


@pytest.mark.parametrize("row", [0, 1, 3, 900])
def test_a_row_without_a_record_cannot_be_changed(row: int) -> None:
    assert told(look({"Opened": "22 Jun 2026"}, "Abscesses", row, sheets=ABSCESS)) == [
        (None, "error", "entry-no-row")
    ]


def test_what_has_no_column_joins_the_remarks_that_are_there() -> None:
    found = look({"Where": "toe"}, "Abscesses", 2, sheets=ABSCESS, to_remarks=True)
    assert found.values == {"Remarks": "poultice; Where: toe"}


@pytest.mark.parametrize(
    ("typed", "rules"),
    [
        ({"Signs": "won't bear weight"}, ["not-bearing-weight"]),
        (
            {"Signs": "nail in foot, sweating"},
            ["not-bearing-weight", "object-or-hole-in-foot", "wound-and-tetanus-not-known"],
        ),
        ({"Score": "4/5"}, ["lame-at-walk"]),
        ({"Pulse LF": "2", "Pulse RF": "3", "Signs": "hard to turn"}, ["raised-pulses-and-stiff"]),
        ({"Score": "3/5"}, []),
        ({"Score": "4/5", "Date": "1 Jun 2026"}, []),
    ],
)
def test_the_warnings_that_the_entry_calls_for_come_with_it(typed: dict[str, str], rules: list[str]) -> None:
    found = look(typed, notes=f"{NOTES}\n@2026-06-29 | | | RF | | wound near a joint")
    assert [warning.rule for warning in found.warnings] == rules
    own = [
        warning for warning in found.warnings if "tetanus" not in warning.rule
    ]  # that is about both wounds
    assert all(warning.cells == () for warning in own)


def test_a_refused_entry_still_warns() -> None:
    found = look({"Signs": "won't move", "Date": "soon"})
    assert found.refused
    assert [(warning.rule, warning.urgency) for warning in found.warnings] == [("not-bearing-weight", "now")]


def test_an_entry_together_with_an_older_note_points_to_the_older_cells() -> None:
    notes = f"{NOTES}\n@2026-06-30 | | | | | | 2 | 2 | | "
    found = look({"Signs": "hard to turn"}, notes=notes)
    assert [warning.rule for warning in found.warnings] == ["raised-pulses-and-stiff"]
    assert all(cell.endswith("2") for warning in found.warnings for cell in warning.cells)


def test_what_would_be_too_long_for_remarks_is_refused() -> None:
    """A cell holds 32,767 signs at most (Microsoft, "Excel specifications and limits")."""
    typed = {"Score": "2", "Remarks": "x" * 32_760, "Ground": "hard"}
    assert not look({"Score": "2", "Remarks": "x" * 32_760}).refused
    assert told(look(typed, to_remarks=True)) == [("Remarks", "error", "write-too-long")]
