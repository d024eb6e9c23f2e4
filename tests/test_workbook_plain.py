"""A sheet means the same however it is written: in other manners of XML, in other places of the file, at any size."""

from __future__ import annotations

import datetime as dt
import re
import time
from collections.abc import Callable
from html import escape
from pathlib import Path

import openpyxl
import pytest
import python_calamine
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from packed import MAIN, RELATIONSHIPS, SHEET, pack, parts, row, sheet, signposts, strings

from tracker.cells.raw import CellError, UnsavedFormula
from tracker.workbook import plain
from tracker.workbook.letters import column_index, column_letter
from tracker.workbook.read import read_workbook

STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"  # ISO/IEC 29500-1, Strict
STRICT_RELATIONSHIPS = "http://purl.oclc.org/ooxml/officeDocument/relationships"
PATIENT = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def read(path: Path, content: dict[str, str | bytes]) -> list[list[object]]:
    (only,) = read_workbook(pack(path / "horse.xlsx", content)).sheets
    return only.rows


def typed(rows: list[list[object]]) -> list[list[tuple[type, object]]]:
    """Each value with its type: an error is not the same as its text."""
    return [[(type(value), value) for value in cells] for cells in rows]


def prefixed(xml: str) -> str:
    return re.sub(r"<(/?)(\w)", r"<\1x:\2", xml).replace("xmlns=", "xmlns:x=")


# One cell


@pytest.mark.parametrize(
    ("cell", "wanted"),
    [
        ('<c r="A1" t="e"><v>#N/A</v></c>', CellError("#N/A")),
        ('<c r="A1" t="e"><v>#SPILL!</v></c>', CellError("#SPILL!")),
        ('<c r="A1" t="e" vm="1"><f>1/0</f><v>#VALUE!</v></c>', CellError("#VALUE!")),
        ('<c r="A1" t="str"><v>#N/A</v></c>', "#N/A"),
        ('<c r="A1"><f>B1&amp;"a"</f></c>', UnsavedFormula('=B1&"a"')),
        ('<c r="A1" s="1"><f>B1</f><v/></c>', UnsavedFormula("=B1")),
        ('<c r="A1"><f t="shared" si="0"/></c>', UnsavedFormula("=")),
        ('<c r="A1" t="str"><f>B1</f></c>', UnsavedFormula("=B1")),
        ('<c r="A1" t="e"><f>B1</f></c>', UnsavedFormula("=B1")),
        ('<c r="A1" t="str"><f>B1</f><v/></c>', ""),
        ('<c r="A1" t="str"><f>B1</f><v></v></c>', ""),
        ('<c r="A1" t="str"><f>B1</f><v xml:space="preserve"> a </v></c>', " a "),
        ('<c r="A1" cm="1"><f t="array" ref="A1">B1</f><v>5</v></c>', 5.0),
        ('<c r="A1" t="b"><v>1</v></c>', True),
        ('<c r="A1" t="b"><v>0</v></c>', False),
        ('<c r="A1" t="inlineStr"><is><t xml:space="preserve"> a &lt; b </t></is></c>', " a < b "),
        ('<c r="A1" t="inlineStr"><is><r><t>left </t></r><r><t>front</t></r></is></c>', "left front"),
        ('<c r="A1" t="inlineStr"><is><t>a</t><rPh sb="0" eb="1"><t>said</t></rPh></is></c>', "a"),
        ('<c r="A1" t="inlineStr"><is><t> LF\u00a0</t></is></c>', " LF\u00a0"),
        ('<c r="A1" t="str"><v><![CDATA[a<b>&amp;]]></v></c>', "a<b>&amp;"),
        ('<c r="A1"><!-- <c r="XFD1048576"><v>1</v></c> --><v>1<!-- --></v></c>', 1.0),
        ('<c r="A1"><v>1.5E-5</v></c>', 1.5e-5),
        ('<c r="A1"><v>1.5E+300</v></c>', 1.5e300),
        ('<c r="A1"><v>-0.5</v></c>', -0.5),
        ('<c r="A1"><v> 2 </v></c>', 2.0),
        ('<c r="A1"><v>276098106234567</v></c>', 276098106234567.0),
        ('<c r="A1"><v>NaN</v></c>', "NaN"),
        ('<c r="A1"><v>1E999</v></c>', "1E999"),
        ('<c r="A1" t="later"><v>kept as text</v></c>', "kept as text"),
    ],
)
def test_what_a_cell_is_read_as(tmp_path: Path, cell: str, wanted: object) -> None:
    content = parts(sheet(row(f'{cell}<c r="C1"><v>7</v></c>')))
    assert typed(read(tmp_path, content)) == typed([[wanted, "", 7.0]])


