"""The command that prints forms: which file it makes, what it takes from a workbook, what it refuses."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from pypdf import PdfReader
from typer.testing import CliRunner, Result

from tracker.cli_paper import paper
from tracker.workbook.new.blank import write_blank, write_workbook

ROOT = Path(__file__).parents[1]
YARD = ROOT / "sample_workbooks" / "a-yard-of-six.xlsx"
HORSE = {
    "Horse": "Bramble",
    "Usual check": "trot, hard, straight",
    "Usual scale": "0-10",
    "Vet": "Marsh Lane practice",
    "Vet phone": "01632 960 001",
}


def run(*arguments: object) -> Result:
    app = typer.Typer()
    app.command()(paper)
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def text(file: Path, page: int = 0) -> str:
    return " ".join(PdfReader(file).pages[page].extract_text().split())


def workbook(folder: Path, *horses: dict[str, object]) -> Path:
    file = folder / "my-horse.xlsx"
    write_workbook(file, {"Horses": horses, "Soundness": []})
    return file


def test_a_name_alone_makes_the_form_and_the_measuring_sheet(tmp_path: Path) -> None:
    out = tmp_path / "barn.pdf"
    result = run("--horse", "Bramble", "--out", out)
    assert (result.exit_code, result.stdout) == (
        0, f"Made {out}: a form for 31 days and a measuring sheet of two pages, for both sides of one paper.\n"
    )  # fmt: skip
    assert len(PdfReader(out).pages) == 3
    assert "Horse Bramble" in text(out)
    assert os.listdir(tmp_path) == ["barn.pdf"]


def test_each_can_be_had_alone(tmp_path: Path) -> None:
    assert run("--out", tmp_path / "a.pdf", "--daily", "--days", "1").stdout.endswith("a form for 1 day.\n")
    assert run("--out", tmp_path / "b.pdf", "--measuring").exit_code == 0
    assert run("--out", tmp_path / "c.pdf", "--measuring", "--daily", "--days", "40").exit_code == 0
    assert [len(PdfReader(tmp_path / f"{name}.pdf").pages) for name in "abc"] == [1, 2, 4]


@pytest.mark.parametrize("more", [("--days", "14"), ("--from", "2026-03-04")])
def test_days_of_a_form_that_is_left_out_are_refused(tmp_path: Path, more: tuple[str, str]) -> None:
    result = run("--out", tmp_path / "a.pdf", "--measuring", *more)
    assert result.exit_code == 2
    assert result.stderr == (
        "--days and --from belong to the form for the barn door, which --measuring alone leaves out.\n"
    )
    assert os.listdir(tmp_path) == []


def test_the_workbook_gives_the_vets_number_the_usual_check_and_the_scale(tmp_path: Path) -> None:
    file = workbook(tmp_path, HORSE)
    before = file.read_bytes()
    result = run(file, "--out", tmp_path / "barn.pdf", "--from", "4 Mar 2026")
    assert (result.exit_code, result.stderr) == (0, "")
    told = text(tmp_path / "barn.pdf")
    assert "Horse Bramble 4 Mar 2026 to 3 Apr 2026" in told
    assert "Vet Marsh Lane practice Phone 01632 960 001" in told
    assert "Usual check trot, hard, straight Scale 0-10" in told
    assert file.read_bytes() == before


def test_a_missing_number_is_said(tmp_path: Path) -> None:
    file = workbook(tmp_path, HORSE | {"Vet phone": ""})
    result = run(file, "--out", tmp_path / "barn.pdf")
    assert (
        "Write the vet's number on the form: Vet phone on the sheet Horses of my-horse.xlsx is empty."
        in result.stdout
    )
    long = (
        workbook(tmp_path / "other", HORSE | {"Vet phone": "01632 960 001, " * 9})
        if (tmp_path / "other").mkdir() is None
        else file
    )
    assert "is too long for it" in run(long, "--out", tmp_path / "other.pdf").stdout
    assert "Vet phone" not in run(file, "--out", tmp_path / "c.pdf", "--measuring").stdout


def test_of_several_horses_one_is_named_in_any_capitals(tmp_path: Path) -> None:
    file = workbook(tmp_path, HORSE, {"Horse": "Juniper"})
    result = run(file, "--out", tmp_path / "barn.pdf")
    assert result.exit_code == 2
    assert result.stderr == "Say which horse, with --horse. The horses in my-horse.xlsx: Bramble, Juniper.\n"
    assert run(file, "--horse", "JUNIPER", "--out", tmp_path / "barn.pdf").exit_code == 0
    assert "Horse Juniper" in text(tmp_path / "barn.pdf")
    assert "01632" not in text(tmp_path / "barn.pdf")
    result = run(file, "--horse", "Clover", "--out", tmp_path / "clover.pdf")
    assert result.stderr == "There is no horse Clover in my-horse.xlsx. Its horses: Bramble, Juniper.\n"
    assert sorted(os.listdir(tmp_path)) == ["barn.pdf", "my-horse.xlsx"]


def test_a_blank_workbook_gives_lines_to_write_on(tmp_path: Path) -> None:
    write_blank(tmp_path / "new.xlsx")
    assert run(tmp_path / "new.xlsx", "--out", tmp_path / "barn.pdf", "--horse", "Clover").exit_code == 0
    assert "Horse Clover" in text(tmp_path / "barn.pdf")


def test_what_is_no_workbook_is_told_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("Bramble", "utf-8")
    for name in ("notes.txt", "nowhere.xlsx"):
        result = run(tmp_path / name, "--out", tmp_path / "barn.pdf")
        assert result.exit_code == 2
        assert len(result.stderr.splitlines()) == 1
    assert not (tmp_path / "barn.pdf").exists()


@pytest.mark.parametrize("what", ["file", "folder", "link"])
def test_what_is_there_is_never_written_over(tmp_path: Path, what: str) -> None:
    out = tmp_path / "barn.pdf"
    if what == "folder":
        out.mkdir()
    elif what == "link":
        out.symlink_to(tmp_path / "elsewhere.pdf")
    else:
        out.write_bytes(b"mine")
    result = run("--out", out)
    assert result.exit_code == 2
    assert result.stderr == f"{out} is there already and was not touched. Choose another name.\n"
    assert os.listdir(tmp_path) == ["barn.pdf"]
    if what == "file":
        assert out.read_bytes() == b"mine"


@pytest.mark.parametrize("name", ["barn", "barn.xlsx", "barn.pdf.txt"])
def test_the_name_ends_in_pdf(tmp_path: Path, name: str) -> None:
    result = run("--out", tmp_path / name)
    assert result.exit_code == 2
    assert result.stderr.startswith("The form's name ends in .pdf: try ")
    assert os.listdir(tmp_path) == []


def test_capitals_in_the_ending_are_fine_and_the_rights_are_the_usual_ones(tmp_path: Path) -> None:
    assert run("--out", tmp_path / "BARN.PDF", "--days", "3").exit_code == 0
    (tmp_path / "usual").write_text("")
    modes = {stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("BARN.PDF", "usual")}
    assert len(modes) == 1


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    result = run("--out", tmp_path / "nowhere" / "barn.pdf")
    assert result.exit_code == 2
    assert "could not be written" in result.stderr


@pytest.mark.parametrize("day", ["4/3/26", "soon", "260304"])
def test_a_date_that_is_not_clear_is_refused(tmp_path: Path, day: str) -> None:
    result = run("--out", tmp_path / "barn.pdf", "--from", day)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"--from {day} is not a date that is clear by itself.")


def test_the_calendar_has_an_end(tmp_path: Path) -> None:
    result = run("--out", tmp_path / "barn.pdf", "--from", "9999-12-20")
    assert (
        result.stderr == "--from 9999-12-20 is too late for 31 days: the calendar ends with the year 9999.\n"
    )
    assert run("--out", tmp_path / "barn.pdf", "--from", "9999-12-20", "--days", "12").exit_code == 0


@pytest.mark.parametrize("days", ["0", "-1", "367", "many"])
def test_as_many_days_as_a_year_has(tmp_path: Path, days: str) -> None:
    assert run("--out", tmp_path / "barn.pdf", "--days", days).exit_code == 2


def test_letter_paper_is_there_too(tmp_path: Path) -> None:
    assert run("--out", tmp_path / "barn.pdf", "--sheet", "us-letter").exit_code == 0
    assert float(PdfReader(tmp_path / "barn.pdf").pages[0].mediabox.width) == 612  # ANSI Letter, 8.5 in
    assert run("--out", tmp_path / "other.pdf", "--sheet", "a3").exit_code == 2


def test_it_loads_neither_plotly_nor_dash(tmp_path: Path) -> None:
    """What it need not load would take longer than all the rest."""
    code = (
        "import sys, typer; from tracker.cli_paper import paper; app = typer.Typer(); app.command()(paper);"
        f"app([{str(YARD)!r}, '--horse', 'Mabel', '--out', {str(tmp_path / 'a.pdf')!r}], standalone_mode=False);"
        "print(sorted({'plotly', 'dash'} & set(sys.modules)))"
    )
    found = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert found.stdout.splitlines()[-1] == "[]", found.stderr
    assert (tmp_path / "a.pdf").exists()
