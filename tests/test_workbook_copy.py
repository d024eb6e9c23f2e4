"""A copy as .xlsx says in every cell what the original says; openpyxl reads it besides ourselves."""

from __future__ import annotations

import datetime as dt
import errno
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openxml_audit import OpenXmlValidator
from other_formats import convert
from test_workbook_formats import KEPT, keep, with_kinds
from typer.testing import CliRunner

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.cli import app
from tracker.problem import NotWritten
from tracker.workbook.new import copy as copying
from tracker.workbook.new.copy import copy_workbook
from tracker.workbook.read import RawSheet, RawWorkbook, read_workbook


def book(*sheets: tuple[str, list[list[object]]], date1904: bool = False) -> RawWorkbook:
    return RawWorkbook(Path("barn.ods"), tuple(RawSheet(*sheet) for sheet in sheets), date1904, "ods")


def copied(tmp_path: Path, *cells: object, date1904: bool = False) -> tuple[object, ...]:
    """The cells of a row as they are in a copy."""
    path = tmp_path / "copy.xlsx"
    path.unlink(missing_ok=True)
    copy_workbook(book(("Soundness", [list(cells)]), date1904=date1904), path)
    return tuple(read_workbook(path).sheets[0].rows[0])


@pytest.mark.parametrize("ending", ["ods", "xls"])
def test_a_copy_of_another_format_is_the_same_record(tmp_path: Path, ending: str) -> None:
    source = convert(keep(tmp_path / "horse.xlsx", worked_out=False), ending)
    result = copy_workbook(read_workbook(source), tmp_path / "copy.xlsx")
    assert result.cells == {"Soundness": 16, "Visits": 1, "Own notes": 1}
    ours = read_workbook(tmp_path / "copy.xlsx")
    assert ours.kept_as == "xlsx"
    assert with_kinds(ours.sheets[0].rows) == with_kinds(KEPT)
    second = openpyxl.load_workbook(tmp_path / "copy.xlsx", data_only=True)["Soundness"]
    assert second["A4"].value == dt.datetime(2026, 3, 4)
    assert second["A4"].number_format == "d mmm yyyy"
    assert (second["A6"].value, second["A6"].data_type) == ("#N/A", "e")
    assert second["B5"].value == "2/5"
    assert second["B7"].value == dt.timedelta(hours=36)
    assert not OpenXmlValidator().validate(str(tmp_path / "copy.xlsx")).errors


@pytest.mark.parametrize("date1904", [False, True])
@pytest.mark.parametrize(
    "value",
    [
        0.1 + 0.2,
        1e-300,
        123456789012345680.0,
        -2.5,
        True,
        False,
        " blanks ",
        "=1+1",
        "line\nline",
        "carriage\rreturn",
        "_x0041_",
        "007",
        "#N/A",
        "1e5",
        "a\tb",
        dt.date(2026, 3, 4),
        dt.datetime(2026, 3, 4, 23, 59, 59),
        dt.datetime(2026, 3, 4, 7, 30, 0, 500_000),
        dt.time(0, 0),
        dt.time(7, 30, 15),
        dt.timedelta(hours=36),
        dt.timedelta(0),
        dt.date(1904, 1, 2),
        dt.date(9999, 12, 31),
        CellError("#DIV/0!"),
        CellError("#NULL!"),
    ],
    ids=repr,
)
def test_a_value_comes_through_as_it_is(tmp_path: Path, value: object, date1904: bool) -> None:
    (there,) = copied(tmp_path, value, date1904=date1904)
    assert (there, type(there)) == (value, type(value))


CHANGED = [
    (UnsavedFormula("=A1+1"), "=A1+1", "unsaved"),
    (CellError("Err:502"), CellError("#VALUE!"), "unknown_errors"),
    (dt.date(1899, 12, 30), "1899-12-30", "early_days"),
    (dt.date(1900, 1, 1), "1900-01-01", "early_days"),
    (dt.timedelta(hours=-1), "-1 day, 23:00:00", "early_days"),
]


@pytest.mark.parametrize(("value", "wanted", "counted"), CHANGED)
def test_what_cannot_come_through_is_counted(
    tmp_path: Path, value: object, wanted: object, counted: str
) -> None:
    result = copy_workbook(book(("Soundness", [[value]])), tmp_path / "copy.xlsx")
    assert [getattr(result, name) for name in ("unsaved", "unknown_errors", "early_days")].count(1) == 1
    assert getattr(result, counted) == 1
    (there,) = read_workbook(tmp_path / "copy.xlsx").sheets[0].rows[0]
    assert (there, type(there)) == (wanted, type(wanted))


def test_names_that_a_sheet_of_xlsx_cannot_have(tmp_path: Path) -> None:
    names = ["Soundness", "SOUNDNESS", "left/right?", "a" * 40, "a" * 40, "'quoted'", ""]
    result = copy_workbook(book(*((name, [["x"]]) for name in names)), tmp_path / "copy.xlsx")
    assert list(result.cells) == [
        "Soundness", "SOUNDNESS 2", "left-right-", "a" * 31, f"{'a' * 27} 2", "quoted", "Sheet",
    ]  # fmt: skip
    assert result.renamed["left/right?"] == "left-right-"
    assert [sheet.name for sheet in read_workbook(tmp_path / "copy.xlsx").sheets] == list(result.cells)


def test_a_workbook_without_a_sheet_or_a_cell(tmp_path: Path) -> None:
    copy_workbook(book(), tmp_path / "none.xlsx")
    copy_workbook(book(("Soundness", [])), tmp_path / "blank.xlsx")
    assert [sheet.rows for sheet in read_workbook(tmp_path / "blank.xlsx").sheets] == [[]]


