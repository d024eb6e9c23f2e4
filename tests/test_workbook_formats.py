"""Workbooks in other formats are read like .xlsx ones; LibreOffice writes them, calamine is the second reader."""

from __future__ import annotations

import datetime as dt
import io
import re
from pathlib import Path

import openpyxl
import pytest
import python_calamine
import xlsxwriter
from other_formats import (
    binary_cell,
    binary_row,
    cell,
    content,
    convert,
    make_strict,
    pack_ods,
    pack_xlsb,
    row,
    table,
)
from packed import pack, parts, sheet, signposts
from packed import row as xlsx_row

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.problem import Unreadable
from tracker.workbook.read import RawWorkbook, read_workbook

FOURTH = dt.date(2026, 3, 4)
MORNING = dt.datetime(2026, 3, 4, 7, 30)


def refusal(path: Path) -> str:
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    return caught.value.problem.kind


def rows_of(path: Path) -> list[list[object]]:
    return read_workbook(path).sheets[0].rows


def with_kinds(rows: list[list[object]]) -> list[list[tuple[type, object]]]:
    """The cells with their types, since an error is equal to the text of its name."""
    return [[(type(value), value) for value in line] for line in rows]


# The same record in every format


def keep(path: Path, *, date1904: bool = False, worked_out: bool = True) -> Path:
    """A workbook with what a person keeps: dates, times, words, errors, formulas, notes, a chart, hidden sheets.

    With `worked_out` no, LibreOffice works out the formula that gives a text; it would save 0 for it else.
    """
    with xlsxwriter.Workbook(path, {"date_1904": date1904}) as book:
        day, moment, clock, span, merged = (
            book.add_format(how)
            for how in (
                {"num_format": "[$-809]d mmm yyyy"},
                {"num_format": "yyyy-mm-dd hh:mm"},
                {"num_format": "h:mm"},
                {"num_format": "[h]:mm"},
                {"bold": True},
            )
        )
        page = book.add_worksheet("Soundness")
        page.merge_range("A1:C1", "Bramble's diary", merged)
        page.write_row("A3", ["Date", "Score", "Remarks"])
        page.write_datetime("A4", dt.datetime(2026, 3, 4), day)
        page.write("B4", 2.5)
        page.write("C4", "  two  blanks, a ½, <tags> & an end ")
        page.write_comment("B4", "seen on the lane")
        page.write_datetime("A5", MORNING, moment)
        page.write_string("B5", "2/5")
        page.write("C5", "one line\nand another")
        page.write_formula("A6", "=NA()", None, "#N/A")
        page.write_formula("B6", "=1/0", None, "#DIV/0!")
        page.write_formula("C6", "=B4*2", None, 5)
        page.write_number("A7", 0.4375, clock)
        page.write_number("B7", 1.5, span)
        page.write_formula("C7", '="left "&"front"', None, "left front" if worked_out else "")
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "=Soundness!$B$4:$B$5"})
        page.insert_chart("F10", chart)
        hidden, very_hidden = book.add_worksheet("Visits"), book.add_worksheet("Own notes")
        hidden.write("B2", "trimmer")
        hidden.hide()
        very_hidden.write("A1", 1)
        very_hidden.very_hidden()
    return path


KEPT = [
    ["Bramble's diary", "", ""],
    ["", "", ""],
    ["Date", "Score", "Remarks"],
    [FOURTH, 2.5, "  two  blanks, a ½, <tags> & an end "],
    [MORNING, "2/5", "one line\nand another"],
    [CellError("#N/A"), CellError("#DIV/0!"), 5.0],
    [dt.time(10, 30), dt.timedelta(hours=36), "left front"],
]
OTHERS = {"Visits": [["", ""], ["", "trimmer"]], "Own notes": [[1.0]]}


