"""Workbooks that must not be changed now, or not at all: they stay as they are, and the reason is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich_parts.by_xlsxwriter import HEADING_ROW
from rich_parts.continued import appended, heading_row, new_notes
from rich_parts.packing import Package
from rich_parts.readers import by_openpyxl
from rich_parts.record import KNOWN, note
from rich_workbooks import REFUSED, content, ending
from writing import append_row, set_cells

from tracker.problem import NotWritten
from tracker.workbook.change.plan import fingerprint, plan_append
from tracker.workbook.change.save import save
from tracker.workbook.gate import Refused


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("signed", "write-signed"),
        ("signed-macros", "write-signed"),
        ("protected", "write-protected"),
        ("strict", "write-strict"),
    ],
)
def test_a_workbook_that_must_not_be_changed_is_refused_with_its_reason(name: str, slug: str) -> None:
    assert name in REFUSED
    with pytest.raises(Refused) as refused:
        plan_append(content(name), "Soundness", note(1), heading_row=HEADING_ROW, known=KNOWN)
    assert refused.value.slug == slug


def test_another_sheet_than_the_protected_one_can_be_written() -> None:
    plan = plan_append(
        content("protected"), "Abscesses", {0: "Clover", 1: "RF"}, heading_row=1, known=(0, 1, 2)
    )
    assert by_openpyxl(plan.content)["Abscesses"][4, 0] == "Clover"


def test_a_row_of_totals_below_is_named_with_its_cell() -> None:
    with pytest.raises(Refused) as refused:
        plan_append(content("rich"), "Visits", {0: "5 May", 1: "R. Farrow"}, heading_row=1, known=(0, 1))
    assert (refused.value.slug, refused.value.words) == ("write-totals", {"sheet": "Visits", "ref": "A4"})


def test_totals_that_are_plain_formulas_are_seen_too() -> None:
    book = Package.unpacked(content("no-dimension"))
    total = '<row r="14"><c r="E14" t="inlineStr"><is><t>Total</t></is></c><c r="F14"><f>SUM(F2:F13)</f><v>24</v></c></row>'
    book.change(book.sheet("Soundness"), "</sheetData>", f"{total}</sheetData>")
    with pytest.raises(Refused) as refused:
        plan_append(book.packed(), "Soundness", note(1), heading_row=1, known=KNOWN)
    assert refused.value.slug == "write-totals"
    assert refused.value.words["ref"] == "F14"


def test_a_day_is_refused_where_no_format_can_show_it() -> None:
    with pytest.raises(Refused) as refused:
        plan_append(content("no-styles"), "Soundness", note(1), heading_row=1, known=KNOWN)
    assert refused.value.slug == "write-unusual"


def test_a_sheet_that_is_not_there_is_said() -> None:
    with pytest.raises(Refused) as refused:
        plan_append(content("excel"), "Body", {0: "x"}, heading_row=1, known=KNOWN)
    assert (refused.value.slug, refused.value.words) == ("write-no-sheet", {"sheet": "Body"})


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    path = tmp_path / "clover.xlsx"
    path.write_bytes(content("rich"))
    return path


@pytest.mark.parametrize("lock", ["~$clover.xlsx", ".~lock.clover.xlsx#"])
def test_a_workbook_that_is_open_elsewhere_is_left_alone(mine: Path, lock: str) -> None:
    (mine.parent / lock).write_bytes(b"Wren")
    with pytest.raises(NotWritten) as refused:
        append_row(mine, "Soundness", note(1), heading_row=HEADING_ROW, known=KNOWN)
    assert refused.value.problem.kind == "write-open"
    assert lock in refused.value.problem.hint
    assert mine.read_bytes() == content("rich")


def test_a_row_of_a_file_that_has_changed_since_is_left_alone(mine: Path) -> None:
    seen = fingerprint(mine.read_bytes())
    append_row(mine, "Soundness", note(1), heading_row=HEADING_ROW, known=KNOWN)
    now = mine.read_bytes()
    with pytest.raises(NotWritten) as refused:
        set_cells(mine, "Soundness", 6, {5: 1.0}, seen=seen)
    assert refused.value.problem.kind == "write-changed"
    assert mine.read_bytes() == now
    set_cells(mine, "Soundness", 6, {5: 1.0}, seen=fingerprint(now))
    assert by_openpyxl(mine.read_bytes())["Soundness"][6, 5] == 1


def test_a_file_that_another_program_saves_meanwhile_is_left_alone(mine: Path) -> None:
    old = mine.read_bytes()
    plan = plan_append(old, "Soundness", note(1), heading_row=HEADING_ROW, known=KNOWN)
    mine.write_bytes(content("excel"))
    with pytest.raises(NotWritten) as refused:
        save(mine, old, plan)
    assert refused.value.problem.kind == "write-changed"
    assert mine.read_bytes() == content("excel")


@pytest.mark.parametrize(
    "name", ["rich", "libreoffice-rich", "no-references", "utf-16", "odd-names", "streamed", "year-1904"]
)
def test_a_saved_workbook_is_what_was_planned(name: str, tmp_path: Path) -> None:
    path = tmp_path / "clover.xlsx"
    path.write_bytes(content(name))
    append_row(path, "Soundness", new_notes(name, 10), heading_row=heading_row(name), known=KNOWN)
    assert path.read_bytes() == appended(name, 10).content


@pytest.mark.parametrize("name", REFUSED)
def test_a_workbook_that_is_refused_is_not_touched_and_the_reason_is_a_sentence(
    name: str, tmp_path: Path
) -> None:
    path = tmp_path / f"clover{ending(name)}"
    path.write_bytes(content(name))
    with pytest.raises(NotWritten) as refused:
        append_row(path, "Soundness", note(1), heading_row=HEADING_ROW, known=KNOWN)
    assert path.read_bytes() == content(name)
    assert refused.value.problem.message.endswith(".")
    assert refused.value.problem.hint
