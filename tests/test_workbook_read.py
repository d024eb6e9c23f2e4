"""Every cell of a workbook, in its place, whatever program wrote it; openpyxl is the second reader."""

from __future__ import annotations

import datetime as dt
import zipfile
from io import BytesIO
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.workbook.read import column_letter, read_workbook

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
# The errors a cell can show: ISO/IEC 29500-1 §18.17.3 and Microsoft's later ones.
ERRORS = ("#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!")


def by_hand(path: Path, rows: str, *, root: str = f'worksheet xmlns="{MAIN}"', workbook_pr: str = "") -> Path:
    """A workbook whose one sheet, Soundness, has exactly these rows of XML."""
    prefix = root.partition(":")[0] + ":" if ":" in root.partition(" ")[0] else ""
    closing = root.partition(" ")[0]
    relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    package = "http://schemas.openxmlformats.org/package/2006"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(
            "[Content_Types].xml",
            f'<Types xmlns="{package}/content-types"><Default Extension="rels" '
            'ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" '
            'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>',
        )
        archive.writestr(
            "_rels/.rels",
            f'<Relationships xmlns="{package}/relationships"><Relationship Id="rId1" '
            f'Type="{relations}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        )
        archive.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{MAIN}" xmlns:r="{relations}">{workbook_pr}'
            '<sheets><sheet name="Soundness" sheetId="1" r:id="rId1"/></sheets></workbook>',
        )
        archive.writestr(
            "xl/_rels/workbook.xml.rels",
            f'<Relationships xmlns="{package}/relationships"><Relationship Id="rId1" '
            f'Type="{relations}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
        )
        archive.writestr(
            "xl/worksheets/sheet1.xml", f"<{root}><{prefix}sheetData>{rows}</{prefix}sheetData></{closing}>"
        )
    return path


def cells(path: Path) -> list[list[object]]:
    (sheet,) = read_workbook(path).sheets
    return sheet.rows


def test_errors_are_errors_and_words_like_them_are_words(tmp_path: Path) -> None:
    path = tmp_path / "errors.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Soundness")
        for row, error in enumerate(ERRORS):
            sheet.write_formula(row, 0, "=1/0", None, error)
    rows = cells(path)
    assert [row[0] for row in rows] == list(ERRORS)
    assert all(isinstance(row[0], CellError) for row in rows)


def test_a_formula_gives_its_saved_value_or_says_that_it_has_none(tmp_path: Path) -> None:
    rows = (
        '<row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1" t="str"><f>"a"&amp;"b"</f><v>ab</v></c>'
        '<c r="C1"><f>30+4</f></c><c r="D1"><f>30+5</f><v></v></c><c r="E1" t="str"><f>""</f><v></v></c></row>'
    )
    (row,) = cells(by_hand(tmp_path / "formulas.xlsx", rows))
    assert row == [2.0, "ab", "=30+4", "=30+5", ""]
    assert [type(value) for value in row] == [float, str, UnsavedFormula, UnsavedFormula, str]


def test_cells_and_rows_without_a_reference_stand_after_the_one_before(tmp_path: Path) -> None:
    rows = '<row><c><v>1</v></c><c><v>2</v></c></row><row r="4"><c r="C4"><v>3</v></c><c><v>4</v></c></row><row><c><v>5</v></c></row>'
    assert cells(by_hand(tmp_path / "bare.xlsx", rows)) == [
        [1.0, 2.0, "", ""],
        ["", "", "", ""],
        ["", "", "", ""],
        ["", "", 3.0, 4.0],
        [5.0, "", "", ""],
    ]


def test_another_prefix_order_of_attributes_and_quotes_mean_the_same(tmp_path: Path) -> None:
    rows = "<x:row r='1'><x:c t='e' r='B1'><x:v>#N/A</x:v></x:c><x:c t='inlineStr' r='C1'><x:is><x:t>LF</x:t></x:is></x:c></x:row>"
    path = by_hand(tmp_path / "prefix.xlsx", rows, root=f'x:worksheet xmlns:x="{MAIN}"')
    assert cells(path) == [["", CellError("#N/A"), "LF"]]
    assert isinstance(cells(path)[0][1], CellError)


