"""The latest record of a foot: what it holds, and what does not push it aside."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from tracker import open_book
from tracker.show.shapes import horse_view
from tracker.workbook.new.blank import write_workbook

TOE = {"Date": dt.date(2026, 10, 1), "Foot": "LF", "Stage": "after trim", "Toe length": "86 mm"}
MARK = {"Date": dt.date(2026, 11, 1), "Growth mark": "ring", "Growth mark below hairline": "23 mm"}
ON = dt.date(2026, 11, 20)


def test_a_day_on_which_only_a_growth_mark_was_read_leaves_the_last_measures_in_sight(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    rows = [TOE, {**MARK, "Foot": "LF"}, {**MARK, "Foot": "RF"}]
    write_workbook(file, {"Horses": [{"Horse": "Moss"}], "Hooves": rows})
    book = open_book(file, on=ON)
    left, right, *_ = horse_view(book.horses[0], book.as_of).feet
    assert left.when.startswith("1 Oct 2026, after trim")
    assert [one.key for one in left.measures] == ["toe_length"]
    assert (right.when, right.measures) == ("", ())