def check_kept(book: RawWorkbook) -> None:
    kept, *others = book.sheets
    assert (kept.name, with_kinds(kept.rows)) == ("Soundness", with_kinds(KEPT))
    assert {sheet.name: sheet.rows for sheet in others} == OTHERS


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook that LibreOffice converts."""
    return keep(tmp_path_factory.mktemp("kept") / "horse.xlsx", worked_out=False)


@pytest.mark.parametrize("ending", ["ods", "xls"])
def test_what_libreoffice_saves_is_read_like_the_workbook_it_was(kept: Path, ending: str) -> None:
    book = read_workbook(convert(kept, ending))
    assert book.kept_as == ending
    check_kept(book)


def test_a_workbook_with_macros_is_read_like_one_without(tmp_path: Path) -> None:
    book = read_workbook(keep(tmp_path / "horse.xlsx").rename(tmp_path / "horse.xlsm"))
    assert book.kept_as == "xlsm"
    check_kept(book)


def test_a_strict_workbook_is_read_like_a_usual_one(tmp_path: Path) -> None:
    path = make_strict(keep(tmp_path / "horse.xlsx"))
    assert openpyxl.load_workbook(path).sheetnames == []  # the second reader finds nothing in such a file
    book = read_workbook(path)
    assert book.kept_as == "strict"
    check_kept(book)


@pytest.mark.parametrize("ending", ["xlsx", "xls", "ods"])
def test_days_that_count_from_1904_are_the_days_that_were_typed(tmp_path: Path, ending: str) -> None:
    path = keep(tmp_path / "horse.xlsx", date1904=True)
    book = read_workbook(path if ending == "xlsx" else convert(path, ending))
    assert book.date1904
    assert [line[0] for line in book.sheets[0].rows[3:5]] == [FOURTH, MORNING]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("2026-03-04", FOURTH),
        ("2026-03-04T07:30:00", MORNING),
        ("2026-03-04T07:30:00Z", MORNING),
        ("2026-03-04T07:30:00.000", MORNING),
        ("07:30:00", dt.time(7, 30)),
        ("the fourth", "the fourth"),
    ],
)
def test_a_date_written_as_iso_8601(tmp_path: Path, typed: str, wanted: object) -> None:
    """ISO/IEC 29500-1 §18.18.11: a cell of type d, which Strict Open XML may use."""
    xml = sheet(xlsx_row(f'<c r="A1" s="1" t="d"><v>{typed}</v></c>'))
    path = make_strict(pack(tmp_path / "horse.xlsx", parts(xml)))
    assert rows_of(path) == [[wanted]]


@pytest.mark.parametrize("name", ["horse.xlsx", "horse.xls", "horse.ods"])
def test_the_name_may_be_that_of_another_format(tmp_path: Path, kept: Path, name: str) -> None:
    for ending in ("xls", "ods"):
        content = convert(kept, ending).read_bytes()
        (tmp_path / name).write_bytes(content)
        assert read_workbook(tmp_path / name).kept_as == ending


# Numbers that stand for days


@pytest.mark.parametrize(
    ("serial", "wanted"),
    [
        ("1.3333333333333333", dt.datetime(1900, 1, 1, 8)),
        ("59.333333333333336", dt.datetime(1900, 2, 28, 8)),
        ("61.333333333333336", dt.datetime(1900, 3, 1, 8)),
        ("42488.479166666664", dt.datetime(2016, 4, 28, 11, 30)),
        ("42452.409722222219", dt.datetime(2016, 3, 23, 9, 50)),
        ("46085.312499999993", MORNING),
        ("46084.999999999993", dt.datetime(2026, 3, 4)),
    ],
)
def test_a_serial_is_the_moment_that_a_spreadsheet_shows(tmp_path: Path, serial: str, wanted: object) -> None:
    """Serials as Excel saves them, on both sides of 29 February 1900, which never was; openpyxl is the second reader."""
    path = pack(tmp_path / "horse.xlsx", parts(sheet(xlsx_row(f'<c r="A1" s="3"><v>{serial}</v></c>'))))
    assert openpyxl.load_workbook(path)["Soundness"]["A1"].value == wanted
    assert rows_of(path) == [[wanted]]


# One black dot (PNG, W3C recommendation 2003, §5)
DOT = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c636000000002000148afa4"
    "710000000049454e44ae426082"
)


def test_what_stands_beside_the_cells_changes_none_of_them(tmp_path: Path) -> None:
    """XlsxWriter's tables, lists, sparklines, formats, names, pictures, links and a sheet that is one chart."""
    path = tmp_path / "horse.xlsx"
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet("Soundness")
        columns = [{"header": "Date"}, {"header": "Score"}, {"header": "Twice", "formula": "=[@Score]*0"}]
        page.add_table("A1:C3", {"columns": columns, "data": [["4 Mar", 2], ["5 Mar", 1]]})
        page.data_validation("B2:B9", {"validate": "list", "source": [0, 1, 2, 3, 4, 5]})
        page.conditional_format("B2:B9", {"type": "data_bar", "data_bar_2010": True})
        page.add_sparkline("D2", {"range": "Soundness!B2:B3"})
        page.write_formula("E2", "='[clinic.xlsx]Sheet1'!A1", None, 7)
        page.write_url("F2", "https://example.org/", string="the clinic")
        page.write_rich_string("G2", "left ", book.add_format({"bold": True}), "front")
        page.insert_image("H9", "dot.png", {"image_data": io.BytesIO(DOT)})
        page.embed_image("H2", "dot.png", {"image_data": io.BytesIO(DOT)})
        page.insert_textbox("H20", "not a cell")
        page.set_header("&LBramble")
        page.protect("key")
        book.define_name("Scores", "=Soundness!$B$2:$B$3")
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "=Scores"})
        book.add_chartsheet("Progress").set_chart(chart)
    (only,) = read_workbook(path).sheets
    assert with_kinds(only.rows) == with_kinds(
        [
            ["Date", "Score", "Twice", "", "", "", "", ""],
            ["4 Mar", 2.0, 0.0, "", 7.0, "the clinic", "left front", CellError("#VALUE!")],
            ["5 Mar", 1.0, 0.0, "", "", "", "", ""],
        ]
    )


