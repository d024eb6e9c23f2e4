"""The commands that write, as their users run them: options, questions, exact words, exact cells."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from entries import HORSE, NOTE, barn, cell, found, open_elsewhere, owner_saves
from typer.testing import CliRunner, Result

from tracker import cli_note
from tracker.check import dates
from tracker.cli import app
from tracker.entry import enter as enter_room
from tracker.entry import pending as pending_room
from tracker.entry import urgent, write
from tracker.entry.enter import enter
from tracker.entry.form import form_of
from tracker.workbook.change.plan import Plan
from tracker.workbook.change.save import save
from tracker.workbook.new.blank import write_blank, write_workbook

NOW = dt.datetime(2026, 6, 30, 19, 5, 42)
CAUTION = """\
This record is no substitute for an examination by a vet. It keeps and compares what people
wrote down; who may diagnose, treat or trim is for the law of your country to say."""


@pytest.fixture(autouse=True)
def _still(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli_note, "moment", lambda: NOW)
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
    warning, told = (
        result.stdout.split("\n\nThis record is no substitute")[0],
        result.stdout.split("say.\n\n")[-1],
    )
    assert "not bearing weight" in warning.splitlines()[0]  # 7 of 5 may have been meant as the top
    assert "a score that cannot be used as it is typed, perhaps grade 5" in warning
    assert (result.exit_code, told) == (
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
    monkeypatch.setattr(cli_note, "can_ask", lambda: True)


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
lies down more, object or hole in foot, wound near a joint, swelling up the leg, joint swollen, joint fluid leaking, tendon swollen or sore, sweating or trembling, pus or discharge \
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
    result = run("note", file, answers="\n3\n\n")
    assert result.exit_code == 0
    asked = [line.split(" (")[0] for line in result.stdout.splitlines()[1:4]]
    assert asked == ["Date", "Score", "Something for which your sheet has no column"]
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
  Soundness: Date: 30 Jun 2026; Limb: RF; Score: 1; Written: 30 Jun 2026 19:05
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


URGENT = ("--limb", "RF", "--signs", "won't bear weight")
WAITING_URGENT = f"""\
  Soundness: Date: 30 Jun 2026; Limb: RF; Signs: won't bear weight; Written: 30 Jun 2026
  19:05
