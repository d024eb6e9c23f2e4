"""What owners and their spreadsheet programs leave in a sheet, and how a new record must look beside it."""

from __future__ import annotations

import datetime as dt
import io
import stat
import zipfile
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Font, PatternFill
from packed import MAIN, pack, parts, row, sheet
from test_workbook_rich_layouts import HEADINGS, KNOWN, NEW, laid_out, nothing
from writing import append_row
from xlsxwriter import Workbook

from tracker.workbook.change.plan import Plan, plan_append, plan_set, plan_sheet
from tracker.workbook.change.styles_edit import Styles
from tracker.workbook.change.verify import check_written
from tracker.workbook.gate import Refused


def rebuilt(content: bytes, part: str, old: bytes, new: bytes) -> bytes:
    """The file with one stretch of one part exchanged."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as was, zipfile.ZipFile(file, "w") as now:
        for entry in was.infolist():
            text = was.read(entry)
            assert entry.filename != part or old in text
            now.writestr(entry.filename, text.replace(old, new) if entry.filename == part else text)
    return file.getvalue()


def appended(content: bytes, **more: object) -> Plan:
    """A note appended and verified."""
    plan = plan_append(content, "Soundness", NEW, heading_row=1, known=KNOWN, **more)  # type: ignore[arg-type]
    check_written(content, plan.content, plan)
    return plan


def test_rows_that_were_numbered_in_advance_are_filled_in_order() -> None:
    numbered = laid_out(lambda page: [page.write_number(line, 5, line) for line in range(1, 30)])  # type: ignore[func-returns-value]
    headed = laid_out(
        lambda page: [page.write(line, 5, line or "No.") for line in range(30)]  # type: ignore[func-returns-value]
    )
    assert appended(numbered).row == 7  # a column of no heading is none of the record's
    assert appended(headed).row == 7


def test_a_single_word_in_a_headed_column_of_the_owners_keeps_its_row() -> None:
    def draw(page: object) -> None:
        page.write(0, 5, "Weather")  # type: ignore[attr-defined]
        page.write(6, 5, "storm tonight")  # type: ignore[attr-defined]

    assert appended(laid_out(draw)).row == 8


def test_totals_of_a_single_cell_are_seen_and_a_formula_drawn_down_is_none() -> None:
    with pytest.raises(Refused) as refused:
        appended(laid_out(lambda page: page.write_formula(8, 2, "=SUM(C2:C6)")))
    assert (refused.value.slug, refused.value.words["ref"]) == ("write-totals", "C9")

    def draw(page: object) -> None:
        page.write(0, 5, "Mean of three")  # type: ignore[attr-defined]
        for line in range(4, 12):
            page.write_formula(line, 5, f"=AVERAGE(C{line - 2}:C{line})")  # type: ignore[attr-defined]

    assert appended(laid_out(draw)).row == 7


def test_a_cell_coloured_by_hand_colours_no_other() -> None:
    book = openpyxl.load_workbook(io.BytesIO(laid_out(nothing)))
    book["Soundness"]["D6"].fill = PatternFill("solid", fgColor="FFCC0000")
    file = io.BytesIO()
    book.save(file)
    page = openpyxl.load_workbook(io.BytesIO(appended(file.getvalue()).content))["Soundness"]
    assert page["D6"].fill.fgColor.rgb == "FFCC0000"
    assert page["D7"].fill.fill_type is None


def test_a_cell_set_in_the_first_record_does_not_look_like_the_heading() -> None:
    book = openpyxl.Workbook()
    page = book.active
    page.append(["Foot", "Vet seen"])
    page["B1"].font = Font(bold=True)
    page.append(["LF"])
    file = io.BytesIO()
    book.save(file)
    plan = plan_set(file.getvalue(), "Sheet", 2, {1: dt.date(2026, 3, 4)}, heading_row=1)
    cell = openpyxl.load_workbook(io.BytesIO(plan.content)).active["B2"]
    assert (cell.value, cell.font.bold) == (dt.datetime(2026, 3, 4), False)


def test_a_format_of_hours_and_minutes_shows_no_day() -> None:
    """ISO/IEC 29500-1 §18.8.30: number 20 is h:mm, 14 a day, 17 a month and its year, 47 minutes and seconds."""
    formats = "".join(f'<xf numFmtId="{number}"/>' for number in (20, 14, 17, 47))
    xml = f'<styleSheet xmlns="{MAIN}"><cellXfs count="4">{formats}</cellXfs></styleSheet>'.encode()
    assert [Styles(xml).is_date(number) for number in range(4)] == [False, True, True, False]


def test_what_one_formula_fills_is_not_written_into() -> None:
    def draw(page: object) -> None:
        page.write_array_formula("A7:B9", "{=A2:B4}")  # type: ignore[attr-defined]

    with pytest.raises(Refused) as refused:
        plan_set(laid_out(draw), "Soundness", 8, {1: "Clover"})
    assert refused.value.slug == "write-in-the-way"
    assert "result of" in refused.value.words["reason"]


def test_an_extension_of_a_row_stays_in_it(tmp_path: Path) -> None:
    extension = '<extLst><ext uri="{own}"/></extLst>'
    rows = row('<c r="A1" t="str"><v>Date</v></c>') + row(f'<c r="A2" s="1"><v>46000</v></c>{extension}', 2)
    file = pack(tmp_path / "a.xlsx", parts(sheet(rows)))
    plan = plan_set(file.read_bytes(), "Soundness", 2, {1: "x"})
    with zipfile.ZipFile(io.BytesIO(plan.content)) as archive:
        assert f"{extension}</row>".encode() in archive.read("xl/worksheets/sheet1.xml")


def test_a_formula_that_cannot_be_continued_is_left_out_of_the_new_row() -> None:
    table = laid_out(lambda page: page.write_number(5, 4, 9), table_to=6)
    broken = rebuilt(table, "xl/tables/table1.xml", b"[[#This Row],Score]*2", b"Own [x*C2")
    plan = plan_append(broken, "Soundness", NEW, heading_row=1, known=KNOWN)
    assert plan.worked_out == frozenset()
    assert plan.row == 7


def test_a_formula_typed_over_in_the_row_above_is_not_taken_for_the_columns_own() -> None:
    content = laid_out(lambda page: page.write_formula(5, 4, "=C6*100", None, 1), table_to=6)
    page = openpyxl.load_workbook(io.BytesIO(appended(content).content))["Soundness"]
    assert page["E7"].value == "=Notes[[#This Row],Score]*2"


def test_a_table_part_that_is_missing_or_cannot_be_read_is_no_crash() -> None:
    table = laid_out(nothing, table_to=6)
    lost = rebuilt(table, "xl/worksheets/_rels/sheet1.xml.rels", b"table1.xml", b"table9.xml")
    assert plan_append(lost, "Soundness", NEW, heading_row=1, known=KNOWN).row == 7
    with pytest.raises(Refused) as refused:
        plan_append(
            rebuilt(table, "xl/tables/table1.xml", b"</table>", b"</tabel>"),
            "Soundness", NEW, heading_row=1, known=KNOWN,
        )  # fmt: skip
    assert refused.value.slug == "write-unusual"


def test_a_sheet_is_not_added_under_the_name_of_a_sheet_that_is_one_chart() -> None:
    file = io.BytesIO()
    with Workbook(file, {"in_memory": True}) as book:
        book.add_worksheet("Horses").write_row(0, 0, HEADINGS)
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "=Horses!$A$1:$A$2"})
        book.add_chartsheet("Soundness").set_chart(chart)
    with pytest.raises(Refused) as refused:
        plan_sheet(file.getvalue(), "Soundness", HEADINGS)
    assert refused.value.slug == "write-in-the-way"


@pytest.mark.parametrize(
    ("part", "old", "new"),
    [
        ("xl/styles.xml", b'<name val="Calibri"/>', b'<name val="Courier"/>'),
        ("xl/tables/table1.xml", b'ref="A1:E7"', b'ref="A1:E2"'),
        ("xl/tables/table1.xml", b'name="Score"', b'name="Grade"'),
    ],
)
def test_a_part_that_changed_in_more_than_was_planned_is_found(part: str, old: bytes, new: bytes) -> None:
    content = laid_out(nothing, table_to=6)
    plan = appended(content)
    spoilt = rebuilt(plan.content, part, old, new)
    with pytest.raises(Refused):
        check_written(content, spoilt, replace(plan, parts=(*plan.parts, part)))


def test_copies_have_the_workbooks_rights_and_the_owners_own_files_stay(tmp_path: Path) -> None:
    file = tmp_path / "clover.xlsx"
    file.write_bytes(laid_out(nothing))
    file.chmod(0o600)
    folder = tmp_path / "clover.xlsx backups"
    folder.mkdir()
    (folder / "hoof video.part").write_bytes(b"mine")
    append_row(file, "Soundness", NEW, heading_row=1, known=KNOWN)
    (copy,) = folder.glob("clover *.xlsx")
    assert stat.S_IMODE(copy.stat().st_mode) == stat.S_IMODE(file.stat().st_mode) == 0o600
    assert (folder / "hoof video.part").read_bytes() == b"mine"
