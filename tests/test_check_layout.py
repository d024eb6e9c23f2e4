"""What stands on a sheet beside the records: totals, and a second table; and units in headings."""

from __future__ import annotations

import pytest
from books import checked, raw, told
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.check.layout import totals_row
from tracker.check.locate import locate_sheets
from tracker.sheets import SHEETS

HORSES = "Horse | Usual scale\nBramble | 0-5"
TWO_NOTES = "Date | Score | Limb\n@2026-03-04 | 2 | LF\n@2026-03-05 | 3 | LF"


@pytest.mark.parametrize(
    "last",
    ["Average | 2.5", "TOTAL: | 5", "Grand total | 5", "Sum | 5", "mean | 2.5", "Count | 2", "Avg. | 2,5", "Total of 2 notes | 5",
     "Subtotal | 5", "Max | 3", "Total | #DIV/0!"],
)  # fmt: skip
def test_a_row_of_totals_is_told_once_and_is_no_record(last: str) -> None:
    result = checked(Horses=HORSES, Soundness=f"{TWO_NOTES}\n{last}")
    assert told(result) == [("Soundness!A4", "totals-row")]
    assert result.problems[0].severity == "doubt"
    assert result.rows["Soundness"] == (2, 0)


@pytest.mark.parametrize(
    ("sheet", "text", "cell"),
    [
        ("Body", "Date | Horse | Weight\n@2026-03-04 | Bramble | 480\n | | \n | Mean | 480", "Body!B4"),
        ("Body", "Week | Date | Weight\n1 | @2026-03-04 | 480\nMean | | 480", "Body!A3"),
        ("Work", "Date | What | Minutes\n@2026-03-04 | trot | 48\nTotal minutes: | | 48 min", "Work!A3"),
        ("Abscesses", "Horse | Foot | First seen\nBramble | LF | @2026-03-04\nTotal | | 4", "Abscesses!A3"),
        ("Pain_relief", "Product | First given\nbute | @2026-03-04\nTotal | ", "Pain relief!A3"),
    ],
)
def test_the_first_filled_cell_may_be_any(sheet: str, text: str, cell: str) -> None:
    result = checked(Horses=HORSES, **{sheet: text})
    assert told(result) == [(cell, "totals-row")]


@pytest.mark.parametrize(
    ("sheet", "text"),
    [
        ("Abscesses", "Horse | Foot | First seen\nMax | LF | @2026-03-04"),  # a horse called Max
        ("Abscesses", "Horse | Foot | First seen\nMean | LF | @2026-03-04"),
        ("Plan", "Step | From\nTotal rest | @2026-03-04"),
    ],
)
def test_a_record_that_begins_with_such_a_word_is_a_record(sheet: str, text: str) -> None:
    name = text.splitlines()[1].split(" |")[0] if text.startswith("Horse") else "Bramble"
    result = checked(Horses=f"Horse\n{name}", **{sheet: text})
    assert (told(result), result.rows[sheet]) == ([], (1, 0))
    assert checked(Horses="Horse\nMax\nCount").rows["Horses"] == (2, 0)


def test_a_warning_sign_is_never_taken_for_a_total() -> None:
    text = "Date | Score | Signs\nAverage day | | won't bear weight"
    result = checked(Horses=HORSES, Soundness=text)
    assert told(result) == [("Soundness!A2", "date-unreadable")]
    assert result.tables["Soundness"].frame["signs"].tolist() == [("won't bear weight",)]


def test_totals_do_not_sway_what_a_column_is_read_as() -> None:
    """Ten bare inches say inches, and a sum of 90 beside them must not say millimetres."""
    lines = "\n".join(f"@2026-03-{day:02} | LF | 3.5" for day in range(1, 11))
    result = checked(Horses=HORSES, Hooves=f"Date | Foot | Toe length\n{lines}\nMean | | 90")
    assert result.tables["Hooves"].frame["toe_length"].tolist() == pytest.approx([88.9] * 10)
    assert told(result) == [("Hooves!C2", "unit-by-size"), ("Hooves!A12", "totals-row")]


