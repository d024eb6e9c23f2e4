"""The commands as their users run them: words, exit codes, JSON, and a sentence for everything that goes wrong."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from tracker.cli import app
from tracker.derive.referral.rules import RULES
from tracker.workbook.new.blank import write_blank, write_workbook

SAMPLES = Path(__file__).parents[1] / "sample_workbooks"
YEAR = SAMPLES / "a-year-barefoot.xlsx"
YARD = SAMPLES / "a-yard-of-six.xlsx"
MISTAKES = SAMPLES / "thirty-mistakes.xlsx"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def process(*arguments: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """The program as a process of its own."""
    command = [sys.executable, "-c", "from tracker.cli import main; main()", *map(str, arguments)]
    return subprocess.run(
        command, cwd=cwd, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(SAMPLES.parent)},
    )  # fmt: skip


def test_new_makes_a_workbook_and_never_writes_over_one(tmp_path: Path) -> None:
    file = tmp_path / "my-horse.xlsx"
    assert run("new", file).exit_code == 0
    before = file.read_bytes()
    again = run("new", file)
    assert (again.exit_code, file.read_bytes()) == (2, before)
    assert again.stderr == f"{file} is there already and was not touched. Choose another name.\n"


@pytest.mark.parametrize("name", ["horse", "horse.ods"])
def test_new_wants_an_xlsx(tmp_path: Path, name: str) -> None:
    result = run("new", tmp_path / name)
    assert result.exit_code == 2
    assert result.stderr == f"A workbook's name ends in .xlsx: try {tmp_path / 'horse.xlsx'}.\n"


def test_new_in_a_folder_that_is_not_there_says_so(tmp_path: Path) -> None:
    result = run("new", tmp_path / "nowhere" / "horse.xlsx")
    assert result.exit_code == 2
    assert "could not be written" in result.stderr


def test_a_blank_workbook_says_what_to_do_first(tmp_path: Path) -> None:
    file = tmp_path / "my-horse.xlsx"
    write_blank(file)
    for command in ("check", "review"):
        result = run(command, file)
        assert result.exit_code == 2
        assert result.stderr == (
            "my-horse.xlsx holds no records yet: enter the horse on the Horses sheet and today's note on the "
            "Soundness sheet, then try again.\n"
        )


def test_a_workbook_of_horses_and_notes_alone_works_fully(tmp_path: Path) -> None:
    file = tmp_path / "two-sheets.xlsx"
    notes = [
        {"Date": "4 Mar 2026", "Limb": "LF", "Score": "2/5"},
        {"Date": "5 Mar 2026", "Limb": "LF", "Score": "1/5"},
    ]
    write_workbook(
        file, {"Horses": [{"Horse": "Bramble", "Front shoes off": "1 Mar 2026"}], "Soundness": notes}
    )
    assert run("check", file).exit_code == 0
    data = json.loads(run("review", file, "--on", "2026-03-10", "--json").stdout)
    assert data["horses"][0]["days_since_shoes_off"] == {"front": 9, "hind": None}
    assert data["horses"][0]["soundness"][0]["last"] == {"date": "2026-03-05", "score": 1.0}


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.xlsx")), ids=lambda path: path.stem)
def test_the_samples_are_checked_and_reviewed(sample: Path) -> None:
    expected = 1 if sample == MISTAKES else 0
    assert run("check", sample).exit_code == expected
    assert run("review", sample).exit_code == 0


def test_the_json_of_check_has_its_shape() -> None:
    result = run("check", MISTAKES, "--json")
    data = json.loads(result.stdout)
    assert result.exit_code == 1
    assert set(data) == {"workbook", "problems", "rows", "waiting"}
    assert data["workbook"] == "thirty-mistakes.xlsx"
    keys = {"kind", "severity", "sheet", "cell", "column", "found", "allowed", "message", "hint"}
    assert all(set(problem) == keys for problem in data["problems"])
    assert all(set(count) == {"read", "set_aside"} for count in data["rows"].values())
    errors = {problem["cell"].split("!")[0] for problem in data["problems"] if problem["severity"] == "error"}
    assert {sheet for sheet, count in data["rows"].items() if count["set_aside"]} <= errors


def test_the_json_of_review_has_its_shape() -> None:
    data = json.loads(run("review", YEAR, "--on", "20 Nov 2026", "--json").stdout)
    assert set(data) == {"workbook", "as_of", "problems", "horses", "waiting"}
    assert (data["as_of"], set(data["problems"])) == ("2026-11-20", {"error", "doubt"})
    (horse,) = data["horses"]
    assert set(horse) == {
        "name", "days_since_shoes_off", "soundness", "worsening", "progress", "hooves", "growth", "trims", "abscesses", "warnings", "answers",
        "abscess_rate", "body", "work", "changes",
    }  # fmt: skip
    assert {"scale", "gait", "ground", "limb", "scores", "masked", "last"} <= set(horse["soundness"][0])
    hoof = horse["hooves"][0]
    assert set(hoof) == {"foot", "date", "stage", "measures", "changes"}
    assert all(set(measure) == {"value", "sd", "unit", "how"} for measure in hoof["measures"].values())
    assert {"foot", "first_seen", "opened", "comfortable", "days", "crack"} <= set(horse["abscesses"][0])
    assert {"since", "per_100_days", "per_year"} <= set(horse["abscess_rate"])
    assert {"weight_by_tape", "condition", "vitals"} <= set(horse["body"])
    assert {"days", "weeks", "plan", "days_after", "cautions"} <= set(horse["work"])
    assert {"date", "kind", "what"} <= set(horse["changes"][0])


def test_review_can_look_at_one_horse_whatever_its_capitals() -> None:
    names = [horse["name"] for horse in json.loads(run("review", YARD, "--json").stdout)["horses"]]
    assert len(names) == 6
    one = json.loads(run("review", YARD, "--horse", names[2].upper(), "--json").stdout)["horses"]
    assert [horse["name"] for horse in one] == [names[2]]


def test_review_of_an_unknown_horse_names_the_known_ones() -> None:
    result = run("review", YARD, "--horse", "Nobody")
    assert result.exit_code == 2
    assert result.stderr.startswith("There is no horse Nobody in a-yard-of-six.xlsx. Its horses: ")


@pytest.mark.parametrize("day", ["soon", "4/3/26", "31 Feb 2026", "4 Mar", "26-06-01", "40326"])
def test_review_of_a_day_that_is_not_clear_says_how_to_write_it(day: str) -> None:
    result = run("review", YEAR, "--on", day)
    assert (result.exit_code, result.stderr) == (
        2, f"--on {day} is not a date that is clear by itself. Write it as 2026-03-04 or 4 Mar 2026.\n"
    )  # fmt: skip


def test_a_day_in_the_past_shows_what_was_known_then() -> None:
    early = json.loads(run("review", YEAR, "--on", "2026-01-01", "--json").stdout)["horses"][0]
    assert max(hoof["date"] for hoof in early["hooves"]) <= "2026-01-01"
    assert max(series["last"]["date"] for series in early["soundness"]) <= "2026-01-01"
    assert all(
        abscess["opened"] is None or abscess["opened"] <= "2026-01-01" for abscess in early["abscesses"]
    )


def test_an_unreadable_file_gives_one_sentence_and_json_too(tmp_path: Path) -> None:
    result = run("check", tmp_path / "none.xlsx", "--json")
    assert result.exit_code == 2
    (problem,) = json.loads(result.stdout)["problems"]
    assert (problem["kind"], problem["severity"], problem["sheet"], problem["cell"]) == (
        "file-missing",
        "error",
        None,
        None,
    )
    assert result.stderr.count("\n") == 1


def test_the_display_cuts_and_all_does_not(tmp_path: Path) -> None:
    file = tmp_path / "many.xlsx"
    notes = [{"Date": "soon", "Score": "2/5"}] * 40
    write_workbook(file, {"Horses": [{"Horse": "Bramble"}], "Soundness": notes})
    shown, everything = run("check", file).stdout, run("check", file, "--all").stdout
    assert shown.count("error: ") == 10
    assert "… and 30 more of the kind date-unreadable; --all shows them." in shown
    assert everything.count("error: ") == 40
    assert "40 errors" in shown


def test_what_goes_wrong_inside_is_a_sentence_and_not_a_traceback(tmp_path: Path) -> None:
    code = (
        "import tracker.book as book\n"
        "def broken(*a, **k): raise RuntimeError('inside')\n"
        "book.check_book = broken\n"
        "from tracker.cli import main\n"
        "import sys; sys.argv = ['soundness', 'check', 'x.xlsx']; main()"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(SAMPLES.parent), "TMPDIR": str(tmp_path)},
    )  # fmt: skip
    assert result.returncode == 2
    assert result.stderr.startswith("Something went wrong inside the program; your workbook is whole,")
    assert "Traceback" not in result.stderr
    assert "RuntimeError: inside" in (tmp_path / "soundness-ledger.log").read_text()


def test_words_that_the_terminal_cannot_show_do_not_stop_it() -> None:
    result = subprocess.run(
        [sys.executable, "-c", "from tracker.cli import main; main()", "review", str(YEAR)], capture_output=True, check=False,
        env={**os.environ, "PYTHONPATH": str(SAMPLES.parent), "PYTHONIOENCODING": "ascii", "LC_ALL": "C"},
    )  # fmt: skip
    assert result.returncode == 0


def test_help_and_a_wrong_command_read_well() -> None:
    assert process("--help").returncode == 0
    wrong = process("revue", YEAR)
    assert wrong.returncode == 2
    assert "Traceback" not in wrong.stderr


def test_the_warnings_are_listed_from_their_declaration() -> None:
    listed = run("warnings", "--list")
    assert listed.exit_code == 0
    assert run("warnings").stdout == listed.stdout
    told = json.loads(run("warnings", "--json").stdout)["rules"]
    assert [rule["rule"] for rule in told] == [rule.slug for rule in RULES]
    plain = " ".join(listed.stdout.split())
    for rule, data in zip(RULES, told, strict=True):
        declared = (
            rule.urgency,
            rule.threshold,
            rule.words,
            rule.waiting,
            rule.speaks_to,
            rule.source,
            rule.sure,
        )
        keys = ("urgency", "threshold", "to_do", "until_then", "speaks_to", "source", "sure")
        assert tuple(data[key] for key in keys) == declared
        for part in (rule.slug, rule.threshold, rule.words, rule.waiting, f"{rule.source} ({rule.sure})"):
            assert part in plain
