"""Any value that is written is read back equal: by this program, by openpyxl and by calamine, where those are right."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, from_excel
from openpyxl.utils.escape import unescape
from rich_parts.any_sheet import WIDTH, sheets
from rich_parts.packing import parts_of
from rich_parts.readers import Cells, by_calamine, by_openpyxl, by_us, same
from rich_parts.record import KNOWN, NOTES
from rich_workbooks import content
from writing import append_row

from tracker.problem import NotWritten
from tracker.workbook.change.plan import AsTyped, Plan, Value, plan_append, plan_set
from tracker.workbook.change.verify import check_written
from tracker.workbook.gate import Refused

ROW = NOTES + 2
DATE, SCORE, REMARKS = 0, 5, 8

SLY = (
    "=1+1", "+1", "-1", "@SUM(A1)", "#N/A", "#REF!", "'quoted", "''", '"', "<&>\"'", "]]>", "<![CDATA[x]]>", "<!-- -->",
    "&amp;", "&#65;", "&lt;row", "_x0041_", "_x005F_", "_x005F_x0041_", "_X0041_", "_x000D_\r", "__x0041__", "_x00e9_",
    " ", "   ", "\t", "\n", "\r", "\r\n", "a\rb", "a\n", "\na", " a ", "a\u00a0", "\u00a0", "\ufeff", "\u2028", "\x85",
    "\x00", "\x01\x1f", "\x7f", "\x0b", "\ufffd", "🐴", "e\u0301", "\u202eabc", "TRUE", "1e5", "0042",
    "2/5", "1,5", "3½", "4 Mar", "true", "nan", "x" * 32_767, "é" * 32_767, "🐴" * 16_383, "&" * 32_767, " " * 32_767,
)  # fmt: skip
EDGES = (
    0.0,
    -0.0,
    1.0,
    0.1,
    1 / 3,
    2.5,
    1e15,
    1e16,
    123456789012345678.0,
    -1e-7,
    5e-324,
    1.7976931348623157e308,
    2.0**53,
)
DAYS = (
    dt.date(1900, 1, 1), dt.date(1900, 2, 27), dt.date(1900, 2, 28), dt.date(1900, 3, 1), dt.date(1900, 3, 2),
    dt.date(1904, 1, 1), dt.date(1904, 1, 2), dt.date(2000, 2, 29), dt.date(2026, 3, 29), dt.date(2100, 12, 31),
)  # fmt: skip

SYSTEMS = {"no-dimension": dt.date(1900, 1, 1), "year-1904": dt.date(1904, 1, 2)}
OTHER_MANNERS = (
    "xlsxwriter",
    "prefixes",
    "no-references",
    "texts-in-the-cells",
    "openpyxl",
    "no-date-style",
    "utf-16",
)

once = settings(deadline=None, derandomize=True, max_examples=40, suppress_health_check=list(HealthCheck))


# U+FFFE and U+FFFF are no signs (Unicode, section 23.7): the libraries leave their escapes as they stand.
possible_text = st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters="\ufffe\uffff"), min_size=1
)


def written(name: str, column: int, values: list[Value]) -> Plan:
    """The workbook with one new row for each value, which stands in one column; a score beside keeps the row filled."""
    other = SCORE if column != SCORE else REMARKS
    rows = [{column: value, other: 1.0} for value in values]
    return plan_append(content(name), "Soundness", rows, heading_row=1, known=KNOWN)


def read_back(
    plan: Plan, reader: Callable[[bytes], dict[str, Cells]], column: int, count: int
) -> list[object]:
    cells = reader(plan.content)["Soundness"]
    return [cells.get((row, column)) for row in range(ROW, ROW + count)]


@once
@given(
    texts=st.lists(possible_text, min_size=1, max_size=30),
    name=st.sampled_from((*SYSTEMS, *OTHER_MANNERS)),
)
@example(texts=list(SLY), name="excel")
@example(texts=list(SLY), name="prefixes")
@example(texts=list(SLY), name="utf-16")
@example(texts=[chr(sign) for sign in range(0x3000) if not 0xD800 <= sign < 0xE000], name="google")
def test_any_text_is_read_back_equal(texts: list[str], name: str, tmp_path: Path) -> None:
    plan = written(name, REMARKS, list(texts))
    assert read_back(plan, lambda book: by_us(book, tmp_path), REMARKS, len(texts)) == texts
    # openpyxl leaves the escapes of a text in its cell to its own function (ST_Xstring, ISO/IEC 29500-1 §22.9.2.19)
    assert [unescape(str(text)) for text in read_back(plan, by_openpyxl, REMARKS, len(texts))] == texts
    if name != "utf-16":  # of such a part calamine gives no cell at all
        assert read_back(plan, by_calamine, REMARKS, len(texts)) == texts


@once
@given(
    numbers=st.lists(
        st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(10**15), 10**15), min_size=1
    ),
    name=st.sampled_from((*SYSTEMS, *OTHER_MANNERS)),
)
@example(numbers=list(EDGES), name="excel")
@example(numbers=list(EDGES), name="year-1904")
def test_any_number_is_read_back_equal(numbers: list[float], name: str, tmp_path: Path) -> None:
    plan = written(name, SCORE, list(numbers))
    assert read_back(plan, lambda book: by_us(book, tmp_path), SCORE, len(numbers)) == numbers
    assert read_back(plan, by_openpyxl, SCORE, len(numbers)) == numbers
    if name != "utf-16":
        assert read_back(plan, by_calamine, SCORE, len(numbers)) == numbers


@st.composite
def moments(draw: st.DrawFn) -> tuple[str, list[dt.date]]:
    name = draw(st.sampled_from([*SYSTEMS, "no-date-style"]))
    first = SYSTEMS.get(name, dt.date(1900, 1, 1))
    days = st.dates(first, dt.date(2100, 12, 31)) | st.sampled_from([day for day in DAYS if day >= first])
    times = st.times().map(lambda time: time.replace(microsecond=0))
    moment = st.builds(dt.datetime.combine, days, times)
    return name, draw(st.lists(days | moment, min_size=1, max_size=30))


@once
@given(case=moments())
@example(case=("excel", list(DAYS)))
@example(case=("excel", [dt.datetime.combine(day, dt.time(23, 59, 59)) for day in DAYS]))
@example(case=("year-1904", [day for day in DAYS if day >= SYSTEMS["year-1904"]]))
def test_any_day_with_or_without_its_time_is_read_back_equal(
    case: tuple[str, list[dt.date]], tmp_path: Path
) -> None:
    name, days = case
    plan = written(name, DATE, list(days))
    wanted = [day if isinstance(day, dt.datetime) else dt.datetime.combine(day, dt.time()) for day in days]
    assert seconds(read_back(plan, lambda book: by_us(book, tmp_path), DATE, len(days))) == wanted
    assert seconds(read_back(plan, by_openpyxl, DATE, len(days))) == wanted
    assert seconds(read_back(plan, by_calamine, DATE, len(days))) == wanted


def seconds(found: list[object]) -> list[object]:
    """Moments to the nearest second: a day's part as a float is exact to some millionths of one."""
    return [
        (value + dt.timedelta(microseconds=500_000)).replace(microsecond=0)
        if isinstance(value, dt.datetime)
        else value
        for value in found
    ]


