"""Sheets, headings, horses and rows."""

from __future__ import annotations

import pytest
from books import checked, told

from tracker.problem import Unreadable

HORSES = "Horse | Usual scale\nBramble | 0-5"


def test_headings_are_found_in_any_row_order_case_and_with_columns_of_the_owners_own() -> None:
    result = checked(
        Horses=HORSES,
        soundness="""Our diary | | |
        | | |
        Weather | SCORE (0-5) | date | Remarks
        rain | 2 | @2026-03-04 | wet
        dry | 1 | @2026-03-05 | """,
        Hay_and_bills="Date | Sum\n@2026-03-04 | 120",
    )
    assert told(result) == []
    assert result.tables["Soundness"].frame["score"].to_dict() == {4: 2.0, 5: 1.0}
    assert result.tables["Soundness"].cell("score", 4) == "Soundness!B4"


def test_blank_rows_and_rows_of_dashes_are_skipped() -> None:
    result = checked(Horses=HORSES, Soundness="Date | Score\n | \n@2026-03-04 | 2\n- | n/a\n@2026-03-05 | 2")
    assert result.rows["Soundness"] == (2, 0)
    assert told(result) == []


def test_a_sheet_without_its_heading_row_is_told_and_the_rest_is_read() -> None:
    result = checked(
        Horses=HORSES, Soundness="Day | Score\n@2026-03-04 | 2", Visits="Date | Purpose\n@2026-03-04 | trim"
    )
    assert told(result) == [("Soundness!A1", "heading-missing")]
    assert result.rows == {"Horses": (1, 0), "Visits": (1, 0)}


def test_slips_in_headings_and_sheet_names_are_doubted_only_where_the_right_one_is_missing() -> None:
    result = checked(
        Horses=HORSES,
        Soundness="Date | Scor | Than last tme\n@2026-03-04 | 2 | worse",
        Visit="Date | Purpose\n@2026-03-04 | trim",
    )
    assert ("Soundness!B1", "heading-near") in told(result)
    assert ("Soundness!C1", "heading-near") in told(result)
    assert ("Visit!A1", "sheet-near") in told(result)
    fine = checked(
        Horses=HORSES,
        Soundness="Date | Score | Scores\n@2026-03-04 | 2 | x",
        Visits="Date\n@2026-03-04",
        Visit="x",
    )
    assert told(fine) == []


def test_a_heading_that_stands_twice_is_doubted_and_the_first_is_read() -> None:
    result = checked(Horses=HORSES, Soundness="Date | Score | Score\n@2026-03-04 | 2 | 3")
    assert told(result) == [("Soundness!C1", "heading-twice")]
    assert result.tables["Soundness"].frame["score"].tolist() == [2]


def test_one_horse_need_not_be_named_and_is_spelled_as_on_its_sheet() -> None:
    result = checked(
        Horses=HORSES, Soundness="Date | Horse | Score\n@2026-03-04 | | 2\n@2026-03-05 | BRAMBLE | 2"
    )
    assert told(result) == []
    assert result.tables["Soundness"].frame["horse"].tolist() == ["Bramble", "Bramble"]


def test_with_several_horses_a_row_without_its_horse_is_set_aside() -> None:
    result = checked(
        Horses="Horse\nBramble\nMoss",
        Soundness="Date | Horse | Score\n@2026-03-04 | | 2/5\n@2026-03-05 | moss | 2/5",
    )
    assert told(result) == [("Soundness!B2", "which-horse")]
    assert result.rows["Soundness"] == (2, 1)


def test_a_sheet_without_the_horse_column_is_told_at_its_first_column() -> None:
    result = checked(Horses="Horse\nBramble\nMoss", Soundness="Date | Score\n@2026-03-04 | 2/5")
    assert told(result) == [("Soundness!A2", "which-horse")]


def test_a_horse_of_another_sheet_is_accepted_with_one_doubt() -> None:
    result = checked(
        Horses=HORSES,
        Soundness="Date | Horse | Score\n@2026-03-04 | Bramblee | 2/5\n@2026-03-05 | Bramblee | 2/5\n@2026-03-06 | | 2/5",
    )
    assert told(result) == [("Soundness!B2", "horse-not-listed")]
    assert result.tables["Soundness"].frame["horse"].tolist() == ["Bramblee", "Bramblee", "Bramble"]


