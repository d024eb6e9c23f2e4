"""What owners lay out around and below their record: where the next note goes, and where there is no room for it."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from rich_parts.packing import parts_of
from rich_parts.readers import by_openpyxl, findings
from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from tracker.workbook.change.plan import plan_append
from tracker.workbook.change.verify import check_written
from tracker.workbook.gate import Refused

HEADINGS = ("Date", "Horse", "Score", "Remarks", "Twice")
KNOWN = (0, 1, 2, 3)
NEW = {0: dt.datetime(2026, 5, 1), 1: "Clover", 2: 3, 3: "new"}
COLUMNS = [{"header": heading} for heading in HEADINGS[:4]] + [{"header": "Twice", "formula": "=[@Score]*2"}]


def laid_out(draw: Callable[[Worksheet], None], *, table_to: int = 0, **table: object) -> bytes:
    """A record of five notes in rows 2 to 6, drawn upon; as a table down to the row `table_to`, if that is given."""
    file = io.BytesIO()
    book = Workbook(file, {"in_memory": True})
    sheet = book.add_worksheet("Soundness")
    day = book.add_format({"num_format": 14})
    sheet.write_row(0, 0, HEADINGS)
    if table_to:
        sheet.add_table(0, 0, table_to - 1, 4, {"columns": COLUMNS, "name": "Notes", **table})
    for row in range(1, 6):
        sheet.write_datetime(row, 0, dt.datetime(2026, 2, row), day)
        sheet.write_row(row, 1, ("Clover", row / 2, f"note {row}"))
        sheet.write_formula(row, 4, f"=C{row + 1}*2", None, row)
    draw(sheet)
    book.close()
    return file.getvalue()


def nothing(_: Worksheet) -> None:
    """A record with nothing around it."""


def prices(sheet: Worksheet) -> None:
    """A list beside the record that goes further down."""
    for row in range(2, 40):
        sheet.write_row(row, 8, ("hay", row))


def a_word_beside(sheet: Worksheet) -> None:
    """Far below the record, in a column of no heading."""
    sheet.write(30, 9, "ring the yard on Fridays")


def prices_as_table(sheet: Worksheet) -> None:
    sheet.add_table("I3:J30", {"name": "Prices", "data": [["hay", 4]] * 27})


def formulas_to_come(sheet: Worksheet) -> None:
    for row in range(6, 50):
        sheet.write_formula(row, 4, f"=C{row + 1}*2", None, 0)


def heights_to_come(sheet: Worksheet) -> None:
    for row in range(6, 50):
        sheet.set_row(row, 20)


def a_word_below(sheet: Worksheet) -> None:
    sheet.write(8, 1, "seen by the vet up to here")


ROOM = {
    "nothing": (laid_out(nothing), 7),
    "a-table": (laid_out(nothing, table_to=6), 7),
    "a-table-without-filter": (laid_out(nothing, table_to=6, autofilter=False), 7),
    "a-table-with-rows-to-come": (laid_out(nothing, table_to=21), 7),
    "a-longer-list-beside": (laid_out(prices), 7),
    "a-word-beside-further-down": (laid_out(a_word_beside), 7),
    "a-table-and-a-longer-list-beside": (laid_out(prices, table_to=6), 7),
    "a-table-and-a-longer-one-beside": (laid_out(prices_as_table, table_to=6), 7),
    "formulas-to-come": (laid_out(formulas_to_come), 7),
    "heights-to-come": (laid_out(heights_to_come), 7),
    "a-word-below": (laid_out(a_word_below), 10),
}


@pytest.mark.parametrize(("workbook", "row"), ROOM.values(), ids=ROOM)
def test_the_next_note_goes_below_the_last_and_disturbs_nothing(
    workbook: bytes, row: int, tmp_path: Path
) -> None:
    plan = plan_append(workbook, "Soundness", NEW, heading_row=1, known=KNOWN)
    check_written(workbook, plan.content, plan)
    old, new = by_openpyxl(workbook)["Soundness"], by_openpyxl(plan.content)["Soundness"]
    assert {place: new.get(place) for place in old} == old
    assert {column: new[row, column] for column in NEW} == NEW
    assert set(new) - set(old) <= {(row, column) for column in range(5)}
    assert findings(plan.content, tmp_path) - findings(workbook, tmp_path) == Counter()


def test_a_table_with_rows_to_come_is_not_made_longer() -> None:
    workbook, _ = ROOM["a-table-with-rows-to-come"]
    after = parts_of(plan_append(workbook, "Soundness", NEW, heading_row=1, known=KNOWN).content)
    assert after["xl/tables/table1.xml"] == parts_of(workbook)["xl/tables/table1.xml"]


def test_the_notes_after_those_to_come_make_the_table_longer() -> None:
    workbook, _ = ROOM["a-table-with-rows-to-come"]
    after = parts_of(plan_append(workbook, "Soundness", [NEW] * 20, heading_row=1, known=KNOWN).content)
    assert b'ref="A1:E26"' in after["xl/tables/table1.xml"]


def hidden_to_come(sheet: Worksheet) -> None:
    for row in range(6, 50):
        sheet.set_row(row, 30, None, {"hidden": True})


def test_a_note_in_a_row_that_was_hidden_for_later_is_seen() -> None:
    plan = plan_append(laid_out(hidden_to_come), "Soundness", NEW, heading_row=1, known=KNOWN)
    page = openpyxl.load_workbook(io.BytesIO(plan.content))["Soundness"]
    assert [page.row_dimensions[row].hidden for row in (plan.row, plan.row + 1)] == [False, True]
    assert page.row_dimensions[plan.row].height == 30


def test_a_table_below_its_own_headings_grows_too() -> None:
    workbook = laid_out(
        lambda sheet: sheet.add_table("A2:E6", {"columns": COLUMNS, "header_row": False, "name": "Notes"})
    )
    after = parts_of(plan_append(workbook, "Soundness", NEW, heading_row=1, known=KNOWN).content)
    assert b'ref="A2:E7"' in after["xl/tables/table1.xml"]


def test_a_new_date_looks_like_the_cells_above_but_for_its_format() -> None:
    file = io.BytesIO()
    book = Workbook(file, {"in_memory": True})
    sheet = book.add_worksheet("Soundness")
    looks = {
        "text_wrap": True,
        "align": "center",
        "valign": "top",
        "italic": True,
        "bg_color": "#DDEEFF",
        "locked": False,
    }
    sheet.write_row(0, 0, HEADINGS)
    sheet.write_string(1, 0, "4 Mar 2026", book.add_format(looks))
    book.close()
    plan = plan_append(file.getvalue(), "Soundness", NEW, heading_row=1, known=KNOWN)
    page = openpyxl.load_workbook(io.BytesIO(plan.content))["Soundness"]
    above, new = page["A2"], page["A3"]
    assert new.is_date
    for look in ("font", "fill", "border", "alignment", "protection"):
        assert repr(getattr(new, look)) == repr(getattr(above, look))
    assert new.alignment.wrap_text


def merged(sheet: Worksheet) -> None:
    sheet.merge_range("A7:D7", "")


def a_sum(sheet: Worksheet) -> None:
    sheet.write(6, 1, "Total")
    sheet.write_formula(6, 2, "=SUM(C2:C6)", None, 7.5)


def a_mean_further_down(sheet: Worksheet) -> None:
    sheet.write_formula(9, 2, "=AVERAGE(C2:C8)", None, 1.5)


def a_count(sheet: Worksheet) -> None:
    sheet.write(6, 0, "days lame")
    sheet.write_formula(6, 2, '=COUNTIF(C2:C6,">2")', None, 1)


def another_table(sheet: Worksheet) -> None:
    sheet.add_table("A7:B9", {"name": "Hay", "data": [["hay", 4]] * 2})


def a_filled_formula(sheet: Worksheet) -> None:
    sheet.write_formula(6, 3, '=IF(C7>2,"worse","")', None, "")


NO_ROOM = {
    "merged": (laid_out(merged), "write-in-the-way", "B7"),
    "a-sum": (laid_out(a_sum), "write-totals", "C7"),
    "a-mean": (laid_out(a_mean_further_down), "write-totals", "C10"),
    "a-count": (laid_out(a_count), "write-totals", "C7"),
    "a-table-s-total": (laid_out(nothing, table_to=7, total_row=True), "write-totals", "A7"),
    "a-word-below-a-table": (laid_out(a_word_below, table_to=6), "write-in-the-way", "A7"),
    "a-table-below-a-table": (laid_out(another_table, table_to=6), "write-in-the-way", "A7"),
    "a-formula": (laid_out(a_filled_formula), "write-in-the-way", "D7"),
}


@pytest.mark.parametrize(("workbook", "slug", "ref"), NO_ROOM.values(), ids=NO_ROOM)
def test_where_there_is_no_room_the_cell_that_is_in_the_way_is_named(
    workbook: bytes, slug: str, ref: str
) -> None:
    with pytest.raises(Refused) as refused:
        plan_append(workbook, "Soundness", NEW, heading_row=1, known=KNOWN)
    assert (refused.value.slug, refused.value.words["ref"]) == (slug, ref)


def test_a_formula_is_no_obstacle_where_the_note_leaves_its_cell_empty() -> None:
    new = {column: value for column, value in NEW.items() if column != 3}
    assert plan_append(laid_out(a_filled_formula), "Soundness", new, heading_row=1, known=KNOWN).row == 7


def with_folders_and_additions(content: bytes) -> bytes:
    """The zip as an ordinary packer writes it: folders as entries, times and comments beside the parts."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo("xl/"), b"")
        for name, part in parts_of(content).items():
            entry = zipfile.ZipInfo(name)
            entry.extra, entry.comment = b"UT\x05\x00\x03\x00\x00\x00\x00", b"packed by hand"
            archive.writestr(entry, part)
    return file.getvalue()


def with_long_headers(content: bytes) -> bytes:
    """The zip with the 64-bit sizes that a streaming packer puts before each part, needed or not."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, part in parts_of(content).items():
            with archive.open(zipfile.ZipInfo(name), "w", force_zip64=True) as entry:
                entry.write(part)
    return file.getvalue()


@pytest.mark.parametrize("packer", [with_folders_and_additions, with_long_headers])
def test_a_zip_of_another_packer_is_changed_as_well(packer: Callable[[bytes], bytes]) -> None:
    workbook = packer(laid_out(nothing))
    plan = plan_append(workbook, "Soundness", NEW, heading_row=1, known=KNOWN)
    check_written(workbook, plan.content, plan)
    before, after = zipfile.ZipFile(io.BytesIO(workbook)), zipfile.ZipFile(io.BytesIO(plan.content))
    for old, new in zip(before.infolist(), after.infolist(), strict=True):
        assert (old.filename, old.date_time, old.comment) == (new.filename, new.date_time, new.comment)
        if old.filename != "xl/worksheets/sheet1.xml":
            assert (old.extra, before.read(old)) == (new.extra, after.read(new))
    assert by_openpyxl(plan.content)["Soundness"][7, 3] == "new"