@pytest.mark.parametrize("name", SYSTEMS)
def test_the_serial_of_a_day_is_the_one_of_openpyxl(name: str) -> None:
    epoch = CALENDAR_MAC_1904 if name == "year-1904" else CALENDAR_WINDOWS_1900
    days = [day for day in DAYS if day >= SYSTEMS[name]]
    plan = written(name, DATE, list(days))
    page = parts_of(plan.content)["xl/worksheets/sheet1.xml"].decode()
    for row, day in enumerate(days, ROW):
        serial = float(page.split(f'r="A{row}"')[1].split("<v>")[1].split("</v>")[0])
        assert serial == int(serial)
        assert from_excel(serial, epoch).date() == day  # type: ignore[union-attr]


@pytest.mark.parametrize("name", ["excel", "year-1904", "prefixes", "openpyxl"])
def test_yes_and_no_are_read_back_as_such(name: str, tmp_path: Path) -> None:
    plan = written(name, REMARKS, [True, False])
    for reader in (lambda book: by_us(book, tmp_path), by_openpyxl, by_calamine):
        found = read_back(plan, reader, REMARKS, 2)
        assert [value is wanted for value, wanted in zip(found, (True, False), strict=True)] == [True, True]


any_value = (
    possible_text.map(lambda text: text[:20])
    | st.floats(-1e6, 1e6)
    | st.booleans()
    | st.dates(dt.date(1990, 1, 1), dt.date(2090, 1, 1))
    | st.none()
)


@once
@given(
    cells=st.dictionaries(st.sampled_from(KNOWN), any_value, min_size=1),
    name=st.sampled_from((*SYSTEMS, "prefixes")),
    over=st.integers(2, 13),
)
def test_any_value_can_stand_in_any_column_of_any_row(
    cells: dict[int, Value], name: str, over: int, tmp_path: Path
) -> None:
    for row, plan in (
        (ROW, plan_append(content(name), "Soundness", {**cells, SCORE: 1.0}, heading_row=1, known=KNOWN)),
        (over, plan_set(content(name), "Soundness", over, {**cells, SCORE: 1.0})),
    ):
        found = by_us(plan.content, tmp_path)["Soundness"]
        for column, value in ({**cells, SCORE: 1.0}).items():
            wanted = dt.datetime.combine(value, dt.time()) if isinstance(value, dt.date) else value
            assert found.get((row, column)) == (None if wanted == "" else wanted)


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("2", 2.0),
        ("2.5", 2.5),
        ("0", 0.0),
        ("-3", -3.0),
        ("2/5", None),
        ("007", None),
        ("1e5", None),
        ("2,5", None),
        (" 2", None),
        ("٢", None),
        ("1234567890123456", None),
    ],
)
def test_only_a_plain_figure_as_typed_becomes_a_number(typed: str, number: float | None) -> None:
    plan = written("excel", SCORE, [AsTyped(typed)])
    assert read_back(plan, by_openpyxl, SCORE, 1) == [typed if number is None else number]


