"""The blank workbook: everything declared is in it, a person can type into it, and other programs open it.

openpyxl and LibreOffice read it back; it is written with neither.
"""

from __future__ import annotations

import datetime as dt
import re
import shutil
import subprocess
import zipfile
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl.utils import range_boundaries
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet
from openxml_audit import OpenXmlValidator
from python_calamine import CalamineWorkbook

from tracker.cells.text import heading
from tracker.sheets import CHOICE, DATE, MOMENT, PULSE, SCORE, SHEETS, Sheet
from tracker.workbook.new.blank import write_blank, write_workbook
from tracker.workbook.new.first_sheet import LINES, NAME
from tracker.workbook.new.read_back import differences

YEARS_OF_NOTES = 10_000


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    blank = tmp_path_factory.mktemp("blank") / "my-horse.xlsx"
    write_blank(blank)
    return blank


@pytest.fixture(scope="module")
def blank(path: Path) -> Workbook:
    return openpyxl.load_workbook(path)


def hints(page: Worksheet) -> dict[int, DataValidation]:
    """By column number."""
    return {range_boundaries(str(rule.sqref))[0]: rule for rule in page.data_validations.dataValidation}


def test_a_file_that_is_there_is_never_touched(tmp_path: Path) -> None:
    mine = tmp_path / "my-horse.xlsx"
    mine.write_bytes(b"years of notes")
    with pytest.raises(FileExistsError):
        write_blank(mine)
    assert mine.read_bytes() == b"years of notes"


def test_every_declared_sheet_follows_the_first_in_order(blank: Workbook) -> None:
    assert blank.sheetnames == [NAME, *(sheet.name for sheet in SHEETS)]


every_sheet = pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)


@every_sheet
def test_the_heading_row_is_the_declaration(blank: Workbook, sheet: Sheet) -> None:
    typed = [heading(cell.value)[0] for cell in blank[sheet.name][1]]
    assert typed == [column.heading.lower() for column in sheet.columns]


@every_sheet
def test_the_headings_stay_in_sight(blank: Workbook, sheet: Sheet) -> None:
    page = blank[sheet.name]
    assert re.fullmatch(r"[A-Z]2", page.freeze_panes)
    assert page.print_title_rows == "$1:$1"
    assert all(cell.font.b for cell in page[1])


@every_sheet
def test_each_list_is_read_again_as_declared(blank: Workbook, sheet: Sheet) -> None:
    found = hints(blank[sheet.name])
    for number, column in enumerate(sheet.columns, 1):
        rule = found[number]
        if not column.choices:
            assert rule.type is None
            continue
        assert rule.type == "list"
        assert rule.formula1[0] == rule.formula1[-1] == '"'
        # ISO/IEC 29500 sets no limit; Excel's specifications: a list of at most 255 characters, from memory.
        offered = tuple(rule.formula1[1:-1].split(","))
        assert offered == column.choices[: len(offered)]
        assert len(rule.formula1) - 2 <= 255
        if len(offered) < len(column.choices):
            assert column.heading == "Signs"
            assert set(column.choices[len(offered) :]) == {"pus or discharge", "off feed"}


@every_sheet
def test_a_list_has_no_comma_in_a_word_and_fits(blank: Workbook, sheet: Sheet) -> None:
    # 255 characters: Excel's specifications and limits (from memory)
    for rule in hints(blank[sheet.name]).values():
        assert len(rule.formula1 or "") <= 255


@every_sheet
def test_every_column_has_its_hint_over_years_of_rows(blank: Workbook, sheet: Sheet) -> None:
    found = hints(blank[sheet.name])
    assert len(found) == len(sheet.columns)
    for number, column in enumerate(sheet.columns, 1):
        rule = found[number]
        assert rule.showInputMessage
        assert rule.promptTitle == column.heading
        assert rule.prompt.startswith(column.hint)
        # Excel's limits, ISO/IEC 29500 as Office implements it (MS-OI29500; from memory)
        assert len(rule.promptTitle) <= 32
        assert len(rule.prompt) <= 255
        assert range_boundaries(str(rule.sqref)) == (number, 2, number, YEARS_OF_NOTES)


@every_sheet
def test_a_list_never_forbids_what_people_really_type(blank: Workbook, sheet: Sheet) -> None:
    assert not any(rule.showErrorMessage for rule in hints(blank[sheet.name]).values())


@every_sheet
def test_what_a_row_needs_looks_different_without_colour(blank: Workbook, sheet: Sheet) -> None:
    for column, cell in zip(sheet.columns, blank[sheet.name][1], strict=True):
        dark = luminance(cell.fill.fgColor.rgb) < 0.2
        assert dark == column.required
        assert contrast(cell.fill.fgColor.rgb, cell.font.color.rgb) >= 4.5  # WCAG 2.2, 1.4.3 (AA)