def test_a_picture_in_a_cell_is_an_error_to_whoever_cannot_draw_it(tmp_path: Path) -> None:
    xml = sheet(xlsx_row('<c r="A1" t="e" vm="1"><v>#VALUE!</v></c>'))
    assert with_kinds(rows_of(pack(tmp_path / "horse.xlsx", parts(xml)))) == [[(CellError, "#VALUE!")]]


# OpenDocument, cell by cell: OpenDocument 1.3 part 3, §19.385 and those around it

CELLS = [
    (cell("2.5", 'value-type="float"', 'value="2.5"'), 2.5),
    (cell("50%", 'value-type="percentage"', 'value="0.5"'), 0.5),
    (cell("£40", 'value-type="currency"', 'value="40"'), 40.0),
    (cell("4 Mar", 'value-type="date"', 'date-value="2026-03-04"'), FOURTH),
    (cell("4 Mar", 'value-type="date"', 'date-value="2026-03-04T07:30:00"'), MORNING),
    (cell("4 Mar", 'value-type="date"', 'date-value="2026-03-04T07:30:00.000000000"'), MORNING),
    (cell("7:30", 'value-type="time"', 'time-value="PT07H30M00S"'), dt.time(7, 30)),
    (cell("36:00", 'value-type="time"', 'time-value="PT36H00M00S"'), dt.timedelta(hours=36)),
    (cell("-1:00", 'value-type="time"', 'time-value="-PT01H00M00S"'), dt.timedelta(hours=-1)),
    (cell("TRUE", 'value-type="boolean"', 'boolean-value="true"'), True),
    (cell("LF", 'value-type="string"'), "LF"),
    (cell("LF", 'value-type="string"', 'string-value="left front"'), "left front"),
    (cell("", 'value-type="string"'), ""),
]  # fmt: skip


@pytest.mark.parametrize(("xml", "wanted"), CELLS)
def test_a_cell_holds_what_its_type_says(tmp_path: Path, xml: str, wanted: object) -> None:
    path = pack_ods(tmp_path / "horse.ods", content(table(row(xml + cell("x", 'value-type="string"')))))
    assert with_kinds(rows_of(path)) == [[(type(wanted), wanted), (str, "x")]]


