"""Giving things out at the command line: all tables, and the calendar."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from entries import HORSE, barn
from exported import table
from typer.testing import CliRunner, Result

from sample_workbooks.build import END, FOLDER, NAMES
from tracker.cli import app
from tracker.show.calendar.ics import is_ours

WEEK, MISTAKES = FOLDER / "a-first-week.xlsx", FOLDER / "thirty-mistakes.xlsx"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(app, [*map(str, arguments)])


def test_everything_is_given_out_and_said(tmp_path: Path) -> None:
    result = run("export", MISTAKES, "--to", tmp_path / "out", "--on", END)
    assert result.exit_code == 0, result.output
    cells = len(table((tmp_path / "out" / "as-typed" / "cells.csv").read_bytes()))
    assert result.stdout == (
        f"Written into {tmp_path / 'out'}, as of 20 Nov 2026:\n"
        "  33 records of 8 sheets\n"
        "  7 rows set aside, as typed\n"
        f"  {cells} cells that the tables show otherwise than typed, or not at all\n"
        "  13 tables of what was worked out\n"
        "datapackage.json says what every column holds.\n"
        "The folder can be opened like thirty-mistakes.xlsx itself.\n"
        "It holds all that the workbook holds: names, telephone numbers and remarks too.\n"
    )


def test_the_folder_is_reviewed_checked_and_copied_like_the_workbook(tmp_path: Path) -> None:
    folder = tmp_path / "thirty-mistakes.xlsx"  # the same name, so that the words are the same
    assert run("export", MISTAKES, "--to", folder, "--on", END).exit_code == 0
    for command in (("review", "--on", str(END)), ("review", "--json", "--on", str(END)), ("check", "--all")):
        ours, theirs = (run(command[0], file, *command[1:]) for file in (MISTAKES, folder))
        assert theirs.output == ours.output
        assert theirs.exit_code == ours.exit_code
    told = []
    for number, file in enumerate((MISTAKES, folder)):
        assert run("copy", file, tmp_path / f"{number}.xlsx").exit_code == 0
        told.append(json.loads(run("check", tmp_path / f"{number}.xlsx", "--json").stdout)["problems"])
    assert told[0] == told[1]
    assert len(told[0]) >= 30


def test_a_filled_folder_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    result = run("export", WEEK, "--to", tmp_path)
    assert result.exit_code == 2
    assert result.stderr == (
        f"{tmp_path.name} is there already and is not an empty folder, so nothing was written: "
        "choose another name: `soundness export FILE --to FOLDER` makes the folder itself.\n"
    )
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--format", "xml"), "--format xml is not known. It is csv or parquet."),
        (("--on", "4/3/26"), "--on 4/3/26 is not a date that is clear by itself."),
    ],
)
def test_what_cannot_be_asked(tmp_path: Path, arguments: tuple[str, ...], said: str) -> None:
    result = run("export", WEEK, "--to", tmp_path / "out", *arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith(said)
    assert not (tmp_path / "out").exists()


def test_parquet_without_its_library_says_what_to_install(tmp_path: Path) -> None:
    """The tests' own process has none (conftest.py)."""
    result = run("export", WEEK, "--to", tmp_path / "out", "--format", "parquet")
    assert result.exit_code == 2
    assert result.stderr == (
        "Nothing is installed here that can write Parquet files: "
        "install `soundness-ledger[parquet]`, or leave --format out to write CSV files.\n"
    )
    assert not (tmp_path / "out").exists()


def test_a_blank_workbook_has_nothing_to_give_out(tmp_path: Path) -> None:
    run("new", tmp_path / "blank.xlsx")
    for command in (("export", "--to", tmp_path / "out"), ("calendar", "--out", tmp_path / "out.ics")):
        result = run(command[0], tmp_path / "blank.xlsx", *command[1:])
        assert result.exit_code == 2
        assert "holds no records yet" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["blank.xlsx"]


def test_a_calendar_is_made_and_brought_up_to_date(tmp_path: Path) -> None:
    out = tmp_path / "horse.ics"
    first = run("calendar", FOLDER / NAMES[0], "--out", out, "--on", END)
    assert first.exit_code == 0, first.output
    assert first.stdout.startswith(f"Written into {out}: 2 events. Take the file into your calendar program")
    content = out.read_bytes()
    assert is_ours(content)
    assert run("calendar", FOLDER / NAMES[0], "--out", out, "--on", END).exit_code == 0
    assert out.read_bytes() == content
    assert [path.name for path in tmp_path.iterdir()] == ["horse.ics"]


def test_a_calendar_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "horse.ics"
    out.write_bytes(b"BEGIN:VCALENDAR\r\nPRODID:-//Somebody//else//EN\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n")
    result = run("calendar", WEEK, "--out", out)
    assert result.exit_code == 2
    assert result.stderr.startswith("horse.ics is there already and is no calendar of this program")
    assert b"Somebody" in out.read_bytes()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--out", "horse.txt"), "A calendar's name ends in .ics: try horse.ics."),
        (("--out", "none/horse.ics"), "There is no folder in which horse.ics could be made"),
        (
            ("--out", "x.ics", "--horse", "Nobody"),
            "There is no horse Nobody in a-first-week.xlsx. Its horses: Barley.",
        ),
    ],
)
def test_what_no_calendar_is_made_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("calendar", WEEK, *arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith(said)
    assert list(tmp_path.iterdir()) == []


def test_what_waits_is_said(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Soundness=[{"Date": "29 Jun 2026", "Score": "2/5"}])
    (tmp_path / f"~${file.name}").write_bytes(b"")
    noted = run("note", file, "--score", "3/5")
    assert noted.exit_code == 1, noted.output
    assert "waits" in run("export", file, "--to", tmp_path / "out").stdout
    assert "waits" in run("calendar", file, "--out", tmp_path / "b.ics").stdout


def test_neither_library_is_loaded_before_it_is_needed() -> None:
    code = "import tracker.cli, sys; print(sorted({'icalendar', 'pandas', 'pyarrow'} & set(sys.modules)))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
