"""The Parquet files, read by pyarrow, against the CSV files of the same workbook and their description."""

from __future__ import annotations

import csv
import datetime as dt
import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from entries import HORSE, barn

from sample_workbooks.build import END, FOLDER, NAMES
from tracker import export_book
from tracker.workbook.exported.safe_text import unguarded

HERE = Path(__file__).parent
# A type of Table Schema and what it is in Arrow; texts of any length are one thing there under two names.
ARROW = {
    "string": {"string", "large_string"},
    "integer": {"int64"},
    "number": {"double"},
    "date": {"date32[day]"},
    "datetime": {"timestamp[us]"},
    "boolean": {"bool"},
    "list": {"list<element: string>", "list<item: string>"},
}


def by_pyarrow(workbook: Path, folder: Path, on: dt.date) -> dict[str, Any]:
    """What the reader prints; pyarrow is kept from the tests' own process, since pandas is another one with it."""
    place = os.pathsep.join([str(HERE.parent), *filter(None, [os.environ.get("PYTHONPATH")])])
    told = subprocess.run(
        [sys.executable, str(HERE / "parquet_reader.py"), str(workbook), on.isoformat(), str(folder)],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": place},
    )  # fmt: skip
    assert told.returncode == 0, told.stderr
    found: dict[str, Any] = json.loads(told.stdout)
    return found


def as_read(text: str, kind: str) -> object:
    """A cell of a CSV file as the value that its type says; empty is nothing."""
    if text == "":
        return None
    if kind in ("integer", "number"):
        return float(text)
    if kind == "boolean":
        return {"true": True, "false": False}[text]
    if kind == "datetime":
        return dt.datetime.fromisoformat(text).isoformat()
    if kind == "date":
        return dt.date.fromisoformat(text).isoformat()
    return unguarded(text).split(",") if kind == "list" else unguarded(text)


def in_12_figures(value: object) -> object:
    """A number as a CSV file has it."""
    return float(f"{value:.12g}") if isinstance(value, float) else value


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook of one horse, with hours, lists, a formula's look, and columns in which nothing stands."""
    return barn(
        tmp_path_factory.mktemp("odd"),
        Horses=[HORSE],
        Soundness=[
            {
                "Date": "29 Jun 2026",
                "Score": "2.5/5",
                "Limb": "LF, RF",
                "Remarks": "=1+1",
                "Signs": "off feed",
            },
            {"Date": "soon", "Score": "9/5"},
        ],
        Pain_relief=[{"Product": "powder", "First given": "28 Jun 2026 07:30"}],
    )


@pytest.mark.parametrize("name", [*NAMES, "odd"])
def test_types_days_and_blanks_are_those_of_the_csv_files(tmp_path: Path, odd: Path, name: str) -> None:
    workbook, on = (odd, dt.date(2026, 6, 30)) if name == "odd" else (FOLDER / name, END)
    counted = export_book(workbook, tmp_path / "csv", on=on)
    found = by_pyarrow(workbook, tmp_path / "parquet", on)
    assert found["counted"] == counted
    described = json.loads((tmp_path / "csv" / "datapackage.json").read_text("ascii"))["resources"]
    assert {Path(one["path"]).with_suffix("").as_posix() for one in described} == found["tables"].keys()
    for resource in described:
        content = (tmp_path / "csv" / resource["path"]).read_text("utf-8")
        with StringIO(content, newline="") as text:
            head, *rows = csv.reader(text)
        fields = {field["name"]: field["type"] for field in resource["schema"]["fields"]}
        table = found["tables"][Path(resource["path"]).with_suffix("").as_posix()]
        assert [*table["types"]] == head == [*fields]
        for column, kind in fields.items():
            assert table["types"][column] in ARROW[kind], (resource["path"], column)
        expected = [[as_read(cell, fields[key]) for key, cell in zip(head, row, strict=True)] for row in rows]
        assert [[in_12_figures(value) for value in row] for row in table["rows"]] == expected, resource[
            "path"
        ]


def test_the_description_beside_them_names_the_same_files(tmp_path: Path, odd: Path) -> None:
    by_pyarrow(odd, tmp_path / "parquet", dt.date(2026, 6, 30))
    described = json.loads((tmp_path / "parquet" / "datapackage.json").read_text("ascii"))["resources"]
    assert all((tmp_path / "parquet" / one["path"]).is_file() for one in described)
    assert {one["mediatype"] for one in described} == {"application/vnd.apache.parquet"}


def test_with_pyarrow_installed_the_csv_files_are_the_same(tmp_path: Path, odd: Path) -> None:
    """Pandas keeps its texts otherwise where pyarrow is there; nothing that is given out may show it."""
    code = "import sys, datetime as dt; from tracker import export_book; export_book(*sys.argv[1:3], on=dt.date(2026, 6, 30))"
    ran = subprocess.run(
        [sys.executable, "-c", code, str(odd), str(tmp_path / "with")],
        cwd=HERE.parent, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    export_book(odd, tmp_path / "without", on=dt.date(2026, 6, 30))
    for file in (tmp_path / "without").rglob("*.*"):
        assert file.read_bytes() == (tmp_path / "with" / file.relative_to(tmp_path / "without")).read_bytes()