@every_sheet
def test_the_empty_cells_have_the_format_of_what_they_hold(blank: Workbook, sheet: Sheet) -> None:
    formats = {DATE: "d mmm yyyy", MOMENT: "d mmm yyyy h:mm", SCORE: "@", PULSE: "@", CHOICE: "@"}
    styled = {
        number: style.number_format
        for style in blank[sheet.name].column_dimensions.values()
        for number in range(style.min, style.max + 1)
    }
    for number, column in enumerate(sheet.columns, 1):
        assert styled[number] == formats.get(column.holds, "General"), column.heading


@every_sheet
def test_it_prints_across_on_a4_and_no_column_is_cut_off(blank: Workbook, sheet: Sheet) -> None:
    page = blank[sheet.name]
    assert page.page_setup.orientation == "landscape"
    assert int(page.page_setup.paperSize) == 9  # A4: ISO/IEC 29500-1 §18.3.1.63
    assert page.sheet_properties.pageSetUpPr.fitToPage
    assert page.page_setup.fitToHeight == 0
    assert page.oddHeader.left.text == "&A"
    assert page.oddFooter.right.text == "Page &P of &N"


@every_sheet
def test_print_is_large_enough_to_read(blank: Workbook, sheet: Sheet) -> None:
    # 11 pt type, about 150 widths on A4 across at full size; 7 pt is our own floor, no published source
    page = blank[sheet.name]
    wide = int(page.page_setup.fitToWidth or 1)
    total = sum(column.width for column in sheet.columns)
    assert 11 * 150 * wide / total >= 7