def test_an_empty_text_leaves_the_cell_empty(tmp_path: Path) -> None:
    plan = written("excel", REMARKS, ["", None])
    for reader in (lambda book: by_us(book, tmp_path), by_calamine, by_openpyxl):
        assert [value or None for value in read_back(plan, reader, REMARKS, 2)] == [None, None]


@pytest.mark.parametrize("text", ["x" * 32_768, "🐴" * 16_384, "\r" * 32_768])
def test_a_text_that_no_cell_can_hold_is_refused(text: str) -> None:
    # 32,767 signs, counted as UTF-16 counts them: Microsoft, "Excel specifications and limits".
    with pytest.raises(Refused) as refused:
        written("excel", REMARKS, [text])
    assert refused.value.slug == "write-too-long"


IMPOSSIBLE = (
    ("excel", SCORE, float("nan")),
    ("excel", SCORE, float("inf")),
    ("excel", SCORE, -float("inf")),
    ("excel", DATE, dt.date(1899, 12, 31)),
    ("excel", DATE, dt.date(1066, 10, 14)),
    ("year-1904", DATE, dt.date(1903, 12, 31)),
    ("excel", REMARKS, "\ufffe"),
    ("excel", REMARKS, "\uffff"),
)


@pytest.mark.parametrize(("name", "column", "value"), IMPOSSIBLE, ids=repr)
def test_what_would_not_read_back_leaves_the_workbook_as_it_was(
    name: str, column: int, value: Value, tmp_path: Path
) -> None:
    path = tmp_path / "clover.xlsx"
    path.write_bytes(content(name))
    with pytest.raises((NotWritten, ValueError)):
        append_row(path, "Soundness", {column: value, 1: "Clover"}, heading_row=1, known=KNOWN)
    assert path.read_bytes() == content(name)


def test_the_score_of_a_text_column_stays_text() -> None:
    book = openpyxl.load_workbook(io.BytesIO(content("openpyxl")))
    for cell in book["Soundness"]["F"]:
        cell.number_format = "@"
    file = io.BytesIO()
    book.save(file)
    plan = plan_append(
        file.getvalue(),
        "Soundness",
        {0: dt.date(2026, 5, 1), SCORE: AsTyped("2")},
        heading_row=1,
        known=KNOWN,
    )
    assert by_openpyxl(plan.content)["Soundness"][ROW, SCORE] == "2"


NEW = {0: dt.date(2026, 5, 1), 1: "Clover", 3: 2.5, 4: "new <&> words"}


@settings(deadline=None, derandomize=True, max_examples=150, suppress_health_check=list(HealthCheck))
@given(
    workbook=sheets(),
    row=st.integers(1, 20),
    column=st.integers(0, WIDTH - 1),
    value=st.sampled_from(["set", 7.0, None]),
)
def test_a_sheet_in_any_mixture_of_manners_keeps_its_cells(
    workbook: bytes, row: int, column: int, value: Value, tmp_path: Path
) -> None:
    readers = (
        by_openpyxl,
        lambda book: by_openpyxl(book, saved=True),
        by_calamine,
        lambda book: by_us(book, tmp_path),
    )
    for change in (
        lambda: plan_append(workbook, "Soundness", NEW, heading_row=1, known=range(5)),
        lambda: plan_set(workbook, "Soundness", row, {column: value}),
    ):
        plan = planned_or_refused(change)
        if isinstance(plan, str):
            assert plan in ("write-in-the-way", "write-totals")  # over a formula, below a sum
            continue
        check_written(workbook, plan.content, plan)
        for reader in readers:
            old, new = reader(workbook)["Soundness"], reader(plan.content)["Soundness"]
            assert {place: cell for place, cell in new.items() if place not in plan.written} == {
                place: cell for place, cell in old.items() if place not in plan.written
            }
            assert [place for place, cell in plan.written.items() if not same(new.get(place), cell)] == []


def planned_or_refused(change: Callable[[], Plan]) -> Plan | str:
    """The plan, or the kind of its refusal."""
    try:
        return change()
    except Refused as refused:
        return refused.slug