TEXTS = [
    ("<text:p>left<text:s/><text:span>front</text:span></text:p>", "left front"),
    ('<text:p><text:s text:c="2"/>lame<text:s text:c="3"/></text:p>', "  lame   "),
    ("<text:p>a<text:tab/>b<text:line-break/>c</text:p>", "a\tb\nc"),
    ("<text:p>one</text:p><text:p/><text:p>three</text:p>", "one\n\nthree"),
    ("<text:p>\n   two lines\n   of XML\n  </text:p>", "two lines of XML"),
    ("<text:p><text:a>a link</text:a></text:p>", "a link"),
    ("<office:annotation><dc:date>2026</dc:date><text:p>a note</text:p></office:annotation><text:p>2</text:p>", "2"),
    ("<draw:frame><draw:text-box><text:p>a drawing</text:p></draw:text-box></draw:frame><text:p>2</text:p>", "2"),
    ("<text:p>2<draw:frame><draw:text-box><text:p>in the text</text:p></draw:text-box></draw:frame></text:p>", "2"),
    ("<text:p>Bramble<text:note><text:p>a footnote</text:p></text:note></text:p>", "Bramble"),
]  # fmt: skip


@pytest.mark.parametrize(("xml", "wanted"), TEXTS)
def test_a_text_is_what_was_typed_and_nothing_beside_it(tmp_path: Path, xml: str, wanted: str) -> None:
    text = f'<table:table-cell office:value-type="string">{xml}</table:table-cell>'
    assert rows_of(pack_ods(tmp_path / "horse.ods", content(table(row(text))))) == [[wanted]]


ODD = [
    (cell("#N/A", 'table:formula="of:=NA()"', 'value-type="string"', 'string-value=""', 'calcext:value-type="error"'), CellError("#N/A")),
    (cell("Err:502", 'table:formula="of:=A1"', 'value-type="float"', 'value="0"'), CellError("Err:502")),
    (cell("#REF!", 'table:formula="of:=[.#REF!]"', 'value-type="string"'), CellError("#REF!")),
    (cell("#N/A", 'value-type="string"'), "#N/A"),
    (cell("", 'table:formula="of:=[.A1]+1"'), UnsavedFormula("=[.A1]+1")),
    (cell("5", 'table:formula="of:=2+3"', 'value-type="float"', 'value="5"'), 5.0),
    (cell("", 'table:formula="of:=[.A9]"', 'value-type="string"'), ""),
    (cell("soon", 'value-type="date"', 'date-value="2026-02-31"'), "soon"),
    (cell("much", 'value-type="float"', 'value="inf"'), "much"),
    (cell("never", 'value-type="time"', 'time-value="PT99999999H"'), dt.timedelta(hours=99_999_999)),
]  # fmt: skip


@pytest.mark.parametrize(("xml", "wanted"), ODD)
def test_errors_and_formulas_without_a_result_are_not_lost(tmp_path: Path, xml: str, wanted: object) -> None:
    path = pack_ods(tmp_path / "horse.ods", content(table(row(xml + cell("x", 'value-type="string"')))))
    assert with_kinds(rows_of(path)) == [[(type(wanted), wanted), (str, "x")]]


def test_repeated_rows_and_cells_stand_in_their_places(tmp_path: Path) -> None:
    score = '<table:table-cell table:number-columns-repeated="2" office:value-type="float" office:value="2"/>'
    gap = '<table:table-cell table:number-columns-repeated="3"/>'
    end = '<table:table-cell table:number-columns-repeated="16384"/>'
    xml = content(
        table(
            row(end, 2) + f"<table:table-row-group><table:table-header-rows>{row(gap + score)}"
            f"</table:table-header-rows>{row(score + end, 2)}</table:table-row-group>" + row(end, 1_048_571)
        )
    )
    path = pack_ods(tmp_path / "horse.ods", xml)
    blank = [""] * 5
    wanted = [blank, blank, ["", "", "", 2.0, 2.0], *[[2.0, 2.0, "", "", ""]] * 2]
    assert rows_of(path) == wanted
    calamine = python_calamine.load_workbook(str(path)).get_sheet_by_index(0)
    assert calamine.to_python(skip_empty_area=False) == wanted


def test_covered_cells_keep_their_own(tmp_path: Path) -> None:
    covered = '<table:covered-table-cell office:value-type="float" office:value="7"><text:p>7</text:p></table:covered-table-cell>'
    xml = content(table(row(cell("both", 'value-type="string"') + covered)))
    assert rows_of(pack_ods(tmp_path / "horse.ods", xml)) == [["both", 7.0]]