@pytest.mark.parametrize(
    ("below", "row"),
    [
        ("", None),
        ("\nAverage | 2.5", 4),
        ("\n | \n | \nAverage | 2.5\nSum | 5", 6),
        ("\nAverage | 2.5\n@2026-03-06 | 2", None),
        ("\nAverage | 2.5\n | \n@2026-03-06 | 2\nSum | 7", 7),
        ("\nAverage | 2.5\n | \nDate | Score\n@2025-03-06 | 2\nSum | 7", 4),
    ],
)
def test_where_the_totals_below_the_last_record_begin(below: str, row: int | None) -> None:
    located, _ = locate_sheets(raw(Soundness=TWO_NOTES + below))
    assert totals_row(located[0]) == row


@pytest.mark.parametrize(
    ("below", "cell", "row"),
    [
        (" | \nDate | Score | Limb\n@2025-03-04 | 4 | RF", "A5", 5),
        (" | \nOld notes\nDate | Score\n@2025-03-04 | 4", "A6", 6),
        ("Moss\nDate | Score | Limb\n@2025-03-04 | 4 | RF", "A5", 5),
        (" | \nDate | What | Who\n@2025-03-04 | 4 | me", "A5", 5),
        (" | \n | Limb | Date\n | LF | @2025-03-04", "B5", 5),
        ("Limb | Score | Date\nLF | 4 | @2025-03-04", "A4", 4),
        ("Date | Score | Limb\n@2025-03-04 | 4 | RF", "A4", 4),
    ],
)
def test_only_the_first_of_two_tables_is_read_and_the_other_is_told(below: str, cell: str, row: int) -> None:
    result = checked(Horses=HORSES, Soundness=f"{TWO_NOTES}\n{below}")
    assert told(result) == [(f"Soundness!{cell}", "second-table")]
    assert result.tables["Soundness"].frame["score"].to_dict() == {2: 2, 3: 3}
    assert f"row {row} on" in result.problems[0].message


def test_of_two_tables_side_by_side_the_left_one_is_read() -> None:
    text = """Date | Score | | Date | Limb | Remarks
    @2026-03-04 | 2 | | @2025-03-04 | RF | last year"""
    result = checked(Horses=HORSES, Soundness=text)
    assert told(result) == [("Soundness!D1", "second-table")]
    assert "column D on" in result.problems[0].message
    assert result.tables["Soundness"].frame[["limb", "remarks"]].to_dict("list") == {
        "limb": [()],
        "remarks": [""],
    }


def test_a_column_without_a_heading_does_not_part_a_table() -> None:
    result = checked(Horses=HORSES, Soundness="Date | | Score | | Limb\n@2026-03-04 | x | 2 | | LF")
    assert told(result) == []
    assert result.tables["Soundness"].frame["limb"].tolist() == [("LF",)]


def test_a_remark_or_a_horse_that_reads_like_a_heading_is_none() -> None:
    result = checked(
        Horses="Horse | Sex\nHorse | mare", Soundness="Date | Score | Remarks\n@2026-03-04 | 2/5 | Date"
    )
    assert (told(result), result.rows) == ([], {"Horses": (1, 0), "Soundness": (1, 0)})


@pytest.mark.parametrize(
    ("heading", "cell", "score", "scale"),
    [
        ("Score (0-10)", "7", 7, "0-10"), ("Score /10", "7", 7, "0-10"), ("Score out of 10", "4", 4, "0-10"), ("SCORE [/5]", "4", 4, "0-5"),
        ("Score\n(0–5)", "4", 4, "0-5"), ("Score (AAEP)", "4", 4, "0-5"), ("Score (0-10)", "2/5", 2, "0-5"), ("Score (LF)", "2", 2, "0-5"),
    ],
)  # fmt: skip
def test_the_scale_of_a_heading_is_the_columns_and_a_cells_own_wins(
    heading: str, cell: str, score: float, scale: str
) -> None:
    head = heading.replace("\n", " ")
    result = checked(Horses=HORSES, Soundness=f"Date | {head}\n@2026-03-04 | {cell}")
    row = result.tables["Soundness"].frame.iloc[0]
    assert (row["score"], row["scale"], told(result)) == (score, scale, [])


