"""Cells merged down over several records are told, and nothing is guessed for the records below."""

from __future__ import annotations

from pathlib import Path

import openpyxl
from books import TODAY, told

from tracker import check_book


def merged(path: Path, cells: str, value: str) -> Path:
    """A workbook of one horse and five notes, with a stretch of cells merged as openpyxl does it."""
    book = openpyxl.Workbook()
    horses, notes = book.active, book.create_sheet("Soundness")
    horses.title = "Horses"
    for row in (["Horse"], ["Bramble"]):
        horses.append(row)
    notes.append(["Date", "Score", "Limb", "Gait", "Scale"])
    for day in range(1, 6):
        notes.append([f"2026-03-0{day}", "2/5" if cells[0] != "E" else "4", "LF", "trot"])
    notes.merge_cells(cells)
    notes[cells.split(":")[0]] = value
    book.save(path)
    return path


def test_the_records_below_a_merged_limb_are_told_once(tmp_path: Path) -> None:
    checked = check_book(merged(tmp_path / "a.xlsx", "C3:C5", "RF"), today=TODAY)
    assert told(checked) == [("Soundness!C3", "merged-down")]
    assert "rows 4 to 5 have no Limb" in checked.problems[0].message
    limbs = checked.tables["Soundness"].kept["limb"].tolist()
    assert limbs == [("LF",), ("RF",), (), (), ("LF",)]


def test_a_date_merged_down_sets_aside_the_records_below_each_with_its_own_words(tmp_path: Path) -> None:
    checked = check_book(merged(tmp_path / "a.xlsx", "A3:A5", "2026-03-02"), today=TODAY)
    assert told(checked) == [("Soundness!A4", "required-empty"), ("Soundness!A5", "required-empty")]


def test_cells_merged_side_by_side_or_in_a_title_are_no_matter(tmp_path: Path) -> None:
    assert told(check_book(merged(tmp_path / "a.xlsx", "C3:D3", "LF"), today=TODAY)) == []
    beyond = check_book(merged(tmp_path / "b.xlsx", "F3:F5", "a note of my own"), today=TODAY)
    assert told(beyond) == []


def test_a_merged_scale_is_read_where_it_stands_and_nowhere_said_to_be_unread(tmp_path: Path) -> None:
    checked = check_book(merged(tmp_path / "a.xlsx", "E2:E4", "0-10"), today=TODAY)
    assert told(checked) == [("Soundness!E2", "merged-down"), ("Soundness!B3", "scale-assumed")]
    frame = checked.tables["Soundness"].frame
    assert (frame["scale"].iloc[0], frame["scale_assumed"].tolist()) == (
        "0-10",
        [False, True, True, True, True],
    )
