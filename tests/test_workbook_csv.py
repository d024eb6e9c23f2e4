"""A folder of CSV files is read like a workbook, whatever their encoding and delimiter; Python's csv writes them."""

from __future__ import annotations

import csv
import datetime as dt
import io
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_workbook_formats import convert, keep

from tracker.cells.raw import CellError
from tracker.check.book import check_workbook
from tracker.problem import Unreadable
from tracker.workbook.formats.delimiter import delimiter_of
from tracker.workbook.read import RawWorkbook, read_workbook

NOTES = [
    ["Date", "Horse", "Score", "Signs", "Remarks"],
    ["2026-03-04", "Größe", "2,5", "points a foot, off feed", 'said "lame"; walked\r\non the lane'],
    ["", "", "", "", ""],
    ["2026-03-05", "Größe", "½", "#N/A", "ends – so"],
]
READ = [[CellError(text) if text == "#N/A" else text for text in line] for line in NOTES]


def folder(path: Path, **files: bytes) -> Path:
    """A folder of CSV files; `Pain_relief` names Pain relief.csv."""
    path = path / "diary"
    path.mkdir(exist_ok=True)
    for name, content in files.items():
        (path / f"{name.replace('_', ' ')}.csv").write_bytes(content)
    return path


def written(rows: list[list[str]], delimiter: str = ",", line_end: str = "\r\n") -> str:
    """The rows as Python's csv module writes them."""
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=line_end).writerows(rows)
    return text.getvalue()


def rows_of(path: Path) -> list[list[object]]:
    return read_workbook(path).sheets[0].rows


def refusal(path: Path) -> str:
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    return str(caught.value)


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le BOM", "utf-16-be BOM", "cp1252", "utf-32"]
)
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_every_common_encoding_and_delimiter(tmp_path: Path, encoding: str, delimiter: str) -> None:
    name, _, mark = encoding.partition(" ")
    text = ("\ufeff" if mark else "") + written(NOTES, delimiter)
    book = read_workbook(folder(tmp_path, Soundness=text.encode(name)))
    assert (book.kept_as, book.date1904, book.sheets[0].name) == ("csv", False, "Soundness")
    assert book.sheets[0].rows == READ
    assert isinstance(book.sheets[0].rows[3][3], CellError)


@pytest.mark.parametrize("line_end", ["\r\n", "\n", "\r"])
def test_every_end_of_line(tmp_path: Path, line_end: str) -> None:
    rows = [["Date", "Score"], ["2026-03-04", "2"], ["2026-03-05", "1"]]
    assert rows_of(folder(tmp_path, Soundness=written(rows, line_end=line_end).encode())) == rows


DELIMITERS = [
    ("Date;Score;Remarks\n4.3.2026;2,5;sore, short\n5.3.2026;2,5;sore, stiff, short\n", ";"),
    ("Date,Score,Remarks\n2026-03-04,2,sore; short\n2026-03-05,2,better; rest; walk\n", ","),
    ('Date,Remarks\n2026-03-04,"a;b;c;d"\n2026-03-05,"a;b;c;d"\n', ","),
    ('Date;Remarks\n4.3.2026;"one,\ntwo,\nthree,\nfour,\n"\n', ";"),
    ('Date\tToe length\n4.3.2026\t3.5"\n5.3.2026\t3,25"\n', "\t"),
    ("Bramble, a bay mare\n\nDate;Score\n4.3.2026;2\n5.3.2026;1\n", ";"),
    ("Date|Horse|Score\n2026-03-04|Bramble, the elder|2\n", "|"),
    ("Horse\nBramble\n", ","),
    ("", ","),
]


@pytest.mark.parametrize(("text", "wanted"), DELIMITERS)
def test_the_delimiter_is_what_stands_there_line_by_line(text: str, wanted: str) -> None:
    assert delimiter_of(text) == wanted


def test_excel_s_own_line_about_the_delimiter_is_no_row(tmp_path: Path) -> None:
    path = folder(tmp_path, Soundness=b"sep=;\r\nDate;Score\r\n2026-03-04;2,5\r\n")
    assert rows_of(path) == [["Date", "Score"], ["2026-03-04", "2,5"]]


def test_what_is_blank_at_the_edges_is_cut_and_a_blank_row_keeps_its_place(tmp_path: Path) -> None:
    path = folder(tmp_path, Soundness=b"\n,Date,Score,,\n\n,2026-03-04,2,,\n,,,,\n,,,,\n")
    assert rows_of(path) == [["", "", ""], ["", "Date", "Score"], ["", "", ""], ["", "2026-03-04", "2"]]


