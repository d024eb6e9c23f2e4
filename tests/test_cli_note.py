"""The commands that write, as their users run them: options, questions, exact words, exact cells."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from entries import HORSE, NOTE, barn, cell, found, open_elsewhere, owner_saves
from typer.testing import CliRunner, Result

from tracker import cli_note
from tracker.check import dates
from tracker.cli import app
from tracker.entry.form import form_of
from tracker.workbook.new.blank import write_workbook

NOW = dt.datetime(2026, 6, 30, 19, 5, 42)
CAUTION = """\
This record is no substitute for an examination by a vet. It keeps and compares what people
wrote down; who may diagnose, treat or trim is for the law of your country to say."""


@pytest.fixture(autouse=True)
def _still(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli_note, "_now", lambda: NOW)
    monkeypatch.setattr(dates, "machine_day_first", lambda: True)


def run(*arguments: object, answers: str | None = None) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments], input=answers)


def test_every_field_of_the_daily_note_has_its_option() -> None:
    words = run("note", "--help").stdout
    for field in form_of("Soundness"):
        assert f"{cli_note.option_of(field)} " in words
    assert " ".join(words.split()).count("Better, same or worse than last time.") == 1


def test_a_note_says_which_cells_it_wrote(tmp_path: Path) -> None:
    file = barn(tmp_path)
    result = run(
        "note", file, "--date", "29.6.2026", "--horse", "bramble", "--limb", "RF", "--score", "2-3", "--gait", "trot",
        "--ground", "hard", "--than-last-time", "worse", "--pulse-lf", "1", "--remarks", "on the road",
    )  # fmt: skip
    assert result.exit_code == 0
    assert (
        result.stdout
        == """\
doubt: Soundness · Score
  found:   2-3
  allowed: a whole or half grade, such as 2 or 2.5, with or without its scale, such as 2/5
  This is a range; its middle, 2.5, is used.
  To do: Write the one grade that says best what you saw.

Written into barn.xlsx:
  Soundness!A3  Date: 29 Jun 2026
  Soundness!B3  Horse: bramble
  Soundness!D3  Gait: trot
  Soundness!E3  Ground: hard
  Soundness!G3  Limb: RF
  Soundness!I3  Score: 2-3
  Soundness!J3  Than last time: worse
  Soundness!K3  Pulse LF: 1
  Soundness!R3  Written: 30 Jun 2026 19:05
  Soundness!S3  Remarks: on the road
"""
    )
    assert found(file)[1] == {
        "Date": dt.datetime(2026, 6, 29), "Horse": "bramble", "Gait": "trot", "Ground": "hard", "Limb": "RF",
        "Score": "2-3", "Than last time": "worse", "Pulse LF": "1", "Written": NOW, "Remarks": "on the road",
    }  # fmt: skip


def test_a_sign_that_calls_for_the_vet_is_answered_first(tmp_path: Path) -> None:
    result = run("note", barn(tmp_path), "--limb", "RF", "--signs", "won't bear weight")
    assert result.exit_code == 0
    assert result.stdout.startswith(f"""\
[now] Ring the vet now: not bearing weight
    Recorded on 30 Jun 2026: won't bear weight (RF).
    Ring the vet now, day or night. Keep the horse still where it is.

{CAUTION}

Written into barn.xlsx:
""")


def test_an_error_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    file = barn(tmp_path)
    before = file.read_bytes()
    result = run("note", file, "--score", "7/5")
    assert (result.exit_code, result.stdout) == (
        1,
        """\
error: Soundness · Score
  found:   7/5
  allowed: 0 to 5, whole or half
  This score lies outside its scale of 0 to 5. The entry is not written until it is mended.
  To do: Look at the score and at the Scale cell of the row.

Nothing was written into barn.xlsx.
""",
    )
    assert file.read_bytes() == before


def test_without_options_and_without_a_terminal_it_says_how(tmp_path: Path) -> None:
    result = run("note", barn(tmp_path))
    assert (result.exit_code, result.stdout, result.stderr) == (
        2, "", "Say what to note, such as: soundness note barn.xlsx --limb LF --score 2 --gait trot. In a terminal, "
        "soundness note barn.xlsx alone asks for each in turn.\n",
    )  # fmt: skip


@pytest.mark.parametrize("command", ["note", "undo"])
def test_a_file_that_is_not_there_is_one_sentence(tmp_path: Path, command: str) -> None:
    result = run(command, tmp_path / "none.xlsx", *(["--score", "2"] if command == "note" else []))
    assert (result.exit_code, result.stdout, result.stderr.count("\n")) == (2, "", 1)
    assert result.stderr.startswith("There is no file ")
    assert not list(tmp_path.iterdir())


def test_what_can_only_be_read_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    folder.mkdir()
    (folder / "Soundness.csv").write_text("Date,Score\n2026-06-28,2/5\n")
    result = run("note", folder, "--score", "2")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("barn can be read, but not written: only .xlsx workbooks are")


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli_note, "_can_ask", lambda: True)


@pytest.mark.usefixtures("terminal")
def test_without_options_it_asks_in_order(tmp_path: Path) -> None:
    file = barn(tmp_path)
    answers = ["", "", "RF", "2", "worse", "", "walk", "hard", "on the road", ""]
    result = run("note", file, answers="\n".join(answers) + "\n")
    assert result.exit_code == 0
    assert (
        "\n".join(map(str.rstrip, result.stdout.split("\n")))
        == """\