def test_a_wrong_dimension_is_not_believed(tmp_path: Path) -> None:
    path = by_hand(tmp_path / "x.xlsx", '<row r="3"><c r="B3"><v>7</v></c></row>')
    assert cells(path)[2] == ["", 7.0]


@pytest.mark.parametrize(
    ("workbook_pr", "wanted"),
    [
        ("", False),
        ('<workbookPr date1904="1"/>', True),
        ('<workbookPr date1904="true"/>', True),
        ('<workbookPr date1904="0"/>', False),
    ],
)
def test_the_date_system_is_told(tmp_path: Path, workbook_pr: str, wanted: bool) -> None:
    path = by_hand(tmp_path / "x.xlsx", '<row r="1"><c r="A1"><v>1</v></c></row>', workbook_pr=workbook_pr)
    assert read_workbook(path).date1904 is wanted


def test_true_dates_of_the_1904_system_are_the_days_that_were_typed(tmp_path: Path) -> None:
    path = tmp_path / "x.xlsx"
    with xlsxwriter.Workbook(path, {"date_1904": True}) as book:
        day = book.add_format({"num_format": "d mmm yyyy"})
        book.add_worksheet("Soundness").write_datetime(0, 0, dt.datetime(2026, 3, 4), day)
    assert cells(path) == [[dt.date(2026, 3, 4)]]


def test_hidden_sheets_rows_and_columns_and_merged_cells_are_read_like_any_other(tmp_path: Path) -> None:
    path = tmp_path / "x.xlsx"
    with xlsxwriter.Workbook(path) as book:
        book.add_worksheet("Front").write(0, 0, "here")
        hidden = book.add_worksheet("Soundness")
        hidden.hide()
        hidden.write(1, 1, "LF")
        hidden.set_row(1, None, None, {"hidden": True})
        hidden.set_column(1, 1, None, None, {"hidden": True})
        hidden.merge_range(2, 0, 2, 1, "both")
    sheets = {sheet.name: sheet.rows for sheet in read_workbook(path).sheets}
    assert sheets == {"Front": [["here"]], "Soundness": [["", ""], ["", "LF"], ["both", ""]]}


def test_letters_of_columns() -> None:
    assert [column_letter(index) for index in (0, 25, 26, 701, 702, 16383)] == [
        "A",
        "Z",
        "AA",
        "ZZ",
        "AAA",
        "XFD",
    ]


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), min_size=1, max_size=15)
CELLS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**9), 10**9),
    st.integers(-(10**9), 10**9).map(lambda quarters: quarters / 4),
    TEXTS.filter(lambda text: text[0] not in "=#" and "_x" not in text),
)
TABLES = st.lists(st.lists(CELLS, min_size=1, max_size=5), min_size=1, max_size=6)
PATIENT = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def padded(table: list[list[object]]) -> list[list[object]]:
    """The rectangle that the filled cells take."""
    filled = [(r, c) for r, row in enumerate(table) for c, value in enumerate(row) if value is not None]
    height, width = (max((place[axis] for place in filled), default=-1) + 1 for axis in (0, 1))
    return [
        [row[c] if c < len(row) and row[c] is not None else "" for c in range(width)]
        for row in table[:height]
    ]


@PATIENT
@given(TABLES)
def test_what_openpyxl_writes_is_read_as_it_was(tmp_path: Path, table: list[list[object]]) -> None:
    path = tmp_path / "x.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row, values in enumerate(table, 1):
        for column, value in enumerate(values, 1):
            if value is not None:
                sheet.cell(row, column).value = value  # type: ignore[assignment]
    book.save(path)
    assert cells(path) == padded(table)


@PATIENT
@given(TABLES)
def test_what_xlsxwriter_writes_is_read_as_openpyxl_reads_it(
    tmp_path: Path, table: list[list[object]]
) -> None:
    path = tmp_path / "x.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        for row, values in enumerate(table):
            for column, value in enumerate(values):
                if isinstance(value, str):
                    sheet.write_string(row, column, value)
                elif value is not None:
                    sheet.write(row, column, value)
    second = openpyxl.load_workbook(BytesIO(path.read_bytes())).active
    assert second is not None
    theirs = padded([list(row) for row in second.iter_rows(values_only=True)])
    assert cells(path) == theirs
