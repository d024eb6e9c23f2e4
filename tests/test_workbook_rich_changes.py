"""Rich workbooks changed in other ways than by a note below the last: tables, layouts, cells set and emptied, new sheets."""

from __future__ import annotations

import datetime as dt
import io
from collections import Counter
from pathlib import Path

import openpyxl
import pytest
from rich_parts.continued import (
    CANNOT_SHOW_A_DATE,
    NOT_WITH_CALAMINE,
    NOT_WITH_OPENPYXL,
    every_workbook_but,
    heading_row,
    last_row,
    soundness,
)
from rich_parts.habits import prefixed_table
from rich_parts.packing import Package, parts_of
from rich_parts.readers import Cells, around, by_calamine, by_openpyxl, by_us, findings, formats, moment, same
from rich_parts.record import KNOWN, TWICE
from rich_workbooks import content, converted

from tracker.workbook.change.plan import Plan, plan_append, plan_set, plan_sheet
from tracker.workbook.gate import Refused, part_name

# The table of hooves


HOOF = {0: dt.date(2026, 6, 1), 1: "Clover", 2: "LF", 3: 52.0, 4: 47.5}
HOOF_KNOWN = (0, 1, 2, 3, 4)


def hoof_plan(count: int = 1) -> Plan:
    return plan_append(content("rich"), "Hooves", [HOOF] * count, heading_row=1, known=HOOF_KNOWN)


def test_a_table_grows_with_the_record_and_its_calculated_column() -> None:
    before, after = parts_of(content("rich")), parts_of(hoof_plan(2).content)
    changed = {part for part in before if before[part] != after[part]}
    table = next(part for part in before if "tables/" in part and b'name="HoofTable"' in before[part])
    assert changed == {Package.unpacked(content("rich")).sheet("Hooves"), table}
    assert after[table] == before[table].replace(b'ref="A1:G9"', b'ref="A1:G11"')
    page = openpyxl.load_workbook(io.BytesIO(hoof_plan(2).content))["Hooves"]
    assert [[cell.value for cell in row] for row in page["A10:E11"]] == [
        [dt.datetime(2026, 6, 1), *list(HOOF.values())[1:]]
    ] * 2
    assert {page[f"F{row}"].value for row in range(2, 12)} == {page["F2"].value}
    assert page.tables["HoofTable"].ref == page.tables["HoofTable"].autoFilter.ref == "A1:G11"


def test_a_table_whose_elements_have_a_prefix_grows_as_well() -> None:
    workbook = prefixed_table(content("rich"))
    plan = plan_append(workbook, "Hooves", HOOF, heading_row=1, known=HOOF_KNOWN)
    page = openpyxl.load_workbook(io.BytesIO(plan.content))["Hooves"]
    assert page.tables["HoofTable"].ref == "A1:G10"
    assert page["F10"].value == page["F9"].value


def test_the_new_cell_of_a_calculated_column_is_worked_out_by_libreoffice(tmp_path: Path) -> None:
    path = tmp_path / "hooves.xlsx"
    path.write_bytes(hoof_plan().content)
    read = by_calamine(converted(path, kind="ods", folder=tmp_path / "out").read_bytes())["Hooves"]
    assert [read[row, 5] for row in range(2, 11)] == [3.5, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.25, 4.5]


def test_the_audit_has_nothing_to_say_of_a_grown_table(tmp_path: Path) -> None:
    assert findings(hoof_plan(10).content, tmp_path) - findings(content("rich"), tmp_path) == Counter()


def test_a_sheet_that_is_no_table_is_written_though_others_are() -> None:
    plan = plan_append(content("rich"), "Abscesses", {0: "Clover", 1: "RF"}, heading_row=1, known=(0, 1, 2))
    assert plan.row == 4
    assert by_openpyxl(plan.content)["Abscesses"][4, 1] == "RF"


# Cells of a row that is there


def set_plan(name: str, row: int, cells: dict[int, object]) -> Plan:
    return plan_set(content(name), "Soundness", row, cells)