@pytest.mark.parametrize(
    ("style", "value", "wanted"),
    [
        (1, "36526", dt.date(2000, 1, 1)),
        (3, "36526.25", dt.datetime(2000, 1, 1, 6)),
        (3, "0.25", dt.time(6)),
        (2, "1.5", dt.timedelta(hours=36)),
        # What is no day of the calendar stays the number that was typed: a phone number, a chip, a minus.
        (1, "-1", -1.0),
        (1, "-0.5", -0.5),
        (2, "-0.5", -0.5),
        (1, "2958466", 2958466.0),
        (1, "20260304", 20260304.0),
        (1, "276098106234567", 276098106234567.0),
        (1, "1E+300", 1e300),
        (1, "-1E+18", -1e18),
    ],
)
def test_a_number_formatted_as_a_day(tmp_path: Path, style: int, value: str, wanted: object) -> None:
    for cell in (f'<c r="A1" s="{style}"><v>{value}</v></c>', f"<c s='{style}' r='A1'><v>{value}</v></c>"):
        assert typed(read(tmp_path, parts(sheet(row(cell))))) == typed([[wanted]])


def test_a_date_written_in_letters(tmp_path: Path) -> None:
    """t="d", ISO/IEC 29500-1 §18.18.11: the day itself, instead of its number."""
    cells = '<c r="A1" t="d" s="1"><v>2026-03-04</v></c><c r="B1" t="d"><v>2026-03-04T09:30:00</v></c>'
    assert read(tmp_path, parts(sheet(row(cells)))) == [[dt.date(2026, 3, 4), dt.datetime(2026, 3, 4, 9, 30)]]


@pytest.mark.parametrize(
    ("item", "wanted"),
    [
        ("<si><t>LF</t></si>", "LF"),
        ("<si><t><![CDATA[a < b]]></t></si>", "a < b"),
        ("<si><r><t>left </t></r><r><rPr><b/></rPr><t>front</t></r></si>", "left front"),
        ("<si><t>a</t><rPh sb='0' eb='1'><t>said</t></rPh></si>", "a"),
        ("<si><t>3½ – ″ 🐴</t></si>", "3½ – ″ 🐴"),
        ("<si><t>one_x000A_two _x005F_x000A_</t></si>", "one\ntwo _x000A_"),  # ST_Xstring, §22.9.2.19
        ("<si><t> \u00a0LF\u00a0 </t></si>", " \u00a0LF\u00a0 "),
        ("<si><t/></si>", ""),
        ("<si/>", ""),
    ],
)
def test_shared_texts(tmp_path: Path, item: str, wanted: str) -> None:
    content = parts(sheet(row('<c r="A1" t="s"><v>0</v></c>')))
    for xml in (strings(item), prefixed(strings(item))):
        assert read(tmp_path, content | {"xl/sharedStrings.xml": xml}) == [[wanted]]


# One sheet

ROWS = (
    row('<c r="A1" t="s"><v>0</v></c><c r="B1" s="1"><v>46085</v></c><c r="D1" t="e"><v>#N/A</v></c>')
    + '<row r="3"/>'
    + row('<c r="B4"><f>A1</f></c><c r="C4" t="b"><v>1</v></c><c r="E4" s="1"/>', 4)
)  # fmt: skip
WANTED: list[list[object]] = [
    ["LF", dt.date(2026, 3, 4), "", CellError("#N/A")],
    ["", "", "", ""],
    ["", "", "", ""],
    ["", UnsavedFormula("=A1"), True, ""],
]


MANNERS = {
    "as most programs write it": ROWS,
    "line by line": ROWS.replace("><", ">\n<"),
    "with quotes": ROWS.replace('"', "'"),
    "the place last": re.sub(r'<c (r="\w+") (\w="\w+")', r"<c \2 \1", ROWS),
    "without places": '<row><c t="s"><v>0</v></c><c s="1"><v>46085</v></c><c/><c t="e"><v>#N/A</v></c></row><row/>'
    '<row/><row><c/><c><f>A1</f></c><c t="b"><v>1</v></c></row>',
    "in small letters": ROWS.replace('r="A1"', 'r="a1"').replace('r="D1"', 'r="d1"'),
    "with pauses": ROWS.replace("<c ", "<c  ").replace("<row ", "<row\t"),
}  # fmt: skip


@pytest.mark.parametrize("manner", MANNERS)
@pytest.mark.parametrize("prefix", [False, True])
def test_a_sheet_in_another_manner(tmp_path: Path, manner: str, prefix: bool) -> None:
    xml = sheet(MANNERS[manner])
    assert typed(read(tmp_path, parts(prefixed(xml) if prefix else xml))) == typed(WANTED)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_both_encodings_that_a_workbook_may_have(tmp_path: Path, encoding: str) -> None:
    declaration = f'<?xml version="1.0" encoding="{encoding.removesuffix("-sig")}"?>'
    xml = sheet(row('<c r="A1" t="inlineStr"><is><t>3½ 🐴</t></is></c>'))
    assert read(tmp_path, parts((declaration + xml).encode(encoding))) == [["3½ 🐴"]]


