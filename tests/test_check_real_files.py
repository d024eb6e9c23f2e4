"""Files as other programs save them: merged, hidden, worked out, wrong, and typed as text."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl
import pytest
import python_calamine
import xlsxwriter
from books import TODAY, told

from tracker import check_book, open_book
from tracker.check.book import Checked

DAY = dt.datetime(2026, 3, 4)
HORSES = [["Horse", "Usual scale"], ["Bramble", "0-5"]]


def saved(path: Path, **sheets: list[list[object]]) -> openpyxl.Workbook:
    """A workbook by openpyxl, still to be altered and saved."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in ({"Horses": HORSES} | sheets).items():
        page = book.create_sheet(name)
        for row in rows:
            page.append(row)
    book.save(path)
    return book


def check(book: openpyxl.Workbook, path: Path) -> Checked:
    book.save(path)
    return check_book(path, today=TODAY, day_first=True)


def test_a_date_merged_down_belongs_to_its_first_row_and_the_rows_below_are_told(tmp_path: Path) -> None:
    """A merged range keeps the value of its first cell alone (ISO/IEC 29500-1 §18.3.1.55), as calamine gives it."""
    path = tmp_path / "merged.xlsx"
    rows = [["Date", "Limb", "Score"], [DAY, "LF", 2], [None, "RF", 1], [None, "LH", 0]]
    book = saved(path, Soundness=rows)
    book["Soundness"].merge_cells("A2:A4")
    result = check(book, path)
    page = python_calamine.load_workbook(str(path)).get_sheet_by_name("Soundness")
    assert page.merged_cell_ranges == [((1, 0), (3, 0))]
    assert [row[0] for row in page.to_python()[2:]] == ["", ""]
    assert told(result) == [("Soundness!A3", "required-empty"), ("Soundness!A4", "required-empty")]
    assert "merged" in result.problems[0].hint
    table = result.tables["Soundness"]
    assert (list(table.kept.index), list(table.frame.index)) == ([2], [2, 3, 4])
    assert table.frame["date"].isna().tolist() == [False, True, True]


def test_hidden_rows_columns_and_sheets_are_read_like_all_others(tmp_path: Path) -> None:
    path = tmp_path / "hidden.xlsx"
    rows = [["Date", "Score", "Limb"], [DAY, 2, "LF"], [DAY, 3, "RF"]]
    book = saved(path, Soundness=rows, Visits=[["Date", "Purpose"], [DAY, "trim"]])
    book["Soundness"].row_dimensions[3].hidden = True
    book["Soundness"].column_dimensions["C"].hidden = True
    book["Visits"].sheet_state = "hidden"
    book["Horses"].sheet_state = "veryHidden"
    result = check(book, path)
    assert told(result) == []
    assert result.tables["Soundness"].frame["limb"].tolist() == [("LF",), ("RF",)]
    assert result.rows["Visits"] == (1, 0)


def test_formulas_give_their_saved_results_and_errors_are_told_at_their_cells(tmp_path: Path) -> None:
    path = tmp_path / "formulas.xlsx"
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet("Body")
        page.write_row(0, 0, ["Date", "Temperature", "Weight", "Heart rate", "Remarks"])
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        page.write_formula(1, 0, "=DATE(2026,3,4)", day, 46085)
        page.write_formula(1, 1, "=37.5+0.4", None, 37.9)
        page.write_formula(1, 2, "=A9", None, "#REF!")
        page.write_formula(1, 3, '="3"&"6"', None, "36")
        page.write_formula(1, 4, "=A1/0", None, "#DIV/0!")
    result = check_book(path, today=TODAY)
    row = result.tables["Body"].frame.iloc[0]
    assert (str(row["date"].date()), row["temperature"], row["heart_rate"]) == ("2026-03-04", 37.9, 36)
    assert told(result)[1:] == [("Body!C2", "cell-error"), ("Body!E2", "cell-error")]
    assert [problem.found for problem in result.problems[1:]] == ["#REF!", "#DIV/0!"]


def test_a_formula_without_a_saved_value_is_a_doubt_at_its_cell(tmp_path: Path) -> None:
    """Openpyxl saves formulas without their results."""
    path = tmp_path / "unsaved.xlsx"
    book = saved(path, Body=[["Date", "Weight"], [DAY, "=400+80"]])
    result = check(book, path)
    assert [(p.cell, p.kind, p.severity, p.found) for p in result.problems] == [
        ("Body!B2", "formula-unsaved", "doubt", "=400+80")
    ]


def test_an_average_below_that_was_never_worked_out_is_still_a_row_of_totals(tmp_path: Path) -> None:
    path = tmp_path / "totals.xlsx"
    rows = [["Date", "Score"], [DAY, 2], ["Average", "=AVERAGE(B2:B2)"]]
    result = check(saved(path, Soundness=rows), path)
    assert told(result) == [("Soundness!A3", "totals-row")]


def test_numbers_kept_as_text_and_odd_spaces_are_read(tmp_path: Path) -> None:
    path = tmp_path / "text.xlsx"
    rows: list[list[object]] = [
        ["\u00a0Date\u2009", "Foot\u200b", "Toe\nlength\u00a0(mm)", "Toe\u2003angle", "Stage"],
        [
            "4\u00a0Mar\u20092026\u200b",
            "left\u00a0front",
            "\u200989\u00a0",
            "48,5\u202f°",
            "\ufeffafter\u00a0trim",
        ],
        ["46086", "\u200eRF", "8.9\u202fcm", "4 8", "\u00a0"],
    ]
    result = check(saved(path, Hooves=rows), path)
    assert told(result) == [("Hooves!D3", "number-unreadable")]
    frame = result.tables["Hooves"].frame
    assert [str(day.date()) for day in frame["date"]] == ["2026-03-04", "2026-03-05"]
    assert frame["foot"].tolist() == ["LF", "RF"]
    assert frame["toe_length"].tolist() == pytest.approx([89, 89])
    assert frame["toe_angle"].iloc[0] == 48.5
    assert frame["stage"].tolist() == ["after trim", ""]


def test_headings_below_a_title_block_that_is_merged_and_broken_over_lines(tmp_path: Path) -> None:
    path = tmp_path / "title.xlsx"
    rows: list[list[object]] = [
        ["Bramble's year", None, None, None],
        [None, "kept by", "Jo", None],
        [],
        [None, "Date", "Than\nlast time", "Score\r\n(0-5)"],
        [None, DAY, "better", 1.5],
    ]
    book = saved(path, Soundness=rows)
    book["Soundness"].merge_cells("A1:D1")
    result = check(book, path)
    assert told(result) == []
    assert result.tables["Soundness"].frame[["than_last_time", "score"]].values.tolist() == [["better", 1.5]]


def test_a_sign_typed_as_a_score_warns(tmp_path: Path) -> None:
    path = tmp_path / "sign.xlsx"
    book = saved(
        path, Soundness=[["Date", "Limb", "Score"], [dt.datetime(2026, 6, 29), "LF", "non weight bearing"]]
    )
    book.save(path)
    (horse,) = open_book(path, on=TODAY).horses
    assert [warning.urgency for warning in horse.warnings if "won't bear weight" in warning.because] == [
        "now"
    ]
