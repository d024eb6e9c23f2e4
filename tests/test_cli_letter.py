"""The letter at the command line."""

from __future__ import annotations

from pathlib import Path

import pytest
from entries import HORSE, NOTE, barn
from pypdf import PdfReader
from typer.testing import CliRunner, Result

from tracker.cli import app


def run(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["letter", *map(str, arguments)])


def two(folder: Path) -> Path:
    horses = [HORSE, {"Horse": "Clover"}]
    return barn(folder, Horses=horses, Soundness=[{**NOTE, "Horse": "Bramble"}, {**NOTE, "Horse": "Clover"}])


@pytest.mark.parametrize("kind", [".pdf", ".html", ".txt", ".PDF"])
def test_each_kind_is_written_whole(tmp_path: Path, kind: str) -> None:
    out = tmp_path / f"letter{kind}"
    result = run(barn(tmp_path), "--question", "What now?", "--out", out)
    assert result.exit_code == 0, result.output
    assert result.stdout == (
        f"Made {out}. Left out by the sender: remarks, names of people, phone numbers, photographs. "
        "Read it before you send it.\n"
    )
    said = PdfReader(out).pages[0].extract_text() if kind.lower() == ".pdf" else out.read_text("utf-8")
    assert "What now?" in said
    assert sorted(path.name for path in tmp_path.iterdir()) == ["barn.xlsx", out.name]


def test_without_a_name_it_is_shown_as_a_message(tmp_path: Path) -> None:
    result = run(barn(tmp_path), "--on", "2026-06-30")
    assert result.exit_code == 0
    assert result.stdout.startswith(
        "Bramble: a record for the vet\nRecord as of 30 Jun 2026\n\nWHO THE HORSE IS\n"
    )


def test_of_several_horses_one_is_to_be_named(tmp_path: Path) -> None:
    file = two(tmp_path)
    assert run(file).stderr == "Say which horse, with --horse. The horses in barn.xlsx: Bramble, Clover.\n"
    assert (
        run(file, "--horse", "Rook").stderr
        == "There is no horse Rook in barn.xlsx. Its horses: Bramble, Clover.\n"
    )
    assert run(file, "--horse", "clover").stdout.startswith("Clover: a record")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--out", "letter.docx"], "The letter's name ends in .pdf, .html or .txt: try letter.pdf."),
        (["--from", "3/4/26"], "--from 3/4/26 is not a date that is clear by itself. Write it as 2026-03-04 or 4 Mar 2026."),
        (["--from", "2026-03-04", "--to", "2026-03-01"], "--from is a later day than --to. Give the earlier day to --from."),
        (["--on", "2026-06-30", "--from", "2026-07-01"], "--from is later than the record's last day, 2026-06-30. Give it an earlier day."),
        (["--with", "doses"], "Not known: doses: one of remarks, names, phones, photos."),
        (["--without", "who"], "Not known: who: one of warnings, course, signs, abscesses, feet, growth, trims, relief, work, body, changes, visits, lacks."),
        (["--paper", "a5"], "Not known: a5: one of a4, us-letter."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_in_one_sentence(tmp_path: Path, options: list[str], said: str) -> None:
    result = run(barn(tmp_path), *options)
    assert (result.exit_code, result.stderr) == (2, said + "\n")


def test_several_words_may_be_given_at_once(tmp_path: Path) -> None:
    result = run(barn(tmp_path), "--with", "names,phones", "--with", "remarks", "--without", "work, body")
    assert result.exit_code == 0
    assert "Left out by the sender: work and the plan, body and vital signs, photographs." in result.stdout


def test_nothing_is_written_over(tmp_path: Path) -> None:
    file = barn(tmp_path)
    out = tmp_path / "mine.txt"
    out.write_text("mine")
    result = run(file, "--out", out)
    assert (result.exit_code, result.stderr) == (
        2,
        f"{out} is there already and was not touched. Choose another name.\n",
    )
    assert out.read_text() == "mine"


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    result = run(barn(tmp_path), "--out", tmp_path / "nowhere" / "letter.pdf")
    assert result.exit_code == 2
    assert "could not be written: No such file or directory. Look at the folder" in result.stderr


def test_a_file_that_cannot_be_read_is_said_in_one_sentence(tmp_path: Path) -> None:
    result = run(tmp_path / "none.xlsx")
    assert result.exit_code == 2
    assert result.stderr.startswith("There is no file ")
