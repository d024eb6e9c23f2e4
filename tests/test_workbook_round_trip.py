"""Rich workbooks after a record was added: all that stands around it is the same, byte for byte.

What was there and what is new is read with openpyxl, calamine and LibreOffice; openxml-audit looks at the packages
before and after. The workbooks are those of rich_workbooks.py.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections import Counter
from pathlib import Path

import pytest
from openpyxl.utils import range_boundaries
from rich_parts.continued import (
    CANNOT_SHOW_A_DATE,
    NEEDS_A_DATE_FORMAT,
    NOT_WITH_CALAMINE,
    NOT_WITH_LIBREOFFICE,
    NOT_WITH_OPENPYXL,
    appended,
    every_workbook_but,
    expected,
    heading_row,
    last_row,
    new_notes,
    soundness,
)
from rich_parts.packing import parts_of
from rich_parts.readers import (
    Cells,
    around,
    by_calamine,
    by_openpyxl,
    by_us,
    entries,
    findings,
    formats,
    same,
)
from rich_parts.record import KNOWN, NOTES, note
from rich_workbooks import WORKBOOKS, content, converted, ending

from tracker.workbook.change.plan import plan_append
from tracker.workbook.gate import part_name

MANY = ("rich", "excel", "google", "prefixes", "no-references", "year-1904")

every_workbook = pytest.mark.parametrize("name", WORKBOOKS)


def one_ten_or_a_thousand(*without: str) -> pytest.MarkDecorator:
    """Every workbook with one and with ten new rows, some with a thousand."""
    cases = [(name, count) for name in WORKBOOKS for count in (1, 10)] + [(name, 1000) for name in MANY]
    return pytest.mark.parametrize(("name", "count"), [case for case in cases if case[0] not in without])


def check_cells(before: dict[str, Cells], after: dict[str, Cells], new: Cells) -> None:
    """Every old cell is what it was, every new one what was written, and there is no other."""
    assert list(after) == list(before)
    for sheet, old in before.items():
        assert {place: after[sheet].get(place) for place in old} == old, sheet
        added = {place: value for place, value in after[sheet].items() if place not in old}
        if sheet != "Soundness":
            assert added == {}, sheet
            continue
        assert set(added) == set(new)
        assert {
            place: (added[place], new[place]) for place in new if not same(added[place], new[place])
        } == {}


@one_ten_or_a_thousand()
def test_only_the_part_of_the_sheet_differs(name: str, count: int) -> None:
    before, after = content(name), appended(name, count).content
    assert list(parts_of(after)) == list(parts_of(before))
    changed = {part for part, xml in parts_of(before).items() if parts_of(after)[part] != xml}
    allowed = {soundness(name)} | ({"xl/styles.xml"} if name in NEEDS_A_DATE_FORMAT else set())
    assert changed == allowed
    assert {part_name(part) for part in appended(name, count).parts} == {part_name(part) for part in changed}


@every_workbook
def test_what_stays_is_not_even_packed_anew(name: str) -> None:
    before, after = entries(content(name)), entries(appended(name, 1).content)
    written = {part_name(part) for part in appended(name, 1).parts}
    stayed = {part: entry for part, entry in before.items() if part_name(part) not in written}
    assert len(stayed) >= len(before) - 2
    assert {part: after[part] for part in stayed} == stayed


@every_workbook
def test_the_zip_is_whole_and_keeps_its_comment(name: str) -> None:
    with zipfile.ZipFile(io.BytesIO(appended(name, 10).content)) as archive:
        assert archive.testzip() is None
        assert archive.comment == (b"kept by hand" if name == "zip-comment" else b"")


IN_ANOTHER_ENCODING = ("utf-16", "byte-order-mark")
WITH_ASIDES = ("comments-and-cdata",)


@every_workbook_but(*IN_ANOTHER_ENCODING, *WITH_ASIDES)
def test_the_old_rows_and_all_around_them_are_the_same_bytes(name: str) -> None:
    before = parts_of(content(name))[soundness(name)]
    after = parts_of(appended(name, 10).content)[soundness(name)]
    head, rows, foot = around(before)
    new_head, new_rows, new_foot = around(after)
    dimension = rb"<(\w+:)?dimension [^>]*/>"
    assert re.sub(dimension, b"", new_head) == re.sub(dimension, b"", head)
    if found := re.search(rb'dimension ref="([^"]*)"', new_head):
        _, _, right, bottom = range_boundaries(found[1].decode())
        assert right >= len(KNOWN)
        assert bottom >= last_row(name) + 10
    assert new_foot == foot
    written = range(last_row(name) + 1, last_row(name) + 11)
    assert not [number for number in written if number not in new_rows]
    for number in written:
        assert formats(new_rows.pop(number)).items() >= formats(rows.pop(number, b"")).items(), number
    assert new_rows == rows


@pytest.mark.parametrize("saved", [False, True], ids=["formulas", "saved-results"])
@one_ten_or_a_thousand(*NOT_WITH_OPENPYXL)
def test_openpyxl_reads_old_and_new(name: str, count: int, saved: bool) -> None:
    before, after = content(name), appended(name, count).content
    check_cells(by_openpyxl(before, saved=saved), by_openpyxl(after, saved=saved), expected(name, count))


@one_ten_or_a_thousand(*NOT_WITH_CALAMINE)
def test_calamine_reads_old_and_new(name: str, count: int) -> None:
    check_cells(by_calamine(content(name)), by_calamine(appended(name, count).content), expected(name, count))


@one_ten_or_a_thousand()
def test_we_read_old_and_new(name: str, count: int, tmp_path: Path) -> None:
    before, after = by_us(content(name), tmp_path), by_us(appended(name, count).content, tmp_path)
    check_cells(before, after, expected(name, count))


@pytest.fixture(scope="module")
def opened_by_libreoffice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder in which LibreOffice has put every workbook as .ods, each with ten new rows."""
    folder = tmp_path_factory.mktemp("office")
    for name in set(WORKBOOKS) - set(NOT_WITH_LIBREOFFICE):
        (folder / f"{name}{ending(name)}").write_bytes(appended(name, 10).content)
    converted(*folder.glob("*.xls?"), kind="ods", folder=folder / "out")
    return folder / "out"


