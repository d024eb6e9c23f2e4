"""The README is true: its tables come from the declarations, its commands exist, its names are real.

`python tests/test_docs.py` writes the tables anew after a change of a declaration.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

import tracker
from tracker.cli import app
from tracker.derive.referral.rules import RULES
from tracker.problem import KINDS
from tracker.sheets import SHEETS, Column

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
COMMANDS = (
    "new",
    "copy",
    "check",
    "review",
    "warnings",
    "note",
    "answer",
    "undo",
    "open",
    "demo",
    "export",
    "calendar",
    "letter",
    "paper",
)


def columns_table() -> str:
    """Every sheet and its columns."""
    return "\n\n".join(
        f"**{sheet.name}** – {sheet.about}\n\n| column | what it holds |\n| --- | --- |\n"
        + "\n".join(f"| {_starred(column)} | {column.hint} |" for column in sheet.columns)
        for sheet in SHEETS
    )


def _starred(column: Column) -> str:
    return f"**{column.heading}** *" if column.required else column.heading


def warnings_table() -> str:
    """Every warning."""
    rows = (
        f"| `{r.slug}` | {r.urgency} | {r.threshold} | {r.waiting} | {r.speaks_to} | {r.source} ({r.sure}) |"
        for r in RULES
    )
    return (
        "| warning | how urgent | when it is shown | until then | for | who says so |\n"
        "| --- | --- | --- | --- | --- | --- |\n" + "\n".join(rows)
    )


def messages_table() -> str:
    """Every message."""
    rows = (f"| `{kind.slug}` | {_open(kind.message)} | {_open(kind.hint)} |" for kind in KINDS.values())
    return "| kind | what it says | what to do |\n| --- | --- | --- |\n" + "\n".join(rows)


def _open(text: str) -> str:
    """A template with its gaps shown as an ellipsis."""
    return re.sub(r"\{\w+\}", "…", text.replace("{suggestion}", ""))


SECTIONS = {"columns": columns_table, "warnings": warnings_table, "messages": messages_table}


def with_tables(text: str) -> str:
    """The README with each table between its marks written anew."""
    for name, table in SECTIONS.items():
        marks = re.compile(rf"(<!-- {name} -->\n\n).*?(\n\n<!-- end of {name} -->)", re.DOTALL)
        assert marks.search(text), f"README.md has no place for the {name}"
        text = marks.sub(lambda found, table=table: found[1] + table() + found[2], text)  # type: ignore[misc]
    return text


def test_the_tables_are_those_of_the_declarations() -> None:
    text = README.read_text("utf-8")
    assert with_tables(text) == text


def test_the_first_paragraph_states_the_job() -> None:
    first = README.read_text("utf-8").split("\n\n")[1]
    assert all(word in first for word in ("owner", "trimmer", "vet", "workbook", "shoes"))


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_explained_and_every_one_explained_exists(command: str) -> None:
    assert f"soundness {command}" in README.read_text("utf-8")
    assert CliRunner().invoke(app, [command, "--help"]).exit_code == 0


def test_no_command_is_left_out() -> None:
    names = {
        command.name or command.callback.__name__ for command in app.registered_commands if command.callback
    }
    assert names == set(COMMANDS)


def test_every_public_name_is_in_the_engineers_guide() -> None:
    text = DEVELOPERS.read_text("utf-8")
    assert not [name for name in tracker.__all__ if f"`{name}`" not in text]
    assert all(getattr(tracker, name) for name in tracker.__all__)


def test_the_engineers_guide_names_only_files_that_are_there() -> None:
    named = set(
        re.findall(
            r"`((?:tracker|dashboards|tests|sample_workbooks|\.ci)/[\w./-]*)`", DEVELOPERS.read_text("utf-8")
        )
    )
    assert named
    assert not [name for name in named if not (ROOT / name).exists()]


if __name__ == "__main__":
    README.write_text(with_tables(README.read_text("utf-8")), "utf-8")
