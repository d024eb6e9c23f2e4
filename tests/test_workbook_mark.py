"""Marked copies: the marks are where they belong, the notes say what the check says, and nothing else has changed.

Read by openpyxl, calamine, LibreOffice and our own reader; openxml-audit looks at the packages before and after. The
workbooks are those of rich_workbooks.py.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections import Counter
from functools import cache, lru_cache
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from packed import pack
from rich_parts.packing import Package, parts_of
from rich_workbooks import WORKBOOKS, content, converted, ending, rich
from test_workbook_round_trip import by_calamine, by_openpyxl, by_us, entries, findings, heading_row
from typer.testing import CliRunner

from tracker.book import check_book
from tracker.cli import app
from tracker.problem import DOUBT, ERROR, NotWritten, Problem, make
from tracker.show.marked import marked_text
from tracker.workbook.change.sheet_xml import SheetXml
from tracker.workbook.gate import Refused, part_name
from tracker.workbook.letters import column_letter
from tracker.workbook.mark.comments import Notes
from tracker.workbook.mark.formats import LOOKS, MarkFormats, luminance
from tracker.workbook.mark.note_boxes import Grid
from tracker.workbook.mark.notes import note_text
from tracker.workbook.mark.plan import Marked, marked
from tracker.workbook.mark.save import check_marked, write_marked

MISTAKES = Path(__file__).parents[1] / "sample_workbooks" / "thirty-mistakes.xlsx"
FILLS = {"FFE69F00": ERROR, "FFF0E442": DOUBT}
RICH = ("rich", "libreoffice-rich")
# Workbooks with macros get a plain copy only; openpyxl cannot open one with backslashes in the names of its parts.
NOT_MARKED = ("macros", "odd-names")
NAMES = [name for name in WORKBOOKS if name not in NOT_MARKED]

every_workbook = pytest.mark.parametrize("name", NAMES)


def at(ref: str, kind: str = "limb-unknown", *, sheet: str = "Soundness", required: bool = False) -> Problem:
    return make(
        kind,
        sheet=sheet,
        ref=ref,
        column="Limb",
        found="the <sore> one & more",
        allowed="LF or RF",
        required=required,
    )


def problems(name: str) -> list[Problem]:
    """Problems of every sort of cell: typed, worked out, blank, missing, a heading; with a note, with a conversation."""
    top = heading_row(name)
    return [
        at(f"A{top + 1}", "date-unreadable", required=True),
        at(f"F{top + 2}", "number-unreadable"),
        at(f"D{top + 1}"),  # among the riches, somebody's note is there
        at(f"I{top + 2}"),  # and here a conversation
        at(f"C{top + 3}"),
        at(f"C{top + 3}", "cell-error", required=True),
        at(f"K{top + 1}", "cell-error"),
        at(f"N{top + 3}", "required-empty"),
        at("B400", "nothing-observed"),
        at(f"B{top}", "heading-twice"),
        make("no-horses", sheet="Horses", column="Horse", allowed="one row a horse"),
        make("no-horses", sheet="Work"),
    ]


def severities(name: str) -> dict[tuple[str, str], str]:
    """Which cells are marked, and as what."""
    top = heading_row(name)
    errors = (f"A{top + 1}", f"C{top + 3}", f"N{top + 3}", "B400")
    doubts = (f"F{top + 2}", f"D{top + 1}", f"I{top + 2}", f"K{top + 1}", f"B{top}")
    cells = {("Soundness", ref): ERROR for ref in errors} | {("Soundness", ref): DOUBT for ref in doubts}
    return cells | {("Horses", "A1"): DOUBT}


@cache
def made(name: str) -> Marked:
    return marked(content(name), problems(name))


@lru_cache(maxsize=128)
def opened(workbook: bytes) -> openpyxl.Workbook:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what openpyxl would lose if it saved
        return openpyxl.load_workbook(io.BytesIO(workbook))


def fills(workbook: bytes) -> dict[tuple[str, str], str]:
    """The marked cells by their fill, as openpyxl sees them."""
    return {
        (sheet.title, cell.coordinate): FILLS[cell.fill.fgColor.rgb]
        for sheet in opened(workbook).worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.fill.patternType == "solid" and cell.fill.fgColor.rgb in FILLS
    }


def notes(workbook: bytes) -> dict[tuple[str, str], str]:
    """Every note, as openpyxl sees it."""
    return {
        (sheet.title, cell.coordinate): cell.comment.text
        for sheet in opened(workbook).worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.comment
    }


@every_workbook
def test_exactly_the_cells_with_problems_have_the_colour_and_frame_of_their_severity(name: str) -> None:
    after = made(name).content
    assert fills(after) == severities(name)
    book = opened(after)
    for (sheet, ref), severity in severities(name).items():
        border, look = book[sheet][ref].border, LOOKS[severity]
        sides = {
            (side.style, side.color.rgb) for side in (border.left, border.right, border.top, border.bottom)
        }
        assert sides == {(look.line, f"FF{look.frame}")}


@every_workbook
def test_all_else_of_a_cells_format_stays(name: str) -> None:
    before, after = opened(content(name)), opened(made(name).content)
    for sheet, ref in severities(name):
        old, new = before[sheet][ref], after[sheet][ref]
        if old.value is None:  # a cell that may not be there has a test of its own
            continue
        for what in ("number_format", "alignment", "protection"):
            assert repr(getattr(new, what)) == repr(getattr(old, what)), (ref, what)
        assert (new.font.b, new.font.i, new.font.name, new.font.sz) == (
            old.font.b,
            old.font.i,
            old.font.name,
            old.font.sz,
        )


@every_workbook
def test_exactly_the_cells_with_problems_have_a_note_in_the_words_of_the_check(name: str) -> None:
    found = made(name)
    top = heading_row(name)
    before, after = notes(content(name)), notes(found.content)
    assert {place for place in after if place not in before} == set(severities(name)) - set(before)
    assert {place: after[place] for place in before if place not in found.notes} == {
        place: text for place, text in before.items() if place not in found.notes
    }
    for place in found.notes:
        own = before.get(place)
        assert after[place] == (f"{own}\n\n{found.notes[place]}" if own else found.notes[place])
    both = after["Soundness", f"C{top + 3}"]
    first, second = (problem for problem in problems(name) if problem.cell == f"Soundness!C{top + 3}")
    assert both == f"soundness check:\n\n{printed(first)}\n\n{printed(second)}"


def printed(problem: Problem) -> str:
    """A problem as the check prints it, but for the blanks that make columns of it."""
    return re.sub(r"(?m)^ +", "", re.sub(r"(?m)^  found: +", "found: ", str(problem)))


def test_what_has_no_sheet_to_be_marked_on_is_handed_back() -> None:
    assert [problem.sheet for problem in made("excel").placeless] == ["Work"]


def test_an_owners_note_keeps_its_words_and_a_conversation_all_of_it() -> None:
    before, after = notes(content("rich")), notes(made("rich").content)
    assert after["Soundness", "D5"] == f"looked twice\n\n{note_text([at('D5')])}"
    assert after["Soundness", "I6"] == before["Soundness", "I6"] == "[Threaded comment]\n\nWas it wet?"
    assert made("rich").bare == (("Soundness", "I6"),)
    part = "xl/threadedComments/threadedComment1.xml"
    assert parts_of(made("rich").content)[part] == parts_of(content("rich"))[part]


@every_workbook
def test_all_other_parts_are_not_even_packed_anew(name: str) -> None:
    before, after = entries(content(name)), entries(made(name).content)
    written = {part_name(part) for part in made(name).parts}
    stayed = {part: entry for part, entry in before.items() if part_name(part) not in written}
    assert {part: after[part] for part in stayed} == stayed
    assert list(after)[: len(before)] == list(before)
    changed = {part for part in before if part_name(part) in written}
    usual = (
        r"\[content_types\]\.xml|xl/(styles\.xml|worksheets/.*|comments\d+\.xml|drawings/vmldrawing\d+\.vml)"
    )
    if name == "no-styles":
        usual += r"|xl/_rels/workbook\.xml\.rels"
    assert [part for part in changed if not re.fullmatch(usual, part_name(part))] == []


@pytest.mark.parametrize("name", RICH)
def test_boxes_that_were_there_stay_and_one_with_more_words_reaches_further_down(name: str) -> None:
    before, after = parts_of(content(name)), parts_of(made(name).content)
    differ = []
    for part in (part for part in before if part.endswith(".vml")):
        shapes = re.findall(rb"<v:shape .*?</v:shape>", before[part], re.DOTALL)
        differ += [shape for shape in shapes if shape not in after[part]]
    longer = [place for place in made(name).notes if place in notes(content(name))]
    assert len(differ) == len(longer)
    for shape in differ:
        corners = re.search(rb"(.*<x:Anchor>(?:\d+, ){6})(\d+)(.*)", shape, re.DOTALL)
        assert corners
        taller = next(
            re.findall(re.escape(corners[1]) + rb"(\d+)" + re.escape(corners[3]), xml)
            for part, xml in after.items()
            if part.endswith(".vml") and corners[1] in xml
        )
        assert [int(bottom) > int(corners[2]) + 3 for bottom in taller] == [True]


def unnumbered(name: str) -> int:
    """How many boxes have no number, as LibreOffice writes them, or stand in a drawing that was not touched."""
    return sum(
        xml.count(b'ObjectType="Note"') - len(re.findall(rb'id="_x0000_s\d+" type="#_x0000_t202"', xml))
        for part, xml in parts_of(content(name)).items()
        if part.endswith(".vml")
    )


@every_workbook
def test_every_note_has_one_box_and_every_box_its_own_id(name: str) -> None:
    seen: Counter[bytes] = Counter()
    for part, xml in parts_of(made(name).content).items():
        if part.endswith(".vml") and part_name(part) in {part_name(other) for other in made(name).parts}:
            ElementTree.fromstring(xml)
            seen.update(re.findall(rb'id="(_x0000_s\d+)" type="#_x0000_t202"', xml))
            assert b"_x0000_t202" in xml
    assert seen.total() == len(set(made(name).notes) | set(notes(content(name)))) - unnumbered(name)
    assert seen.most_common(1)[0][1] == 1


@every_workbook
def test_all_values_read_as_before(name: str, tmp_path: Path) -> None:
    before, after = content(name), made(name).content
    assert by_us(after, tmp_path) == by_us(before, tmp_path)
    assert by_openpyxl(after) == by_openpyxl(before)
    assert by_openpyxl(after, saved=True) == by_openpyxl(before, saved=True)
    if name != "utf-16":  # of which calamine gives no cell
        assert by_calamine(after) == by_calamine(before)
    check_marked(before, after, made(name))


@every_workbook
def test_the_audit_finds_nothing_that_it_did_not_find_before(name: str, tmp_path: Path) -> None:
    assert findings(made(name).content, tmp_path) - findings(content(name), tmp_path) == Counter()


@every_workbook
def test_a_marked_copy_marked_again_is_the_same_to_look_at(name: str) -> None:
    again = marked(made(name).content, problems(name))
    assert notes(again.content) == notes(made(name).content)
    assert fills(again.content) == fills(made(name).content)


# What LibreOffice sees

OFFICE = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
}
SEEN_BY_LIBREOFFICE = (
    "rich",
    "libreoffice-rich",
    "excel",
    "prefixes",
    "no-references",
    "year-1904",
    "no-styles",
    "utf-16",
)


def annotations(document: bytes) -> dict[tuple[str, str], str]:
    """The notes of an .ods by sheet and cell (OpenDocument 1.3 part 3, 9.1 and 14.1)."""
    with zipfile.ZipFile(io.BytesIO(document)) as archive:
        root = ElementTree.fromstring(archive.read("content.xml"))
    found = {}
    for table in root.iterfind(".//table:table", OFFICE):
        number = 0
        for row in table.iter(f"{{{OFFICE['table']}}}table-row"):
            column = 0
            for cell in row:
                for note in cell.iterfind("office:annotation", OFFICE):
                    lines = ["".join(line.itertext()) for line in note.iterfind("text:p", OFFICE)]
                    place = (
                        table.get(f"{{{OFFICE['table']}}}name", ""),
                        f"{column_letter(column)}{number + 1}",
                    )
                    found[place] = "\n".join(lines)
                column += int(cell.get(f"{{{OFFICE['table']}}}number-columns-repeated", "1"))
            number += int(row.get(f"{{{OFFICE['table']}}}number-rows-repeated", "1"))
    return found


@pytest.fixture(scope="module")
def seen_by_libreoffice(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("office")
    for name in SEEN_BY_LIBREOFFICE:
        (folder / f"{name}.xlsx").write_bytes(made(name).content)
    converted(*folder.glob("*.xlsx"), kind="ods", folder=folder / "out")
    return {name: (folder / "out" / f"{name}.ods").read_bytes() for name in SEEN_BY_LIBREOFFICE}


@pytest.mark.parametrize("name", SEEN_BY_LIBREOFFICE)
def test_libreoffice_keeps_every_note_at_its_cell(name: str, seen_by_libreoffice: dict[str, bytes]) -> None:
    found = annotations(seen_by_libreoffice[name])
    wanted = notes(made(name).content)
    assert set(found) == set(wanted)
    squeezed = {place: re.sub(r"\s+", " ", text) for place, text in found.items()}
    assert squeezed == {place: re.sub(r"\s+", " ", text) for place, text in wanted.items()}


# Single cases


def soundness(cells: str, after: str = "") -> bytes:
    """The bare record with other rows on its Soundness sheet."""
    book = Package.unpacked(content("texts-in-the-cells"))
    text = book.parts[book.sheet("Soundness")].decode()
    text = re.sub(
        r"<sheetData>.*</sheetData>", f"<sheetData>{cells}</sheetData>{after}", text, flags=re.DOTALL
    )
    book.parts[book.sheet("Soundness")] = text.encode()
    return book.packed()


def test_a_cell_under_merged_ones_is_marked_where_it_can_be_seen() -> None:
    workbook = soundness(
        '<row r="1"><c r="A1"><v>1</v></c></row>',
        '<mergeCells count="1"><mergeCell ref="B2:D4"/></mergeCells>',
    )
    found = marked(workbook, [at("C3"), at("D4", required=True), at("A1")])
    assert fills(found.content) == {("Soundness", "B2"): ERROR, ("Soundness", "A1"): DOUBT}
    assert found.notes["Soundness", "B2"] == note_text([at("C3"), at("D4", required=True)])


def test_a_cell_that_is_not_there_takes_the_format_of_its_row_or_else_of_its_column() -> None:
    book = Package.unpacked(soundness('<row r="2" s="3" customFormat="1"/><row r="3"/>'))
    book.change(
        book.sheet("Soundness"),
        "<sheetData>",
        '<cols><col min="2" max="2" width="20" style="1"/></cols><sheetData>',
    )
    page = opened(marked(book.packed(), [at("B2"), at("B3"), at("B9"), at("C3")]).content)["Soundness"]
    assert [page[ref].number_format for ref in ("B2", "B3", "B9", "C3")] == [
        "@",
        "mm-dd-yy",
        "mm-dd-yy",
        "General",
    ]


def test_white_letters_turn_black_and_dark_ones_keep_their_colour() -> None:
    fonts = '<font><color rgb="FFFFFFFF"/></font><font><color theme="0"/></font><font><color rgb="FF7F0000"/></font><font><b/></font>'
    xfs = "".join(f'<xf numFmtId="0" fontId="{number}" fillId="0" borderId="0"/>' for number in range(4))
    formats = MarkFormats(
        f'<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><fonts count="4">{fonts}</fonts>'
        f'<cellXfs count="4">{xfs}</cellXfs></styleSheet>'.encode()
    )
    numbers = [formats.marked(style, ERROR) for style in range(4)]
    assert numbers == [4, 4, 5, 6]  # the two white ones have become the same
    used = re.findall(rb'fontId="(\d)" fillId="(\d)" borderId="(\d)"', formats.xml)[4:]
    # Fills 0 and 1 are reserved, so the first one of our own is 2.
    assert used == [(b"4", b"2", b"0"), (b"2", b"2", b"0"), (b"3", b"2", b"0")]
    assert formats.xml.count(b'<color rgb="FF000000"/>') == 1
    assert [formats.marked(style, ERROR) for style in range(4)] == numbers


def test_the_marks_are_told_apart_without_colour_too() -> None:
    # WCAG 2.2, 1.4.3: black letters need a contrast of 4.5 to what is behind them.
    error, doubt = (luminance(LOOKS[severity].fill) for severity in (ERROR, DOUBT))
    assert min(error, doubt) + 0.05 > 4.5 * 0.05
    assert (doubt + 0.05) / (error + 0.05) > 1.5
    assert LOOKS[ERROR].line != LOOKS[DOUBT].line
    assert luminance("FFFFFF") == pytest.approx(1)
    assert luminance("000000") == 0


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("<t>own</t>", "own"),
        ("<t/>", None),
        ("", None),
        ("<r><t>own</t></r><r><t> words</t></r>", "own words"),
        ('<r><t>own</t></r><rPh sb="0" eb="1"><t>oun</t></rPh><phoneticPr fontId="0"/>', "own"),
    ],
)
@pytest.mark.parametrize("p", ["", "x:"])
def test_a_note_in_any_manner_gets_our_words_below_its_own(text: str, wanted: str | None, p: str) -> None:
    inside = re.sub(r"<(/?)", rf"<\1{p}", f"<text>{text}</text>")
    space = f'xmlns{":x" if p else ""}="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    xml = (
        f"<{p}comments {space}><{p}authors><{p}author>Wren</{p}author></{p}authors><{p}commentList>"
        f'<{p}comment ref="B2" authorId="0">{inside}</{p}comment></{p}commentList></{p}comments>'
    )
    own = Notes(xml.encode())
    assert own.add("B2", "ours")
    assert own.add("C3", "ours <too>")
    from openpyxl.comments.comment_sheet import CommentSheet
    from openpyxl.xml.functions import fromstring

    read = dict(CommentSheet.from_tree(fromstring(own.xml)).comments)
    assert read["B2"].text == f"{wanted or ''}\n\nours"
    assert (read["C3"].text, read["C3"].author) == ("ours <too>", "soundness check")
    assert read["B2"].author == "Wren"


def test_a_note_that_is_full_is_left_alone() -> None:
    book = Package.unpacked(content("rich"))
    book.change("xl/comments1.xml", "looked twice", "x" * 32_700)
    full = book.packed()
    found = marked(full, problems("rich"))
    assert found.bare == (("Soundness", "D5"), ("Soundness", "I6"))
    assert notes(found.content)["Soundness", "D5"] == notes(full)["Soundness", "D5"]


def test_what_the_cell_holds_is_told_again_in_short() -> None:
    long = make("limb-unknown", sheet="Soundness", ref="A2", found="n" * 30_000, allowed="LF")
    assert len(note_text([long])) < 600


def test_a_second_sheet_of_the_same_name_is_marked_itself() -> None:
    book = Package.unpacked(content("texts-in-the-cells"))
    book.change("xl/workbook.xml", 'name="Horses"', 'name="Sound ness"')
    twice = Problem(
        **{
            **{name: getattr(at("A1"), name) for name in Problem.__slots__},
            "kind": "sheet-twice",
            "sheet": "Sound ness",
        }
    )
    found = marked(book.packed(), [twice, at("A2", sheet="Soundness")])
    assert set(found.notes) == {("Sound ness", "A1"), ("Soundness", "A2")}


def test_a_sheet_is_found_however_its_name_is_spelled() -> None:
    book = Package.unpacked(content("texts-in-the-cells"))
    book.change("xl/workbook.xml", 'name="Horses"', 'name="pain  RELIEF "')
    assert set(marked(book.packed(), [at("B2", sheet="Pain relief")]).notes) == {("pain  RELIEF ", "B2")}


# CT_Worksheet, ISO/IEC 29500-1 §18.3.1.99
ORDER = [
    "sheetPr",
    "dimension",
    "sheetViews",
    "sheetFormatPr",
    "cols",
    "sheetData",
    "sheetCalcPr",
    "sheetProtection",
    "protectedRanges",
    "scenarios",
    "autoFilter",
    "sortState",
    "dataConsolidate",
    "customSheetViews",
    "mergeCells",
    "phoneticPr",
    "conditionalFormatting",
    "dataValidations",
    "hyperlinks",
    "printOptions",
    "pageMargins",
    "pageSetup",
    "headerFooter",
    "rowBreaks",
    "colBreaks",
    "customProperties",
    "cellWatches",
    "ignoredErrors",
    "smartTags",
    "drawing",
    "legacyDrawing",
    "legacyDrawingHF",
    "drawingHF",
    "picture",
    "oleObjects",
    "controls",
    "webPublishItems",
    "tableParts",
    "extLst",
]


@pytest.mark.parametrize("name", [*RICH, "protected", "excel", "google"])
def test_every_sheets_elements_stand_in_the_order_of_the_standard(name: str) -> None:
    sheets = [sheet.title for sheet in opened(content(name)).worksheets]
    found = marked(content(name), [at("A1", sheet=sheet, kind="sheet-near") for sheet in sheets])
    assert {sheet for sheet, _ in found.notes} == set(sheets)
    for sheet in sheets:
        root = ElementTree.fromstring(parts_of(found.content)[Package.unpacked(found.content).sheet(sheet)])
        children = [child.tag.rpartition("}")[2] for child in root]
        known = [ORDER.index(child) for child in children if child in ORDER]
        assert known == sorted(known)
        assert children.count("legacyDrawing") == 1


def test_what_stands_in_alternate_content_counts_as_if_it_stood_there() -> None:
    controls = (
        '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
        '<mc:Choice Requires="x14"><controls/></mc:Choice></mc:AlternateContent>'
    )
    found = marked(soundness('<row r="1"/>', f"<pageMargins/>{controls}<extLst/>"), [at("A1")])
    text = parts_of(found.content)["xl/worksheets/sheet1.xml"].decode()
    assert re.search(r"<pageMargins/><legacyDrawing [^>]*/><mc:AlternateContent", text)


def test_a_box_is_as_wide_and_high_as_its_words_need_over_the_owners_own_columns_and_rows() -> None:
    columns = '<cols><col min="3" max="3" width="9" hidden="1"/><col min="4" max="4" width="60"/></cols>'
    sheet = SheetXml(f"<worksheet>{columns}<sheetData/></worksheet>".encode())
    # A column of 8.43 digits has 64 pixels, one of 60 has 425; a row of 15 points has 20 (Excel's usual font).
    assert Grid(sheet, {}).box(4, 9, "a line").anchor == "10, 15, 3, 10, 15, 55, 4, 17"
    assert Grid(sheet, {}).box(4, 1, "a line").anchor == "2, 15, 3, 10, 3, 375, 4, 17"
    assert Grid(sheet, {5: 0.0, 6: 0.0}).box(4, 9, "\n".join("abc")).anchor == "10, 15, 3, 10, 15, 55, 8, 7"
    assert Grid(sheet, {}).box(0, 16_383, "x").anchor.startswith("16383, 15, 0, 10, 16383, ")


def test_a_note_without_words_is_not_guessed_at() -> None:
    own = Notes(b'<comments><authors/><commentList><comment ref="A1" authorId="0"/></commentList></comments>')
    with pytest.raises(Refused):
        own.add("A1", "ours")


def test_problems_that_no_sheet_can_show_are_told_and_make_no_copy(tmp_path: Path) -> None:
    mine = tmp_path / "clover.xlsx"
    mine.write_bytes(content("excel"))
    alone = [make("no-horses", sheet="Work")]
    found = write_marked(mine, tmp_path / "look.xlsx", alone)
    assert list(tmp_path.iterdir()) == [mine]
    assert marked_text(found, "clover.xlsx", "look.xlsx") == (
        "Nothing to mark on the sheets of clover.xlsx, so no copy was made. 1 problem without a sheet to be marked on: "
        f"{alone[0].message}"
    )
    told = marked_text(made("rich"), "clover.xlsx", "look.xlsx")
    assert "Made look.xlsx: 10 cells marked." in told
    assert (
        "Coloured without a note, since a conversation or a full note is there already: Soundness!I6." in told
    )
    assert f"1 problem without a sheet to be marked on: {alone[0].message}" in told


# Much, and anything


@pytest.mark.parametrize("count", [1023, 1024, 3000])
def test_thousands_of_notes_have_as_many_boxes_with_ids_of_their_own(count: int) -> None:
    found = marked(
        content("excel"), [at(f"{column_letter(number % 12)}{2 + number // 12}") for number in range(count)]
    )
    assert len(notes(found.content)) == found.cells == count
    (xml,) = (xml for part, xml in parts_of(found.content).items() if part.endswith(".vml"))
    ids = [int(number) for number in re.findall(rb'id="_x0000_s(\d+)" type', xml)]
    assert len(set(ids)) == count
    blocks = re.search(rb'idmap v:ext="edit" data="([\d,]+)"', xml)
    assert blocks
    assert {number // 1024 for number in ids} == {int(block) for block in blocks[1].split(b",")}


CELLS = st.dictionaries(
    st.tuples(st.integers(1, 40), st.integers(0, 16)), st.lists(st.booleans(), min_size=1, max_size=3), min_size=1, max_size=40
)  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(
    CELLS,
    st.sampled_from(["excel", "google", "prefixes", "no-references", "rows-without-references", "year-1904"]),
)
def test_whatever_is_marked_the_values_stay(cells: dict[tuple[int, int], list[bool]], name: str) -> None:
    found = [
        at(f"{column_letter(column)}{row}", required=required)
        for (row, column), each in cells.items()
        for required in each
    ]
    new = marked(content(name), found)
    check_marked(content(name), new.content, new)
    assert by_calamine(new.content) == by_calamine(content(name))
    wanted = {
        ("Soundness", f"{column_letter(column)}{row}"): ERROR if any(each) else DOUBT
        for (row, column), each in cells.items()
    }
    assert fills(new.content) == wanted
    assert set(notes(new.content)) == set(wanted)


# The command


def run(*arguments: object) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, ["check", *map(str, arguments)])
    return result.exit_code, result.stdout, result.stderr


def test_the_sample_of_thirty_mistakes_gets_its_thirty_marks(tmp_path: Path) -> None:
    before, copy = MISTAKES.read_bytes(), tmp_path / "look.xlsx"
    code, said, _ = run(MISTAKES, "--mark", copy)
    assert code == 1
    assert "Made look.xlsx: 30 cells marked. thirty-mistakes.xlsx was not changed." in said
    assert "Mend the cells in thirty-mistakes.xlsx and go on with it" in said
    assert MISTAKES.read_bytes() == before
    found = check_book(MISTAKES).problems
    wanted = {tuple((problem.cell or "").rsplit("!", 1)): problem for problem in found}
    assert {place: problem.severity for place, problem in wanted.items()} == fills(copy.read_bytes())
    assert {place: f"soundness check:\n\n{printed(problem)}" for place, problem in wanted.items()} == notes(
        copy.read_bytes()
    )
    assert [path.name for path in tmp_path.iterdir()] == ["look.xlsx"]
    assert check_book(copy).problems == found


def test_with_json_the_words_go_beside_it(tmp_path: Path) -> None:
    import json

    code, said, aside = run(MISTAKES, "--json", "--mark", tmp_path / "look.xlsx")
    assert code == 1
    assert len(json.loads(said)["problems"]) == 30
    assert aside.startswith("Made look.xlsx")


def test_where_nothing_is_wrong_there_is_no_copy(tmp_path: Path) -> None:
    code, said, _ = run(MISTAKES.with_name("a-first-week.xlsx"), "--mark", tmp_path / "look.xlsx")
    assert code == 0
    assert said.endswith("\n\nNothing to mark on the sheets of a-first-week.xlsx, so no copy was made.\n")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("copy", "sentence"),
    [
        ("mine.xlsx", "{folder}/mine.xlsx is the workbook itself, which is never marked: try mine-marked.xlsx."),
        ("./sub/../mine.xlsx", "{folder}/sub/../mine.xlsx is the workbook itself, which is never marked: try mine-marked.xlsx."),
        ("other.xlsx", "{folder}/other.xlsx is there already and was not touched. Choose another name."),
        ("look.ods", "The copy's name ends in .xlsx: try mine-marked.xlsx."),
        ("look", "The copy's name ends in .xlsx: try mine-marked.xlsx."),
        ("nowhere/look.xlsx", "{folder}/nowhere/look.xlsx could not be written: No such file or directory. Look at the folder and your rights in it."),
    ],
)  # fmt: skip
def test_a_name_that_the_copy_cannot_have_is_refused_in_a_sentence(
    tmp_path: Path, copy: str, sentence: str
) -> None:
    (tmp_path / "sub").mkdir()
    mine, other = tmp_path / "mine.xlsx", tmp_path / "other.xlsx"
    mine.write_bytes(MISTAKES.read_bytes())
    other.write_bytes(b"kept")
    code, _, said = run(mine, "--mark", f"{tmp_path}/{copy}")
    assert (code, said) == (2, f"{sentence.format(folder=tmp_path)}\n")
    assert (mine.read_bytes(), other.read_bytes()) == (MISTAKES.read_bytes(), b"kept")
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["mine.xlsx", "other.xlsx", "sub"]


@pytest.mark.parametrize("name", ["signed", "strict", "macros", "signed-macros"])
def test_what_only_a_plain_copy_can_be_made_of_says_how(name: str, tmp_path: Path) -> None:
    mine = tmp_path / f"clover{ending(name)}"
    mine.write_bytes(content(name))
    with pytest.raises(NotWritten) as refused:
        write_marked(mine, tmp_path / "look.xlsx", problems(name))
    assert f"soundness copy {mine.name} clover-copy.xlsx" in str(refused.value)
    assert list(tmp_path.iterdir()) == [mine]


def test_other_formats_say_how_to_make_a_plain_copy(tmp_path: Path) -> None:
    (tmp_path / "notes").mkdir()
    pack(
        tmp_path / "notes.ods",
        {"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": "<x/>"},
    )
    (tmp_path / "notes.xls").write_bytes(bytes.fromhex("D0CF11E0A1B11AE1") + bytes(504))
    for mine in (tmp_path / "notes", tmp_path / "notes.ods", tmp_path / "notes.xls"):
        with pytest.raises(NotWritten) as refused:
            write_marked(mine, tmp_path / "look.xlsx", problems("excel"))
        assert f"soundness copy {mine.name} notes-copy.xlsx" in str(refused.value)


def test_a_protected_sheet_is_marked_in_the_copy_and_stays_protected(tmp_path: Path) -> None:
    mine, copy = tmp_path / "clover.xlsx", tmp_path / "look.xlsx"
    mine.write_bytes(content("protected"))
    write_marked(mine, copy, problems("rich"))
    assert fills(copy.read_bytes()) == severities("rich")
    assert opened(copy.read_bytes())["Soundness"].protection.sheet


def test_the_copy_is_as_private_as_the_workbook_and_can_be_written(tmp_path: Path) -> None:
    mine, copy = tmp_path / "clover.xlsx", tmp_path / "look.xlsx"
    mine.write_bytes(content("excel"))
    mine.chmod(0o440)
    write_marked(mine, copy, problems("excel"))
    assert copy.stat().st_mode & 0o777 == 0o640


def test_a_copy_on_a_disk_where_no_file_has_two_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", never)
    mine, copy = tmp_path / "clover.xlsx", tmp_path / "look.xlsx"
    mine.write_bytes(content("excel"))
    found = write_marked(mine, copy, problems("excel"))
    assert copy.read_bytes() == found.content
    with pytest.raises(FileExistsError):
        write_marked(mine, copy, problems("excel"))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["clover.xlsx", "look.xlsx"]


def test_a_copy_that_is_not_as_it_was_meant_is_thrown_away() -> None:
    old, new = content("excel"), made("excel")
    book = Package.unpacked(new.content)
    book.change(book.sheet("Soundness"), "<v>2</v>", "<v>3</v>")
    other = {**new.notes, ("Soundness", "A9"): "a note that is not there"}
    for content_, notes_ in ((book.packed(), new.notes), (new.content, other)):
        with pytest.raises(Refused) as refused:
            check_marked(old, content_, Marked(content_, notes_, (), (), new.parts))
        assert refused.value.slug == "write-not-the-same"


def test_the_riches_can_be_marked_with_nothing_but_a_button_among_the_boxes() -> None:
    book = Package.unpacked(rich())
    sheet = book.sheet("Soundness")
    rels = "xl/worksheets/_rels/" + sheet.rpartition("/")[2] + ".rels"
    for kind in ("comments", "threadedComment"):
        book.parts[rels] = re.sub(rb"<Relationship [^>]*/%s\"[^>]*/>" % kind.encode(), b"", book.parts[rels])
    drawing = re.sub(
        rb'<v:shape [^>]*t202".*?</v:shape>', b"", book.parts["xl/drawings/vmlDrawing2.vml"], flags=re.DOTALL
    )
    book.parts["xl/drawings/vmlDrawing2.vml"] = drawing
    found = marked(book.packed(), problems("rich"))
    assert found.bare == ()
    assert set(notes(found.content)) == set(severities("rich"))
    assert b'ObjectType="Button"' in parts_of(found.content)["xl/drawings/vmlDrawing2.vml"]