@every_workbook_but(*NOT_WITH_LIBREOFFICE)
def test_libreoffice_reads_old_and_new(name: str, opened_by_libreoffice: Path) -> None:
    read = by_calamine((opened_by_libreoffice / f"{name}.ods").read_bytes())["Soundness"]
    old = {} if name in (*NEEDS_A_DATE_FORMAT, *CANNOT_SHOW_A_DATE) else old_constants(name)
    typed = {**old, **expected(name, 10)}
    wrong = {
        place: (read.get(place), value) for place, value in typed.items() if not same(read.get(place), value)
    }
    assert wrong == {}
    places = {place for place in read if place[1] in KNOWN and place[0] > heading_row(name)}
    assert places == {place for place in {**old_constants(name), **typed} if place[1] in KNOWN}


def old_constants(name: str) -> Cells:
    return {
        (row, column): value
        for row, number in enumerate(range(NOTES), heading_row(name) + 1)
        for column, value in note(number).items()
    }


@one_ten_or_a_thousand()
def test_the_audit_finds_nothing_that_it_did_not_find_before(name: str, count: int, tmp_path: Path) -> None:
    new = findings(appended(name, count).content, tmp_path) - findings(content(name), tmp_path)
    assert new == Counter()


def test_the_audit_has_nothing_to_say_of_the_riches_themselves(tmp_path: Path) -> None:
    # It does not follow a part name that begins with a slash, as XlsxWriter names one: ISO/IEC 29500-2 §6.2.2.
    said = [finding for finding in findings(content("rich"), tmp_path) if "richValueRel" not in finding]
    assert said == []


RICHES = (
    "xl/charts/chart1.xml", "xl/chartsheets/sheet1.xml", "xl/drawings/drawing9.xml", "xl/drawings/vmlDrawing1.vml",
    "xl/comments1.xml", "xl/threadedComments/threadedComment1.xml", "xl/persons/person.xml", "xl/tables/table1.xml",
    "xl/slicers/slicer1.xml", "xl/slicerCaches/slicerCache1.xml", "xl/pivotTables/pivotTable1.xml",
    "xl/pivotCache/pivotCacheDefinition1.xml", "xl/pivotCache/pivotCacheRecords1.xml", "xl/media/image1.png",
    "xl/richData/rdrichvalue.xml", "xl/metadata.xml", "xl/featurePropertyBag/featurePropertyBag.xml",
    "xl/externalLinks/externalLink1.xml", "xl/printerSettings/printerSettings1.bin", "xl/calcChain.xml",
    "xl/theme/theme1.xml", "customXml/item1.xml", "docProps/custom.xml",
)  # fmt: skip
ON_THE_SHEET = (
    "x14:dataValidations", "x14:conditionalFormatting", "x14:sparklineGroups", "<sheetPr", "<pane ", "outlineLevel",
    "<autoFilter", "<mergeCells", "<conditionalFormatting", "<dataValidations", "<hyperlinks", "<printOptions",
    "<pageSetup", "<headerFooter", "<rowBreaks", "<ignoredErrors", "<drawing ", "<legacyDrawing ",
)  # fmt: skip


def test_the_riches_are_all_there() -> None:
    parts = parts_of(content("rich"))
    sheet = parts[soundness("rich")].decode()
    assert [name for name in RICHES if name not in parts] == []
    assert [element for element in ON_THE_SHEET if element not in sheet] == []
    assert "xl/vbaProject.bin" in parts_of(content("macros"))


def test_a_thousand_single_notes_are_as_good_as_a_thousand_at_once() -> None:
    name = "texts-in-the-cells"
    workbook = content(name)
    for cells in new_notes(name, 1000):
        workbook = plan_append(workbook, "Soundness", cells, heading_row=1, known=KNOWN).content
    assert by_openpyxl(workbook) == by_openpyxl(appended(name, 1000).content)
    check_cells(by_calamine(content(name)), by_calamine(workbook), expected(name, 1000))