NO_CHARACTER = "\ufffe\uffff"  # XML 1.0, production 2
TEXT = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters=NO_CHARACTER),
    min_size=1,
    max_size=8,
).filter(lambda text: "_x" not in text)
VALUE = st.one_of(
    st.none(),
    TEXT,
    st.integers(-(10**12), 10**12).map(float),
    st.integers(0, 10**4).map(lambda quarters: quarters / 4),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(["#N/A", "#REF!", "#BUSY!"]).map(CellError),
    TEXT.map(lambda text: UnsavedFormula("=" + text)),
)
TABLE = st.lists(st.lists(VALUE, min_size=1, max_size=5), min_size=1, max_size=5)


def written(value: object, place: str, draw: st.DrawFn) -> str:
    """One cell's XML in a manner that is drawn; it has no place of its own where `place` is empty."""
    text = escape(str(value), quote=False)
    kind, inside = {
        CellError: ("e", f"<v>{text}</v>"),
        UnsavedFormula: ("", f"<f>{text[1:]}</f>" + draw(st.sampled_from(["", "<v/>", "<v></v>"]))),
        float: (draw(st.sampled_from(["", "n"])), f"<v>{value!r}</v>"),
        str: draw(st.sampled_from([("str", f"<v>{text}</v>"), ("inlineStr", f"<is><t>{text}</t></is>")])),
        type(None): ("", draw(st.sampled_from(["", "<v/>"]))),
    }[type(value)]
    quote = draw(st.sampled_from(['"', '"', "'"]))
    attributes = [f" {name}={quote}{given}{quote}" for name, given in (("r", place), ("t", kind)) if given]
    gap = draw(st.sampled_from(["", "", "\n "]))
    return f"<c{''.join(draw(st.permutations(attributes)))}>{gap}{inside}{gap}</c>"


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[list[object]], str]:
    """A table, and the XML of its rows in a manner that is drawn."""
    table = draw(TABLE)
    bare = draw(st.booleans())
    rows = []
    for number, values in enumerate(table, 1):
        places = ["" if bare else f"{column_letter(at)}{number}" for at in range(len(values))]
        cells = "".join(written(value, place, draw) for value, place in zip(values, places, strict=True))
        rows.append(f"<row>{cells}</row>" if bare else row(cells, number))
    return table, "".join(rows)


def rectangle(table: list[list[object]]) -> list[list[object]]:
    """The table from A1 to the last filled cell of each axis, with "" for blank."""
    filled = [
        (line, at)
        for line, values in enumerate(table)
        for at, value in enumerate(values)
        if value is not None
    ]
    height, width = (1 + max((place[axis] for place in filled), default=-1) for axis in (0, 1))
    return [
        ["" if value is None else value for value in [*values, *[None] * width][:width]]
        for values in table[:height]
    ]


@PATIENT
@given(tables())
def test_a_table_in_any_manner_is_the_same_table(
    tmp_path: Path, drawn: tuple[list[list[object]], str]
) -> None:
    table, rows = drawn
    assert typed(read(tmp_path, parts(sheet(rows)))) == typed(rectangle(table))


@PATIENT
@given(tables())
def test_a_sheet_looked_over_is_the_sheet_rewritten(
    tmp_path: Path, drawn: tuple[list[list[object]], str]
) -> None:
    """The quick way and the thorough way are two readers of the same sheet."""
    quick = read(tmp_path, parts(sheet(drawn[1])))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plain, "_looked_over", lambda *_: None)
        assert typed(read(tmp_path, parts(sheet(drawn[1])))) == typed(quick)