Enter leaves a question out, or takes what stands in brackets; - leaves that out too.
Date (The day you looked) [2026-06-30]:
Horse (Bramble) [Bramble]:
Limb (LF, RF, LH, RH, both fronts, both hinds, all or not sure): RF
Score (The grade on that scale, whole or half. 0 is a score, empty is none): 2
Than last time (better, same or worse): worse
Signs (won't bear weight, won't move, shifts weight, short stilted walk, hard to turn, points a foot, \
lies down more, object or hole in foot, wound near a joint, swelling up the leg, sweating or trembling \
or off feed):
Gait (stand, walk or trot): walk
Ground (hard, soft or stony): hard
Remarks (Anything else, in your own words): on the road
More (Seen by, Line, Scale, Pulse LF, Pulse RF, Pulse LH, Pulse RH, Warm, Boots)? y, or Enter:
Written into barn.xlsx:
  Soundness!A3  Date: 30 Jun 2026
  Soundness!B3  Horse: Bramble
  Soundness!D3  Gait: walk
  Soundness!E3  Ground: hard
  Soundness!G3  Limb: RF
  Soundness!I3  Score: 2
  Soundness!J3  Than last time: worse
  Soundness!R3  Written: 30 Jun 2026 19:05
  Soundness!S3  Remarks: on the road
"""
    )


@pytest.mark.usefixtures("terminal")
def test_a_bad_answer_is_told_and_asked_again(tmp_path: Path) -> None:
    file = barn(tmp_path)
    answers = ["31 Feb 2026", "29 Jun 2026", "", "tail", "RF", "2", "", "", "", "", "", ""]
    result = run("note", file, answers="\n".join(answers) + "\n")
    assert result.exit_code == 0
    assert (
        """\
Date (The day you looked) [2026-06-30]: 31 Feb 2026
error: Soundness · Date
  found:   31 Feb 2026
  allowed: a date, such as 4 Mar 2026 or 2026-03-04
  There is no such day in the calendar. The entry is not written until it is mended.
  To do: Write the day, the month by name and the year, such as 4 Mar 2026.
Date (The day you looked) [2026-06-30]: 29 Jun 2026
"""
        in result.stdout
    )
    assert result.stdout.count("Limb (") == 2
    assert cell(file, "Soundness!G3") == "RF"


@pytest.mark.usefixtures("terminal")
def test_more_is_asked_when_it_is_wished_and_a_dash_leaves_a_habit_out(tmp_path: Path) -> None:
    notes = [{**NOTE, "Gait": "trot", "Ground": "hard", "Scale": "0-5", "Seen by": "owner"}]
    file = barn(tmp_path, Horses=[HORSE], Soundness=notes)
    answers = ["", "-", "RF", "2", "", "", "", "-", "", "y", "", "straight", "", "1", "", "", "", "", ""]
    result = run("note", file, answers="\n".join(answers) + "\n")
    assert result.exit_code == 0
    assert found(file)[1] == {
        "Date": dt.datetime(2026, 6, 30), "Limb": "RF", "Score": "2", "Gait": "trot", "Seen by": "owner",
        "Line": "straight", "Scale": "0-5", "Pulse LF": "1", "Written": NOW,
    }  # fmt: skip


@pytest.mark.usefixtures("terminal")
def test_only_what_the_sheet_has_columns_for_is_asked(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    write_workbook(
        file, {"Horses": [HORSE], "Soundness": [{"Date": "28 Jun 2026", "Score": "2"}]},
        headings={"Soundness": ["Date", "Score"]}, first_sheet=False,
    )  # fmt: skip
    result = run("note", file, answers="\n3\n")
    assert result.exit_code == 0
    assert [line.split(" (")[0] for line in result.stdout.splitlines()[1:3]] == ["Date", "Score"]
    assert "More" not in result.stdout


@pytest.mark.usefixtures("terminal")
def test_a_workbook_without_the_sheet_is_told_before_the_first_question(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    result = run("note", file)
    assert (result.exit_code, result.stdout, result.stderr) == (
        2, "", "The workbook has no sheet Soundness: let the sheet be added (--add-sheet), or write the entry on another "
        "one.\n",
    )  # fmt: skip


def test_the_choices_for_what_has_no_place(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    refused = run("note", file, "--score", "2")
    assert (refused.exit_code, refused.stdout.splitlines()[0]) == (1, "error: Soundness")
    assert run("note", file, "--score", "2", "--add-sheet").exit_code == 0
    assert (cell(file, "Soundness!A2"), cell(file, "Soundness!I2")) == (dt.datetime(2026, 6, 30), 2)


def test_an_entry_that_is_kept_is_told_everywhere_until_it_is_in(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    kept = run("note", file, "--score", "1", "--limb", "RF")
    assert (kept.exit_code, kept.stdout) == (
        1,
        """\