def luminance(rgb: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(rgb[-6:][at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_first_sheet_sends_to_the_vet_first_and_promises_nothing(blank: Workbook) -> None:
    words = [cell.value for row in blank[NAME].iter_rows() for cell in row if cell.value]
    text = " ".join(words)
    assert len(LINES) == 10
    assert words[1] == "Ring the vet now"
    assert "won't bear weight" in words[2]
    assert "do not wait for a program" in words[2]
    assert "no substitute for a vet's examination" in text
    assert "never say that a horse is sound" in text
    assert "dark blue heading" in text
    assert all(f" {sheet.about}" in f" {text}" for sheet in SHEETS)


def test_weeks_stand_in_the_heading_that_does_not_say_of_what(blank: Workbook) -> None:
    assert "Trim every (weeks)" in [cell.value for cell in blank["Horses"][1]]


def test_figures_in_text_cells_are_not_marked_as_slips(path: Path) -> None:
    with zipfile.ZipFile(path) as parts:
        soundness = parts.read("xl/worksheets/sheet3.xml").decode()
    marked = re.search(r'<ignoredError sqref="([^"]*)" numberStoredAsText="1"/>', soundness)
    assert marked
    assert "I2:I10000" in marked[1].split()  # Score


def test_the_standard_finds_nothing_to_say(path: Path) -> None:
    assert OpenXmlValidator().validate(path).errors == []


def test_libreoffice_opens_it(path: Path, tmp_path: Path) -> None:
    office = shutil.which("soffice")
    assert office, "LibreOffice is not installed: apt install libreoffice-calc-nogui"
    own = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    done = subprocess.run(
        [office, own, "--headless", "--convert-to", "ods", "--outdir", str(tmp_path), str(path)],
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    opened = tmp_path / "my-horse.ods"
    assert opened.exists(), done.stderr
    assert "Error" not in done.stderr
    again = CalamineWorkbook.from_path(opened)
    assert again.sheet_names == [NAME, *(sheet.name for sheet in SHEETS)]
    for sheet in SHEETS:
        first = again.get_sheet_by_name(sheet.name).to_python()[0]
        assert [heading(value)[0] for value in first] == [column.heading.lower() for column in sheet.columns]


NOTE = {"Date": dt.date(2026, 3, 4), "Horse": "Fern", "Score": "2/5", "Weather": "dry"}


def test_rows_keep_what_was_typed(tmp_path: Path) -> None:
    path = tmp_path / "rows.xlsx"
    moment = dt.datetime(2026, 3, 4, 19, 30)
    write_workbook(
        path,
        {
            "Soundness": [NOTE, {"Date": "4 Mar", "Score": 2.5, "Written": moment, "Pulse LF": 0}],
            "Hay and bills": [{"When": dt.date(2026, 3, 5), "Paid": 90}],
        },
    )
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == [NAME, "Soundness", "Hay and bills"]
    page = book["Soundness"]
    names = {cell.value: cell.column for cell in page[1]}
    assert page.cell(2, names["Date"]).value == dt.datetime(2026, 3, 4)
    assert page.cell(2, names["Date"]).number_format == "d mmm yyyy"
    assert page.cell(2, names["Score"]).value == "2/5"
    assert names["Weather"] == page.max_column
    assert page.cell(2, names["Weather"]).value == "dry"
    assert page.cell(3, names["Date"]).value == "4 Mar"
    assert page.cell(3, names["Score"]).value == 2.5
    assert page.cell(3, names["Pulse LF"]).value == 0
    assert page.cell(3, names["Written"]).value == moment
    assert [cell.value for cell in book["Hay and bills"][2]] == [dt.datetime(2026, 3, 5), 90]


def test_headings_of_ones_own_still_find_their_columns(tmp_path: Path) -> None:
    path = tmp_path / "rows.xlsx"
    headings = {"Soundness": ("horse", "SCORE", "Date", "Remarks", "remarks")}
    note = {"Date": dt.date(2026, 3, 4), "Horse": "Fern", "Score": "2", "Remarks": "one", "remarks": "two"}
    write_workbook(path, {"Soundness": [note]}, headings=headings, first_sheet=False)
    page = openpyxl.load_workbook(path)["Soundness"]
    assert [cell.value for cell in page[1]] == list(headings["Soundness"])
    assert [cell.value for cell in page[2]] == ["Fern", "2", dt.datetime(2026, 3, 4), "one", "two"]
    assert page["B2"].number_format == "@"


def test_formulas_are_unsaved_and_errors_are_errors(tmp_path: Path) -> None:
    path = tmp_path / "rows.xlsx"
    write_workbook(
        path, {"Body": [{"Date": dt.date(2026, 3, 4), "Heart rate": "=30+4", "Weight": "#DIV/0!"}]}
    )
    typed = openpyxl.load_workbook(path)["Body"]
    shown = openpyxl.load_workbook(path, data_only=True)["Body"]
    assert typed["E2"].value == "=30+4"
    assert shown["E2"].value is None
    assert (shown["K2"].data_type, shown["K2"].value) == ("e", "#DIV/0!")


def test_a_date_that_slipped_into_a_score_stays_a_date(tmp_path: Path) -> None:
    path = tmp_path / "rows.xlsx"
    write_workbook(path, {"Soundness": [{"Date": dt.date(2026, 3, 4), "Score": dt.date(2026, 5, 2)}]})
    cell = openpyxl.load_workbook(path)["Soundness"]["I2"]
    assert cell.is_date
    assert cell.value == dt.datetime(2026, 5, 2)


def test_long_words_make_their_row_taller(tmp_path: Path) -> None:
    path = tmp_path / "rows.xlsx"
    write_workbook(path, {"Changes": [{"What": "short"}, {"What": "long and " * 20}]})
    page = openpyxl.load_workbook(path)["Changes"]
    assert page.row_dimensions[2].height is None
    assert page.row_dimensions[3].height >= 4 * 15


def test_the_same_rows_give_the_same_bytes(tmp_path: Path) -> None:
    made = dt.datetime(2026, 3, 4)
    one, other = tmp_path / "one.xlsx", tmp_path / "other.xlsx"
    for path in (one, other):
        write_workbook(path, {"Soundness": [NOTE]}, made=made)
    assert one.read_bytes() == other.read_bytes()


typed_text = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=30).filter(
    lambda text: not text.startswith(("=", "#"))
)
numbers = st.floats(-1e9, 1e9, allow_nan=False).map(lambda number: round(number, 6)) | st.integers(0, 10**6)
days = st.dates(dt.date(1980, 1, 1), dt.date(2099, 12, 31))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(st.tuples(typed_text, numbers, days), min_size=1, max_size=8))
def test_written_and_read_back_is_equal(tmp_path: Path, rows: list[tuple[str, float, dt.date]]) -> None:
    path = tmp_path / "rows.xlsx"
    path.unlink(missing_ok=True)
    records = [{"What": text, "Minutes": number, "Date": day} for text, number, day in rows]
    write_workbook(path, {"Work": records}, headings={"Work": ("What", "Minutes", "Date")})
    read = openpyxl.load_workbook(path)["Work"].iter_rows(min_row=2, values_only=True)
    assert [(text, number, when.date()) for text, number, when in read] == rows


def test_a_cell_that_reads_back_differently_is_found(tmp_path: Path) -> None:
    file = tmp_path / "one.xlsx"
    write_workbook(file, {"Horses": [{"Horse": "Bramble", "Trim every": 5}]})
    content = file.read_bytes()
    assert differences(content, {"Horses": {(1, 0): "Bramble", (1, 7): 5}}) == []
    assert differences(content, {"Horses": {(1, 0): "Brambles", (1, 7): 6}}) == ["Horses!1,0", "Horses!1,7"]


def test_a_workbook_that_reads_back_differently_gets_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracker.workbook.new.blank.differences", lambda content, written: ["Horses!1,0"])
    with pytest.raises(RuntimeError, match="read back differently"):
        write_blank(tmp_path / "one.xlsx")
    assert list(tmp_path.iterdir()) == []