def test_what_spreadsheet_libraries_write_needs_no_rewriting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else reading would be several times slower."""
    openpyxl_path, xlsxwriter_path = tmp_path / "o.xlsx", tmp_path / "x.xlsx"
    book = openpyxl.Workbook()
    book.worksheets[0].append(["Date", dt.date(2026, 3, 4), 1.5, True, "=A1", None, "#N/A"])
    book.save(openpyxl_path)
    with xlsxwriter.Workbook(xlsxwriter_path, {"constant_memory": True}) as other:
        page = other.add_worksheet()
        page.write_row(1, 1, ["Date", 1.5, True, "=A1"])
        page.write_datetime(1, 5, dt.datetime(2026, 3, 4), other.add_format({"num_format": "d mmm yyyy"}))
    monkeypatch.setattr(plain, "rewrite", None)
    assert len(read_workbook(openpyxl_path).sheets[0].rows) == 1
    assert len(read_workbook(xlsxwriter_path).sheets[0].rows) == 2


# One workbook


def test_leading_blank_rows_and_columns_stay(tmp_path: Path) -> None:
    path = tmp_path / "horse.xlsx"
    book = openpyxl.Workbook()
    page = book.worksheets[0]
    page["C4"], page["D6"] = "Date", 2
    book.save(path)
    (ours,) = read_workbook(path).sheets
    theirs = page.iter_rows(min_row=1, min_col=1, values_only=True)
    assert ours.rows == [["" if value is None else value for value in values] for values in theirs]


def test_a_strict_workbook_is_read_like_any_other(tmp_path: Path) -> None:
    strict = {
        name: str(xml).replace(MAIN, STRICT_MAIN).replace(RELATIONSHIPS, STRICT_RELATIONSHIPS)
        for name, xml in parts(sheet(ROWS), '<workbookPr date1904="true"/>').items()
    }
    book = read_workbook(pack(tmp_path / "horse.xlsx", strict))
    assert book.date1904
    assert typed(book.sheets[0].rows)[0] == typed([["LF", dt.date(2030, 3, 5), "", CellError("#N/A")]])[0]


def test_parts_under_other_names(tmp_path: Path) -> None:
    moved = {
        "_rels/.rels": signposts(officeDocument="/book/notes.xml"),
        "book/_rels/notes.xml.rels": signposts(
            worksheet="../pages/first.xml", styles="/book/s.xml", sharedStrings="t.xml"
        ),
    }
    usual = parts(sheet(ROWS))
    names = {
        "xl/workbook.xml": "book/notes.xml",
        SHEET: "PAGES\\First.xml",
        "xl/styles.xml": "book/S.xml",
        "xl/sharedStrings.xml": "book/t.xml",
    }
    content = moved | {place: usual[name] for name, place in names.items()}
    assert typed(read(tmp_path, content)) == typed(WANTED)


def test_sheets_come_in_the_owners_order_and_a_chart_is_no_sheet(tmp_path: Path) -> None:
    path = tmp_path / "horse.xlsx"
    with xlsxwriter.Workbook(path) as book:
        book.add_worksheet("Soundness & more").write(0, 0, "first")
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "='Visits'!$A$1:$A$2"})
        book.add_chartsheet("Chart").set_chart(chart)
        book.add_worksheet("Visits").write(0, 0, "last")
        book.add_worksheet("Empty").very_hidden()
    ours = [(page.name, page.rows) for page in read_workbook(path).sheets]
    assert ours == [("Soundness & more", [["first"]]), ("Visits", [["last"]]), ("Empty", [])]
    assert [name for name, _ in ours] == [page.title for page in openpyxl.load_workbook(path).worksheets]


@pytest.mark.parametrize("index", [0, 25, 26, 51, 52, 701, 702, 16383])
def test_letters_are_those_of_openpyxl(index: int) -> None:
    letters = openpyxl.utils.get_column_letter(index + 1)
    assert (column_letter(index), column_index(letters)) == (letters, index)


# Size

_CELLS = [
    '<c r="{}@" s="1"><v>46085</v></c>',
    *['<c r="{}@" t="s"><v>0</v></c>'] * 8,
    *['<c r="{}@"><v>2.5</v></c>'] * 8,
    '<c r="{}@" s="0"/>',
    '<c r="{}@" t="e"><f>NA()</f><v>#N/A</v></c>',
    '<c r="{}@" t="str"><f>A1&amp;"x"</f><v>a remark on the day</v></c>',
]


def long_sheet(rows: int) -> str:
    """A sheet of that many rows of 20 columns, about as the notes of some years are."""
    cells = "".join(cell.format(column_letter(at)) for at, cell in enumerate(_CELLS))
    return sheet("".join(row(cells, number).replace("@", str(number)) for number in range(1, rows + 1)))


def test_a_hundred_thousand_rows_are_read(tmp_path: Path) -> None:
    rows = read(tmp_path, parts(long_sheet(100_000)))
    assert len(rows) == 100_000
    assert rows[0] == rows[-1]
    assert typed(rows[-1:]) == typed(
        [[dt.date(2026, 3, 4), *["LF"] * 8, *[2.5] * 8, "", CellError("#N/A"), "a remark on the day"]]
    )


def test_the_gate_takes_little_time_beside_the_reading(tmp_path: Path) -> None:
    """Twice the library's own time at most, in the processor's time, so that a busy machine does not matter."""

    def library() -> None:
        book = python_calamine.load_workbook(path)
        book.get_sheet_by_index(0).to_python()

    def seconds(work: Callable[[], object]) -> float:
        start = time.process_time()
        work()
        return time.process_time() - start

    path = pack(tmp_path / "horse.xlsx", parts(long_sheet(10_000).replace("#N/A", "#REF!")))
    turns = [(seconds(lambda: read_workbook(path)), seconds(library)) for _ in range(12)]
    ours, theirs = (min(times) for times in zip(*turns, strict=True))
    assert ours < 2 * theirs