def test_what_other_files_held_and_what_was_deleted_are_no_sheets(tmp_path: Path) -> None:
    held = table(
        '<table:table-source table:mode="copy-results-only"/>' + row(cell("x", 'value-type="string"')),
        "'file:///b.ods'#$A",
    )
    deleted = f"<table:tracked-changes><table:deletion>{table(row(cell('gone')))}</table:deletion></table:tracked-changes>"
    xml = content(deleted + held + table(row(cell("LF", 'value-type="string"'))))
    assert [(s.name, s.rows) for s in read_workbook(pack_ods(tmp_path / "horse.ods", xml)).sheets] == [
        ("Soundness", [["LF"]])
    ]  # fmt: skip


def test_another_prefix_means_the_same(tmp_path: Path) -> None:
    xml = content(table(row(cell("2", 'value-type="float"', 'value="2"'))))
    other = re.sub(r"\b(table|office|text):(?!1\.0)", r"my-\1:", xml)
    other = re.sub(r"xmlns:(table|office|text)=", r"xmlns:my-\1=", other)
    assert '<my-table:table my-table:name="Soundness">' in other
    assert rows_of(pack_ods(tmp_path / "horse.ods", other)) == [[2.0]]


LOCKED = '<manifest:encryption-data manifest:checksum-type="SHA1"/>'
FAR = row("<table:table-cell/>", 1_000_000) + row(cell("2", 'value-type="float"', 'value="2"'))
WIDE = row('<table:table-cell table:number-columns-repeated="16000"/>' + cell("x", 'value-type="string"'), 2)
REFUSED = {
    "a password": (content(table("")), LOCKED, "file-password"),
    "a letter": (content("<text:p>Dear vet</text:p>", "text"), "", "file-not-workbook"),
    "no text": (b"\x00\x01", "", "file-damaged"),
    "cut off": (content(table(row(cell("x"))))[:-30], "", "file-damaged"),
    "a count of no figures": (content(table('<table:table-row table:number-rows-repeated="many"/>')), "", "file-damaged"),
    "rows beyond the grid": (content(table(row(cell("x", 'value-type="string"'), 9_999_999) * 2)), "", "file-damaged"),
    "a far row": (content(table(WIDE.replace("16000", "90") + FAR)), "", "file-far-cell"),
    "a far column": (content(table(WIDE * 300)), "", "file-far-cell"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_an_opendocument_file_that_cannot_be_read(tmp_path: Path, case: str) -> None:
    xml, manifest, wanted = REFUSED[case]
    assert refusal(pack_ods(tmp_path / "horse.ods", xml, manifest)) == wanted


def test_a_far_cell_is_named(tmp_path: Path) -> None:
    path = pack_ods(tmp_path / "horse.ods", content(table(WIDE.replace("16000", "90") + FAR)))
    with pytest.raises(Unreadable, match="Soundness!A1000003"):
        read_workbook(path)


def test_a_cell_filled_over_and_over_takes_no_memory(tmp_path: Path) -> None:
    many = cell("x", 'value-type="string"', 'table:number-columns-repeated="16384"')
    xml = content(table(row(many, 1_000_000) * 20))
    assert refusal(pack_ods(tmp_path / "horse.ods", xml)) in ("file-too-large", "file-damaged")
    gaps = '<text:s text:c="32767"/>' * 400
    xml = content(
        table(row(f'<table:table-cell office:value-type="string"><text:p>{gaps}</text:p></table:table-cell>'))
    )
    assert refusal(pack_ods(tmp_path / "horse.ods", xml)) == "file-too-large"
    blanks = '<table:table-cell office:value-type="string"><text:p>a<text:s text:c="999999999"/></text:p></table:table-cell>'
    (text,) = rows_of(pack_ods(tmp_path / "horse.ods", content(table(row(blanks)))))[0]
    assert len(str(text)) < 40_000


# The binary kinds

BINARY = [
    ("Soundness", binary_row(0, binary_cell(0, "Date") + binary_cell(1, "Score"))
     + binary_row(2, binary_cell(0, 46085.0, 1) + binary_cell(1, 2.5) + binary_cell(3, b"\x2a") + binary_cell(4, True))),
    ("Own notes", binary_row(9, binary_cell(2, "grüße ½"))),
]  # fmt: skip


def test_a_binary_workbook(tmp_path: Path) -> None:
    path = pack_xlsb(tmp_path / "horse.xlsb", BINARY)
    book = read_workbook(path)
    assert (book.kept_as, book.date1904) == ("xlsb", False)
    assert with_kinds(book.sheets[0].rows) == with_kinds(
        [
            ["Date", "Score", "", "", ""],
            ["", "", "", "", ""],
            [FOURTH, 2.5, "", CellError("#N/A"), True],
        ]
    )
    assert (book.sheets[1].name, book.sheets[1].rows) == (
        "Own notes",
        [["", "", ""]] * 9 + [["", "", "grüße ½"]],
    )
    theirs = (
        python_calamine.load_workbook(str(path))
        .get_sheet_by_name("Soundness")
        .to_python(skip_empty_area=False)
    )
    assert theirs[2] == [FOURTH, 2.5, "", "", True]  # the error is lost to it


def test_a_binary_workbook_that_counts_from_1904(tmp_path: Path) -> None:
    day = [("Soundness", binary_row(0, binary_cell(0, 46085.0 - 1462, 1)))]
    book = read_workbook(pack_xlsb(tmp_path / "horse.xlsb", day, date1904=True))
    assert (book.date1904, book.sheets[0].rows) == (True, [[FOURTH]])


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        (binary_row(1_048_575, binary_cell(16_383, 1.0)), "Soundness!XFD1048576"),
        (binary_row(0, binary_cell(0, 1.0)) + binary_row(900_000, binary_cell(8, 1.0)), "Soundness!I900001"),
        (binary_row(0, binary_cell(16_384, 1.0)), "damaged"),
        (binary_row(1_048_576, binary_cell(0, 1.0)), "damaged"),
        (binary_row(0, binary_cell(0, 1.0))[:-1], "damaged"),
        (b"\xff\xff", "damaged"),
    ],
)
def test_a_binary_workbook_that_cannot_be_read(tmp_path: Path, rows: bytes, wanted: str) -> None:
    with pytest.raises(Unreadable, match=wanted):
        read_workbook(pack_xlsb(tmp_path / "horse.xlsb", [("Soundness", rows)]))


