"""What is given out can be read back, cell for cell, or is refused where somebody changed it."""

from __future__ import annotations

import csv
import datetime as dt
import json
import re
from io import StringIO
from pathlib import Path

import pytest
from exported import HORSES, ON, files_of, given_out, table, workbook
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tracker.book import book_of
from tracker.cells.raw import CellError, UnsavedFormula
from tracker.problem import NotWritten, Unreadable
from tracker.show.export.save import same_cells
from tracker.workbook.exported.kept_cell import kept, value_of
from tracker.workbook.exported.safe_text import guarded, unguarded
from tracker.workbook.exported.save import write_folder
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook
from tracker.workbook.read import read_workbook

# OWASP, "CSV Injection": equals, plus, minus, at, tab, carriage return, line feed, and the full-width forms.
DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
HOSTILE = [
    '=HYPERLINK("http://example.org","look")',
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "+49 170 1",
    "-2+3",
    "'=1",
    "''=1",
    "'tis lame",
    "\t=1",
    "\r\n=1",
    "＝1+1",
    'said "sore", and\r\nwent off;\nthen\rback',
    "\u202eemal\u202c \u200f\u061c",
    "🐴" * 50,
    "x" * 10_000,
    "007",
    "1e5",
    " two  blanks ",
    "\ud800 half",
    "nothing\0here",
    "TRUE",
    "#N/A",
    "\ufeffmark",
    "#N/A beside",
    "‘’ and –",
]


@pytest.mark.parametrize("sign", DANGEROUS)
def test_no_text_begins_as_a_formula(sign: str) -> None:
    assert guarded(f"{sign}1+1") == f"'{sign}1+1"
    assert unguarded(guarded(f"{sign}1+1")) == f"{sign}1+1"


@pytest.mark.parametrize("number", ["-3", "+3", "-3.5", "-3,5"])
def test_a_number_stays_one(number: str) -> None:
    assert guarded(number) == number
    assert unguarded(number) == number


@settings(max_examples=400)
@example("'-3")
@example("''")
@given(st.text(st.sampled_from([*DANGEROUS, "'", "1", ",", "a"]), max_size=6) | st.text(max_size=20))
def test_the_guard_is_undone(text: str) -> None:
    safe = guarded(text)
    assert unguarded(safe) == text
    assert not safe.startswith(DANGEROUS) or re.fullmatch(r"[-+]\d+([.,]\d+)?", safe)


CELLS = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(max_size=30),
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-(10**6), 10**6).map(float),
    st.booleans(),
    st.datetimes(dt.datetime(1900, 1, 1), dt.datetime(2100, 1, 1)),
    st.dates(dt.date(1900, 1, 1), dt.date(2100, 1, 1)),
    st.times(),
    st.timedeltas(dt.timedelta(-1000), dt.timedelta(1000)),
    st.sampled_from(["#N/A", "#DIV/0!"]).map(CellError),
    st.just(UnsavedFormula("=A1+1")),
    st.just(""),
)


@given(CELLS)
def test_a_cell_is_kept_as_two_texts(value: object) -> None:
    kind, text = kept(value)
    assert text.isprintable() or kind in ("text", "coded text", "error", "formula without a result")
    back = value_of(kind, text)
    assert (type(back), back) == (type(value), value)


PLAIN = [
    st.dates(dt.date(2025, 1, 1), ON) | CELLS,
    st.sampled_from(["Bramble", "bramble", "Moss", ""]) | CELLS,
    st.sampled_from(["2", "2/5", 1.5, "0-1"]) | CELLS,
    st.sampled_from(["LF", "left front", "both fronts", "no"]) | CELLS,
    CELLS,
    CELLS,
]
NOTES = st.lists(st.tuples(*PLAIN).map(list), max_size=6)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(NOTES, st.lists(st.lists(CELLS, max_size=4), max_size=4), st.booleans())
def test_any_workbook_comes_back_cell_for_cell(
    tmp_path_factory: pytest.TempPathFactory, notes: list[list[object]], own: list[list[object]], early: bool
) -> None:
    path = tmp_path_factory.mktemp("out")
    heads: list[object] = ["Date", "Horse", "Score", "Limb", "Remarks", "Weather"]
    raw = workbook(
        path / "barn.xlsx",
        {"Horses": HORSES, "Soundness ": [["My diary"], [], heads, *notes], "=own": own},
        date1904=early,
    )
    assert same_cells(raw, given_out(raw, path / "folder"))