Not in barn.xlsx yet. barn.xlsx is open in another program: close it there, then try again;
if it is open nowhere, delete the file .~lock.barn.xlsx# that lies beside it. Until then the
entry is kept in barn.xlsx.pending.jsonl beside it, and every soundness note and soundness
open tries again.
  Date: 30 Jun 2026
  Limb: RF
  Score: 1
  Written: 30 Jun 2026 19:05
""",
    )
    waiting = """\
1 entry still waits to be written. barn.xlsx is open in another program: close it there,
then try again; if it is open nowhere, delete the file .~lock.barn.xlsx# that lies beside
it. Kept in barn.xlsx.pending.jsonl; soundness note barn.xlsx or soundness open barn.xlsx
tries again.
"""
    assert run("check", file).stdout.endswith(waiting)
    assert run("review", file).stdout.endswith(waiting)
    as_json = run("review", file, "--json")
    assert (as_json.stderr, as_json.stdout[-2:]) == (waiting, "}\n")
    lock.unlink()
    later = run("note", file, "--score", "2", "--limb", "RF")
    assert later.stdout.startswith(
        "An entry that was waiting is now in barn.xlsx: Soundness!A3, Soundness!G3, Soundness!I3, Soundness!R3.\n"
    )
    assert [record["Score"] for record in found(file)] == ["2/5", "1", "2"]
    assert "waits" not in run("check", file).stdout


def test_open_writes_what_waits_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from tracker import cli

    monkeypatch.setattr(cli, "_serve", lambda *_: None)
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    run("note", file, "--score", "1")
    assert run("open", file).stdout.startswith(
        "1 entry still waits to be written. barn.xlsx is open in another"
    )
    lock.unlink()
    assert run("open", file).stdout == (
        "An entry that was waiting is now in barn.xlsx: Soundness!A3, Soundness!I3, Soundness!R3.\n"
    )


def test_undo_takes_the_note_back_and_says_what_it_was(tmp_path: Path) -> None:
    file = barn(tmp_path)
    run("note", file, "--score", "1", "--remarks", "sunny")
    result = run("undo", file)
    assert (result.exit_code, result.stdout) == (
        0,
        """\
Taken back from barn.xlsx:
  Soundness!A3  Date: 30 Jun 2026
  Soundness!I3  Score: 1
  Soundness!R3  Written: 30 Jun 2026 19:05
  Soundness!S3  Remarks: sunny
""",
    )
    assert found(file) == [NOTE]
    nothing = run("undo", file)
    assert (nothing.exit_code, nothing.stdout) == (1, "No entry is known that could be taken back.\n")


def test_undo_of_a_note_that_was_changed_says_why_not(tmp_path: Path) -> None:
    file = barn(tmp_path)
    run("note", file, "--score", "1")
    owner_saves(file, "Soundness!I3", "2")
    result = run("undo", file)
    assert (result.exit_code, result.stdout) == (
        1, "The last entry cannot be taken back: Soundness!I3 no longer holds what was entered.\n"
    )  # fmt: skip


def test_undo_of_a_note_that_waits_drops_it(tmp_path: Path) -> None:
    file = barn(tmp_path)
    open_elsewhere(file)
    run("note", file, "--score", "1")
    assert run("undo", file, "--waiting").stdout == (
        "Taken back before it was written into barn.xlsx:\n"
        "  Date: 30 Jun 2026\n  Score: 1\n  Written: 30 Jun 2026 19:05\n"
    )
    assert run("undo", file, "--waiting").stdout == "No entry waits to be written.\n"