def test_a_binary_workbook_without_its_parts(tmp_path: Path) -> None:
    path = pack(
        tmp_path / "horse.xlsb",
        {"_rels/.rels": signposts(officeDocument="xl/workbook.bin"), "xl/workbook.bin": b"\x83\x01"},
    )
    assert refusal(path) == "file-damaged"


def test_an_old_workbook_with_a_password(kept: Path, tmp_path: Path) -> None:
    """[MS-XLS] §2.4.117: the record FilePass, 0x002F, here in the place of another of the globals (CodePage)."""
    content = convert(kept, "xls").read_bytes()
    code_page = bytes.fromhex("42000200")
    assert content.count(code_page) == 1
    (tmp_path / "horse.xls").write_bytes(content.replace(code_page, bytes.fromhex("2f000200")))
    assert refusal(tmp_path / "horse.xls") == "file-password"


def test_an_old_workbook_whose_chain_of_sectors_is_a_ring(kept: Path, tmp_path: Path) -> None:
    """[MS-CFB] §2.3: each entry of the table of sectors is the next one, and here each is the first."""
    content = bytearray(convert(kept, "xls").read_bytes())
    at = 512 * (1 + int.from_bytes(content[76:80], "little"))
    content[at : at + 512] = bytes(512)
    (tmp_path / "horse.xls").write_bytes(content)
    assert refusal(tmp_path / "horse.xls") in ("file-damaged", "file-not-workbook")


def test_an_old_workbook_cut_off_anywhere(kept: Path, tmp_path: Path) -> None:
    content = convert(kept, "xls").read_bytes()
    for part in range(1, 8):
        (tmp_path / "horse.xls").write_bytes(content[: len(content) * part // 8])
        assert refusal(tmp_path / "horse.xls") in ("file-damaged", "file-not-workbook")