VALUES = st.one_of(
    st.just(""),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
    st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=12),
    st.datetimes(dt.datetime(1904, 1, 3), dt.datetime(9999, 12, 30)).map(
        lambda day: day.replace(microsecond=0)
    ),
    st.dates(dt.date(1904, 1, 3)),
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(VALUES, min_size=3, max_size=3), min_size=1, max_size=4))
def test_any_values_come_through(tmp_path: Path, rows: list[list[object]]) -> None:
    path = tmp_path / "copy.xlsx"
    path.unlink(missing_ok=True)
    rows = [*rows, ["end", "end", "end"]]
    copy_workbook(book(("Soundness", rows)), path)
    there = read_workbook(path).sheets[0].rows
    midnight = dt.time()
    plain = [
        [value.date() if isinstance(value, dt.datetime) and value.time() == midnight else value for value in row]
        for row in rows
    ]  # fmt: skip
    assert there == plain


# Nothing is written over, and nothing half is left


def test_an_existing_file_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "copy.xlsx").write_text("mine")
    with pytest.raises(FileExistsError):
        copy_workbook(book(("Soundness", [["x"]])), tmp_path / "copy.xlsx")
    assert (tmp_path / "copy.xlsx").read_text() == "mine"


def test_a_copy_that_reads_back_otherwise_is_thrown_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(copying, "read_workbook", lambda _: book(("Soundness", [["y"]])))
    with pytest.raises(NotWritten) as caught:
        copy_workbook(book(("Soundness", [["x"]])), tmp_path / "copy.xlsx")
    assert caught.value.problem.kind == "write-not-the-same"
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_leaves_no_half_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("tracker.workbook.change.disk.os.fsync", full)
    with pytest.raises(OSError, match="No space left"):
        copy_workbook(book(("Soundness", [["x"]])), tmp_path / "copy.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_for_what_is_not_yet_the_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("xlsxwriter.workbook.ZipFile", full)
    with pytest.raises(OSError, match="No space left"):
        copy_workbook(book(("Soundness", [["x"]])), tmp_path / "copy.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_a_text_too_long_for_a_cell_is_not_cut(tmp_path: Path) -> None:
    assert copied(tmp_path, "x" * 32_767) == ("x" * 32_767,)
    with pytest.raises(NotWritten) as caught:
        copied(tmp_path, "½" * 32_768)
    assert caught.value.problem.kind == "write-too-long"


# The command


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["copy", *map(str, arguments)])
    return result.exit_code, result.output


def test_the_command_says_what_it_copied_and_what_it_could_not(tmp_path: Path) -> None:
    (tmp_path / "diary").mkdir()
    (tmp_path / "diary" / "Soundness.csv").write_text("Date;Score\n2026-03-04;#N/A\n")
    assert run(tmp_path / "diary", tmp_path / "horse.xlsx") == (
        0,
        "Made horse.xlsx, a copy of diary; every cell was read back and compared.\n"
        "  Soundness: 4 cells\n"
        "A formula is copied as the value that was saved with it. Not in the copy: charts, pictures, comments, "
        "colours, widths, lists to pick from, macros; a hidden sheet is shown in it.\n"
        "diary was not changed.\n",
    )
    assert read_workbook(tmp_path / "horse.xlsx").sheets[0].rows == [
        ["Date", "Score"],
        ["2026-03-04", CellError("#N/A")],
    ]


@pytest.mark.parametrize(
    ("new", "sentence"),
    [
        ("horse.ods", "The copy's name ends in .xlsx: try diary-copy.xlsx."),
        ("there.xlsx", "{folder}/there.xlsx is there already and was not touched. Choose another name."),
        ("no/such/horse.xlsx", "{folder}/no/such/horse.xlsx could not be written: No such file or directory. Look at the folder and your rights in it."),
    ],
)  # fmt: skip
def test_the_command_says_why_it_could_not(tmp_path: Path, new: str, sentence: str) -> None:
    (tmp_path / "diary").mkdir()
    (tmp_path / "diary" / "Soundness.csv").write_text("Date;Score\n2026-03-04;2\n")
    (tmp_path / "there.xlsx").write_text("mine")
    assert run(tmp_path / "diary", tmp_path / new) == (2, sentence.format(folder=tmp_path) + "\n")


def test_a_file_that_cannot_be_read_is_not_copied(tmp_path: Path) -> None:
    (tmp_path / "horse.ods").write_bytes(b"")
    code, said = run(tmp_path / "horse.ods", tmp_path / "copy.xlsx")
    assert (code, said) == (
        2,
        "horse.ods is empty, with no bytes in it at all: take the last good copy of the workbook.\n",
    )
    assert not (tmp_path / "copy.xlsx").exists()


def test_names_that_a_sheet_cannot_have_are_changed_and_told(tmp_path: Path) -> None:
    r"""Microsoft, "Rename a worksheet": at most 31 signs, none of / \ ? * : [ ], no apostrophe at an end, not History."""
    names = ("History", "a" * 30 + "'b", "🐴" * 20, "'")
    rows: list[list[object]] = [["x"]]
    made_of = copy_workbook(book(*((name, rows) for name in names)), tmp_path / "copy.xlsx")
    made = openpyxl.load_workbook(tmp_path / "copy.xlsx").sheetnames
    assert made == ["History 2", "a" * 30, "🐴" * 15, "Sheet"]
    assert list(made_of.cells) == made