def test_sheets_stand_in_our_order_and_the_owner_s_own_after_them(tmp_path: Path) -> None:
    path = folder(tmp_path, zoo=b"a", Pain_relief=b"Product", soundness=b"Date,Score", HORSES=b"Horse")
    (path / "._Soundness.csv").write_bytes(b"\0\5\x16\7")  # what macOS puts beside a file
    (path / "notes.txt").write_text("not a sheet")
    assert [sheet.name for sheet in read_workbook(path).sheets] == [
        "HORSES",
        "soundness",
        "Pain relief",
        "zoo",
    ]


def test_the_columns_are_read_as_in_any_workbook(tmp_path: Path) -> None:
    path = folder(
        tmp_path,
        Horses=b"Horse;Usual scale\nBramble;0-5\n",
        Soundness=b"Date;Score;Limb\n2026-03-04;2;LF\n4 Mar 2026;1,5;left front\n",
    )
    checked = check_workbook(read_workbook(path), dt.date(2026, 6, 30))
    assert checked.problems == ()
    assert checked.rows["Soundness"] == (2, 0)


def test_a_tab_separated_file(tmp_path: Path) -> None:
    path = folder(tmp_path)
    (path / "Soundness.tsv").write_text("Date\tScore\n2026-03-04\t2\n")
    assert rows_of(path) == [["Date", "Score"], ["2026-03-04", "2"]]


def test_what_libreoffice_exports(tmp_path: Path) -> None:
    """LibreOffice writes the first sheet of a workbook, dates and figures as it shows them."""
    path = tmp_path / "diary"
    path.mkdir()
    exported = convert(keep(tmp_path / "horse.xlsx", worked_out=False), "csv")
    exported.rename(path / "Soundness.csv")
    rows = rows_of(path)
    assert rows[2:5] == [
        ["Date", "Score", "Remarks"],
        ["04/03/2026", "2.5", "  two  blanks, a ½, <tags> & an end "],
        ["2026-03-04 07:30:00", "2/5", "one line\nand another"],
    ]
    assert rows[5] == [CellError("#N/A"), CellError("#DIV/0!"), "5"]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"Date,Remarks\n2026-03-04,\x81\x8d", "Soundness.csv is in no encoding that can be told, so its letters are not known: save it again as CSV UTF-8."),
        (b"Date\0Score", "Soundness.csv is in no encoding that can be told, so its letters are not known: save it again as CSV UTF-8."),
        (b'Date,Remarks\n2026-03-04,"sore\n2026-03-05,better\n', "Soundness.csv has a quotation mark in row 2 that is never closed, so its cells cannot be told apart: close it or take it away, or save the file again from your spreadsheet program."),
        (b'Date,Remarks\n2026-03-04,"' + b"sore " * 40_000, "Soundness.csv has a quotation mark in row 2 that is never closed, so its cells cannot be told apart: close it or take it away, or save the file again from your spreadsheet program."),
        (b"Date" + b"," * 20_000 + b"Score", "Soundness.csv is damaged and cannot be read to its end: open it in your spreadsheet program, let it repair the file, and save it again; or take the last good copy."),
        (b"\n" * 900_000 + b"," * 90 + b"Score", "Soundness.csv has a filled cell at Soundness!CM900001, far away from everything else: delete that cell's column or row in your spreadsheet program and save again."),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_read_is_named(tmp_path: Path, content: bytes, sentence: str) -> None:
    assert refusal(folder(tmp_path, Horses=b"Horse", Soundness=content)) == sentence


def test_a_folder_without_a_sheet_of_ours(tmp_path: Path) -> None:
    path = folder(tmp_path, shopping=b"hay,2")
    assert refusal(path) == (
        f"{path} is a folder, and no CSV file in it is named after a sheet, as Soundness.csv is: "
        "name the workbook inside it, or name its CSV files after the sheets."
    )


def test_too_many_bytes_are_not_read(tmp_path: Path) -> None:
    path = folder(tmp_path, Soundness=b"Date,Score\n")
    with (path / "Soundness.csv").open("r+b") as file:
        file.truncate(70_000_000)
    assert refusal(path).startswith("Soundness.csv holds far more than a record can")


TEXTS = st.text(
    st.characters(codec="cp1252", exclude_characters='\r\n\0";,|\t', exclude_categories=("Cc",)), max_size=12
)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.lists(TEXTS, min_size=3, max_size=3), min_size=1, max_size=6),
    st.sampled_from(",;\t|"),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_what_is_written_is_read(
    tmp_path: Path, table: list[list[str]], delimiter: str, encoding: str
) -> None:
    table = [["Date", "Score", "Remarks"], *table]
    path = folder(tmp_path, Soundness=written(table, delimiter).encode(encoding))
    while not any(table[-1]):
        table.pop()
    assert rows_of(path) == table


def test_a_book_says_how_it_is_kept_and_is_an_xlsx_unless_told() -> None:
    assert RawWorkbook(Path("horse.xlsx"), (), False).kept_as == "xlsx"