[now] Ring the vet now: not bearing weight
    Recorded on 30 Jun 2026: won't bear weight (RF).
    Ring the vet now, day or night. Keep the horse still where it is.
{CAUTION}
"""


@pytest.fixture
def today(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(urgent, "_today", lambda: NOW.date())


@pytest.mark.usefixtures("today")
@pytest.mark.parametrize("command", ["check", "review"])
def test_an_urgent_entry_that_waits_is_told_with_its_warnings(tmp_path: Path, command: str) -> None:
    file = barn(tmp_path)
    open_elsewhere(file)
    run("note", file, *URGENT)
    assert run(command, file).stdout.endswith(WAITING_URGENT)
    as_json = run(command, file, "--json")
    assert as_json.stderr.endswith(WAITING_URGENT)
    (waiting,) = json.loads(as_json.stdout)["waiting"]
    assert (waiting["sheet"], waiting["row"], waiting["values"]["Signs"]) == (
        "Soundness", None, "won't bear weight"
    )  # fmt: skip
    assert waiting["reason"].startswith("barn.xlsx is open in another program")
    assert waiting["warnings"] == [
        {
            "rule": "not-bearing-weight",
            "urgency": "now",
            "because": "Recorded on 30 Jun 2026: won't bear weight (RF).",
            "words": "Ring the vet now, day or night. Keep the horse still where it is.",
        }
    ]


@pytest.mark.usefixtures("today")
@pytest.mark.parametrize("command", ["check", "review"])
def test_so_it_is_where_the_workbook_is_still_blank(tmp_path: Path, command: str) -> None:
    file = tmp_path / "barn.xlsx"
    write_blank(file)
    open_elsewhere(file)
    run("note", file, *URGENT)
    result = run(command, file)
    assert (result.exit_code, result.stdout.endswith(WAITING_URGENT)) == (2, True)
    assert result.stderr.startswith("There is nothing in barn.xlsx yet") or "barn.xlsx" in result.stderr
    assert len(json.loads(run(command, file, "--json").stdout)["waiting"]) == 1


@pytest.mark.usefixtures("today")
def test_so_it_is_where_no_marked_copy_can_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from tracker import cli
    from tracker.workbook.mark import save

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    file = barn(tmp_path)
    open_elsewhere(file)
    run("note", file, *URGENT)
    monkeypatch.setattr(save, "write_marked", full)
    assert cli.app
    result = run("check", file, "--mark", tmp_path / "marked.xlsx")
    assert (result.exit_code, result.stdout.endswith(WAITING_URGENT)) == (2, True)


@pytest.mark.usefixtures("today")
def test_a_change_that_waits_warns_of_the_whole_record(tmp_path: Path) -> None:
    file = barn(tmp_path)
    open_elsewhere(file)
    enter(file, "Soundness", {"Signs": "won't bear weight"}, row=2, now=NOW)
    said = run("review", file).stdout
    assert (
        "  Soundness, row 2: Signs: won't bear weight\n[now] Ring the vet now: not bearing weight\n" in said
    )


KEPT = (
    "The entry is kept in barn.xlsx.pending.jsonl beside the workbook; soundness note barn.xlsx or soundness open "
    "barn.xlsx writes it."
)


@pytest.mark.parametrize("what", [KeyboardInterrupt, ZeroDivisionError])
@pytest.mark.parametrize(
    ("step", "said"),
    [
        ("keep", "Nothing was written into barn.xlsx, and nothing is kept."),
        ("write_pending", KEPT),
        ("by_another", "The entry is in barn.xlsx."),
    ],
)
def test_an_entry_that_is_broken_off_says_what_has_become_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, said: str, what: type[BaseException]
) -> None:
    def broken_off(*_: object) -> None:
        raise what

    def written(path: Path) -> tuple[()]:
        pending_room.write_pending(path)
        return ()

    file = barn(tmp_path)
    monkeypatch.setattr(enter_room, "write_pending", written)
    monkeypatch.setattr(enter_room, step, broken_off)
    result = run("note", file, "--score", "1")
    assert (result.exit_code, " ".join(result.stderr.split())) == (1, said)


def test_the_cell_of_a_new_heading_is_named(tmp_path: Path) -> None:
    file = lean(tmp_path)
    result = run("note", file, "--score", "3", "--limb", "RF", "--add-column")
    assert result.stdout.endswith(
        "  Soundness!C3  Limb: RF\n  Soundness!B3  Score: 3\nHeadings added for it:\n  Soundness!C1  Limb\n"
    )
    assert run("undo", file).stdout.endswith("Added for it, and left there: Limb (Soundness!C1).\n")


def lean(folder: Path, *more: str) -> Path:
    """A Soundness sheet of a day and a score, and of the headings given."""
    file = folder / "barn.xlsx"
    rows = {"Horses": [HORSE], "Soundness": [{"Date": "28 Jun 2026", "Score": "2"}]}
    write_workbook(file, rows, headings={"Soundness": ["Date", "Score", *more]}, first_sheet=False)
    return file


def limb_only(*columns: str) -> list[str]:
    """The answers to all fields but those, which have a column: the limb alone."""
    return [
        "y",
        *("RF" if field.key == "limb" else "" for field in form_of("Soundness") if field.key not in columns),
    ]


@pytest.mark.usefixtures("terminal")
@pytest.mark.parametrize(
    ("answer", "cells"),
    [
        ("a", {"D1": "Limb", "D3": "RF", "C3": None}),
        ("r", {"D1": None, "C3": "Limb: RF"}),
        ("-", {"D1": None, "C3": None}),
    ],
)
def test_it_asks_where_to_put_what_has_no_column(
    tmp_path: Path, answer: str, cells: dict[str, object]
) -> None:
    file = lean(tmp_path, "Remarks")
    result = run(
        "note",
        file,
        answers="\n".join(["", "3", "", *limb_only("date", "score", "remarks"), "what?", answer]) + "\n",
    )
    assert result.exit_code == 0
    asked = "No column for Limb: a adds it, r puts it into Remarks, - leaves it out: "
    assert result.stdout.count(asked) == 2
    assert {ref: cell(file, f"Soundness!{ref}") for ref in cells} == cells


@pytest.mark.usefixtures("terminal")
def test_without_remarks_it_asks_only_whether_to_add_it(tmp_path: Path) -> None:
    result = run(
        "note", lean(tmp_path), answers="\n".join(["", "3", *limb_only("date", "score"), "r", "-"]) + "\n"
    )
    assert result.stdout.count("No column for Limb: a adds it, - leaves it out: ") == 2


def test_an_entry_that_may_be_in_is_dropped_with_a_hint(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def swapped_then_stopped(path: Path, old: bytes, plan: Plan) -> None:
        save(path, old, plan)
        raise KeyboardInterrupt

    file = lean(tmp_path)
    with monkeypatch.context() as broken:
        broken.setattr(write, "save", swapped_then_stopped)
        run("note", file, "--score", "3")
    owner_saves(file, "Soundness!B3", "2.5")
    assert "may be in barn.xlsx already, in row 3" in " ".join(
        run("note", file, "--score", "4").stdout.split()
    )
    assert run("undo", file, "--waiting").stdout == (
        "No longer waits for barn.xlsx:\n  Date: 30 Jun 2026\n  Score: 3\n"
        "It may be in the workbook all the same: look at the sheet Soundness.\n"
    )