@pytest.mark.parametrize(
    ("row", "cells"),
    [
        (3, {5: 4.0, 8: "changed"}),  # over a number and a text
        (5, {6: "off feed", 7: dt.datetime(2026, 3, 5, 8, 30)}),  # where nothing stood
        (9, {column: None for column in KNOWN if column != 0}),  # all but the day emptied
        (13, {0: dt.date(2026, 5, 1), 5: "2/5"}),  # the last row
    ],
    ids=["over", "new", "emptied", "last"],
)
@every_workbook_but(*NOT_WITH_OPENPYXL, *NOT_WITH_CALAMINE)
def test_cells_are_set_and_emptied_and_nothing_else(name: str, row: int, cells: dict[int, object]) -> None:
    row += heading_row(name) - 1
    if name in CANNOT_SHOW_A_DATE:
        cells = {column: value for column, value in cells.items() if not isinstance(value, dt.date)}
    plan = set_plan(name, row, cells)
    places = {(row, column): value for column, value in cells.items()}
    for reader in (by_openpyxl, by_calamine):
        before, after = dict(reader(content(name))), dict(reader(plan.content))
        old, new = before.pop("Soundness"), after.pop("Soundness")
        assert after == before
        assert {place for place in places if not same(new.get(place), places[place])} == set()
        assert {p: v for p, v in new.items() if p not in places} == {
            p: v for p, v in old.items() if p not in places
        }
    assert {place: moment(value) for place, value in plan.old.items()} == {
        place: moment(value) or "" for place, value in by_calamine_or_blank(name, places).items()
    }


def by_calamine_or_blank(name: str, places: Cells) -> Cells:
    old = by_calamine(content(name))["Soundness"]
    return {place: old.get(place, "") for place in places}


def test_the_formats_of_a_row_stay_when_its_cells_are_set_and_emptied() -> None:
    for cells in ({5: 3.0}, {0: None, 7: None}):
        for name in ("rich", "excel", "google"):
            row = last_row(name)
            before = around(parts_of(content(name))[soundness(name)])[1][row]
            after = around(parts_of(set_plan(name, row, cells).content)[soundness(name)])[1][row]
            assert formats(after) == formats(before)


@pytest.mark.parametrize(
    ("name", "place"), [("rich", (8, TWICE)), ("rich", (1, 3)), ("excel", (2, TWICE)), ("excel", (5, TWICE))]
)
def test_a_formula_or_a_merged_cell_is_never_written_over(name: str, place: tuple[int, int]) -> None:
    with pytest.raises(Refused) as refused:
        set_plan(name, place[0], {place[1]: 1.0})
    assert refused.value.slug == "write-in-the-way"


# A new sheet


def test_a_new_sheet_comes_last_and_names_nothing_else_anew(tmp_path: Path) -> None:
    for name in (
        "rich",
        "macros",
        "excel",
        "prefixes",
        "prefixes-everywhere",
        "openpyxl",
        "odd-names",
        "absolute-targets",
        "libreoffice",
    ):
        plan = plan_sheet(content(name), "Follow-up", ("Date", "Warning <&>"))
        before, after = parts_of(content(name)), parts_of(plan.content)
        changed = {part for part in before if after[part] != before[part]}
        assert {part_name(part) for part in changed} == {
            "[content_types].xml",
            "xl/workbook.xml",
            "xl/_rels/workbook.xml.rels",
        }
        assert len(after) == len(before) + 1
        if name not in NOT_WITH_OPENPYXL:
            read = dict(by_openpyxl(plan.content))
            assert read.pop("Follow-up") == {(1, 0): "Date", (1, 1): "Warning <&>"}
            assert read == by_openpyxl(content(name))
            assert findings(plan.content, tmp_path) - findings(content(name), tmp_path) == Counter(), name
        more = plan_append(plan.content, "Follow-up", {0: "4 Mar", 1: "x"}, heading_row=1, known=(0, 1))
        assert by_us(more.content, tmp_path)["Follow-up"][2, 1] == "x"


def test_a_sheet_without_a_single_cell_can_be_given_its_headings(tmp_path: Path) -> None:
    plan = plan_set(content("empty-sheet"), "Horses", 1, {0: "Horse", 1: "Born"})
    plan = plan_append(plan.content, "Horses", {0: "Clover", 1: 2011.0}, heading_row=1, known=(0, 1))
    assert by_us(plan.content, tmp_path)["Horses"] == {
        (1, 0): "Horse",
        (1, 1): "Born",
        (2, 0): "Clover",
        (2, 1): 2011.0,
    }
    assert by_us(plan.content, tmp_path)["Soundness"] == by_us(content("empty-sheet"), tmp_path)["Soundness"]