def test_a_workbook_of_notes_alone_is_about_one_horse() -> None:
    result = checked(Soundness="Date | Score\n@2026-03-04 | 2/5")
    assert told(result) == [("Horses", "no-horses")]
    assert result.tables["Soundness"].frame["horse"].tolist() == ["the horse"]


@pytest.mark.parametrize("cell", ["Pulse RH", "Signs", "Than last time", "Score"])
def test_one_thing_observed_is_enough(cell: str) -> None:
    value = {"Pulse RH": "0", "Signs": "off feed", "Than last time": "same", "Score": "0"}[cell]
    assert told(checked(Horses=HORSES, Soundness=f"Date | {cell}\n@2026-03-04 | {value}")) == []


def test_a_note_that_says_nothing_is_set_aside() -> None:
    result = checked(Horses=HORSES, Soundness="Date | Score | Remarks\n@2026-03-04 | | lovely evening")
    assert told(result) == [("Soundness!B2", "nothing-observed")]
    assert result.problems[0].severity == "error"


def test_dates_of_an_episode_out_of_order_are_doubted() -> None:
    result = checked(Horses=HORSES, Abscesses="Foot | First seen | Opened\nLF | @2026-03-04 | @2026-03-01")
    assert told(result) == [("Abscesses!C2", "dates-out-of-order")]


def test_the_same_day_given_and_stopped_is_in_order() -> None:
    text = "Product | First given | Last given\nbute | @2026-03-04T18:00 | @2026-03-04"
    assert told(checked(Horses=HORSES, Pain_relief=text)) == []


def test_the_same_visit_twice_is_doubted_and_the_same_note_is_not() -> None:
    result = checked(
        Horses=HORSES,
        Soundness="Date | Score\n@2026-03-04 | 2\n@2026-03-04 | 2",
        Visits="Date | Purpose\n@2026-03-04 | trim\n@2026-03-09 | trim\n@2026-03-04 | trim",
    )
    assert told(result) == [("Visits!A4", "same-row-twice")]
    assert "row 2" in result.problems[0].message


def test_a_horse_entered_twice_is_doubted() -> None:
    assert told(checked(Horses="Horse\nMoss\nmoss")) == [("Horses!A3", "horse-twice")]


def test_every_one_of_many_mistakes_is_reported() -> None:
    lines = "\n".join("soon | 2/5" for _ in range(500))
    result = checked(Horses=HORSES, Soundness=f"Date | Score\n{lines}")
    assert len(result.problems) == 500
    assert [problem.cell for problem in result.problems] == [f"Soundness!A{row}" for row in range(2, 502)]


def test_a_workbook_of_something_else_is_unreadable() -> None:
    with pytest.raises(Unreadable) as failure:
        checked(Invoices="Number | Sum\n1 | 20")
    assert str(failure.value) == (
        "barn.xlsx is a workbook of something else, with none of the sheets Horses, Soundness, Visits, Abscesses, "
        "Hooves and the like: `soundness new` makes a blank workbook with the right sheets."
    )


def test_problems_come_sheet_by_sheet_and_row_by_row() -> None:
    result = checked(
        Visits="Date | Purpose\nsoon | trim",
        Horses=HORSES,
        Soundness="Date | Score | Limb\n@2026-03-04 | 2 | tail\nsoon | 2 | LF\n@2026-03-05 | 9 | tail",
    )
    assert [cell for cell, _ in told(result)] == [
        "Soundness!C2",
        "Soundness!A3",
        "Soundness!B4",
        "Soundness!C4",
        "Visits!A2",
    ]


def test_a_lone_heading_above_the_table_is_not_its_heading_row() -> None:
    result = checked(Horses=HORSES, Soundness="Date | 25 Nov\nDate | Score\n@2026-03-04 | 2")
    assert told(result) == []
    assert result.rows["Soundness"] == (1, 0)


def test_empty_sheets_of_ours_hold_no_records() -> None:
    with pytest.raises(Unreadable) as failure:
        checked(Horses="", Soundness="")
    assert failure.value.problem.kind == "file-no-records"