def test_the_scale_of_the_row_wins_over_the_headings() -> None:
    result = checked(Horses=HORSES, Soundness="Date | Scale | Score (0-5)\n@2026-03-04 | 0-10 | 7")
    assert (result.tables["Soundness"].frame["scale"].tolist(), told(result)) == (["0-10"], [])


@pytest.mark.parametrize("heading", ["Toe length (hands)", "Toe length [furlong]"])
def test_a_unit_that_a_column_cannot_have_is_told_at_its_heading(heading: str) -> None:
    result = checked(Horses=HORSES, Hooves=f"Date | Foot | {heading}\n@2026-03-04 | LF | 89")
    assert told(result) == [("Hooves!C1", "heading-unit-unknown")]
    assert result.problems[0].allowed == "mm, cm, m or in"
    assert result.tables["Hooves"].frame["toe_length"].tolist() == [89]


@pytest.mark.parametrize(
    ("heading", "length"),
    [
        ("Toe length in", 88.9),
        ("Toe length, in", 88.9),
        ("Toe length - inches", 88.9),
        ("TOE LENGTH in cm", 35),
        ("toe_length", 88.9),
        ("ToeLength (in)", 88.9),
        ("Toe\u00a0length\u200b (in)", 88.9),
    ],
)
def test_a_unit_needs_no_brackets_and_a_heading_no_particular_spaces(heading: str, length: float) -> None:
    result = checked(Horses=HORSES, Hooves=f"Date | Foot | {heading}\n@2026-03-04 | LF | 3.5")
    assert result.tables["Hooves"].frame["toe_length"].tolist() == pytest.approx([length])
    assert {kind for _, kind in told(result)} <= {"unit-by-size"}


def test_a_heading_with_something_else_behind_it_is_only_doubted() -> None:
    result = checked(Horses=HORSES, Hooves="Date | Foot | Toe length 2\n@2026-03-04 | LF | 89")
    assert told(result) == [("Hooves!C1", "heading-near")]


def test_no_two_headings_of_a_sheet_are_the_same_without_their_spaces() -> None:
    for sheet in SHEETS:
        names = [column.heading.replace(" ", "").lower() for column in sheet.columns]
        assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("heading", "read"), [("Date (dd/mm/yyyy)", "2026-03-04"), ("Date (M/D/YY)", "2026-04-03")]
)
def test_the_order_in_a_date_heading_settles_the_column(heading: str, read: str) -> None:
    result = checked(Horses=HORSES, Soundness=f"{heading} | Score\n4/3/26 | 2")
    assert ([str(day.date()) for day in result.tables["Soundness"].frame["date"]], told(result)) == (
        [read],
        [],
    )


_CELLS = st.sampled_from(
    ["", "", "-", "Total", "Average", "Max", "count:", "Date", "Score", "Limb", "Horse", "Bramble", "@2026-03-04", "4/3/26", "4 Mar", "soon", "2",
     "2-3", "3/4", "slight", "5/5 nwb", "LF", "LF RF", "off feed", "#N/A", "\u200b", "٣", "²", "9" * 400],
)  # fmt: skip


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(st.tuples(_CELLS, _CELLS, _CELLS, _CELLS), max_size=14))
def test_no_filled_row_is_lost_whatever_stands_in_it(lines: list[tuple[str, ...]]) -> None:
    """Each is a record, or totals that are told, or lies in a second table that is told."""
    text = "\n".join(" | ".join(line) for line in [("Date", "Horse", "Score", "Signs"), *lines])
    result = checked(Horses=HORSES, Soundness=text)
    told_rows = {
        int(cell[11:]): kind for cell, kind in told(result) if kind in ("totals-row", "second-table")
    }
    second = min((row for row, kind in told_rows.items() if kind == "second-table"), default=len(lines) + 2)
    frame = result.tables["Soundness"].frame
    for row, line in enumerate(lines, start=2):
        filled = [at for at, cell in enumerate(line) if cell not in ("", "-", "\u200b")]
        if filled and row < second:
            dated = line[0] in ("@2026-03-04", "4/3/26", "4 Mar")
            title = row > max(frame.index, default=1) and filled in ([0], [1]) and not dated
            assert row in frame.index or told_rows.get(row) == "totals-row" or title
