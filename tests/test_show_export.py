"""The exported tables against what they are made from, and against a second reader of the standard.

Data Package and Table Schema: datapackage.org, version 2; the second reader is frictionless-py.
"""

from __future__ import annotations

import csv
import json
import shutil
import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from exported import HORSES, ON, files_of, table, workbook

from sample_workbooks.build import END, FOLDER, NAMES
from tracker import Book, check_book, export_book, export_zip, open_book
from tracker.book import book_of
from tracker.problem import NotWritten
from tracker.sheets import CHOICE, FOOT, SHEETS
from tracker.show.export import parquet
from tracker.show.export.columns import field_of
from tracker.show.export.save import export_files, same_cells
from tracker.show.export.sheets import sheet_parts
from tracker.show.export.worked_out import worked_out
from tracker.workbook.exported.layout import heading_of
from tracker.workbook.read import read_workbook


@pytest.fixture(scope="module")
def second_reader() -> Any:
    """frictionless, without the length of a cell that it allows to the whole process as it is loaded."""
    longest = csv.field_size_limit()
    import frictionless
    import frictionless.formats.csv.parser

    csv.field_size_limit(longest)
    return frictionless


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with each sample beside it as a workbook, photographs included, and given out."""
    folder = tmp_path_factory.mktemp("samples")
    for name in NAMES:
        shutil.copy(FOLDER / name, folder / name)
        photos = FOLDER / f"{name} photos"
        if photos.is_dir():
            for near in (name, Path(name).stem):
                shutil.copytree(photos, folder / f"{near} photos")
        export_book(folder / name, folder / Path(name).stem, on=END)
    return folder


def described(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "datapackage.json").read_text("ascii"))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_comes_back_the_same(exported: Path, name: str) -> None:
    before, after = exported / name, exported / Path(name).stem
    assert same_cells(read_workbook(before), read_workbook(after))
    one, other = open_book(before, on=END), open_book(after, on=END)
    assert one.problems == other.problems
    assert one.horses == other.horses
    for sheet, checked in one.tables.items():
        pd.testing.assert_frame_equal(checked.frame, other.tables[sheet].frame)
        assert checked.set_aside == other.tables[sheet].set_aside


def test_without_its_photographs_it_says_only_that_these_are_missing(exported: Path, tmp_path: Path) -> None:
    alone = shutil.copytree(exported / "a-year-barefoot", tmp_path / "alone")
    one, other = open_book(exported / NAMES[0], on=END), open_book(alone, on=END)
    more = [problem for problem in other.problems if problem not in one.problems]
    assert {problem.kind for problem in more} == {"photo-not-there"}
    assert len(more) == 2
    for sheet, checked in one.tables.items():
        pd.testing.assert_frame_equal(checked.frame, other.tables[sheet].frame)


@pytest.mark.parametrize("name", NAMES)
def test_without_the_description_the_tables_are_read_as_any_csv_files(
    exported: Path, tmp_path: Path, name: str
) -> None:
    """Another way to the same records: headings with units, full dates, nothing left to guess."""
    plain = shutil.copytree(exported / Path(name).stem, tmp_path / "plain")
    (plain / "datapackage.json").unlink()
    one, other = check_book(exported / name, today=END), check_book(plain, today=END)
    for sheet in SHEETS:
        keys = [column.key for column in sheet.columns]
        ours, theirs = one.tables[sheet.name].kept[keys], other.tables[sheet.name].kept[keys]
        pd.testing.assert_frame_equal(ours.reset_index(drop=True), theirs.reset_index(drop=True))
    kinds = {problem.kind for problem in one.problems} | {"photo-not-there"}
    assert {problem.kind for problem in other.problems} <= kinds


@pytest.mark.parametrize("name", NAMES)
def test_a_second_reader_finds_the_package_right(second_reader: Any, exported: Path, name: str) -> None:
    report = second_reader.validate(str(exported / Path(name).stem / "datapackage.json"))
    assert report.flatten(["type", "note"]) == []
    assert report.valid
    assert report.stats["tasks"] == len(described(exported / Path(name).stem)["resources"])


SPOILT = {
    "an unknown word": ("Soundness.csv", b",trot,", b",amble,", "constraint-error"),
    "a day that is none": ("Soundness.csv", b"2026-11-13", b"2026-11-31", "type-error"),
    "a score beyond any scale": ("Soundness.csv", b",0-5,2,", b",0-5,12,", "constraint-error"),
    "a horse that nobody knows": ("Soundness.csv", b",Barley,", b",Berley,", "foreign-key"),
    "a row twice": ("Soundness.csv", b"\r\n3,", b"\r\n2,", "primary-key"),
    "an angle that is none": ("Hooves.csv", b",gauge,", b",gauge,400,", "extra-cell"),
}


@pytest.mark.parametrize("how", SPOILT)
def test_the_second_reader_would_find_what_is_wrong(
    second_reader: Any, exported: Path, tmp_path: Path, how: str
) -> None:
    """The schema has teeth: without its sum in the way, each mistake is found by its own rule."""
    spoilt = shutil.copytree(exported / "a-first-week", tmp_path / "spoilt")
    name, old, new, error = SPOILT[how]
    content = (spoilt / name).read_bytes()
    assert old in content
    (spoilt / name).write_bytes(content.replace(old, new, 1))
    package = described(spoilt)
    for resource in package["resources"]:
        del resource["bytes"], resource["hash"]
    (spoilt / "datapackage.json").write_text(json.dumps(package))
    report = second_reader.validate(str(spoilt / "datapackage.json"))
    assert error in {kind for [kind] in report.flatten(["type"])}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_the_schema_is_made_from_the_declaration(exported: Path, sheet: Any) -> None:
    fields = {one.name: one.described() for one in map(field_of, sheet.columns)}
    assert [*fields] == [heading_of(column) for column in sheet.columns]
    for column in sheet.columns:
        one = fields[heading_of(column)]
        limits = one.get("constraints", {})
        assert limits.get("required", False) == column.required
        assert one["description"].startswith(column.hint)
        if column.holds in (CHOICE, FOOT):
            assert limits["enum"] == [*column.choices]
        assert ("unit" in one) == bool(column.unit), column.heading


def test_units_are_ucum_codes_and_stand_in_the_heading_too() -> None:
    """UCUM, The Unified Code for Units of Measure: mm, deg, Cel, kg, wk, min; curly braces for what is counted."""
    found = {
        (heading_of(column), field_of(column).unit)
        for sheet in SHEETS
        for column in sheet.columns
        if column.unit
    }
    assert {
        ("Toe length (mm)", "mm"), ("Toe angle (°)", "deg"), ("Temperature (°C)", "Cel"), ("Weight (kg)", "kg"),
        ("Trim every (weeks)", "wk"), ("Minutes (minutes)", "min"), ("Heart rate (beats a minute)", "{beats}/min"),
        ("Condition score", "1"),
    } <= found  # fmt: skip


def test_a_row_that_was_set_aside_stands_as_typed_with_its_reason(exported: Path) -> None:
    folder = exported / "thirty-mistakes"
    aside = table((folder / "set-aside" / "Soundness.csv").read_bytes())
    book = open_book(exported / "thirty-mistakes.xlsx", on=END)
    assert [int(row["Row"]) for row in aside] == sorted(book.tables["Soundness"].set_aside)
    assert aside[0]["Date"] == "last Tuesday"
    assert aside[0]["Why"].startswith("Date: This cannot be read as a date.")
    used = {row["Row"] for row in table((folder / "Soundness.csv").read_bytes())}
    assert used.isdisjoint(row["Row"] for row in aside)
    assert len(used) + len(aside) == book.rows["Soundness"][0]
    raw = next(
        sheet
        for sheet in read_workbook(exported / "thirty-mistakes.xlsx").sheets
        if sheet.name == "Soundness"
    )
    headings = [str(heading) for heading in raw.rows[0]]
    for row in aside:
        typed = dict(zip(headings, raw.rows[int(row["Row"]) - 1], strict=True))
        for heading, value in typed.items():
            if isinstance(value, str):
                assert row[heading].removeprefix("'") == value


def test_of_a_row_that_was_set_aside_only_what_is_no_text_stands_among_the_cells() -> None:
    notes: list[list[object]] = [["Date", "Score", "Gait"], ["soon", 2.0, "trot"]]
    files = files_of(workbook(Path("barn.xlsx"), {"Horses": HORSES, "Soundness": notes}))
    (row,) = table(files["set-aside/Soundness.csv"])
    assert (row["Row"], row["Date"], row["Score"], row["Gait"]) == ("2", "soon", "2", "trot")
    cells = [
        cell
        for cell in table(files["as-typed/cells.csv"])
        if (cell["Sheet"], cell["Row"]) == ("Soundness", "2")
    ]
    assert [(cell["Heading"], cell["In the tables"], cell["Kind"]) for cell in cells] == [
        ("Score", "set aside", "number")
    ]


def test_what_was_typed_otherwise_stands_beside_what_was_read() -> None:
    hooves: list[list[object]] = [
        ["Date", "Foot", "Toe length (in)", "Heel angle"],
        ["4 Mar 2026", "left front", 3.5, "steep"],
    ]
    files = files_of(
        workbook(Path("barn.xlsx"), {"Horses": HORSES, "Hooves": hooves, "Bills": [["Hay", 12.0]]})
    )
    (row,) = table(files["Hooves.csv"])
    assert (row["Date"], row["Horse"], row["Foot"], row["Toe length (mm)"], row["Heel angle (°)"]) == (
        "2026-03-04", "Bramble", "LF", "88.9", "",
    )  # fmt: skip
    cells = {(c["Sheet"], c["Column"] + c["Row"]): c for c in table(files["as-typed/cells.csv"])}
    assert cells["Hooves", "C2"] | {"Sheet number": "", "Heading": ""} == {
        "Sheet number": "", "Sheet": "Hooves", "Row": "2", "Column": "C", "Heading": "", "In the tables": "read",
        "Kind": "number", "Typed": "3.5",
    }  # fmt: skip
    assert (cells["Hooves", "D2"]["In the tables"], cells["Hooves", "D2"]["Typed"]) == ("left out", "steep")
    assert (cells["Bills", "B1"]["In the tables"], cells["Bills", "B1"]["Typed"]) == ("elsewhere", "12.0")
    assert cells["Hooves", "C1"]["Typed"] == "Toe length (in)"


def test_what_is_worked_out_is_what_the_book_holds(exported: Path) -> None:
    book = open_book(exported / NAMES[0], on=END)
    folder = exported / "a-year-barefoot" / "worked-out"
    tables = {path.stem: table(path.read_bytes()) for path in folder.iterdir()}
    (horse,) = book.horses
    points = [point for series in horse.series for point in series.points]
    assert [
        (row["Date"], float(row["Score"]), row["Masked"], int(row["Soundness row"]))
        for row in tables["scores"]
    ] == [(point.date.isoformat(), point.score, str(point.masked).lower(), point.row) for point in points]
    assert {row["Masked"] for row in tables["scores"]} == {"true", "false"}
    measures = [
        found for record, _ in horse.feet for found in (*record.measures.values(), *record.marks.values())
    ]
    assert [float(row["Value"]) for row in tables["hoof-measures"]] == pytest.approx(
        [m.value for m in measures]
    )
    assert [float(row["Sd"]) for row in tables["hoof-measures"]] == pytest.approx([m.sd for m in measures])
    changes = [c for _, changed in horse.feet for own in changed.values() for c in own.values()]
    assert [row["Beyond error"] == "true" for row in tables["hoof-changes"]] == [
        c.beyond_error for c in changes
    ]
    assert [(row["Warning"], row["Because"], row["Source"]) for row in tables["warnings"]] == [
        (one.rule, one.because, one.source) for one in horse.warnings
    ]
    assert [row["Cells"].split(",") for row in tables["warnings"]] == [[*one.cells] for one in horse.warnings]
    counts = {
        "abscess-episodes": len(horse.episodes), "trims": len(horse.trims), "trim-cycles": len(horse.trimming.cycles),
        "pain-relief-courses": len(horse.courses), "growth-rates": len(horse.growth.feet) + bool(horse.growth.horse),
        "left-less-right": len(horse.pairs), "problems": len(book.problems), "horses": 1,
    }  # fmt: skip
    assert {name: len(tables[name]) for name in counts} == counts


def test_every_row_names_its_horse(exported: Path) -> None:
    book = open_book(exported / "a-yard-of-six.xlsx", on=END)
    folder = exported / "a-yard-of-six" / "worked-out"
    told = {
        path.stem: [row["Horse"] for row in table(path.read_bytes())] for path in folder.glob("[!p]*.csv")
    }
    assert told["horses"] == [horse.name for horse in book.horses]
    assert told["scores"] == [horse.name for horse in book.horses for one in horse.series for _ in one.points]
    assert told["trims"] == [horse.name for horse in book.horses for _ in horse.trims]
    assert told["warnings"] == [horse.name for horse in book.horses for _ in horse.warnings]


def test_no_place_on_this_computer_is_told(exported: Path) -> None:
    for path in exported.rglob("*"):
        if path.suffix in (".csv", ".json"):
            content = path.read_bytes()
            assert str(exported).encode() not in content
            assert b"barefoot.xlsx" not in content


def test_the_same_book_gives_the_same_bytes(exported: Path, tmp_path: Path) -> None:
    export_book(exported / NAMES[1], tmp_path / "again", on=END)
    for path in (tmp_path / "again").rglob("*.*"):
        assert (
            path.read_bytes()
            == (exported / "a-first-week" / path.relative_to(tmp_path / "again")).read_bytes()
        )


def test_what_was_given_out_is_given_out_again_the_same(exported: Path, tmp_path: Path) -> None:
    export_book(exported / "thirty-mistakes", tmp_path / "again", on=END)
    for path in (tmp_path / "again").rglob("*.csv"):
        first = exported / "thirty-mistakes" / path.relative_to(tmp_path / "again")
        assert path.read_bytes() == first.read_bytes()


def test_the_zip_holds_the_same(exported: Path) -> None:
    content = export_zip(open_book(exported / NAMES[1], on=END))
    assert content == export_zip(open_book(exported / NAMES[1], on=END))
    folder = exported / "a-first-week"
    with zipfile.ZipFile(BytesIO(content)) as archive:
        names = set(archive.namelist())
        assert names == {str(path.relative_to(folder)) for path in folder.rglob("*.*")}
        for name in names:
            assert archive.read(name) == (folder / name).read_bytes()


def test_dates_are_read_as_the_book_was_opened(tmp_path: Path) -> None:
    notes: list[list[object]] = [["Date", "Score"], ["4/3/26", 2.0]]
    raw = workbook(tmp_path / "b.xlsx", {"Horses": HORSES, "Soundness": notes})
    (row,) = table(export_files(book_of(raw, on=ON, day_first=False), raw)[1]["Soundness.csv"])
    assert row["Date"] == "2026-04-03"


def test_parquet_asks_for_its_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parquet, "find_spec", lambda name: None)
    with pytest.raises(NotWritten) as caught:
        export_book(FOLDER / NAMES[1], tmp_path / "out", on=END, format="parquet")
    assert str(caught.value) == (
        "Nothing is installed here that can write Parquet files: "
        "install `soundness-ledger[parquet]`, or leave --format out to write CSV files."
    )
    assert list(tmp_path.iterdir()) == []


def test_parquet_columns_have_types_even_where_a_table_is_empty() -> None:
    book: Book = book_of(workbook(Path("b.xlsx"), {"Horses": HORSES}), on=ON)
    frames = {part.stem: parquet.frame_of(part) for part in worked_out(book)}
    assert str(frames["worked-out/scores"]["Score"].dtype) == "Float64"
    assert str(frames["worked-out/scores"]["Masked"].dtype) == "boolean"
    assert str(frames["worked-out/pain-relief-courses"]["First given"].dtype) == "datetime64[us]"


def test_parquet_gets_texts_that_can_be_written_and_no_apostrophe() -> None:
    notes: list[list[object]] = [["Date", "Score", "Remarks", "Limb"], [ON, 2.0, "=1\ud800", "LF, RF"]]
    book = book_of(workbook(Path("b.xlsx"), {"Horses": HORSES, "Soundness": notes}), on=ON)
    raw = workbook(Path("b.xlsx"), {"Horses": HORSES, "Soundness": notes})
    (part,) = [part for part in sheet_parts(book, raw).checked if part.stem == "Soundness"]
    (row,) = parquet.frame_of(part).to_dict("records")
    assert (row["Remarks"], row["Limb"], row["Date"], row["Row"]) == ("=1\ufffd", ["LF", "RF"], ON, 2)
