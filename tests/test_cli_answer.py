"""Answering a warning at the command line: options, questions, and the row that is written."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from entries import HORSE, barn, found
from typer.testing import CliRunner, Result

from tracker import cli_note
from tracker.cli import app

NOW = dt.datetime(2026, 6, 30, 19, 5, 42)
LAME: dict[str, object] = {"Date": "29 Jun 2026", "Gait": "walk", "Limb": "LF", "Score": "4/5"}
STUCK: dict[str, object] = {"Date": "29 Jun 2026", "Signs": "won't bear weight"}


@pytest.fixture(autouse=True)
def _still(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.cli_answer.moment", lambda: NOW)
    monkeypatch.setattr(cli_note, "moment", lambda: NOW)


@pytest.fixture
def _at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.cli_answer.can_ask", lambda: True)


def run(*arguments: object, answers: str | None = None) -> Result:
    return CliRunner().invoke(app, ["answer", *map(str, arguments)], input=answers)


def lame(folder: Path, *notes: dict[str, object]) -> Path:
    return barn(folder, Horses=[HORSE], Soundness=[*notes] or [LAME], **{"Follow-up": []})


def day(year: int, month: int, date: int) -> dt.datetime:
    return dt.datetime(year, month, date)


def test_all_in_one_line(tmp_path: Path) -> None:
    file = lame(tmp_path)
    result = run(
        file, "--horse", "Bramble", "--warning", "lame-at-walk", "--vet-called", "2026-06-29",
        "--outcome", "comes at noon", "--by", "Anna", "--quiet-until", "2026-07-03",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    assert "Written into barn.xlsx" in result.stdout
    assert found(file, "Follow-up") == [
        {
            "Date": day(2026, 6, 29), "Horse": "Bramble", "Warning": "lame-at-walk", "What was done": "vet called",
            "By": "Anna", "Outcome": "comes at noon", "Quiet until": day(2026, 7, 3),
        }
    ]  # fmt: skip


def test_called_and_seen_on_one_day_are_one_answer(tmp_path: Path) -> None:
    file = lame(tmp_path)
    assert (
        run(
            file, "--warning", "lame-at-walk", "--vet-called", "2026-06-29", "--vet-seen", "2026-06-29"
        ).exit_code
        == 0
    )
    assert found(file, "Follow-up")[0]["What was done"] == "vet called, vet seen"


def test_two_days_are_two_answers(tmp_path: Path) -> None:
    file = lame(tmp_path)
    result = run(file, "--warning", "lame-at-walk", "--vet-called", "2026-06-29", "--vet-seen", "2026-06-30")
    assert result.exit_code == 2
    assert "one answer for each day" in result.stderr
    assert found(file, "Follow-up") == []


def test_what_is_left_out_is_named_where_nobody_can_be_asked(tmp_path: Path) -> None:
    result = run(lame(tmp_path), "--outcome", "rest")
    assert result.exit_code == 2
    assert "--vet-called 2026-03-04. What stands now: lame-at-walk." in result.stderr


@pytest.mark.usefixtures("_at_a_terminal")
def test_it_asks_one_thing_after_the_other(tmp_path: Path) -> None:
    file = lame(tmp_path)
    result = run(file, answers="1\nvet called\n\nAnna\nrest\n2026-07-03\n")
    assert result.exit_code == 0, result.output
    assert "1  lame-at-walk [same day]: Recorded on 29 Jun 2026" in result.stdout
    (row,) = found(file, "Follow-up")
    assert row["Date"] == day(2026, 6, 30)
    assert (row["What was done"], row["By"], row["Outcome"]) == ("vet called", "Anna", "rest")
    assert row["Quiet until"] == day(2026, 7, 3)


@pytest.mark.usefixtures("_at_a_terminal")
def test_it_asks_only_for_what_was_not_given(tmp_path: Path) -> None:
    file = lame(tmp_path)
    result = run(
        file, "--warning", "lame-at-walk", "--by", "Anna", answers="rang in the evening\n29 Jun 2026\n\n-\n"
    )
    assert result.exit_code == 0, result.output
    assert "By (" not in result.stdout
    assert set(found(file, "Follow-up")[0]) == {"Date", "Warning", "What was done", "By"}


@pytest.mark.usefixtures("_at_a_terminal")
def test_a_now_warning_is_not_asked_until_when_it_may_be_quiet(tmp_path: Path) -> None:
    result = run(lame(tmp_path, STUCK), answers="1\nvet called\n\n\n\n")
    assert result.exit_code == 0, result.output
    assert "Quiet until" not in result.stdout


@pytest.mark.usefixtures("_at_a_terminal")
def test_a_quiet_day_that_lies_before_is_asked_again(tmp_path: Path) -> None:
    file = lame(tmp_path)
    result = run(file, answers="1\nvet called\n\n\n\n2026-06-01\n2026-07-03\n")
    assert result.exit_code == 0, result.output
    assert "lies before the answer itself" in " ".join(result.stdout.split())
    assert found(file, "Follow-up")[0]["Quiet until"] == day(2026, 7, 3)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["--warning", "lame-at-wlak"], "There is no warning of this name"),
        (
            ["--warning", "lame-at-walk", "--horse", "Bramble", "--quiet-until", "soon"],
            "cannot be read as a date",
        ),
    ],
)
def test_a_mistake_is_told_and_what_cannot_do_without_it_is_refused(
    tmp_path: Path, given: list[str], said: str
) -> None:
    file = lame(tmp_path)
    result = run(file, *given, "--vet-called", "2026-06-29")
    assert said in " ".join(result.stdout.split())
    assert (result.exit_code == 1) is ("wlak" in " ".join(given))


def test_a_workbook_without_the_sheet_gets_it_only_when_asked(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Soundness=[LAME])
    given = (file, "--warning", "lame-at-walk", "--vet-called", "2026-06-29")
    assert "has no sheet Follow-up" in run(*given).stdout
    assert run(*given, "--add-sheet").exit_code == 0
    assert found(file, "Follow-up")[0]["Warning"] == "lame-at-walk"


def test_the_review_shows_the_answer_in_words_and_as_json(tmp_path: Path) -> None:
    file = lame(tmp_path)
    run(file, "--warning", "lame-at-walk", "--vet-called", "2026-06-29", "--quiet-until", "2026-07-03")
    review = ["review", str(file), "--on", "2026-06-30"]
    said = CliRunner().invoke(app, review).stdout
    assert "Answered, and quiet for now" in said
    assert "answer: vet called, 29 Jun 2026. Quiet until 3 Jul 2026." in said
    (horse,) = json.loads(CliRunner().invoke(app, [*review, "--json"]).stdout)["horses"]
    (warning,) = horse["warnings"]
    assert (warning["quiet"], warning["answered"], warning["recorded_again"]) == (True, True, None)
    assert warning["answers"] == horse["answers"] == [
        {
            "date": "2026-06-29", "warning": "lame-at-walk", "done": "vet called", "by": "", "outcome": "",
            "quiet_until": "2026-07-03", "cell": "Follow-up!C2",
        }
    ]  # fmt: skip