def test_hostile_texts_come_back_and_are_safe(tmp_path: Path) -> None:
    notes: list[list[object]] = [[dt.date(2026, 3, 4), "2/5", text] for text in HOSTILE]
    raw = workbook(
        tmp_path / "b.xlsx", {"Horses": HORSES, "Soundness": [["Date", "Score", "Remarks"], *notes]}
    )
    assert same_cells(raw, given_out(raw, tmp_path / "folder"))
    for name, content in files_of(raw).items():
        if name.endswith(".csv"):
            for line in csv.reader(StringIO(content.decode("utf-8"), newline="")):
                for cell in line:
                    assert not cell.startswith(DANGEROUS) or re.fullmatch(r"[-+]\d+(\.\d+)?(e-?\d+)?", cell)


def test_numbers_below_zero_stay_numbers(tmp_path: Path) -> None:
    points: list[list[object]] = [
        ["Photo", "Date", "Foot", "View", "Point", "X", "Y"],
        ["lf.jpg", dt.date(2026, 3, 4), "LF", "side", "toe_ground", -3.0, -0.25],
    ]
    raw = workbook(tmp_path / "b.xlsx", {"Horses": HORSES, "Photo points": points})
    (row,) = table(files_of(raw)["Photo points.csv"])
    assert (row["X"], row["Y"]) == ("-3", "-0.25")


def test_what_comes_back_is_the_same_book(tmp_path: Path) -> None:
    notes: list[list[object]] = [
        ["Date", "Horse", "Score", "Signs", "Weather"],
        [dt.date(2026, 3, 4), "", "2", "", "wet"],
        ["soon", "", "4/5", "will not bear weight", ""],
        ["4/3/26", "", "9/5", "", ""],
    ]
    raw = workbook(tmp_path / "b.xlsx", {"Horses": HORSES, "Soundness": notes})
    back = given_out(raw, tmp_path / "folder")
    one, other = book_of(raw, on=ON), book_of(back, on=ON)
    assert one.problems == other.problems
    assert len(one.problems) >= 3
    assert one.horses == other.horses
    for name, checked in one.tables.items():
        assert checked.frame.equals(other.tables[name].frame)
        assert checked.set_aside == other.tables[name].set_aside


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    notes: list[list[object]] = [["Date", "Score"], [dt.date(2026, 3, 4), 2.0], ["soon", 3.0]]
    raw = workbook(tmp_path / "b.xlsx", {"Horses": HORSES, "Soundness": notes})
    write_folder(tmp_path / "folder", files_of(raw))
    return tmp_path / "folder"


def refusal(path: Path) -> str:
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    assert caught.value.problem.kind == "file-export-changed"
    return str(caught.value)


@pytest.mark.parametrize("name", ["Soundness.csv", "set-aside/Soundness.csv", "as-typed/cells.csv"])
def test_a_changed_table_is_refused_and_named(folder: Path, name: str) -> None:
    content = (folder / name).read_bytes()
    (folder / name).write_bytes(content.replace(b"3", b"4"))
    assert refusal(folder).startswith(f"{name} was changed, added or taken away")


def test_a_table_that_was_added_is_refused(folder: Path) -> None:
    (folder / "Body.csv").write_bytes(b"Date,Weight\n2026-03-04,500\n")
    assert refusal(folder).startswith("Body.csv was changed, added")


def test_a_table_that_was_taken_away_is_refused(folder: Path) -> None:
    (folder / "Soundness.csv").unlink()
    with pytest.raises(Unreadable):
        read_workbook(folder)


@pytest.mark.parametrize(
    "own",
    [
        None, [], {}, {"version": 1}, {"version": 1, "sheets": [], "date1904": 0, "more": 1},
        {"version": 1, "date1904": False, "sheets": [{"name": "x", "table": "../Soundness", "letters": {}, "merged": []}]},
        {"version": 1, "date1904": False, "sheets": [{"name": "Soundness", "table": "Soundness", "letters": {"date": "ZZZZZZZZ"}, "merged": []}]},
        {"version": 1, "date1904": False, "sheets": [{"name": "Soundness", "table": "Soundness", "letters": {"date": "1"}, "merged": []}]},
    ],
)  # fmt: skip
def test_a_spoilt_description_is_refused_in_words(folder: Path, own: object) -> None:
    described = json.loads((folder / "datapackage.json").read_text("ascii"))
    (folder / "datapackage.json").write_text(json.dumps({**described, "soundness": own}))
    if own == {"version": 1, "sheets": [], "date1904": 0, "more": 1}:
        assert read_workbook(folder).sheets == ()
        return
    with pytest.raises(Unreadable):
        read_workbook(folder)


def test_a_newer_description_is_refused(folder: Path) -> None:
    described = json.loads((folder / "datapackage.json").read_text("ascii"))
    described["soundness"]["version"] = 2
    (folder / "datapackage.json").write_text(json.dumps(described))
    with pytest.raises(Unreadable) as caught:
        read_workbook(folder)
    assert caught.value.problem.kind == "file-export-newer"


@pytest.mark.parametrize("content", ["", "[]", "{", '{"name": "someone else\'s"}', "[" * 100_000])
def test_somebody_else_s_description_is_none_of_ours(folder: Path, content: str) -> None:
    (folder / "datapackage.json").write_text(content)
    assert read_workbook(folder).sheets[1].rows[0][:3] == [
        "Row",
        "Date",
        "Horse",
    ]  # as any folder of CSV files


def test_a_folder_is_written_wholly_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, content: bytes) -> None:
        if path.name == "b.csv":
            raise OSError(28, "No space left on device")
        path.write_bytes(content)

    monkeypatch.setattr("tracker.workbook.exported.save.write_through", full)
    with pytest.raises(NotWritten) as caught:
        write_folder(tmp_path / "folder", {"a.csv": b"1", "b.csv": b"2"})
    assert caught.value.problem.kind == "write-disk-full"
    assert list(tmp_path.iterdir()) == []


def test_an_empty_folder_is_taken_and_a_filled_one_is_not(tmp_path: Path) -> None:
    target = tmp_path / "folder"
    target.mkdir()
    write_folder(target, {"in/a.csv": b"1"})
    assert (target / "in" / "a.csv").read_bytes() == b"1"
    with pytest.raises(NotWritten) as caught:
        write_folder(target, {"in/a.csv": b"2"})
    assert str(caught.value) == (
        "folder is there already and is not an empty folder, so nothing was written: "
        "choose another name: `soundness export FILE --to FOLDER` makes the folder itself."
    )
    assert (target / "in" / "a.csv").read_bytes() == b"1"
    assert [path.name for path in tmp_path.iterdir()] == ["folder"]


@pytest.mark.parametrize("there", ["file", "link"])
def test_nothing_else_is_written_over(tmp_path: Path, there: str) -> None:
    target = tmp_path / "folder"
    if there == "file":
        target.write_text("mine")
    else:
        target.symlink_to(tmp_path / "nowhere")
    with pytest.raises(NotWritten):
        write_folder(target, {"a.csv": b"1"})
    assert target.is_symlink() == (there == "link")


def test_a_folder_in_no_folder(tmp_path: Path) -> None:
    with pytest.raises(NotWritten) as caught:
        write_folder(tmp_path / "none" / "folder", {"a.csv": b"1"})
    assert caught.value.problem.kind == "write-no-folder"


def test_merged_cells_and_a_second_sheet_of_one_name_come_back(tmp_path: Path) -> None:
    """Two sheets of one name are possible in a folder of CSV files, as Soundness.csv and Soundness.tsv."""
    notes = [["Date", "Score", "Remarks"], ["2026-03-04", "2", "sore"], ["", "3", ""]]
    sheets = (
        RawSheet("Horses", HORSES),
        RawSheet("Soundness", notes, merged=((2, 2, 2, 3),)),
        RawSheet("Soundness", [["Date", "Score", "Remarks"], ["2026-03-05", "1", "=1"]]),
    )
    raw = RawWorkbook(tmp_path / "b", sheets, date1904=False, kept_as="csv")
    back = given_out(raw, tmp_path / "folder")
    assert same_cells(raw, back)
    assert back.sheets[1].merged == ((2, 2, 2, 3),)
    assert book_of(back, on=ON).problems == book_of(raw, on=ON).problems
    assert {"merged-down", "sheet-twice"} <= {problem.kind for problem in book_of(back, on=ON).problems}


def test_what_no_csv_file_can_hold_is_not_written_at_all(tmp_path: Path) -> None:
    """Python's csv reads cells of at most 131,072 signs; only .ods has longer ones."""
    notes: list[list[object]] = [["Date", "Score", "Remarks"], [dt.date(2026, 3, 4), "2/5", "x" * 131_073]]
    with pytest.raises(NotWritten) as caught:
        files_of(workbook(tmp_path / "b.ods", {"Horses": HORSES, "Soundness": notes}))
    assert caught.value.problem.kind == "write-not-the-same"
